//! The terms on which an offer is sold and a supplier delivers, as the landed price and the order plan need them.
//!
//! They are made of a line with its profile while a run is built, and of the published tables afterwards; a test holds
//! the two to the same cost.

use crate::intake::profile::{PriceBasis, Profile, ShippingTerms};
use crate::normalise::offer::{Price, PriceBreak, Terms};
use crate::publish::column::MONEY_DECIMALS;
use crate::publish::read::exact_number;
use crate::publish::{CrossrefRow, SupplierRow};
use crate::trade::availability::{Stock, read_stock};
use crate::trade::country::read_country;
use compact_str::{CompactString, ToCompactString};
use rust_decimal::Decimal;
use std::fmt::Write as _;

/// The terms of one offer.
#[derive(Clone, Debug, PartialEq)]
pub struct OfferTerms {
    /// price of one piece in the supplier's currency; `None` when there is none to count with
    pub unit_price: Option<Decimal>,
    /// ISO 4217 code, empty when it is not known
    pub currency: CompactString,
    /// smallest order, pieces
    pub minimum: u32,
    /// orders are whole multiples of so many pieces
    pub multiple: u32,
    /// prices at larger quantities, by rising quantity
    pub breaks: Vec<PriceBreak>,
    /// net or gross
    pub basis: Option<PriceBasis>,
    /// weight of one piece, grams, to a tenth
    pub weight_g: Option<Decimal>,
    /// country of origin, ISO 3166-1 alpha-2, empty when it is not known
    pub origin: CompactString,
    /// stock
    pub stock: Option<Stock>,
    /// days until delivery at the latest
    pub lead_time_days: Option<u16>,
    /// pieces of a pack of which it is not said whether the price is for it or for one piece
    pub pack_unsure: Option<u32>,
}

/// The terms of one supplier.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SupplierTerms {
    /// country it sends from, empty when it is not known
    pub country: CompactString,
    /// shipping; `None` when no terms are known
    pub shipping: Option<Shipping>,
    /// tax rate of its prices, as a fraction
    pub tax_rate: Option<Decimal>,
}

/// Shipping of one order. Amounts are without tax.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shipping {
    /// per order
    pub flat: Decimal,
    /// per kilogram
    pub per_kg: Option<Decimal>,
    /// goods from this value on travel free
    pub free_above: Option<Decimal>,
    /// ISO 4217 code; empty for the currency of the prices
    pub currency: CompactString,
}

impl OfferTerms {
    /// The terms of a line that is being read.
    pub fn of_line(
        price: Option<&Price>,
        pack_qty: u32,
        terms: Option<&Terms>,
        profile: Option<&Profile>,
        pack_unsure: bool,
    ) -> OfferTerms {
        let lead_time = terms.and_then(|terms| terms.lead_time_days);
        OfferTerms {
            unit_price: price
                .filter(|price| !price.amount.is_zero())
                .map(|price| price.unit_price),
            currency: price
                .and_then(|price| price.currency)
                .map(|currency| currency.to_compact_string())
                .unwrap_or_default(),
            minimum: price.and_then(|price| price.minimum_order).unwrap_or(1).max(1),
            multiple: price.map_or(1, |price| price.order_multiple).max(1),
            breaks: price.map(|price| price.breaks.clone()).unwrap_or_default(),
            basis: price.and_then(|price| price.basis),
            weight_g: terms.and_then(|terms| terms.weight_g).and_then(|grams| {
                let of_pieces = Decimal::from(price.map_or(1, |price| price.pack_qty).max(1));
                grams.checked_div(of_pieces).map(|each| each.round_dp(1).normalize())
            }),
            origin: terms.and_then(|terms| read_country(&terms.origin)).unwrap_or_default(),
            stock: terms.and_then(|terms| read_stock(&terms.stock)),
            lead_time_days: lead_time.or_else(|| profile.and_then(|profile| profile.lead_time_days)),
            pack_unsure: (pack_unsure && pack_qty > 1).then_some(pack_qty),
        }
    }

    /// The terms of a published offer.
    pub fn of_row(row: &CrossrefRow) -> OfferTerms {
        let unsure = row.landed_note.contains(super::landed::PACK_UNSURE);
        let mut breaks = breaks_of(&row.price_breaks);
        let in_full = match breaks.first() {
            Some(first) if first.from == 1 => Some(breaks.remove(0).unit_price),
            _ => None,
        };
        OfferTerms {
            unit_price: in_full.or(row.unit_price).filter(|price| !price.is_zero()),
            currency: row.currency.clone(),
            minimum: row.minimum_order.unwrap_or(1).max(1),
            multiple: row.order_multiple.unwrap_or(1).max(1),
            breaks,
            basis: basis_named(&row.price_basis),
            weight_g: row
                .weight_g
                .and_then(exact_number)
                .map(|grams| grams.round_dp(1).normalize()),
            origin: row.origin.clone(),
            stock: Stock::parse(&row.stock),
            lead_time_days: row.lead_time_days,
            pack_unsure: row.pack_qty.filter(|_| unsure),
        }
    }

