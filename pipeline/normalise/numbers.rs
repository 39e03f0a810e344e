//! Part numbers: from their columns, and from tokens of titles that look like one.
//!
//! A number that a spreadsheet has damaged, and a filler such as "N/A" or "0000", is kept as written and is not usable:
//! nothing may be matched on it. A list in one cell is split; a slash splits only where both sides could stand alone.

use std::ops::Range;

use compact_str::{CompactString, ToCompactString};

use super::chunks::chunks;
use super::line_reading::LineReading;
use super::offer::{Flag, NumberRole, PartNumber};
use super::scan::Scan;
use super::vocabulary::Vocabulary;
use crate::trade::damage::{Damage, spot_damage};
use crate::trade::folding::fold;
use crate::trade::identifier::{canonical_number, looks_like_part_number, shape};

/// Shortest canonical number that may be matched on.
const SHORTEST_USABLE: usize = 3;
/// Shortest side of a slash for it to separate two numbers ("A-1042/B-1077", not "1042/2").
const SHORTEST_BESIDE_SLASH: usize = 4;
/// Fewest digits of such a side where no space stands beside the slash.
const FEWEST_DIGITS_BESIDE_SLASH: usize = 4;
/// Longest token of a title that is looked at as a number, in bytes.
const LONGEST_TOKEN: usize = 40;

/// Reads a cell that holds one number.
pub fn read_number_cell(vocabulary: &Vocabulary, cell: &str, role: NumberRole, reading: &mut LineReading) {
    let cell = cell.trim();
    if cell.is_empty() {
        return;
    }
    let number = judge(vocabulary, cell, role, reading);
    reading.number(number);
}

/// Reads a cell that may hold several numbers, separated by `, ; / |`, line ends or the profile's separators.
pub fn read_number_list(
    vocabulary: &Vocabulary,
    cell: &str,
    separators: &[String],
    role: NumberRole,
    reading: &mut LineReading,
) {
    // "4,00638E+12" is one damaged number, not two
    if vocabulary.is_placeholder(cell) || spot_damage(cell) == Some(Damage::ScientificNotation) {
        return read_number_cell(vocabulary, cell, role, reading);
    }
    if !separators.is_empty() {
        let mut parts = vec![cell];
        for separator in separators.iter().filter(|separator| !separator.is_empty()) {
            parts = parts
                .into_iter()
                .flat_map(|part| part.split(separator.as_str()))
                .collect();
        }
        for part in parts {
            read_number_cell(vocabulary, without_label(vocabulary, part), role, reading);
        }
        return;
    }
    for part in cell.split([',', ';', '|', '\n', '\r', '、', '；', '，']) {
        for piece in split_slash(part) {
            read_number_cell(vocabulary, without_label(vocabulary, piece), role, reading);
        }
    }
}

/// The sides of a slash, where each could be a number; else the whole.
fn split_slash(part: &str) -> Vec<&str> {
    let sides: Vec<&str> = part.split('/').map(str::trim).collect();
    let alone = |side: &&str| side.len() >= SHORTEST_BESIDE_SLASH && side.bytes().any(|byte| byte.is_ascii_digit());
    // "ZP694/20-OR" is one number: without a space, both sides must be numbers of their own, or built alike
    let spaced = part.contains(" /") || part.contains("/ ");
    let whole = |side: &&str| side.bytes().filter(u8::is_ascii_digit).count() >= FEWEST_DIGITS_BESIDE_SLASH;
    let alike = || sides.windows(2).all(|pair| shape(pair[0]) == shape(pair[1]));
    if sides.len() > 1 && sides.iter().all(alone) && (spaced || sides.iter().all(whole) || alike()) {
        sides
    } else {
        vec![part]
    }
}

/// A number without a word such as "OEM" or "replaces" in front.
fn without_label<'p>(vocabulary: &Vocabulary, part: &'p str) -> &'p str {
    let part = part.trim().trim_matches(['"', '(', ')']);
    let Some(at) = part.find(char::is_whitespace) else {
        return part;
    };
    let label = part[..at].trim_end_matches([':', '.']);
    let has_digit = label.bytes().any(|byte| byte.is_ascii_digit());
    let known = !has_digit && vocabulary.lexicon.knows(&fold(label));
    if known {
        part[at..].trim_start_matches([' ', ':', '#'])
    } else {
        part
    }
}

fn judge(vocabulary: &Vocabulary, cell: &str, role: NumberRole, reading: &mut LineReading) -> PartNumber {
    let raw = CompactString::from(cell);
    let mut text = cell;
    let mut usable = true;
    match spot_damage(cell) {
        None | Some(Damage::LostZero) => {}
        Some(Damage::LeadingQuote) => text = cell.trim_start_matches(['\'', '’', '‘']),
        Some(_) => {
            usable = false;
            reading.flag(Flag::IdentifierDamaged);
        }
    }
    if vocabulary.is_placeholder(text) {
        return PartNumber {
            role,
            canonical: CompactString::default(),
            raw,
            usable: false,
        };
    }
    let canonical = canonical_number(text);
    usable &= is_distinctive(&canonical);
    PartNumber {
        role,
        canonical,
        raw,
        usable,
    }
}

/// Whether a canonical number can tell one part from another: long enough, with a digit, not one character repeated.
fn is_distinctive(canonical: &str) -> bool {
    let mut bytes = canonical.bytes();
    let Some(first) = bytes.next() else { return false };
    canonical.len() >= SHORTEST_USABLE
        && canonical.bytes().any(|byte| byte.is_ascii_digit())
        && bytes.any(|byte| byte != first)
}

/// Reads the chunks of a text that look like part numbers, outside the spans that are already read. Behind a word for
/// "replaces" they are numbers the part replaces.
pub fn read_title_numbers(vocabulary: &Vocabulary, scan: &Scan, used: &[Range<usize>], reading: &mut LineReading) {
    if !scan.has_digits {
        return;
    }
    for chunk in chunks(vocabulary, scan) {
        let text = &scan.folded[chunk.span.clone()];
        let free = !used
            .iter()
            .any(|used| used.start < chunk.span.end && chunk.span.start < used.end);
        if !free || !(chunk.spaced || is_candidate(text, chunk.role)) {
            continue;
        }
        let canonical = canonical_number(text);
        if is_distinctive(&canonical) && !reading.has_number(&canonical) {
            let raw = text.to_uppercase().to_compact_string();
            reading.number(PartNumber {
                role: chunk.role,
                canonical,
                raw,
                usable: true,
            });
        }
    }
}

fn is_candidate(text: &str, role: NumberRole) -> bool {
    if text.len() > LONGEST_TOKEN || !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return false;
    }
    match role {
        NumberRole::InTitle => looks_like_part_number(text),
        // Behind a label anything long enough with digits is meant as a number.
        _ => text.len() >= 5 && text.bytes().filter(u8::is_ascii_digit).count() >= 3,
    }
}
