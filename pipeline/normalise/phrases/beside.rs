//! What stands beside a noun and only says what it is like, or how large: pawls of metal, screws M6, 6.5 hp.

use super::parser::Parser;
use super::phrase::{Link, Region, Term};
use crate::normalise::claim::Attribute;
use crate::normalise::scan::Scan;
use crate::normalise::tokens::Class;
use crate::normalise::vocabulary::Vocabulary;
use crate::normalise::vocabulary::lexicon::Found;
use crate::normalise::vocabulary::meaning::{Grammar, Meaning};
use crate::trade::units::{PowerUnit, VolumeUnit};

/// Name of the kind of screws.
const SCREWS: &str = "screws";

impl Parser {
    /// Whether a part only says what the item before it is like: "lanceur cliquets métal" has pawls of metal.
    pub(super) fn describes(&self, vocabulary: &Vocabulary, scan: &Scan, found: &Found) -> bool {
        let item = self.terms.iter().find(|_| self.region == Region::Item);
        let in_scope = |item: &Term| {
            let kind = vocabulary.strongest_kind(&item.found);
            kind.is_some_and(|(kind, _)| kind.is_in_scope())
        };
        let of_item = item.is_some_and(|item| vocabulary.is_part_of(found, &item.found));
        let counted = |meaning: &Meaning| match *meaning {
            Meaning::Attribute { attribute, .. } | Meaning::Counts(attribute) => attribute == Attribute::Pawls,
            _ => false,
        };
        let described = |other: &Found| {
            let covers = other.first <= found.first && other.end >= found.end;
            let more = other.end - other.first > 1 || number_before(scan, other.first);
            covers && more && vocabulary.lexicon.meanings(other).iter().any(counted)
        };
        let like = scan.attributes.iter().any(described) && is_plural(scan.text(found.end as usize - 1));
        let screw = self.open && self.gap <= 1 && is_sized_screw(vocabulary, scan, found);
        like && item.is_some_and(in_scope) || of_item && (like || screw)
    }

    /// Marks the phrases of one noun that stand alone behind a dash or a colon: "Recoil starter - spring".
    pub(super) fn set_apart(&mut self, vocabulary: &Vocabulary, scan: &Scan) {
        let is_for = |found: &Found| {
            let mut meanings = vocabulary.lexicon.meanings(found).iter();
            meanings.any(|meaning| matches!(meaning, Meaning::Grammar(Grammar::For)))
        };
        for phrase in &mut self.phrases {
            let [term] = &self.terms[phrase.start..phrase.end] else {
                continue;
            };
            let first = term.found.first as usize;
            let ended = ends_behind(scan, &term.found)
                || scan
                    .things
                    .iter()
                    .any(|found| found.first == term.found.end && is_for(found));
            let opened = first
                .checked_sub(1)
                .is_some_and(|at| matches!(scan.text(at), "-" | ":"));
            phrase.set_apart = opened && ended && phrase.link == Link::None && phrase.region == Region::Item;
        }
    }
}

/// Whether the text ends, or a sign stands, directly behind a term.
fn ends_behind(scan: &Scan, found: &Found) -> bool {
    let next = scan.tokens.get(found.end as usize);
    next.is_none_or(|token| token.class == Class::Symbol)
}

/// Whether a word for "complete" stands alone between dashes: it says that nothing is missing, not what is in the box.
pub(super) fn is_remark_of_completeness(vocabulary: &Vocabulary, scan: &Scan, found: &Found) -> bool {
    let mut meanings = vocabulary.lexicon.meanings(found).iter();
    let complete = meanings.any(|meaning| matches!(meaning, Meaning::Grammar(Grammar::Complete)));
    let dash = found
        .first
        .checked_sub(1)
        .is_some_and(|at| scan.text(at as usize) == "-");
    complete && dash && ends_behind(scan, found)
}

/// Whether screws are named by their size alone, "vis M6", "bolts 1/4-20": a note on what holds the item. Screws with a
/// length, "M6x20", may be what is sold.
fn is_sized_screw(vocabulary: &Vocabulary, scan: &Scan, found: &Found) -> bool {
    let kind = vocabulary
        .strongest_kind(found)
        .map(|(kind, _)| vocabulary.kind_name(kind));
    let next = found.end as usize;
    let thread = scan.text(next).strip_prefix('m').is_some_and(|size| {
        let (size, pitch) = size.split_once('x').unwrap_or((size, "1"));
        size.parse::<u8>().is_ok() && pitch == "1"
    });
    let times = matches!(scan.text(next + 1), "x" | "*");
    let fraction =
        scan.tokens.get(next).is_some_and(|token| token.class == Class::Number) && scan.text(next + 1) == "/";
    kind == Some(SCREWS) && (thread && !times || fraction)
}

/// Whether an amount of an engine stands at a token: "6.5hp", "6,5 CV", "196 cc".
pub(super) fn is_engine_amount(scan: &Scan, at: usize) -> bool {
    let token = scan.tokens[at];
    let text = token.text(&scan.folded);
    let unit = match token.class {
        Class::Number => scan.text(at + 1),
        Class::Mixed => text.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',')),
        _ => return false,
    };
    PowerUnit::from_word(unit).is_some() || VolumeUnit::from_word(unit).is_some()
}

fn number_before(scan: &Scan, token: u32) -> bool {
    let before = token.checked_sub(1).and_then(|before| scan.tokens.get(before as usize));
    before.is_some_and(|token| token.class == Class::Number)
}

/// Whether a word for pawls may stand for several of them, by its last letter: pawls, Klinken, nottolini, hakar, západky.
fn is_plural(word: &str) -> bool {
    word.ends_with(['s', 'n', 'i', 'r', 'y', 'и']) || !word.is_ascii() && word.ends_with('爪')
}
