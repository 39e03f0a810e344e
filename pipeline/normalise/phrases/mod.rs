//! Noun phrases of a text: where each begins and ends, and what joins it to the others.
//!
//! A text is read token by token. Punctuation, numbers and small words end a phrase; one unknown word inside it does
//! not. "With" and "without" hold for the list that follows them, "for" until the text turns back to the item (a dash,
//! a closing bracket, "with", "+"). Nothing is decided here about which phrase names the item.
//!
//! Order inside the folder, lowest first: `phrase` (what comes out), `parser` (nouns and the phrases they form),
//! `small_words` (what ends and joins these), `beside` (what stands beside a noun and only says what it is like).

mod beside;
mod parser;
mod phrase;
mod small_words;

pub use phrase::{Link, Phrase, Phrases, Region, Term};

use super::scan::Scan;
use super::tokens::Class;
use super::vocabulary::Vocabulary;
use beside::{is_engine_amount, is_remark_of_completeness};
use parser::{Parser, Script};

/// Reads the phrases of a text.
pub fn read_phrases(vocabulary: &Vocabulary, scan: &Scan) -> Phrases {
    let mut parser = Parser::new();
    let mut things = scan.things.iter().peekable();
    let mut at = 0;
    while at < scan.tokens.len() {
        match things.next_if(|found| found.first as usize == at) {
            Some(found) if parser.describes(vocabulary, scan, found) => at = found.end as usize,
            Some(found) if is_remark_of_completeness(vocabulary, scan, found) => at = found.end as usize,
            Some(found) => {
                parser.join_by_letter(vocabulary, scan, at, found);
                let script = match scan.tokens[at].class {
                    Class::Ideograph => Script::Ideographs,
                    _ => Script::Letters,
                };
                parser.thing(*found, vocabulary.lexicon.meanings(found), script);
                at = found.end as usize;
            }
            None => {
                if is_engine_amount(scan, at) {
                    parser.amount();
                }
                parser.other(scan, at);
                at += 1;
            }
        }
    }
    parser.set_apart(vocabulary, scan);
    let Parser {
        terms,
        phrases,
        complete,
        parts,
        unknown_before_for,
        ..
    } = parser;
    Phrases {
        terms,
        list: phrases,
        complete,
        parts,
        unknown_before_for,
    }
}
