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

use rust_decimal::Decimal;

use super::offer::{Flag, Price, PriceBreak};
use super::price_headings::{contains_words, currency_in, quantity_in};
use super::vocabulary::Vocabulary;
use crate::intake::field::Field;
use crate::intake::list::ListHead;
use crate::intake::profile::{PriceBasis, PricePer};
use crate::intake::rows::Row;
use crate::intake::statements::basis_in;
use crate::trade::folding::fold;
use crate::trade::money::{Currency, PriceReading, Sureness, read_currency, read_pack_quantity, read_price};
use crate::trade::numerals::Decimals;
use crate::trade::sale_unit::{SaleUnit, read_sale_unit};

/// Decimals that a unit price is rounded to when the division does not end.
const UNIT_PRICE_DECIMALS: u32 = 6;
/// Largest pack that is believed.
const LARGEST_PACK: u32 = 100_000;
/// Numbers of pieces that a whole list may price by; any other number beside "prices" in a preamble is a date, an issue
/// or a quantity. Common practice, no source.
const USUAL_BASES: [u32; 6] = [1, 10, 12, 50, 100, 1000];

/// What a list says its prices are of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum PriceOf {
    /// The pack.
    Pack,
    /// This many pieces, whatever the pack.
    Pieces(u32),
    /// Nothing is said.
    Unsaid,
}

/// What a line names as its pack.
#[derive(Clone, Copy, Debug)]
struct Pack {
    /// Pieces, 1 when no pack is named.
    pieces: u32,
    /// The number of pieces that orders must be a multiple of, by a column.
    multiple: Option<u32>,
    /// Whether the line itself shows that the pack is what is sold and priced.
    shown_as_sold: bool,
}

