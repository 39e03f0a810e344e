//! Of several columns that read like one field: which of them stands.

use super::super::field::Field;
use super::super::header_words::normalise;
use super::super::list::{ColumnMap, Note};
use crate::trade::money::read_currency;

/// What is left of the confidence of a price column that stands in for another.
const SECOND_PRICE: f32 = 0.5;

/// Whether several columns may hold this field.
fn may_repeat(field: Field) -> bool {
    matches!(
        field,
        Field::Mpn
            | Field::Replaces
            | Field::Title
            | Field::Description
            | Field::Category
            | Field::Fits
            | Field::EngineCode
            | Field::BoltSpacing
            | Field::Fastener
            | Field::Remark
            | Field::QuantityBreak
            | Field::Ignored
    )
}

/// Of several columns for one field the surest stands; of prices, the one a dealer pays.
pub(super) fn one_of_each(guesses: &mut Vec<ColumnMap>, notes: &mut Vec<Note>) {
    let mut kept: Vec<ColumnMap> = Vec::new();
    for guess in guesses.drain(..) {
        let rival = kept
            .iter_mut()
            .find(|known| known.field == guess.field && !may_repeat(guess.field));
        let Some(rival) = rival else {
            kept.push(guess);
            continue;
        };
        let in_another = rivals_in_another_currency(&guess, rival);
        let (winner, loser) = if rank(&guess) > rank(rival) {
            (guess, rival.clone())
        } else {
            (rival.clone(), guess)
        };
        let (taken, other) = (winner.header.trim(), loser.header.trim());
        if in_another {
            notes.push(Note::new(format!(
                "prices in two currencies: \"{taken}\" was taken, and \"{other}\" where it has none"
            )));
            *rival = winner;
            kept.push(ColumnMap {
                confidence: loser.confidence * SECOND_PRICE,
                ..loser
            });
            continue;
        }
        notes.push(Note::new(format!(
            "two columns read like `{}`: \"{taken}\" was taken, \"{other}\" left aside",
            winner.field
        )));
        *rival = winner;
        kept.push(ColumnMap {
            field: Field::Ignored,
            confidence: 0.0,
            ..loser
        });
    }
    *guesses = kept;
}

/// Two columns of prices whose headings name one currency each, and not the same.
fn rivals_in_another_currency(one: &ColumnMap, other: &ColumnMap) -> bool {
    let named = |column: &ColumnMap| {
        let words = column
            .header
            .split(|letter: char| letter.is_whitespace() || "()[]/.,:".contains(letter));
        words.filter(|word| !word.is_empty()).find_map(read_currency)
    };
    one.field == Field::Price && matches!((named(one), named(other)), (Some(one), Some(other)) if one != other)
}

/// Surer first; among prices net before gross, and both before list prices for the public.
fn rank(guess: &ColumnMap) -> (u8, u32) {
    let header = normalise(&guess.header);
    let has = |words: &[&str]| header.split(' ').any(|word| words.contains(&word));
    let kind = if guess.field != Field::Price {
        1
    } else if has(&[
        "net",
        "netto",
        "ht",
        "dealer",
        "trade",
        "ek",
        "your",
        "neto",
        "haendlerpreis",
        "handlerpreis",
        "hurtowa",
    ]) {
        2
    } else if has(&[
        "rrp",
        "msrp",
        "uvp",
        "list",
        "retail",
        "gross",
        "brutto",
        "ttc",
        "public",
        "pvp",
        "catalogue",
        "listenpreis",
        "detaliczna",
    ]) {
        0
    } else {
        1
    };
    (kind, (guess.confidence * 1000.0) as u32)
}