    /// Pieces that have to be ordered to have so many: the smallest order, in whole packs.
    pub fn order_of(&self, wanted: u32) -> u32 {
        wanted
            .max(self.minimum)
            .max(1)
            .div_ceil(self.multiple)
            .saturating_mul(self.multiple)
    }

    /// Price of one piece when so many are ordered, and the quantity it holds from.
    pub fn price_at(&self, pieces: u32) -> Option<(Decimal, Option<u32>)> {
        let unit = self.unit_price?;
        let reached = self.breaks.iter().rfind(|price_break| price_break.from <= pieces);
        Some(reached.map_or((unit, None), |price_break| {
            (price_break.unit_price, Some(price_break.from))
        }))
    }

    /// Weight of so many pieces, grams.
    pub fn weight_of(&self, pieces: u32) -> Option<Decimal> {
        self.weight_g.and_then(|grams| grams.checked_mul(Decimal::from(pieces)))
    }

    /// The breaks as they are published: `10:8.40;50:7.90`; a price of one piece that does not end within the decimals
    /// of its own column stands in front in full, `1:3.333333`.
    pub fn breaks_text(&self) -> CompactString {
        let mut text = CompactString::default();
        let in_full = self
            .unit_price
            .filter(|price| price.normalize().scale() > MONEY_DECIMALS);
        let first = in_full.map(|unit_price| PriceBreak { from: 1, unit_price });
        for price_break in first.iter().chain(&self.breaks) {
            let separator = if text.is_empty() { "" } else { ";" };
            // writing to a string cannot fail
            let _ = write!(text, "{separator}{}:{}", price_break.from, price_break.unit_price);
        }
        text
    }

    /// The basis as it is published.
    pub fn basis_text(&self) -> &'static str {
        match self.basis {
            Some(PriceBasis::Net) => "net",
            Some(PriceBasis::Gross) => "gross",
            None => "",
        }
    }
}

impl SupplierTerms {
    /// The terms in a profile.
    pub fn of_profile(profile: Option<&Profile>) -> SupplierTerms {
        let Some(profile) = profile else {
            return SupplierTerms::default();
        };
        SupplierTerms {
            country: profile
                .home_country
                .as_deref()
                .and_then(read_country)
                .unwrap_or_default(),
            shipping: profile.shipping.as_ref().map(Shipping::of_terms),
            tax_rate: profile.price.tax_rate.map(|rate| rate.0),
        }
    }

    /// The terms of a published list.
    pub fn of_row(row: &SupplierRow) -> SupplierTerms {
        SupplierTerms {
            country: row.country.clone(),
            shipping: row.shipping_flat.map(|flat| Shipping {
                flat,
                per_kg: row.shipping_per_kg,
                free_above: row.shipping_free_above,
                currency: row.shipping_currency.clone(),
            }),
            tax_rate: row.tax_rate,
        }
    }
}

impl Shipping {
    fn of_terms(terms: &ShippingTerms) -> Shipping {
        Shipping {
            flat: terms.flat.map_or(Decimal::ZERO, |flat| flat.0),
            per_kg: terms.per_kg.map(|per_kg| per_kg.0),
            free_above: terms.free_above.map(|limit| limit.0),
            currency: terms.currency.as_deref().unwrap_or_default().into(),
        }
    }
}

fn breaks_of(text: &str) -> Vec<PriceBreak> {
    let breaks = text.split(';').filter_map(|entry| {
        let (from, price) = entry.split_once(':')?;
        Some(PriceBreak {
            from: from.parse().ok()?,
            unit_price: price.parse().ok()?,
        })
    });
    breaks.collect()
}

fn basis_named(text: &str) -> Option<PriceBasis> {
    match text {
        "net" => Some(PriceBasis::Net),
        "gross" => Some(PriceBasis::Gross),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn terms(text: &str) -> OfferTerms {
        OfferTerms::of_row(&CrossrefRow {
            unit_price: "9.90".parse().ok(),
            price_breaks: text.into(),
            minimum_order: Some(4),
            order_multiple: Some(3),
            weight_g: Some(500.0),
            ..CrossrefRow::default()
        })
    }

    #[test]
    fn an_order_is_the_smallest_allowed_in_whole_packs() {
        let terms = terms("");
        assert_eq!(terms.order_of(1), 6);
        assert_eq!(terms.order_of(6), 6);
        assert_eq!(terms.order_of(7), 9);
        assert_eq!(terms.weight_of(6), Some(Decimal::from(3000)));
    }

    #[test]
    fn the_largest_break_that_is_reached_holds() {
        let terms = terms("10:8.40;50:7.90");
        assert_eq!(terms.breaks_text(), "10:8.40;50:7.90");
        let at = |pieces| terms.price_at(pieces).unwrap();
        assert_eq!(at(9), ("9.90".parse().unwrap(), None));
        assert_eq!(at(10), ("8.40".parse().unwrap(), Some(10)));
        assert_eq!(at(80), ("7.90".parse().unwrap(), Some(50)));
    }
}
