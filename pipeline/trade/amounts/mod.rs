//! Lists and ranges of numbers that share a unit: `163/196/212cc`, `5.5, 6.5 & 7 HP`,
//! `from 163 to 212 cc`, `163cc-212cc`.
//!
//! An *amount* is such a chain together with the unit that closes it. The scan runs once over
//! the text and looks at every number once; a chain that no unit closes is passed over whole,
//! so a text of numbers costs no more than its length. A number glued behind a letter (`kr200`)
//! belongs to a code and starts no chain; one glued before a letter that is no unit (`168f`)
//! ends it. Fractions are not looked for: `13/16 hp` lists two engines.

//!
//! Order inside the folder, lowest first: `amount` (what comes out), `separators` and `codes`, `chain`.

mod amount;
mod chain;
mod codes;
mod separators;

pub use amount::{Amount, Glue, Joined, UnitAt};

use super::numerals::lex_decimal;
use chain::{read_chain, unit_after};
use codes::{continues_code, next_number};

/// Finds the amounts of a folded text. `bare` is the unit of numbers without one; give it only
/// where the text is a cell whose column says what the numbers are.
pub fn find_amounts<U: Copy + PartialEq>(text: &str, unit_at: UnitAt<U>, bare: Option<U>) -> Vec<Amount<U>> {
    let mut amounts = Vec::new();
    let mut at = 0;
    while let Some(start) = next_number(text, at) {
        if continues_code(text, start) && !closes_at_once(text, start, unit_at) {
            at = lex_decimal(text, start).map_or(start + 1, |lexed| lexed.end);
            continue;
        }
        let (chain, end) = read_chain(text, start, unit_at);
        at = end.max(start + 1);
        amounts.extend(chain.close(text, bare));
    }
    amounts
}

/// Whether the number at `start` has a unit of its own: the 196 of `kr200/196cc`.
fn closes_at_once<U>(text: &str, start: usize, unit_at: UnitAt<U>) -> bool {
    lex_decimal(text, start).is_some_and(|lexed| unit_after(text, &lexed, unit_at).0.is_some())
}

#[cfg(test)]
mod tests;
