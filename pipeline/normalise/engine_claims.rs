//! Engine claims from a text: designations of the national standard, makers' model codes with the brand in front, and
//! what a designation decodes to.
//!
//! A model code is a bunch of letters and digits and nothing more; whether it is one is judged by where it stands (a
//! column of engines, behind "for", behind a word that may be a brand). No list of brands is used. A code with a brand
//! directly in front becomes `brand:CODE`; a later code of the same letters in the same list takes the same brand.

use std::ops::Range;

use compact_str::{CompactString, format_compact};

use super::chunks::labelled;
use super::claim::{Attribute, Provenance, Value, cue};
use super::line_reading::LineReading;
use super::scan::Scan;
use super::tokens::Class;
use super::vocabulary::Vocabulary;
use super::vocabulary::meaning::{Grammar, Meaning};
use crate::intake::field::Field;
use crate::trade::engine_code::{
    CodeToken, EngineCode, Letters, Spelled, StrokeCycle, read_code_tokens, read_codes, read_number_codes,
};
use crate::trade::interval::Interval;
use crate::trade::swept_volume::usual_volumes;

/// A volume that a designation decodes to is known to this share of itself: the rounding of trade names
/// (340 for 337, 200 for 196) stays within 2 %. Common practice, no source.
const SHARE_OF_DECODED: f64 = 0.02;
/// Longest code taken from a title in which nothing else says that it is an engine's.
const LONGEST_BARE_CODE: usize = 6;
/// Shortest word that may be a brand.
const SHORTEST_BRAND: usize = 3;

/// Whether a text is about engines only, or a title in which an engine may be named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// A column of engines.
    Engines,
    /// Running text.
    Part,
}

/// Reads designations of the national standard; their spans are added to `used`.
pub fn read_standard_codes(scan: &Scan, field: Field, reading: &mut LineReading, used: &mut Vec<Range<usize>>) {
    if !scan.has_digits {
        return;
    }
    for code in read_codes(&scan.folded) {
        let text = &scan.folded[code.span.clone()];
        reading.state(Attribute::EngineCode, Value::Code(code.canonical.clone()), field, text);
        decode(&code, field, text, reading);
        used.push(code.span);
    }
}

/// What a designation says beyond its name.
fn decode(code: &EngineCode, field: Field, text: &str, reading: &mut LineReading) {
    let builds = usual_volumes(&code.stem);
    if !builds.is_empty() && code.cylinders == 1 {
        let volumes = builds
            .iter()
            .map(|build| Interval::around(build.cc, build.cc * SHARE_OF_DECODED))
            .collect();
        reading.claim(
            Attribute::Displacement,
            Value::OneOf(volumes),
            Provenance::Decoded,
            field,
            text,
        );
    }
    let mut family = |word: &str| {
        reading.claim(
            Attribute::FamilyCue,
            Value::Word(word.into()),
            Provenance::Decoded,
            field,
            text,
        );
    };
    if code.cylinders >= 2 {
        family(cue::TWIN);
    }
    if code.stroke_cycle == StrokeCycle::Two {
        family(cue::TWO_STROKE);
    }
    if code.has_vertical_shaft() {
        family(cue::VERTICAL_SHAFT);
        reading.claim(
            Attribute::ShaftOrientation,
            Value::Word("vertical".into()),
            Provenance::Decoded,
            field,
            text,
        );
    }
}

/// Reads makers' model codes; their spans are added to `used`.
pub fn read_model_codes(
    vocabulary: &Vocabulary,
    scan: &Scan,
    about: About,
    field: Field,
    reading: &mut LineReading,
    used: &mut Vec<Range<usize>>,
) {
    if !scan.has_digits {
        return;
    }
    let behind_for = match about {
        About::Engines => Some(0),
        About::Part => end_of_for(vocabulary, scan),
    };
    let mut last_branded: Option<(CompactString, CompactString)> = None;
    let taken = used.len();
    let numbered = labelled(vocabulary, scan);
    for code in read_code_tokens(&scan.folded) {
        if used[..taken]
            .iter()
            .any(|span| span.start < code.span.end && code.span.start < span.end)
            || numbered.iter().any(|number| is_piece_of(&code, number))
        {
            continue;
        }
        let letters = letters_of(&code.canonical);
        if letters.is_empty() || vocabulary.not_codes.contains(letters.to_ascii_lowercase().as_str()) {
            continue;
        }
        let named = brand_before(vocabulary, scan, code.span.start);
        let placed = behind_for.is_some_and(|from| code.span.start >= from);
        let bare = behind_for.is_none() && letters.len() >= 2 && is_short_bare(&code);
        if about == About::Part && !placed && named.is_none() && !bare {
            continue;
        }
        let brand = match named {
            Some(brand) => Some(CompactString::from(brand)),
            None => last_branded
                .as_ref()
                .filter(|(of, _)| of.as_str() == letters)
                .map(|(_, brand)| brand.clone()),
        };
        if code.letters == Letters::Label && (brand.is_none() || !placed) {
            continue;
        }
        state_code(&code, brand.as_deref(), &scan.folded, field, reading);
        if let Some(brand) = brand {
            last_branded = Some((CompactString::from(letters), brand));
        }
        used.push(code.span);
    }
    read_model_numbers(vocabulary, scan, behind_for, field, reading, used);
}

