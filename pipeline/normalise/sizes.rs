//! Sizes that cannot all be true of one part: a text that names displacements or codes of several size classes
//! ("168F-190F", "8 9 11 13 HP"), and a power that does not go with the displacement stated beside it.
//!
//! A starter serves one size class. A text that embraces several is not read as serving all of them: it earns the
//! family cue `universal`, and the fit stage gives it little confidence.

use super::claim::{Attribute, Claim, Provenance, Value, cue};
use super::line_reading::LineReading;
use crate::intake::field::Field;
use crate::trade::interval::Interval;
use crate::trade::size_class::{ClassSet, class_of_cc, class_of_power, classes_of_code};
use crate::trade::swept_volume::usual_volumes;

/// Stated and inferred displacement may differ by this share before a line is remarked upon.
const SHARE_OF_DISAGREEMENT: f64 = 0.20;

/// Sizes must be this far apart, largest to smallest, to be those of several classes rather than two neighbours in a
/// family whose bands are others: 8 to 13 hp is 1.6, 163 to 420 cc is 2.6, while one class spans at most 1.9 and is
/// told by its band. Common practice, no source.
const LEAST_SPREAD: f64 = 1.35;
/// A stated interval wider than this share of its middle is a range, and its two ends are looked at one by one.
const SHARE_OF_RANGE: f64 = 0.25;

/// Sizes seen so far of one kind of statement.
#[derive(Clone, Copy, Default)]
struct Sizes {
    common: Option<ClassSet>,
    apart: bool,
    spread: Option<Interval>,
}

impl Sizes {
    fn see(&mut self, classes: ClassSet, size: Interval) {
        if classes.is_empty() {
            return;
        }
        let common = self.common.map_or(classes, |known| known.intersection(classes));
        self.apart |= common.is_empty();
        self.common = Some(common);
        let middle = Interval::exact(size.mid());
        self.spread = Some(self.spread.map_or(middle, |known| known.hull(&middle)));
    }

    fn see_all(&mut self, served: &[Interval], class_of: fn(Interval) -> ClassSet) {
        for size in served {
            if size.width() > size.mid() * SHARE_OF_RANGE {
                for end in [size.low, size.high] {
                    self.see(class_of(Interval::exact(end)), Interval::exact(end));
                }
            } else {
                self.see(class_of(*size), *size);
            }
        }
    }

    fn are_several(&self) -> bool {
        self.apart
            && self
                .spread
                .is_some_and(|spread| spread.high >= spread.low * LEAST_SPREAD)
    }
}

/// Whether one field of the line embraces several size classes; if so, the field's claim is added.
pub fn embraces_several_sizes(reading: &mut LineReading) -> bool {
    // The bands are those of the industrial horizontal-shaft family; a word for another family says that they do not
    // hold.
    let other_family = |claim: &Claim| {
        claim.attribute == Attribute::FamilyCue && !matches!(&claim.value, Value::Word(word) if word == cue::UNIVERSAL)
    };
    if reading.claims.iter().any(other_family) {
        return false;
    }
    let mut fields: Vec<Field> = Vec::new();
    for claim in &reading.claims {
        if !fields.contains(&claim.field) {
            fields.push(claim.field);
        }
    }
    let mut several = false;
    for field in fields {
        if field_embraces_several(&reading.claims, field) {
            several = true;
            let word = Value::Word(cue::UNIVERSAL.into());
            reading.claim(
                Attribute::FamilyCue,
                word,
                Provenance::Inferred,
                field,
                "several size classes",
            );
        }
    }
    several
}

fn field_embraces_several(claims: &[Claim], field: Field) -> bool {
    let (mut volumes, mut powers) = (Sizes::default(), Sizes::default());
    let stated = claims
        .iter()
        .filter(|claim| claim.field == field && claim.provenance == Provenance::Stated);
    for claim in stated {
        match (claim.attribute, &claim.value) {
            (Attribute::Displacement, Value::Served(served)) => volumes.see_all(served, class_of_cc),
            (Attribute::Power, Value::Served(served)) => powers.see_all(served, class_of_power),
            (Attribute::EngineCode, Value::Code(code)) => {
                let stem = stem(code);
                for build in usual_volumes(stem) {
                    volumes.see(classes_of_code(stem), Interval::exact(build.cc));
                }
            }
            _ => {}
        }
    }
    volumes.are_several() || powers.are_several()
}

/// The stem of a designation of the national standard: `168F` of `168F-2` and `168FB`.
fn stem(code: &str) -> &str {
    let digits = code.bytes().take_while(u8::is_ascii_digit).count();
    if digits == 3 && code.as_bytes().get(3) == Some(&b'F') {
        &code[..4]
    } else {
        code
    }
}

/// Whether every stated displacement disagrees with every displacement inferred from a stated power.
pub fn power_against_displacement(claims: &[Claim]) -> bool {
    let of = |provenance: Provenance| {
        claims
            .iter()
            .filter(move |claim| claim.attribute == Attribute::Displacement && claim.provenance == provenance)
            .filter_map(|claim| match &claim.value {
                Value::Served(served) => Some(served.as_slice()),
                _ => None,
            })
            .flatten()
    };
    let mut compared = false;
    for inferred in of(Provenance::Inferred) {
        let room = Interval::between(
            inferred.low * (1.0 - SHARE_OF_DISAGREEMENT),
            inferred.high * (1.0 + SHARE_OF_DISAGREEMENT),
        );
        for stated in of(Provenance::Stated) {
            compared = true;
            if stated.overlaps(&room) {
                return false;
            }
        }
    }
    compared
}

/// Takes out displacements decoded from designations when the line says diesel: the table of usual builds is one of
/// petrol engines, and a diesel of the same bore has another stroke.
pub fn forget_petrol_builds(claims: &mut Vec<Claim>) {
    let diesel = |claim: &Claim| {
        claim.attribute == Attribute::FamilyCue && matches!(&claim.value, Value::Word(word) if word == cue::DIESEL)
    };
    if claims.iter().any(diesel) {
        let decoded =
            |claim: &Claim| claim.attribute == Attribute::Displacement && claim.provenance == Provenance::Decoded;
        claims.retain(|claim| !decoded(claim));
    }
}

/// Takes out threads read from a bare number in a column of screws, "5", where another field states a thread that it
/// cannot be: such a column may count holes.
pub fn forget_bare_sizes(claims: &mut Vec<Claim>) {
    let threads_of = |claim: &Claim| match &claim.value {
        Value::Threads(threads) => Some(*threads),
        _ => None,
    };
    let bare = |claim: &Claim| {
        let digits = claim.text.bytes().all(|byte| byte.is_ascii_digit());
        claim.field == Field::Fastener && digits && matches!(claim.attribute, Attribute::Thread | Attribute::HeadAf)
    };
    let Some(of_bare) = claims.iter().filter(|claim| bare(claim)).find_map(threads_of) else {
        return;
    };
    let stated: Vec<_> = claims
        .iter()
        .filter(|claim| !bare(claim))
        .filter_map(threads_of)
        .collect();
    if !stated.is_empty() && stated.iter().all(|threads| threads.intersection(of_bare).is_empty()) {
        claims.retain(|claim| !bare(claim));
    }
}
