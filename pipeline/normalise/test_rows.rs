//! The small vocabulary of the tests: rows from a few cells, and what was read of them. All names are invented.

use std::sync::OnceLock;

use super::claim::{Attribute, Provenance, Value};
use super::normaliser::{Normaliser, Scope};
use super::offer::{Line, Offer};
use super::text::read_text;
use super::vocabulary::Vocabulary;
use crate::intake::field::Field;
use crate::intake::list::ListHead;
use crate::intake::rows::RowBatch;
use crate::intake::statements::Statements;
use crate::trade::numerals::Decimals;

pub fn vocabulary() -> &'static Vocabulary {
    static VOCABULARY: OnceLock<Vocabulary> = OnceLock::new();
    VOCABULARY.get_or_init(|| Vocabulary::built_in().unwrap())
}

/// A row given as (header, field, cell).
pub fn line_in(scope: Scope, decimals: Decimals, cells: &[(&str, Field, &str)]) -> Line {
    line_stating(Statements::default(), scope, decimals, cells)
}

/// The same in a list that states something of its prices outside its table.
pub fn line_stating(stated: Statements, scope: Scope, decimals: Decimals, cells: &[(&str, Field, &str)]) -> Line {
    let headers: Vec<&str> = cells.iter().map(|cell| cell.0).collect();
    let fields: Vec<Field> = cells.iter().map(|cell| cell.1).collect();
    let mut head = ListHead::plain("lists/quillbrook.csv", &headers, &fields);
    head.decimals = decimals;
    head.statements = stated;
    let batch = RowBatch::of(&[(7, cells.iter().map(|cell| cell.2).collect())]);
    Normaliser::new(vocabulary(), &head, scope).line(&batch.row(0))
}

pub fn offer_with(decimals: Decimals, cells: &[(&str, Field, &str)]) -> Offer {
    let mut all = vec![("Title", Field::Title, "Recoil starter")];
    all.extend_from_slice(cells);
    match line_in(Scope::Fit, decimals, &all) {
        Line::Offer(offer) => offer,
        other => panic!("no offer: {other:?}"),
    }
}

pub fn offer(cells: &[(&str, Field, &str)]) -> Offer {
    offer_with(Decimals::Point, cells)
}

pub fn titled(title: &str) -> Line {
    line_in(
        Scope::Fit,
        Decimals::Point,
        &[("SKU", Field::Sku, "A-1"), ("Title", Field::Title, title)],
    )
}

pub fn values(offer: &Offer, attribute: Attribute, field: Field) -> Vec<Value> {
    let of = offer
        .claims
        .iter()
        .filter(|claim| claim.attribute == attribute && claim.field == field);
    of.filter(|claim| claim.provenance == Provenance::Stated)
        .map(|claim| claim.value.clone())
        .collect()
}

pub fn words(title: &str, attribute: Attribute) -> Vec<String> {
    let reading = read_text(vocabulary(), title);
    let of = reading.claims.iter().filter(|claim| claim.attribute == attribute);
    of.filter_map(|claim| match &claim.value {
        Value::Word(word) | Value::Code(word) => Some(word.to_string()),
        _ => None,
    })
    .collect()
}

pub fn decimal(text: &str) -> rust_decimal::Decimal {
    text.parse().unwrap()
}
