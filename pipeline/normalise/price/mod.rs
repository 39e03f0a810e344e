//! Price of a line: exact decimal, currency, what the amount buys, quantity breaks and the smallest order.
//!
//! A price that cannot be read is no reason to lose the line: it becomes a remark. The user's word (profile) goes
//! before what the header says, the header before the list's preamble, the cell before a column of currencies.
//!
//! A price is divided by a pack only where something says that it is the pack's: the cell ("9.90/10 pcs"), the price
//! heading, the profile, the unit of sale, or a pack column and a title that name the same pack. An order multiple
//! (VPE) never divides. Where a pack is named and nothing says what the price is of, the price counts as one of the
//! piece and the line says so: the other reading could make a part look cheaper than it is, and that part would lead
//! every list of the cheapest.
//!
//! Order inside the folder, lowest first: `headings`, `plan` (a list's columns), `pack`, `quantities` (pieces, breaks,
//! smallest order); here, the line itself.

mod headings;
mod pack;
mod plan;
mod quantities;

pub use plan::PricePlan;

use super::offer::{Flag, Price};
use super::vocabulary::Vocabulary;
use crate::intake::profile::PriceBasis;
use crate::intake::rows::Row;
use crate::intake::statements::basis_in;
use crate::trade::money::{Currency, PriceReading, Sureness, read_currency, read_price};
use pack::LARGEST_PACK;
use plan::PriceOf;
use quantities::unit_price;
use rust_decimal::Decimal;

/// What was read of a line's price.
#[derive(Clone, Debug, Default)]
pub struct PriceLine {
    /// The price, when readable.
    pub price: Option<Price>,
    /// Pieces in the pack sold.
    pub pack_qty: u32,
    /// Remarks.
    pub flags: Vec<Flag>,
}

impl PricePlan {
    /// Reads the price of a line; `title_pack` is the pack quantity its title states.
    pub fn read(&self, vocabulary: &Vocabulary, row: &Row<'_>, title_pack: Option<u32>) -> PriceLine {
        let mut line = PriceLine::default();
        let pack = self.pack(row, title_pack, &mut line.flags);
        line.pack_qty = pack.pieces;
        let Some((reading, amount, place)) = self.first_price(row, &mut line.flags) else {
            return line;
        };
        let currency = self.currency_of(row, &reading, place);
        if currency.is_none() {
            line.flags.push(Flag::CurrencyUnknown);
        }
        if amount.is_zero() {
            line.flags.push(Flag::PriceZero);
        }
        let price_of = self.price_of_row(vocabulary, row);
        // "DZ" beside a price of which nothing else is said: the price is that of the unit
        let price_of = match (price_of, pack.of_unit) {
            (PriceOf::Unsaid, Some(pieces)) => PriceOf::Pieces(pieces),
            (said, _) => said,
        };
        let buys = match (reading.per, price_of) {
            (Some(per), _) | (None, PriceOf::Pieces(per)) => per.clamp(1, LARGEST_PACK),
            (None, PriceOf::Pack) => pack.pieces,
            (None, PriceOf::Unsaid) if pack.shown_as_sold => pack.pieces,
            (None, PriceOf::Unsaid) => {
                if pack.pieces > 1 {
                    line.flags.push(Flag::PackPriceUnsure);
                }
                1
            }
        };
        // Pieces priced one by one and sold by the pack are ordered by the pack.
        let by_the_pack = matches!(price_of, PriceOf::Pieces(_)) && pack.pieces > 1;
        let multiple = pack.multiple.or(by_the_pack.then_some(pack.pieces));
        line.price = Some(Price {
            amount,
            currency,
            pack_qty: buys,
            unit_price: unit_price(amount, buys),
            minimum_order: self.minimum_order(row, multiple),
            order_multiple: multiple.unwrap_or(1).max(buys),
            basis: self.basis_of(row),
            breaks: self.price_breaks(row, &reading, buys),
        });
        line
    }

    /// The first price of a line that can be read, and the place of its column among those of prices; what else there is instead is a flag.
    fn first_price(&self, row: &Row<'_>, flags: &mut Vec<Flag>) -> Option<(PriceReading, Decimal, usize)> {
        let mut problem = Flag::PriceMissing;
        for (place, (index, _)) in self.prices.iter().enumerate() {
            let cell = row.cell(*index).trim();
            if cell.is_empty() {
                continue;
            }
            match read_price(cell, self.decimals) {
                Some(reading) => match reading.amount {
                    Some(amount) if amount.is_sign_negative() => problem = Flag::PriceUnreadable,
                    Some(amount) => return Some((reading, amount, place)),
                    None => problem = Flag::PriceOnRequest,
                },
                None if problem == Flag::PriceMissing => problem = Flag::PriceUnreadable,
                None => {}
            }
        }
        flags.push(problem);
        None
    }

    /// The currency of a price: a sure mark in the cell, the column of currencies, the profile, the heading, an unsure mark.
    /// A column that stands in for the first is in the currency of its own heading.
    fn currency_of(&self, row: &Row<'_>, reading: &PriceReading, place: usize) -> Option<Currency> {
        let sure = reading.currency.filter(|_| reading.currency_sure == Sureness::Sure);
        let of_column = self.currency.and_then(|index| read_currency(row.cell(index)));
        let standing_in = self
            .price_currencies
            .get(place)
            .copied()
            .flatten()
            .filter(|_| place > 0);
        sure.or(standing_in)
            .or(of_column)
            .or(self.user_currency)
            .or(self.header_currency)
            .or(reading.currency)
    }

    /// Net or gross: the user's word, then the cell beside the price, the heading, the text around the table.
    fn basis_of(&self, row: &Row<'_>) -> Option<PriceBasis> {
        let of_cell = || self.basis.and_then(|index| basis_in(row.cell(index)));
        self.user_basis.or_else(of_cell).or(self.list_basis)
    }
}
