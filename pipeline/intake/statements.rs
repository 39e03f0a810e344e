//! What a list says of its prices outside its table: "Preise je Stück netto in EUR", "ceny netto w PLN, VAT 23%". Only
//! sentences that speak of prices are heard, only in the lines before the table and after it, and two that contradict
//! each other cancel out. An amount ("minimum order 50 EUR") names no currency of the list, nor does a word that
//! several currencies share; terms of payment ("30 days net") say nothing of tax. The words are those of
//! `schemas/words/price_statements.toml`.

use super::layout::Sampled;
use super::list::Note;
use super::price_sentence::Sentence;
use super::profile::PriceBasis;
use super::statement_words::StatementWords;
use crate::trade::money::{Currency, read_currency};
use serde::{Deserialize, Serialize};

/// Sentences longer than this are letters of terms, bytes.
const LONGEST_SENTENCE: usize = 400;

/// Where a statement stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StatedAt {
    /// Physical line, from 1; `None` for a line after the table.
    pub line: Option<u32>,
    /// The sentence, as written.
    pub text: String,
}

/// What a list states of all its prices.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Statements {
    /// The one currency named.
    pub currency: Option<Currency>,
    /// Pieces that a price is for: 1 for "per piece", 100 for "je 100 Stück". A pack column does not divide it further.
    pub per: Option<u32>,
    /// Net or gross.
    pub basis: Option<PriceBasis>,
    /// The sentences these were taken from, in the order of the list.
    pub stated_at: Vec<StatedAt>,
}

/// The statements of the lines before a table and of those after it.
pub(crate) fn stated<'r>(
    before: impl Iterator<Item = &'r Sampled>,
    after: impl Iterator<Item = &'r Sampled>,
    notes: &mut Vec<Note>,
) -> Statements {
    let line_of = |record: &Sampled| {
        let cells = record.cells.iter().map(|(text, _)| text.trim());
        let filled: Vec<&str> = cells.filter(|text| !text.is_empty()).collect();
        filled.join(", ")
    };
    let before = before.map(|record| (Some(record.line), line_of(record)));
    let lines = before.chain(after.map(|record| (None, line_of(record))));
    let mut found = Found::default();
    for (line, text) in lines {
        found.read_line(line, &text);
    }
    found.settled(notes)
}

/// Net or gross, as a heading or a cell beside a price says it; nothing when it says both.
pub fn basis_in(text: &str) -> Option<PriceBasis> {
    let bases = Sentence::of(StatementWords::built_in(), text).bases();
    let first = *bases.first()?;
    bases.iter().all(|basis| *basis == first).then_some(first)
}

/// The number of pieces that a price heading, or a cell beside a price, says the price is for; nothing when it says
/// several.
pub fn per_in(text: &str) -> Option<u32> {
    // "per 100 (EUR)": the currency behind the number says nothing of it
    let spaced = text.replace('/', " / ");
    let words = spaced.split(|letter: char| letter.is_whitespace() || "()[]".contains(letter));
    let bare: Vec<&str> = words
        .filter(|word| !word.is_empty() && read_currency(word).is_none())
        .collect();
    let sentence = Sentence::of(StatementWords::built_in(), &bare.join(" "));
    let mut found = sentence.per();
    if found.is_empty() && sentence.names_a_dozen() {
        found.push(12);
    }
    let first = *found.first()?;
    found.iter().all(|per| *per == first).then_some(first)
}

/// All that was stated, contradictions included.
#[derive(Default)]
struct Found {
    currencies: Vec<Currency>,
    per: Vec<u32>,
    bases: Vec<PriceBasis>,
    stated_at: Vec<StatedAt>,
}

impl Found {
    fn read_line(&mut self, line: Option<u32>, text: &str) {
        let words = StatementWords::built_in();
        for text in words.sentences(text) {
            if text.len() > LONGEST_SENTENCE {
                continue;
            }
            let sentence = Sentence::of(words, text);
            if !sentence.is_about_prices() {
                continue;
            }
            let (currencies, per, bases) = (sentence.currencies(), sentence.per(), sentence.bases());
            if currencies.is_empty() && per.is_empty() && bases.is_empty() {
                continue;
            }
            self.currencies.extend(currencies);
            self.per.extend(per);
            self.bases.extend(bases);
            let text = text.trim().to_string();
            self.stated_at.push(StatedAt { line, text });
        }
    }

    fn settled(mut self, notes: &mut Vec<Note>) -> Statements {
        let shown_basis = |basis: PriceBasis| match basis {
            PriceBasis::Net => "net".to_string(),
            PriceBasis::Gross => "gross".to_string(),
        };
        let currency = one(&mut self.currencies, "currency", |code| code.to_string(), notes);
        let per = one(&mut self.per, "number of pieces", |count| count.to_string(), notes);
        let basis = one(&mut self.bases, "price basis", shown_basis, notes);
        let mut said = Vec::new();
        said.extend(currency.map(|code| format!("in {code}")));
        said.extend(per.map(|count| match count {
            1 => "per piece".to_string(),
            _ => format!("per {count} pieces"),
        }));
        said.extend(basis.map(shown_basis));
        if !said.is_empty() {
            let quoted: Vec<String> = self
                .stated_at
                .iter()
                .map(|place| format!("\"{}\"", place.text))
                .collect();
            notes.push(Note {
                line: self.stated_at.iter().find_map(|place| place.line),
                message: format!("prices stated to be {}: {}", said.join(", "), quoted.join(", ")),
            });
        }
        Statements {
            currency,
            per,
            basis,
            stated_at: self.stated_at,
        }
    }
}

/// The one value stated; several cancel out, with a note.
fn one<T: Copy + PartialEq>(
    values: &mut Vec<T>,
    what: &str,
    shown: impl Fn(T) -> String,
    notes: &mut Vec<Note>,
) -> Option<T> {
    let mut distinct: Vec<T> = Vec::new();
    for value in values.drain(..) {
        if !distinct.contains(&value) {
            distinct.push(value);
        }
    }
    if distinct.len() > 1 {
        let texts: Vec<String> = distinct.into_iter().map(shown).collect();
        notes.push(Note::new(format!(
            "the text around the table states more than one {what} for the prices ({}); none was taken",
            texts.join(", ")
        )));
        return None;
    }
    distinct.pop()
}

#[cfg(test)]
#[path = "statements_tests.rs"]
mod tests;
