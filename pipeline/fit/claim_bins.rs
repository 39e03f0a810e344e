//! Claims in bins: which field a claim speaks in, and which of its bins it names.
//!
//! A spacing whose line counts no holes keeps every circle it may mean; nothing is judged here.

use super::evidence::{CUES, Meant};
use super::scales::{self, Field};
use crate::normalise::claim::{Attribute, Claim, Provenance, Value, cue};
use crate::normalise::kind::KindId;
use crate::normalise::offer::Offer;
use crate::trade::bolt_pattern::circle_from_chord;
use crate::trade::interval::Interval;

/// Puts a claim into bins. Claims that follow from another claim of the same line are left out:
/// they would count the same fact twice.
pub(super) fn lay_out(claim: &Claim, place: usize, holes: &[u8]) -> Option<(Field, Meant, Vec<u32>)> {
    if claim.provenance != Provenance::Stated && claim.attribute != Attribute::BoltCircle {
        return None;
    }
    let (field, meant, values) = match (claim.attribute, &claim.value) {
        (Attribute::Displacement, Value::Served(list) | Value::OneOf(list)) => {
            (Field::Displacement, Meant::Every, ends(list, scales::displacement_bin))
        }
        (Attribute::Power, Value::Served(list) | Value::OneOf(list)) => {
            (Field::Power, Meant::Every, ends(list, scales::power_bin))
        }
        (Attribute::BoltCircle, Value::OneOf(list) | Value::Served(list)) => {
            let circles = open_circles(list, place, holes).unwrap_or_else(|| list.iter().map(Interval::mid).collect());
            let bins = circles.iter().filter_map(|mm| scales::circle_bin(*mm, place)).collect();
            (Field::Circle, Meant::One, bins)
        }
        (Attribute::BoltHoles, Value::Count(n)) => (Field::Holes, Meant::One, vec![scales::hole_bin(*n, place)]),
        (Attribute::Thread, Value::Threads(set)) => (
            Field::Thread,
            Meant::One,
            set.iter().map(|t| scales::thread_bin(t.index(), place)).collect(),
        ),
        (Attribute::Depth, Value::OneOf(list) | Value::Served(list)) => {
            let bins = list.iter().filter_map(|i| scales::depth_bin(i.mid(), place)).collect();
            (Field::Depth, Meant::One, bins)
        }
        (Attribute::Pawls, Value::Count(n)) => (Field::Pawls, Meant::One, vec![scales::pawl_bin(*n)]),
        (Attribute::FamilyCue, Value::Word(word)) => (Field::Cue, Meant::One, cue_bin(word)),
        (Attribute::ShaftOrientation, Value::Word(word)) => {
            let cue = if word == "vertical" {
                cue::VERTICAL_SHAFT
            } else {
                cue::HORIZONTAL_SHAFT
            };
            (Field::Cue, Meant::One, cue_bin(cue))
        }
        _ => return None,
    };
    let mut values = values;
    values.sort_unstable();
    values.dedup();
    (!values.is_empty()).then_some((field, meant, values))
}

/// Hole counts that the offers of a product state, ascending.
pub(super) fn hole_counts(offers: &[Offer], members: &[u32]) -> Vec<u8> {
    let claims = members.iter().flat_map(|o| &offers[*o as usize].claims);
    let mut counts: Vec<u8> = claims
        .filter_map(|claim| match (claim.attribute, claim.provenance, &claim.value) {
            (Attribute::BoltHoles, Provenance::Stated, Value::Count(count)) => Some(*count),
            _ => None,
        })
        .collect();
    counts.sort_unstable();
    counts.dedup();
    counts
}

/// Holes that a part may have whose lines do not count them: a starter two to four, a shroud up to six.
/// Common practice, no source.
const OF_STARTERS: &[u8] = &[2, 3, 4];
const OF_SHROUDS: &[u8] = &[3, 4, 5, 6];

