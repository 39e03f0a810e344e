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

/// Stated and inferred displacement may differ by this share before a line is remarked upon.
const SHARE_OF_DISAGREEMENT: f64 = 0.20;

/// Classes seen so far of one kind of statement.
#[derive(Clone, Copy, Default)]
struct Common {
    common: Option<ClassSet>,
    contradictory: bool,
}

impl Common {
    fn see(&mut self, classes: ClassSet) {
        if classes.is_empty() {
            return;
        }
        let common = self.common.map_or(classes, |known| known.intersection(classes));
        self.contradictory |= common.is_empty();
        self.common = Some(common);
    }

    fn see_ends(&mut self, served: &[Interval], class_of: fn(Interval) -> ClassSet) {
        for interval in served {
            self.see(class_of(Interval::exact(interval.low)));
            self.see(class_of(Interval::exact(interval.high)));
        }
    }
}

/// Whether one field of the line embraces several size classes; if so, the field's claim is added.
pub fn embraces_several_sizes(reading: &mut LineReading) -> bool {
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
    let (mut volumes, mut powers) = (Common::default(), Common::default());
    let stated = claims
        .iter()
        .filter(|claim| claim.field == field && claim.provenance == Provenance::Stated);
    for claim in stated {
        match (claim.attribute, &claim.value) {
            (Attribute::Displacement, Value::Served(served)) => volumes.see_ends(served, class_of_cc),
            (Attribute::Power, Value::Served(served)) => powers.see_ends(served, class_of_power),
            (Attribute::EngineCode, Value::Code(code)) => volumes.see(classes_of_code(stem(code))),
            _ => {}
        }
    }
    volumes.contradictory || powers.contradictory
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
