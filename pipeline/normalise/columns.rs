//! Claims from columns whose meaning is known. The unit comes from the profile, else from the header ("Lochabstand mm",
//! "Hubraum (ccm)", "Leistung [PS]"), and is used for cells that name none.

use std::borrow::Cow;

use compact_str::CompactString;

use super::claim::{Attribute, Provenance, Value};
use super::engine_claims::{About, read_model_codes, read_standard_codes};
use super::line_reading::LineReading;
use super::markup::clean;
use super::scan::Scan;
use super::text_claims::{claim_fastener, claim_power, claim_spacing, read_text_claims};
use super::tokens::{Class, tokenise};
use super::vocabulary::Vocabulary;
use super::vocabulary::meaning::Meaning;
use crate::intake::field::Field;
use crate::intake::list::{ColumnMap, ListHead, MappedBy};
use crate::trade::Context;
use crate::trade::displacement::read_displacement;
use crate::trade::fastener::read_fastener;
use crate::trade::fit_mark::{is_engine_heading, is_fit_mark};
use crate::trade::folding::fold;
use crate::trade::hole_count::read_hole_count;
use crate::trade::interval::Interval;
use crate::trade::numerals::{Decimals, read_number};
use crate::trade::power::read_power_in;
use crate::trade::spacing::{read_spacing, settling_words};
use crate::trade::units::{LengthUnit, PowerUnit, VolumeUnit};

/// A column of claims and what is known of it before any row is read.
#[derive(Clone, Debug)]
pub struct ClaimColumn {
    /// Position in the row.
    pub index: usize,
    /// Its field.
    pub field: Field,
    /// Unit word for cells that name none; empty when nothing says it.
    pub unit: CompactString,
    /// Words of the heading of a spacing that settle which distance it is ("pcd", "ctr to ctr"); empty where none do.
    pub distance: CompactString,
    /// The heading of a column of engines, where a mark under it says that the part fits it; empty where it does not.
    pub engine: CompactString,
}

/// The columns of a list that make claims, in the order in which they are read: hole count before spacing, because a
/// spacing needs it.
pub fn claim_columns(head: &ListHead) -> Vec<ClaimColumn> {
    let mut columns: Vec<ClaimColumn> = head
        .columns
        .iter()
        .filter(|column| rank(column.field).is_some())
        .map(|column| ClaimColumn {
            index: column.index,
            field: column.field,
            unit: unit_of(column, head),
            distance: distance_of(column),
            engine: engine_of(column),
        })
        .collect();
    columns.sort_by_key(|column| (rank(column.field), column.index));
    columns
}

/// Order of reading; `None` for a column that makes no claims here.
fn rank(field: Field) -> Option<u8> {
    match field {
        Field::EngineCode => Some(0),
        Field::Fits => Some(1),
        Field::Displacement => Some(2),
        Field::Power => Some(3),
        Field::BoltHoles => Some(4),
        Field::BoltSpacing => Some(5),
        Field::Fastener => Some(6),
        Field::HoleDiameter => Some(7),
        Field::Depth => Some(8),
        Field::Pawls => Some(9),
        Field::Colour => Some(10),
        _ => None,
    }
}

/// What the heading of a spacing says of its figures, as a title with the same words would.
fn distance_of(column: &ColumnMap) -> CompactString {
    if column.field != Field::BoltSpacing {
        return CompactString::default();
    }
    settling_words(&fold(&column.header)).map_or_else(CompactString::default, CompactString::from)
}

/// The engine that a column of marks is headed with; a profile may give the column to any machine.
fn engine_of(column: &ColumnMap) -> CompactString {
    let of_engines = matches!(column.field, Field::Fits | Field::EngineCode);
    match of_engines && (column.how == MappedBy::Profile || is_engine_heading(&column.header)) {
        true => CompactString::from(column.header.trim()),
        false => CompactString::default(),
    }
}

fn unit_of(column: &ColumnMap, head: &ListHead) -> CompactString {
    let of_profile = head
        .profile
        .as_ref()
        .and_then(|profile| profile.units.get(&column.field));
    let folded = match of_profile {
        Some(unit) => fold(unit),
        None => fold(&column.header),
    };
    let is_unit = |word: &str| match column.field {
        Field::Displacement => VolumeUnit::from_word(word).is_some(),
        Field::Power => PowerUnit::from_word(word).is_some(),
        Field::BoltSpacing | Field::HoleDiameter | Field::Depth => LengthUnit::from_word(word).is_some(),
        _ => false,
    };
    let mut tokens = Vec::new();
    tokenise(&folded, &mut tokens);
    let words = tokens.iter().rev().map(|token| token.text(&folded));
    words
        .into_iter()
        .find(|word| is_unit(word))
        .map(CompactString::from)
        .unwrap_or_default()
}

/// Reads one cell.
pub fn read_claim_cell(vocabulary: &Vocabulary, column: &ClaimColumn, cell: &str, reading: &mut LineReading) {
    if cell.trim().is_empty() {
        return;
    }
    let field = column.field;
    if matches!(field, Field::Fits | Field::EngineCode) {
        let marked = !column.engine.is_empty() && is_fit_mark(cell);
        let engines = if marked { &column.engine } else { cell };
        return read_engines(vocabulary, field, engines, reading);
    }
    if field == Field::Pawls {
        return read_pawls(vocabulary, &Scan::of(vocabulary, cell), field, reading);
    }
    if field == Field::Colour {
        return read_colours(vocabulary, &Scan::of(vocabulary, cell), reading);
    }
    let cleaned = clean(cell);
    let folded = fold(&cleaned);
    if !vocabulary.is_placeholder(&folded) {
        read_measure(column, &folded, reading);
    }
}