/// The circles that a spacing may mean whose line counts no holes: the reader kept it for three and for four, but the
/// product's other lines may count them, and a shroud may have more. None when the line counts them itself.
fn open_circles(list: &[Interval], place: usize, holes: &[u8]) -> Option<Vec<f64>> {
    let chord_of = |circle: f64, count: u8| circle / circle_from_chord(count, 1.0);
    let (circle, chord) = match list {
        [circle, three, four] => (Some(circle.mid()), [(three, 3), (four, 4)]),
        [three, four] => (None, [(three, 3), (four, 4)]),
        _ => return None,
    };
    let chord = chord.map(|(interval, count)| chord_of(interval.mid(), count));
    let same = |x: f64, y: f64| (x / y - 1.0).abs() < 1e-6;
    if !same(chord[0], chord[1]) || circle.is_some_and(|circle| !same(circle, chord[0])) {
        return None;
    }
    let counts = match holes {
        [] if place == KindId::RECOIL_STARTER.0 as usize => OF_STARTERS,
        [] => OF_SHROUDS,
        stated => stated,
    };
    let of_chord = counts.iter().map(|count| circle_from_chord(*count, chord[0]));
    Some(circle.into_iter().chain(of_chord).collect())
}

fn cue_bin(word: &str) -> Vec<u32> {
    // an all-embracing title is no family
    CUES[..CUES.len() - 1]
        .iter()
        .position(|c| *c == word)
        .map(|at| at as u32)
        .into_iter()
        .collect()
}

/// A narrow interval is one value, a range is its two ends.
pub(super) fn ends<T>(list: &[Interval], bin: impl Fn(f64) -> Option<T>) -> Vec<T> {
    let mut bins = Vec::new();
    for interval in list {
        if interval.width() > 0.06 * interval.mid() {
            bins.extend(bin(interval.low));
            bins.extend(bin(interval.high));
        } else {
            bins.extend(bin(interval.mid()));
        }
    }
    bins
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kept(spacing: &[f64]) -> Vec<Interval> {
        spacing.iter().map(|mm| Interval::around(*mm, 0.5)).collect()
    }

    #[test]
    fn a_spacing_without_a_count_takes_the_count_of_the_product_s_other_lines() {
        // chord 59: circle from three holes 68.13 mm, from four 83.44 mm, from six 118 mm (s = D sin(pi / n))
        let (three, four) = (circle_from_chord(3, 59.0), circle_from_chord(4, 59.0));
        let shroud = KindId::SHROUD.0 as usize;
        let of_six = open_circles(&kept(&[59.0, three, four]), shroud, &[6]);
        assert!(of_six.is_some_and(|circles| circles.len() == 2 && (circles[1] - 118.0).abs() < 0.01));
        let open = open_circles(&kept(&[three, four]), shroud, &[]);
        assert!(open.is_some_and(|circles| circles.iter().any(|mm| (mm - 118.0).abs() < 0.01)));
        assert_eq!(
            open_circles(&kept(&[102.0, 117.8]), shroud, &[]),
            None,
            "the line counts its holes"
        );
    }

    #[test]
    fn a_narrow_figure_is_one_value_and_a_range_its_two_ends() {
        let bins = |list: &[Interval]| ends(list, scales::displacement_bin);
        let bin = |cc: f64| scales::displacement_bin(cc).expect("in the scale");
        assert_eq!(bins(&[Interval::around(196.0, 0.5)]), [bin(196.0)]);
        assert_eq!(bins(&[Interval::between(163.0, 212.0)]), [bin(163.0), bin(212.0)]);
        assert_eq!(
            bins(&[Interval::around(196.0, 0.5), Interval::around(389.0, 0.5)]),
            [bin(196.0), bin(389.0)]
        );
    }

    #[test]
    fn the_holes_of_a_product_are_what_its_lines_state_each_count_once() {
        use crate::intake::field::Field as Cell;
        let line = |holes: &str| crate::normalise::test_rows::offer(&[("Holes", Cell::BoltHoles, holes)]);
        let offers = [line("4"), line("3"), line("4"), line("")];
        assert_eq!(hole_counts(&offers, &[0, 1, 2, 3]), [3, 4]);
        assert!(hole_counts(&offers, &[3]).is_empty());
    }
}
