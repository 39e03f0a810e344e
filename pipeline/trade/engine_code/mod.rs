//! Bore-based engine designations: `168F`, `188FE`, `1P70F`, `2V78F-2`, `1E40F-5`, `QM168FD`.
//!
//! The national standard GB/T 725-2008 builds a designation from the cylinder count, the
//! arrangement (none in-line or single, V, P flat), a stroke symbol (E two-stroke, value from
//! memory), the bore in whole millimetres and F for air-cooled; `/P` marks petrol (value from
//! memory) and a hyphen sets off the variant. The three digits of `168F` are one cylinder and a
//! bore of 68 mm: never 168 mm and never 168 cc.
//!
//! Refused: bores below 35 mm (`100F` is a temperature; 25 mm with a symbol, `1E34F`), three or more cylinders without an
//! arrangement symbol, and letters behind a spaced F that make another word (`168 fan`).
//! A letter in front may be a maker's series; it is kept apart and never part of the code.
//!
//! Order inside the folder, lowest first: `designation` (what comes out), `grammar` (one code), `shorthand` (codes that
//! lean on another).

mod designation;
mod grammar;
mod shorthand;

pub use super::model_code::{CodeToken, Letters, Spelled, read_code_tokens, read_number_codes};
pub use designation::{EngineCode, Fuel, Layout, StrokeCycle};

use grammar::{code_at, start_of_word};
use shorthand::{codes_in_front, shorthand_behind};

/// Finds the designations of a folded text, in order. Shorthand is written out: `168F-1/-2` is
/// two codes, `168/170F` too; their spans cover the part they were read from.
pub fn read_codes(folded: &str) -> Vec<EngineCode> {
    let bytes = folded.as_bytes();
    if memchr::memchr(b'f', bytes).is_none() {
        return Vec::new();
    }
    let mut codes = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        if !bytes[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let found = start_of_word(folded, at).and_then(|start| code_at(folded, start, at));
        match found {
            Some((code, end)) => {
                codes.extend(codes_in_front(folded, &code));
                let template = code.clone();
                codes.push(code);
                at = shorthand_behind(folded, end, &template, &mut codes);
            }
            None => {
                while bytes.get(at).is_some_and(u8::is_ascii_digit) {
                    at += 1;
                }
            }
        }
    }
    codes
}

#[cfg(test)]
mod tests;
