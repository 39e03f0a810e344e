//! The dialects that are tried: delimiters `,` `;` tab `|` space, and `, ` (a comma whose space belongs to it); quotes `"`
//! and `'` or none; a quote inside a quoted cell doubled, after a backslash, or bare. Each stands in the order of how usual
//! it is, only what the text holds is tried, and what a person has said is tried alone.

use super::super::list::{Delimiter, Escape};
use super::Fixed;

/// Delimiters to try.
pub(super) fn delimiters(text: &[u8], fixed: Fixed) -> Vec<Delimiter> {
    if let Some(delimiter) = fixed.delimiter {
        return vec![delimiter];
    }
    let mut found = Vec::new();
    for byte in [b',', b';', b'\t', b'|', b' '] {
        if memchr::memchr(byte, text).is_some() {
            found.push(Delimiter::Byte(byte));
        }
    }
    for byte in [b',', b';', b'|'] {
        if usually_spaced(byte, text) {
            found.push(Delimiter::ByteAndSpace(byte));
        }
    }
    found.push(Delimiter::None);
    found
}

/// Whether nearly every delimiter is followed by a space or ends its line.
fn usually_spaced(byte: u8, text: &[u8]) -> bool {
    let (mut spaced, mut bare) = (0u32, 0u32);
    for place in memchr::memchr_iter(byte, text) {
        match text.get(place + 1) {
            Some(b' ') => spaced += 1,
            None | Some(b'\n' | b'\r') => {}
            Some(_) => bare += 1,
        }
    }
    spaced > 0 && bare <= spaced / 50
}

/// Quotes to try; `None` is a list without any.
pub(super) fn quotes(text: &[u8], fixed: Fixed) -> Vec<Option<u8>> {
    if let Some(quote) = fixed.quote {
        return vec![quote];
    }
    let mut found = vec![Some(b'"')];
    if memchr::memchr(b'\'', text).is_some() {
        found.push(Some(b'\''));
    }
    if memchr::memchr(b'"', text).is_some() {
        found.push(None);
    }
    found
}

/// Ways to try in which a quote stands inside a quoted cell.
pub(super) fn escapes(text: &[u8], quote: Option<u8>, fixed: Fixed) -> Vec<Escape> {
    match (fixed.escape, quote) {
        (Some(escape), _) => vec![escape],
        (None, None) => vec![Escape::Doubled],
        (None, Some(quote)) => {
            let mut found = vec![Escape::Doubled];
            if memchr::memmem::find(text, &[b'\\', quote]).is_some() {
                found.push(Escape::Byte(b'\\'));
            }
            found.push(Escape::None);
            found
        }
    }
}
