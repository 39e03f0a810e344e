//! Landed price: what one piece costs delivered, in the home currency, from what is known.
//!
//! Delivered cost of the smallest order that can be placed (pack and minimum order), divided by its
//! pieces: price + flat shipping unless the order travels free + shipping by weight. What is missing
//! from the sum is named; a missing part is never counted as zero in silence.

use super::rates::Rates;
use crate::intake::profile::{PriceBasis, Profile};
use crate::normalise::offer::{Flag, Offer};
use compact_str::CompactString;
use rust_decimal::Decimal;

/// Decimals of a landed price.
const DECIMALS: u32 = 4;

/// The delivered cost of one piece and what it lacks.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Landed {
    /// home currency per piece; `None` without a price or a rate
    pub price: Option<Decimal>,
    /// what is missing from it, joined by `;`
    pub note: CompactString,
}

/// Works out the landed price of an offer under its supplier's profile.
pub fn landed(offer: &Offer, profile: Option<&Profile>, rates: &Rates) -> Landed {
    let mut missing: Vec<String> = Vec::new();
    let Some(price) = &offer.price else {
        return Landed {
            price: None,
            note: "no price".into(),
        };
    };
    // "0.00" stands for a price that is not known: nothing is given away, and it must not lead a list of the cheapest.
    if price.amount.is_zero() {
        return Landed {
            price: None,
            note: "price of zero".into(),
        };
    }
    let Some(currency) = price.currency else {
        return Landed {
            price: None,
            note: "currency not known".into(),
        };
    };
    let code = currency.to_string();
    let pieces = Decimal::from(price.minimum_order.unwrap_or(1).max(price.pack_qty).max(1));
    let goods = price.unit_price * pieces;
    let order = goods + shipping(offer, profile, goods, &code, rates, &mut missing);
    match profile.and_then(|p| p.price.basis) {
        None => missing.push("net or gross not known".into()),
        Some(PriceBasis::Gross) => missing.push("tax included".into()),
        Some(PriceBasis::Net) => {}
    }
    if pieces > Decimal::ONE {
        missing.push(format!("for an order of {pieces}"));
    }
    if offer.has(Flag::PackPriceUnsure) {
        missing.push(format!(
            "not said whether for one piece or for the pack of {}",
            offer.pack_qty
        ));
    }
    let home = order.checked_div(pieces).and_then(|each| rates.to_home(each, &code));
    if home.is_none() {
        missing.push(format!("no rate {code} to {}", rates.home));
    }
    Landed {
        price: home.map(|p| p.round_dp(DECIMALS).normalize()),
        note: missing.join("; ").into(),
    }
}

/// Shipping of the order in the currency of the prices, zero and named when it is not known.
fn shipping(
    offer: &Offer,
    profile: Option<&Profile>,
    goods: Decimal,
    code: &str,
    rates: &Rates,
    missing: &mut Vec<String>,
) -> Decimal {
    let Some(terms) = profile.and_then(|p| p.shipping.as_ref()) else {
        missing.push("no shipping terms".into());
        return Decimal::ZERO;
    };
    let own = terms.currency.as_deref().unwrap_or(code);
    // terms in another currency go through the home currency, when both rates are known
    let factor = if own == code {
        Some(Decimal::ONE)
    } else {
        match (rates.to_home(Decimal::ONE, own), rates.to_home(Decimal::ONE, code)) {
            (Some(terms), Some(prices)) => terms.checked_div(prices),
            _ => None,
        }
    };
    let Some(factor) = factor else {
        missing.push(format!("no rate {own} to {code} for shipping"));
        return Decimal::ZERO;
    };
    if terms.free_above.as_ref().is_some_and(|limit| goods >= limit.0 * factor) {
        return Decimal::ZERO;
    }
    let mut cost = terms.flat.as_ref().map_or(Decimal::ZERO, |flat| flat.0 * factor);
    if let Some(per_kg) = &terms.per_kg {
        match offer.terms.as_ref().and_then(|t| t.weight_g) {
            Some(grams) => cost += per_kg.0 * factor * grams / Decimal::ONE_THOUSAND,
            None => missing.push("weight not known".into()),
        }
    }
    cost
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::field::Field;
    use crate::intake::list::ListHead;
    use crate::intake::rows::RowBatch;
    use crate::normalise::{Line, Normaliser, Scope, Vocabulary};

    fn landed_at(price: &str, title: &str) -> Landed {
        let vocabulary = Vocabulary::built_in().unwrap();
        let fields = [Field::Sku, Field::Title, Field::Price];
        let head = ListHead::plain("lists/quillbrook.csv", &["SKU", "Title", "Price EUR"], &fields);
        let batch = RowBatch::of(&[(2, vec!["A-1", title, price])]);
        let Line::Offer(offer) = Normaliser::new(&vocabulary, &head, Scope::Fit).line(&batch.row(0)) else {
            panic!()
        };
        landed(&offer, None, &Rates::none("EUR"))
    }

    #[test]
    fn a_price_of_zero_is_a_price_that_is_not_known() {
        let zero = landed_at("0.00", "Recoil starter 168F");
        assert_eq!((zero.price, &*zero.note), (None, "price of zero"));
        assert_eq!(&*landed_at("", "Recoil starter 168F").note, "no price");
    }

    #[test]
    fn a_price_that_may_be_one_of_the_pack_says_so() {
        let pack = landed_at("90.00", "Recoil starter 168F pack of 10");
        assert_eq!(pack.price, Some(Decimal::from(90)));
        assert!(pack.note.contains("the pack of 10"), "{}", pack.note);
    }
}
