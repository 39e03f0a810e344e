//! Where a person's word and the list say different things. The word is followed, and the difference is told: a word that
//! was right for last year's list may be wrong for this one.

use super::columns::Columns;
use super::field::Field;
use super::layout::{Layout, Leading};
use super::list::{ColumnMap, Note};
use super::profile::{PriceBasis, PricePer, PriceTerms};
use super::statements::Statements;
use crate::trade::currency::{Currency, read_currency, read_currency_mark};

/// The first lines as they were said to be, and as they look.
pub(super) fn in_layout(said: &Layout, seen: &Layout, notes: &mut Vec<Note>) {
    let headers = |layout: &Layout| layout.leading.iter().filter(|line| **line == Leading::Header).count();
    let before = |layout: &Layout| {
        layout
            .leading
            .iter()
            .take_while(|line| **line != Leading::Header)
            .count()
    };
    if headers(said) != headers(seen) {
        notes.push(Note::new(format!(
            "the header was read over {} rows as the profile says, though the list looks as if it had {}",
            headers(said),
            headers(seen)
        )));
    } else if headers(said) > 0 && before(said) != before(seen) {
        notes.push(Note::new(format!(
            "the header was taken after {} lines as the profile says, though the list looks as if it came after {}",
            before(said),
            before(seen)
        )));
    }
}

/// The prices as a person says they are, and as the headings and the text around the table have them.
pub(super) fn in_prices(
    said: &PriceTerms,
    stated: &Statements,
    columns: &Columns,
    mapped: &[ColumnMap],
    notes: &mut Vec<Note>,
) {
    if let Some(code) = said.currency.as_deref().and_then(read_currency) {
        let of_prices = mapped.iter().filter(|column| column.field == Field::Price);
        let headed = of_prices
            .filter_map(|column| currency_of(&column.header))
            .find(|found| *found != code);
        if let Some(found) = headed {
            tell(notes, "heads them", format!("in {code}"), found.to_string());
        } else if let Some(found) = stated.currency.filter(|found| *found != code) {
            tell(notes, "states", format!("in {code}"), found.to_string());
        }
        in_currency_column(code, columns, mapped, notes);
    }
    if let (Some(basis), Some(found)) = (said.basis, stated.basis)
        && basis != found
    {
        tell(
            notes,
            "states",
            basis_words(basis).to_string(),
            basis_words(found).to_string(),
        );
    }
    if let (Some(per), Some(found)) = (said.per, stated.per)
        && per != PricePer::Pieces(found)
    {
        let words = match per {
            PricePer::Pieces(pieces) => format!("per {pieces}"),
            PricePer::Pack => "per pack".to_string(),
        };
        tell(notes, "states", words, format!("per {found}"));
    }
}

fn tell(notes: &mut Vec<Note>, what: &str, said: String, found: String) {
    notes.push(Note::new(format!(
        "the profile says that prices are {said}, the list {what} {found}; the profile was followed"
    )));
}

/// A column of currencies is each line's own word, so it stands against the profile's; that is told as well.
fn in_currency_column(said: Currency, columns: &Columns, mapped: &[ColumnMap], notes: &mut Vec<Note>) {
    let column = mapped.iter().find(|column| column.field == Field::Currency);
    let other = column.and_then(|column| {
        let mut found = columns.values(column.index).filter_map(read_currency);
        found.find(|found| *found != said)
    });
    if let Some(other) = other {
        notes.push(Note::new(format!(
            "the profile says that prices are in {said}, but lines have {other} in their currency column; a line's own word stands"
        )));
    }
}

/// A currency named by its code or its sign in a heading.
fn currency_of(heading: &str) -> Option<Currency> {
    let words = heading.split(|letter: char| letter.is_whitespace() || "()[]/,:;.-_".contains(letter));
    let is_name = |word: &&str| {
        let code = word.len() == 3 && word.bytes().all(|byte| byte.is_ascii_uppercase());
        code || ["€", "£"].contains(word)
    };
    words
        .filter(is_name)
        .find_map(|word| read_currency_mark(word).map(|(currency, _)| currency))
}

fn basis_words(basis: PriceBasis) -> &'static str {
    match basis {
        PriceBasis::Net => "net",
        PriceBasis::Gross => "gross",
    }
}
