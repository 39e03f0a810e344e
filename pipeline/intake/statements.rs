//! What a list says of its prices outside its table: "Preise je Stück netto in EUR", "ceny netto w PLN, VAT 23%". Only
//! clauses that speak of prices are heard, only the text before the table and after it is looked at, and two that
//! contradict each other cancel out. An amount ("minimum order 50 EUR") names no currency of the list, nor does a word
//! that several currencies share (`$`, "kr"); terms of payment ("30 days net") say nothing of tax.

use super::profile::PriceBasis;
use crate::trade::money::Currency;

/// Where a statement stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatedAt {
    /// Physical line, from 1; `None` for a line counted from the end of a long list.
    pub line: Option<u32>,
    /// The clause, as written.
    pub text: String,
}

/// What a list states of all its prices.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Statements {
    /// The one currency named.
    pub currency: Option<Currency>,
    /// Pieces that a price is for: 1 for "per piece", 100 for "je 100 Stück". A pack column does not divide it further.
    pub per: Option<u32>,
    /// Net or gross.
    pub basis: Option<PriceBasis>,
    /// The clauses these were taken from, in the order of the list.
    pub stated_at: Vec<StatedAt>,
}