/// What a list's columns say about price, worked out once.
#[derive(Clone, Debug)]
pub struct PricePlan {
    /// Price columns with the quantity in their heading, if any.
    prices: Vec<(usize, Option<u32>)>,
    breaks: Vec<(usize, Option<u32>)>,
    currency: Option<usize>,
    pack: Option<usize>,
    pack_is_multiple: bool,
    unit_of_measure: Option<usize>,
    minimum: Option<usize>,
    basis: Option<usize>,
    price_of: PriceOf,
    decimals: Decimals,
    user_basis: Option<PriceBasis>,
    list_basis: Option<PriceBasis>,
    user_currency: Option<Currency>,
    header_currency: Option<Currency>,
}

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
    /// Works out the plan of a list.
    pub fn new(vocabulary: &Vocabulary, head: &ListHead) -> Self {
        let of = |field: Field| head.columns.iter().filter(move |column| column.field == field);
        let prices: Vec<(usize, Option<u32>)> = of(Field::Price)
            .map(|column| (column.index, quantity_in(&column.header)))
            .collect();
        let price_heading: String = of(Field::Price)
            .chain(of(Field::PriceBasis))
            .map(|column| fold(&column.header).into_owned() + " ")
            .collect();
        let pack_heading = of(Field::PackQuantity)
            .next()
            .map(|column| fold(&column.header).into_owned());
        let says = |words: &[String], text: &str| words.iter().any(|word| contains_words(text, word));
        let per_pack = says(&vocabulary.per_pack, &price_heading);
        let multiple = pack_heading
            .as_deref()
            .is_some_and(|text| says(&vocabulary.order_multiples, text));
        let terms = head.profile.as_ref().map(|profile| &profile.price);
        Self {
            prices,
            breaks: of(Field::QuantityBreak)
                .map(|column| (column.index, quantity_in(&column.header)))
                .collect(),
            currency: head.column_of(Field::Currency),
            pack: head.column_of(Field::PackQuantity),
            pack_is_multiple: multiple && !per_pack,
            unit_of_measure: head.column_of(Field::UnitOfMeasure),
            minimum: head.column_of(Field::MinimumOrder),
            basis: head.column_of(Field::PriceBasis),
            price_of: match terms.and_then(|terms| terms.per) {
                Some(PricePer::Pieces(per)) => PriceOf::Pieces(per.max(1)),
                Some(PricePer::Pack) => PriceOf::Pack,
                None if per_pack => PriceOf::Pack,
                None if says(&vocabulary.per_piece, &price_heading) => PriceOf::Pieces(1),
                None => match head.statements.per {
                    Some(per) if USUAL_BASES.contains(&per) => PriceOf::Pieces(per),
                    _ => PriceOf::Unsaid,
                },
            },
            decimals: head.decimals,
            user_basis: terms.and_then(|terms| terms.basis),
            list_basis: basis_in(&price_heading).or(head.statements.basis),
            user_currency: terms
                .and_then(|terms| terms.currency.as_deref())
                .and_then(read_currency),
            header_currency: of(Field::Price)
                .chain(of(Field::QuantityBreak))
                .chain(of(Field::Currency))
                .find_map(|column| currency_in(&column.header))
                .or(head.statements.currency),
        }
    }

    /// Reads the price of a line; `title_pack` is the pack quantity its title states.
    pub fn read(&self, vocabulary: &Vocabulary, row: &Row<'_>, title_pack: Option<u32>) -> PriceLine {
        let mut line = PriceLine::default();
        let pack = self.pack(row, title_pack, &mut line.flags);
        line.pack_qty = pack.pieces;
        let Some((reading, amount)) = self.first_price(row, &mut line.flags) else {
            return line;
        };
        let currency = self.currency_of(row, &reading);
        if currency.is_none() {
            line.flags.push(Flag::CurrencyUnknown);
        }
        if amount.is_zero() {
            line.flags.push(Flag::PriceZero);
        }
        let price_of = self.price_of_row(vocabulary, row);
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

    fn first_price(&self, row: &Row<'_>, flags: &mut Vec<Flag>) -> Option<(PriceReading, Decimal)> {
        let mut problem = Flag::PriceMissing;
        for (index, _) in &self.prices {
            let cell = row.cell(*index).trim();
            if cell.is_empty() {
                continue;
            }
            match read_price(cell, self.decimals) {
                Some(reading) => match reading.amount {
                    Some(amount) if amount.is_sign_negative() => problem = Flag::PriceUnreadable,
                    Some(amount) => return Some((reading, amount)),
                    None => problem = Flag::PriceOnRequest,
                },
                None if problem == Flag::PriceMissing => problem = Flag::PriceUnreadable,
                None => {}
            }
        }
        flags.push(problem);
        None
    }

    fn currency_of(&self, row: &Row<'_>, reading: &PriceReading) -> Option<Currency> {
        let sure = reading.currency.filter(|_| reading.currency_sure == Sureness::Sure);
        let of_column = self.currency.and_then(|index| read_currency(row.cell(index)));
        sure.or(of_column)
            .or(self.user_currency)
            .or(self.header_currency)
            .or(reading.currency)
    }

    /// Net or gross: the user's word, then the cell beside the price, the heading, the text around the table.
    fn basis_of(&self, row: &Row<'_>) -> Option<PriceBasis> {
        let of_cell = || self.basis.and_then(|index| basis_in(row.cell(index)));
        self.user_basis.or_else(of_cell).or(self.list_basis)
    }

    fn pack(&self, row: &Row<'_>, title_pack: Option<u32>, flags: &mut Vec<Flag>) -> Pack {
        let of_column = self.pack.and_then(|index| quantity(row.cell(index)));
        let (of_column, multiple) = if self.pack_is_multiple {
            (None, of_column)
        } else {
            (of_column, None)
        };
        let unit = self.unit_of_measure.map_or("", |index| row.cell(index));
        let of_unit = pack_in_unit(unit);
        let stated = of_column.filter(|pack| *pack > 1).or(of_unit).or(of_column);
        if let (Some(column), Some(title)) = (stated, title_pack)
            && column != title
            && column > 1
        {
            flags.push(Flag::PackQuantitiesDiffer);
        }
        let pieces = match stated {
            Some(column) if column > 1 => column,
            _ => title_pack.or(stated).unwrap_or(1),
        };
        let sold_by_the_pack = || {
            matches!(
                read_sale_unit(unit),
                Some(SaleUnit::Pack | SaleUnit::Set | SaleUnit::Pair)
            )
        };
        Pack {
            pieces: pieces.clamp(1, LARGEST_PACK),
            multiple,
            shown_as_sold: pieces > 1
                && (of_unit.is_some() || (of_column == title_pack && title_pack.is_some()) || sold_by_the_pack()),
        }
    }

    fn price_of_row(&self, vocabulary: &Vocabulary, row: &Row<'_>) -> PriceOf {
        let Some(index) = self.basis else { return self.price_of };
        let cell = fold(row.cell(index));
        if vocabulary.per_pack.iter().any(|word| contains_words(&cell, word)) {
            PriceOf::Pack
        } else if vocabulary.per_piece.iter().any(|word| contains_words(&cell, word)) {
            PriceOf::Pieces(1)
        } else {
            self.price_of
        }
    }

    fn minimum_order(&self, row: &Row<'_>, multiple: Option<u32>) -> Option<u32> {
        let minimum = self.minimum.and_then(|index| quantity(row.cell(index)));
        match (minimum, multiple) {
            // The smallest order is a whole number of multiples.
            (Some(minimum), Some(multiple)) => Some(minimum.div_ceil(multiple.max(1)).saturating_mul(multiple)),
            (minimum, multiple) => minimum.or(multiple),
        }
        .filter(|minimum| *minimum > 1)
    }

    fn price_breaks(&self, row: &Row<'_>, first: &PriceReading, buys: u32) -> Vec<PriceBreak> {
        let mut breaks: Vec<PriceBreak> = Vec::new();
        let mut add = |from: u32, amount: Decimal| {
            if from > 1 && !amount.is_zero() && !breaks.iter().any(|known| known.from == from) {
                breaks.push(PriceBreak {
                    from,
                    unit_price: unit_price(amount, buys),
                });
            }
        };
        for tier in &first.tiers {
            add(tier.from, tier.amount);
        }
        for (index, from) in self.prices.iter().skip(1).chain(&self.breaks) {
            let Some(reading) = read_price(row.cell(*index).trim(), self.decimals) else {
                continue;
            };
            match (reading.amount, from) {
                _ if !reading.tiers.is_empty() => reading.tiers.iter().for_each(|tier| add(tier.from, tier.amount)),
                (Some(amount), Some(from)) => add(*from, amount),
                _ => {}
            }
        }
        breaks.sort_by_key(|price_break| price_break.from);
        breaks
    }
}

/// Price of one piece.
fn unit_price(amount: Decimal, pieces: u32) -> Decimal {
    if pieces <= 1 {
        return amount;
    }
    (amount / Decimal::from(pieces))
        .round_dp(UNIT_PRICE_DECIMALS)
        .normalize()
}

/// A plain or worded quantity.
fn quantity(cell: &str) -> Option<u32> {
    let cell = cell.trim();
    if cell.is_empty() {
        return None;
    }
    let plain = cell.parse::<u32>().ok();
    plain
        .or_else(|| read_pack_quantity(cell))
        .filter(|quantity| (1..=LARGEST_PACK).contains(quantity))
}

/// A quantity in a cell of units ("set of 2", "PK10"); a bare number there is no quantity.
fn pack_in_unit(cell: &str) -> Option<u32> {
    let cell = cell.trim();
    if cell.len() < 2
        || !cell.bytes().any(|byte| byte.is_ascii_digit())
        || cell.bytes().all(|byte| byte.is_ascii_digit())
    {
        return None;
    }
    read_pack_quantity(cell).filter(|quantity| (2..=LARGEST_PACK).contains(quantity))
}