/// Reads model numbers without letters, which only a brand makes one: "Corvale 130202, 62330" in a column of engines or
/// behind "for". A number next to one of a brand is of that brand.
fn read_model_numbers(
    vocabulary: &Vocabulary,
    scan: &Scan,
    behind_for: Option<usize>,
    field: Field,
    reading: &mut LineReading,
    used: &mut Vec<Range<usize>>,
) {
    let Some(from) = behind_for else { return };
    let mut last: Option<(usize, CompactString)> = None;
    let taken = used.len();
    for code in read_number_codes(&scan.folded) {
        let read = used[..taken]
            .iter()
            .any(|span| span.start < code.span.end && code.span.start < span.end);
        if read || code.span.start < from {
            continue;
        }
        let follows = |end: &usize| {
            scan.folded[*end..code.span.start]
                .trim_matches([' ', ',', '/', ';', '&'])
                .is_empty()
        };
        let brand = match brand_before(vocabulary, scan, code.span.start) {
            Some(brand) => CompactString::from(brand),
            None => match last.take() {
                Some((end, brand)) if follows(&end) => brand,
                _ if field == Field::EngineCode => {
                    state_code(&code, None, &scan.folded, field, reading);
                    continue;
                }
                _ => continue,
            },
        };
        state_code(&code, Some(&brand), &scan.folded, field, reading);
        last = Some((code.span.end, brand));
        used.push(code.span);
    }
}

fn state_code(code: &CodeToken, brand: Option<&str>, folded: &str, field: Field, reading: &mut LineReading) {
    let text = &folded[code.span.clone()];
    match brand {
        Some(brand) => {
            let key = format_compact!("{brand}:{}", code.canonical);
            reading.state(Attribute::EngineCode, Value::Code(key), field, text);
            reading.state(Attribute::Brand, Value::Word(brand.into()), field, brand);
        }
        None => reading.state(Attribute::EngineCode, Value::Code(code.canonical.clone()), field, text),
    }
}

/// Whether a code is a piece of a number that stands behind a label, "replaces OEM RK-1124-72", or all of one that is
/// longer than an engine's code.
fn is_piece_of(code: &CodeToken, number: &Range<usize>) -> bool {
    let within = number.start <= code.span.start && code.span.end <= number.end;
    let digits = code.canonical.bytes().filter(u8::is_ascii_digit).count();
    within && (*number != code.span || digits > 3)
}

fn letters_of(canonical: &str) -> &str {
    let end = canonical
        .bytes()
        .position(|byte| !byte.is_ascii_alphabetic())
        .unwrap_or(canonical.len());
    &canonical[..end]
}

fn is_short_bare(code: &CodeToken) -> bool {
    let digits = code.canonical.bytes().filter(u8::is_ascii_digit).count();
    code.spelled == Spelled::Glued && code.canonical.len() <= LONGEST_BARE_CODE && (2..=3).contains(&digits)
}

/// First byte behind the first "for" of a title.
fn end_of_for(vocabulary: &Vocabulary, scan: &Scan) -> Option<usize> {
    let is_for = |meaning: &Meaning| matches!(meaning, Meaning::Grammar(Grammar::For));
    let found = scan
        .things
        .iter()
        .find(|found| vocabulary.lexicon.meanings(found).iter().any(is_for))?;
    Some(scan.span_of(found).end)
}

/// The word before a byte, when it may be a brand: letters only, unknown to the vocabulary. A colon and one word such as
/// "model" may stand between: "Corvale: KR200", "Corvale model KR200".
fn brand_before<'s>(vocabulary: &Vocabulary, scan: &'s Scan, byte: usize) -> Option<&'s str> {
    let mut at = scan
        .tokens
        .partition_point(|token| (token.start as usize) < byte)
        .checked_sub(1)?;
    let mut byte = byte;
    for between in [":", "model"] {
        let token = scan.tokens[at];
        let word = token.text(&scan.folded);
        let passes = match between {
            ":" => word == ":",
            _ => token.class == Class::Word && vocabulary.not_brands.contains(word),
        };
        if passes && token.end as usize + 1 >= byte {
            byte = token.start as usize;
            at = at.checked_sub(1)?;
        }
    }
    let token = scan.tokens[at];
    let word = token.text(&scan.folded);
    let plain = token.class == Class::Word
        && word.len() >= SHORTEST_BRAND
        && scan.words[at].is_unknown()
        && (token.end as usize) + 1 >= byte
        && !vocabulary.not_brands.contains(word);
    plain.then_some(word)
}
