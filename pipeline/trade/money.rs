//! Stub.
use super::numerals::Decimals;
use rust_decimal::Decimal;

pub use super::currency::{Currency, Sureness, read_currency, read_currency_mark};
pub use super::pack_quantity::{find_pack_quantity, read_pack_quantity};

/// A price that holds from a quantity on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PriceTier {
    /// Smallest quantity.
    pub from: u32,
    /// Price at that quantity.
    pub amount: Decimal,
}

/// A price cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceReading {
    /// The amount as written, for `per` pieces; None where the price is on request.
    pub amount: Option<Decimal>,
    /// Whether the decimal mark left no doubt.
    pub amount_sure: Sureness,
    /// Currency named in the cell.
    pub currency: Option<Currency>,
    /// Whether the currency's mark left no doubt.
    pub currency_sure: Sureness,
    /// Pieces the amount is for, where the cell says so.
    pub per: Option<u32>,
    /// Quantity prices, smallest quantity first; the first is `amount`.
    pub tiers: Vec<PriceTier>,
    /// Whether the price is on request.
    pub on_request: bool,
}

/// Reads a price cell.
pub fn read_price(_raw: &str, _decimals: Decimals) -> Option<PriceReading> {
    None
}
