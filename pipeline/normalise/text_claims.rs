//! Claims from running text: titles, descriptions, columns of engines and machines.
//!
//! The readers of the trade find amounts, spacings and fasteners; the vocabulary finds families, colours, sides and
//! counts. Order matters once: a stretch of text that one reader has taken is not read again as a code or a number.

use std::ops::Range;

use super::claim::{Attribute, Provenance, Value, cue};
use super::engine_claims::{About, read_model_codes, read_standard_codes};
use super::line_reading::LineReading;
use super::offer::Flag;
use super::scan::Scan;
use super::tokens::Class;
use super::vocabulary::Vocabulary;
use super::vocabulary::lexicon::Found;
use super::vocabulary::meaning::Meaning;
use crate::intake::field::Field;
use crate::trade::Context;
use crate::trade::displacement::read_displacement;
use crate::trade::fastener::{FastenerReading, read_fastener_in};
use crate::trade::hole_count::{CountedText, Whereabouts, only_count};
use crate::trade::interval::Interval;
use crate::trade::numerals::{Decimals, read_number};
use crate::trade::power::{PowerReading, displacement_from_power, read_power};
use crate::trade::spacing::{SpacingReading, read_spacing_in};
use crate::trade::units::LengthUnit;

/// Most pawls that a counted word is believed for.
const MOST_PAWLS: u8 = 6;

/// Reads everything a running text claims. The spans read are handed back, for the reader of numbers.
pub fn read_text_claims(
    vocabulary: &Vocabulary,
    scan: &Scan,
    about: About,
    field: Field,
    reading: &mut LineReading,
) -> Vec<Range<usize>> {
    let mut used = Vec::new();
    read_words(vocabulary, scan, field, reading);
    if about == About::Part && (scan.has_digits || names_a_number(vocabulary, scan)) {
        read_mounting(scan, field, reading, &mut used);
    }
    if scan.has_digits {
        read_standard_codes(scan, field, reading, &mut used);
        read_amounts(scan, field, reading, &mut used);
        read_model_codes(vocabulary, scan, about, field, reading, &mut used);
    }
    used
}

fn names_a_number(vocabulary: &Vocabulary, scan: &Scan) -> bool {
    let numeral = |meaning: &Meaning| matches!(meaning, Meaning::Numeral(_));
    scan.attributes
        .iter()
        .any(|found| vocabulary.lexicon.meanings(found).iter().any(numeral))
}

/// Families, plain attributes and counts.
fn read_words(vocabulary: &Vocabulary, scan: &Scan, field: Field, reading: &mut LineReading) {
    for found in &scan.attributes {
        for meaning in vocabulary.lexicon.meanings(found) {
            match *meaning {
                Meaning::Family(at) => {
                    let name = &vocabulary.families[usize::from(at)];
                    if *name == cue::UNIVERSAL {
                        reading.flag(Flag::Universal);
                    }
                    reading.state(
                        Attribute::FamilyCue,
                        Value::Word(name.clone()),
                        field,
                        scan.text_of(found),
                    );
                }
                Meaning::Attribute { attribute, value } => {
                    let value = vocabulary.values[usize::from(value)].clone();
                    reading.state(attribute, Value::Word(value), field, scan.text_of(found));
                }
                Meaning::Counts(attribute) => {
                    if let Some((count, text)) = count_before(vocabulary, scan, found) {
                        reading.state(attribute, Value::Count(count), field, text);
                    }
                }
                Meaning::Depth => read_depth(scan, found, field, reading),
                _ => {}
            }
        }
    }
}

/// The count that stands directly before a term, and the words it was read from.
fn count_before<'s>(vocabulary: &Vocabulary, scan: &'s Scan, found: &Found) -> Option<(u8, &'s str)> {
    let at = (found.first as usize).checked_sub(1)?;
    let token = scan.tokens[at];
    let count = match token.class {
        Class::Number => token.text(&scan.folded).parse().ok()?,
        _ => scan
            .attributes
            .iter()
            .find(|other| other.first as usize == at && other.end == found.first)
            .and_then(|other| {
                vocabulary
                    .lexicon
                    .meanings(other)
                    .iter()
                    .find_map(|meaning| match meaning {
                        Meaning::Numeral(number) => Some(*number),
                        _ => None,
                    })
            })?,
    };
    let text = &scan.folded[token.start as usize..scan.span_of(found).end];
    (1..=MOST_PAWLS).contains(&count).then_some((count, text))
}