/// Reads a folded cell of a measure.
fn read_measure(column: &ClaimColumn, folded: &str, reading: &mut LineReading) {
    let field = column.field;
    let text = with_unit(folded, &column.unit);
    match field {
        Field::Displacement => {
            for amount in read_displacement(&text, Context::Column) {
                let words = &text[amount.span];
                reading.state(Attribute::Displacement, Value::Served(amount.served), field, words);
            }
        }
        Field::Power => {
            let unit = PowerUnit::from_word(&column.unit).unwrap_or(PowerUnit::Horsepower);
            for power in read_power_in(&text, Context::Column, unit) {
                claim_power(&power, &text, field, reading);
            }
        }
        Field::BoltHoles => {
            if let Some(holes) = read_hole_count(folded) {
                reading.state(Attribute::BoltHoles, Value::Count(holes), field, folded);
            }
        }
        Field::BoltSpacing => {
            let holes = reading.count_of(Attribute::BoltHoles);
            // the cell's own word goes before the heading's
            let announced = !column.distance.is_empty() && settling_words(folded).is_none();
            let text = match announced {
                true => Cow::Owned(format!("{} {text}", column.distance)),
                false => text,
            };
            for spacing in read_spacing(&text, holes, Context::Column) {
                claim_spacing(&spacing, &text, field, reading);
            }
        }
        Field::Fastener => {
            for fastener in read_fastener(folded, Context::Column) {
                claim_fastener(&fastener, folded, field, reading);
            }
        }
        Field::HoleDiameter => read_length(&text, Attribute::HoleDiameter, field, reading),
        Field::Depth => read_length(&text, Attribute::Depth, field, reading),
        _ => {}
    }
}

/// The text of a cell, with the column's unit behind it when the cell has no letters of its own.
fn with_unit<'s>(folded: &'s str, unit: &str) -> Cow<'s, str> {
    let named = folded.contains(['"', '\'']) || folded.chars().any(char::is_alphabetic);
    if unit.is_empty() || named {
        Cow::Borrowed(folded)
    } else if LengthUnit::from_word(unit) == Some(LengthUnit::Inch) {
        // "4 in" alone may be "4 in 1"; here the heading has said what it is
        Cow::Owned(format!("{folded}\""))
    } else {
        Cow::Owned(format!("{folded} {unit}"))
    }
}

/// A column of engines or machines.
fn read_engines(vocabulary: &Vocabulary, field: Field, cell: &str, reading: &mut LineReading) {
    let scan = Scan::of(vocabulary, cell);
    if vocabulary.is_placeholder(&scan.folded) {
        return;
    }
    if field == Field::Fits {
        read_text_claims(vocabulary, &scan, About::Engines, field, reading);
        return;
    }
    let mut used = Vec::new();
    read_standard_codes(&scan, field, reading, &mut used);
    read_model_codes(vocabulary, &scan, About::Engines, field, reading, &mut used);
    for found in &scan.attributes {
        for meaning in vocabulary.lexicon.meanings(found) {
            if let Meaning::Family(at) = meaning {
                let name = vocabulary.families[usize::from(*at)].clone();
                reading.state(Attribute::FamilyCue, Value::Word(name), field, scan.text_of(found));
            }
        }
    }
}

/// A length such as "6.5 mm", "Ø 6,6", "1/4\"".
fn read_length(text: &str, attribute: Attribute, field: Field, reading: &mut LineReading) {
    let bare = text.trim_start_matches(|character: char| !character.is_ascii_digit() && character != '.');
    let end = bare.find(|character: char| !(character.is_ascii_digit() || ".,/- ".contains(character)));
    let (digits, rest) = bare.split_at(end.unwrap_or(bare.len()));
    let unit_word: &str = rest.split_whitespace().next().unwrap_or("mm");
    let unit = LengthUnit::from_word(unit_word.trim_end_matches('.'));
    let (Some(number), Some(unit)) = (read_number(digits.trim(), Decimals::Unsure), unit) else {
        return;
    };
    let length = Interval::around(number.value, number.half_ulp).times(unit.mm());
    reading.state(attribute, Value::OneOf(vec![length]), field, text);
}

/// A cell of colours: "red", "schwarz/gelb".
fn read_colours(vocabulary: &Vocabulary, scan: &Scan, reading: &mut LineReading) {
    for found in &scan.attributes {
        for meaning in vocabulary.lexicon.meanings(found) {
            if let Meaning::Attribute {
                attribute: Attribute::Colour,
                value,
            } = *meaning
            {
                let word = Value::Word(vocabulary.values[usize::from(value)].clone());
                reading.state(Attribute::Colour, word, Field::Colour, scan.text_of(found));
            }
        }
    }
}

/// A cell such as "2 steel", "2", "zwei Stahlklinken".
fn read_pawls(vocabulary: &Vocabulary, scan: &Scan, field: Field, reading: &mut LineReading) {
    for token in &scan.tokens {
        if token.class == Class::Number
            && let Ok(count @ 1..=6) = token.text(&scan.folded).parse::<u8>()
        {
            reading.state(Attribute::Pawls, Value::Count(count), field, &scan.folded);
            break;
        }
    }
    for found in &scan.attributes {
        for meaning in vocabulary.lexicon.meanings(found) {
            match *meaning {
                Meaning::Attribute {
                    attribute: Attribute::Pawls,
                    value,
                } => {
                    let word = vocabulary.values[usize::from(value)].clone();
                    reading.claim(
                        Attribute::Pawls,
                        Value::Word(word),
                        Provenance::Stated,
                        field,
                        scan.text_of(found),
                    );
                }
                Meaning::Numeral(count) if reading.count_of(Attribute::Pawls).is_none() => {
                    reading.state(Attribute::Pawls, Value::Count(count), field, &scan.folded);
                }
                _ => {}
            }
        }
    }
}
