//! What a line itself states, as it is put down in a table: one figure where the line leaves one reading, else none.

use crate::normalise::claim::{Attribute, Claim, Provenance, Value};
use crate::normalise::offer::Offer;
use crate::trade::interval::Interval;
use compact_str::{CompactString, ToCompactString};

pub(super) fn stated(claims: &[Claim], attribute: Attribute) -> impl Iterator<Item = &Value> {
    // what a line states counts before what follows from a rule; a rule of thumb is not put down as a figure
    let of = move |p: Provenance| {
        claims
            .iter()
            .filter(move |c| c.attribute == attribute && c.provenance == p)
            .map(|c| &c.value)
    };
    let any = of(Provenance::Stated).next().is_some();
    of(if any { Provenance::Stated } else { Provenance::Decoded })
}

pub(super) fn displacement(claims: &[Claim]) -> CompactString {
    let mut intervals: Vec<Interval> = Vec::new();
    for value in stated(claims, Attribute::Displacement) {
        if let Value::Served(list) | Value::OneOf(list) = value {
            intervals.extend(list);
        }
    }
    intervals.sort_by(|x, y| x.low.total_cmp(&y.low).then(x.high.total_cmp(&y.high)));
    let mut words: Vec<String> = intervals
        .iter()
        .map(|i| {
            if i.width() > 0.06 * i.mid() {
                band_words(*i)
            } else {
                figure(i.mid())
            }
        })
        .collect();
    words.dedup();
    words.join(";").into()
}

pub(super) fn band_words(band: Interval) -> String {
    if band.width() < 0.5 {
        figure(band.mid())
    } else {
        format!("{}-{}", figure(band.low), figure(band.high))
    }
}

pub(super) fn figure(value: f64) -> String {
    if (value - value.round()).abs() < 0.05 {
        format!("{value:.0}")
    } else {
        format!("{value:.1}")
    }
}

pub(super) fn holes(offer: &Offer) -> Option<u8> {
    let mut counts = stated(&offer.claims, Attribute::BoltHoles)
        .filter_map(|v| if let Value::Count(n) = v { Some(*n) } else { None });
    let first = counts.next()?;
    // two counts on one line: neither is put down as the fact
    counts.all(|n| n == first).then_some(first)
}

/// The bolt circle when the line leaves one reading only.
pub(super) fn circle(offer: &Offer) -> Option<f64> {
    single(offer, Attribute::BoltCircle)
}

pub(super) fn single(offer: &Offer, attribute: Attribute) -> Option<f64> {
    let mut found: Option<Interval> = None;
    for value in stated(&offer.claims, attribute) {
        let (Value::OneOf(list) | Value::Served(list)) = value else {
            continue;
        };
        let [only] = list.as_slice() else { continue };
        match found {
            Some(before) if !before.overlaps(only) => return None,
            _ => found = Some(*only),
        }
    }
    found.map(|i| (i.mid() * 100.0).round() / 100.0)
}

pub(super) fn threads(offer: &Offer) -> CompactString {
    let mut sets = stated(&offer.claims, Attribute::Thread)
        .filter_map(|v| if let Value::Threads(s) = v { Some(*s) } else { None });
    let Some(first) = sets.next() else {
        return CompactString::default();
    };
    let common = sets.fold(first, |common, set| {
        let both = common.intersection(set);
        if both.is_empty() { common.union(set) } else { both }
    });
    common.to_compact_string()
}