/// A length behind a word for depth: "depth 45 mm".
fn read_depth(scan: &Scan, found: &Found, field: Field, reading: &mut LineReading) {
    let mut at = found.end as usize;
    if scan.text(at) == ":" {
        at += 1;
    }
    let text = scan.text(at);
    let digits = text.trim_end_matches(|character: char| character.is_alphabetic());
    let unit = if digits.len() < text.len() {
        &text[digits.len()..]
    } else {
        scan.text(at + 1)
    };
    let (Some(number), Some(unit)) = (read_number(digits, Decimals::Unsure), LengthUnit::from_word(unit)) else {
        return;
    };
    let depth = Interval::around(number.value, number.half_ulp).times(unit.mm());
    let start = scan.span_of(found).start;
    let end = scan.tokens.get(at).map_or(start, |token| token.end as usize);
    reading.state(
        Attribute::Depth,
        Value::OneOf(vec![depth]),
        field,
        &scan.folded[start..end],
    );
}

/// Displacement and power.
fn read_amounts(scan: &Scan, field: Field, reading: &mut LineReading, used: &mut Vec<Range<usize>>) {
    for amount in read_displacement(&scan.folded, Context::Title) {
        let text = &scan.folded[amount.span.clone()];
        reading.state(Attribute::Displacement, Value::Served(amount.served), field, text);
        used.push(amount.span);
    }
    for power in read_power(&scan.folded, Context::Title) {
        claim_power(&power, &scan.folded, field, reading);
        used.push(power.span);
    }
}

/// A power, and the displacement it implies unless it is a generator's output.
pub fn claim_power(power: &PowerReading, folded: &str, field: Field, reading: &mut LineReading) {
    if power.electrical {
        return;
    }
    let text = &folded[power.span.clone()];
    let inferred = power.served.iter().map(|kw| displacement_from_power(*kw)).collect();
    reading.state(Attribute::Power, Value::Served(power.served.clone()), field, text);
    reading.claim(
        Attribute::Displacement,
        Value::Served(inferred),
        Provenance::Inferred,
        field,
        text,
    );
}

/// Holes, spacing and fasteners.
fn read_mounting(scan: &Scan, field: Field, reading: &mut LineReading, used: &mut Vec<Range<usize>>) {
    let text = CountedText::of(&scan.folded);
    let agreed = only_count(&text.counts);
    for stated in text
        .counts
        .iter()
        .filter(|stated| agreed.is_none_or(|count| stated.count == count))
    {
        let text = &scan.folded[stated.span.clone()];
        let provenance = match stated.whereabouts {
            Whereabouts::InPart => Provenance::Stated,
            // As many screws lie in the bag as there are holes, as a rule.
            Whereabouts::InBag => Provenance::Inferred,
        };
        reading.claim(
            Attribute::BoltHoles,
            Value::Count(stated.count),
            provenance,
            field,
            text,
        );
        used.push(stated.span.clone());
    }
    let holes = agreed.or_else(|| reading.count_of(Attribute::BoltHoles));
    for spacing in read_spacing_in(&text, holes, Context::Title) {
        claim_spacing(&spacing, &scan.folded, field, reading);
        used.push(spacing.span);
    }
    for fastener in read_fastener_in(&text, Context::Title) {
        claim_fastener(&fastener, &scan.folded, field, reading);
        used.push(fastener.span);
    }
}

/// A spacing as a circle with all its readings, and as a rectangle where it is one.
pub fn claim_spacing(spacing: &SpacingReading, folded: &str, field: Field, reading: &mut LineReading) {
    let text = &folded[spacing.span.clone()];
    // a count that helped to read the figure has been claimed where it stands
    if let Some(holes) = spacing.holes.filter(|_| spacing.holes_stated) {
        reading.state(Attribute::BoltHoles, Value::Count(holes), field, text);
    }
    if !spacing.meant.is_empty() {
        let circles = spacing.meant.iter().map(|(_, circle)| *circle).collect();
        reading.state(Attribute::BoltCircle, Value::OneOf(circles), field, text);
    }
    if let Some((one, other)) = spacing.rectangle {
        let (short, long) = if one <= other { (one, other) } else { (other, one) };
        let sides = vec![Interval::exact(short), Interval::exact(long)];
        reading.state(Attribute::Rectangle, Value::Served(sides), field, text);
    }
}

/// A fastener hint as the claims it makes.
pub fn claim_fastener(fastener: &FastenerReading, folded: &str, field: Field, reading: &mut LineReading) {
    let text = &folded[fastener.span.clone()];
    if let Some(count) = fastener.count {
        reading.state(Attribute::BoltHoles, Value::Count(count), field, text);
    }
    if !fastener.threads.is_empty() {
        reading.state(Attribute::Thread, Value::Threads(fastener.threads), field, text);
    }
    if let Some(head) = fastener.head_af_mm {
        reading.state(Attribute::HeadAf, Value::OneOf(vec![head]), field, text);
    }
    if let Some(hole) = fastener.hole_mm {
        reading.state(Attribute::HoleDiameter, Value::OneOf(vec![hole]), field, text);
    }
}
