//! Landed price: what an order costs delivered, in the home currency, from what is known.
//!
//! An order is one or more lines at one supplier. Goods at the price of the quantity reached, shipping unless the order
//! travels free, duty on the goods by their origin, tax where the buyer bears it, each converted at the dated rate.
//! Amounts are exact decimals; a line's goods are rounded once, to [`DECIMALS`], as the price of one piece of a pack may
//! not end. What is missing from the sum is named; a missing part is never counted as zero in silence.
//!
//! The published price of one piece is the smallest order that can be placed, divided by its pieces.

use super::rates::{Rates, TaxCounted};
use super::terms::{OfferTerms, SupplierTerms};
use crate::intake::profile::PriceBasis;
use compact_str::{CompactString, format_compact};
use rust_decimal::Decimal;

/// Decimals of an amount.
const DECIMALS: u32 = 4;
/// How a note on a price that holds for several pieces only begins.
pub const FOR_AN_ORDER: &str = "for an order of";
/// How a note on an unsure pack begins.
pub const PACK_UNSURE: &str = "not said whether for one piece or for the pack of";

/// The delivered cost of one piece and what it lacks.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Landed {
    /// home currency per piece; `None` without a price or a rate
    pub price: Option<Decimal>,
    /// what is missing from it, joined by `;`
    pub note: CompactString,
}

/// One line of an order.
#[derive(Clone, Copy, Debug)]
pub struct OrderLine<'a> {
    /// what is ordered
    pub terms: &'a OfferTerms,
    /// pieces ordered
    pub pieces: u32,
}

/// What one line of an order comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct LineCost {
    /// pieces ordered
    pub pieces: u32,
    /// price of one piece in the supplier's currency
    pub unit_price: Decimal,
    /// quantity that this price holds from
    pub break_from: Option<u32>,
    /// goods in the supplier's currency, as listed
    pub listed: Decimal,
    /// goods in the home currency, as listed
    pub goods: Decimal,
    /// duty, home currency
    pub duty: Decimal,
    /// tax added to the goods and their duty, or, where it is negative, taken out of them; home currency
    pub tax: Decimal,
}

/// What an order at one supplier comes to, in the home currency.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OrderCost {
    /// its lines
    pub lines: Vec<LineCost>,
    /// shipping, with its tax where tax is counted
    pub shipping: Decimal,
    /// what the sum lacks, or says beside itself, each once
    pub missing: Vec<CompactString>,
}

impl OrderCost {
    /// Everything together.
    pub fn total(&self) -> Decimal {
        self.lines.iter().map(LineCost::total).sum::<Decimal>() + self.shipping
    }

    /// Pieces of all lines.
    pub fn pieces(&self) -> u32 {
        self.lines.iter().map(|line| line.pieces).sum()
    }

    fn lacks(&mut self, what: CompactString) {
        if !self.missing.contains(&what) {
            self.missing.push(what);
        }
    }
}

impl LineCost {
    /// Goods, duty and tax.
    pub fn total(&self) -> Decimal {
        self.goods + self.duty + self.tax
    }
}

/// Why an order cannot be costed at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoCost(pub CompactString);

/// Works out what an order costs delivered.
///
/// # Errors
/// A line has no price or no currency, or no rate converts it.
pub fn order_cost(lines: &[OrderLine<'_>], supplier: &SupplierTerms, rates: &Rates) -> Result<OrderCost, NoCost> {
    let mut cost = OrderCost::default();
    for line in lines {
        let of_line = line_cost(*line, supplier, rates, &mut cost)?;
        cost.lines.push(of_line);
    }
    let shipping = shipping(lines, supplier, rates, &mut cost);
    let taxed = match (rates.tax_counted, tax_rate(supplier, rates)) {
        (TaxCounted::Counted, Some(rate)) => shipping + shipping * rate,
        _ => shipping,
    };
    cost.shipping = taxed.round_dp(DECIMALS);
    Ok(cost)
}

/// The landed price of one piece of an offer: its smallest order, divided by its pieces.
pub fn landed(terms: &OfferTerms, supplier: &SupplierTerms, rates: &Rates) -> Landed {
    let pieces = terms.order_of(1);
    let cost = match order_cost(&[OrderLine { terms, pieces }], supplier, rates) {
        Ok(cost) => cost,
        Err(NoCost(note)) => return Landed { price: None, note },
    };
    let each = cost.total().checked_div(Decimal::from(pieces));
    let mut notes = cost.missing;
    if pieces > 1 {
        notes.push(format_compact!("{FOR_AN_ORDER} {pieces}"));
    }
    Landed {
        price: each.map(|price| price.round_dp(DECIMALS).normalize()),
        note: notes.join("; ").into(),
    }
}

fn line_cost(
    line: OrderLine<'_>,
    supplier: &SupplierTerms,
    rates: &Rates,
    cost: &mut OrderCost,
) -> Result<LineCost, NoCost> {
    let terms = line.terms;
    let (unit_price, break_from) = terms.price_at(line.pieces).ok_or_else(|| NoCost("no price".into()))?;
    if terms.currency.is_empty() {
        return Err(NoCost("currency not known".into()));
    }
    let listed = unit_price
        .checked_mul(Decimal::from(line.pieces))
        .ok_or_else(|| NoCost("a price beyond all measure".into()))?
        .round_dp(DECIMALS);
    let goods = rates
        .to_home(listed, &terms.currency)
        .ok_or_else(|| NoCost(format_compact!("no rate {} to {}", terms.currency, rates.home)))?
        .round_dp(DECIMALS);
    let rate = tax_rate(supplier, rates);
    let net = net_goods(goods, terms, rate, rates, cost);
    let duty = duty(net, terms, supplier, rates, cost);
    let tax = match (rates.tax_counted, terms.basis, rate) {
        // what is taken out of a gross price, nothing of a net one
        (TaxCounted::LeftOut, ..) => net - goods,
        (TaxCounted::Counted, Some(PriceBasis::Net), Some(rate)) => ((net + duty) * rate).round_dp(DECIMALS),
        (TaxCounted::Counted, Some(PriceBasis::Gross), Some(rate)) => (duty * rate).round_dp(DECIMALS),
        (TaxCounted::Counted, basis, _) => {
            if basis != Some(PriceBasis::Gross) {
                cost.lacks("tax not known".into());
            }
            Decimal::ZERO
        }
    };
    if let Some(pack) = terms.pack_unsure {
        cost.lacks(format_compact!("{PACK_UNSURE} {pack}"));
    }
    Ok(LineCost {
        pieces: line.pieces,
        unit_price,
        break_from,
        listed,
        goods,
        duty,
        tax,
    })
}

/// The goods without the tax in them, as far as that is known.
fn net_goods(
    goods: Decimal,
    terms: &OfferTerms,
    rate: Option<Decimal>,
    rates: &Rates,
    cost: &mut OrderCost,
) -> Decimal {
    match (terms.basis, rate) {
        (None, _) => cost.lacks("net or gross not known".into()),
        (Some(PriceBasis::Net), _) => {}
        (Some(PriceBasis::Gross), Some(rate)) => {
            let net = goods.checked_div(Decimal::ONE + rate).unwrap_or(goods);
            return net.round_dp(DECIMALS);
        }
        (Some(PriceBasis::Gross), None) if rates.tax_counted == TaxCounted::LeftOut => {
            cost.lacks("tax included, at a rate not known".into());
        }
        (Some(PriceBasis::Gross), None) => {}
    }
    goods
}

fn duty(net: Decimal, terms: &OfferTerms, supplier: &SupplierTerms, rates: &Rates, cost: &mut OrderCost) -> Decimal {
    let origin = if terms.origin.is_empty() {
        &supplier.country
    } else {
        &terms.origin
    };
    match rates.duty(origin) {
        Some(share) => (net * share).round_dp(DECIMALS),
        None => {
            cost.lacks("no duty rate".into());
            Decimal::ZERO
        }
    }
}

/// The supplier's own rate, else its country's.
fn tax_rate(supplier: &SupplierTerms, rates: &Rates) -> Option<Decimal> {
    supplier.tax_rate.or_else(|| rates.tax(&supplier.country))
}

/// Shipping of the order without tax in the home currency, zero and named where it is not known.
fn shipping(lines: &[OrderLine<'_>], supplier: &SupplierTerms, rates: &Rates, cost: &mut OrderCost) -> Decimal {
    let Some(terms) = &supplier.shipping else {
        cost.lacks("no shipping terms".into());
        return Decimal::ZERO;
    };
    let prices_in = lines.first().map_or("", |line| line.terms.currency.as_str());
    let currency = if terms.currency.is_empty() {
        prices_in
    } else {
        &terms.currency
    };
    let home = |amount: Decimal| rates.to_home(amount, currency);
    let (Some(flat), Some(per_kg)) = (home(terms.flat), home(terms.per_kg.unwrap_or_default())) else {
        cost.lacks(format_compact!("no rate {currency} to {} for shipping", rates.home));
        return Decimal::ZERO;
    };
    let limit = terms.free_above.and_then(home);
    if limit.is_some_and(|limit| reaches(lines, cost, limit, terms.free_above, currency)) {
        return Decimal::ZERO;
    }
    let mut sum = flat;
    if !per_kg.is_zero() {
        for line in lines {
            match line.terms.weight_of(line.pieces) {
                Some(grams) => sum += per_kg * grams / Decimal::ONE_THOUSAND,
                None => cost.lacks("weight not known".into()),
            }
        }
    }
    sum
}

/// Whether the goods, as listed, reach the value from which an order travels free. In one currency that is asked of the
/// listed figures themselves, so that no conversion moves the limit.
fn reaches(
    lines: &[OrderLine<'_>],
    cost: &OrderCost,
    limit: Decimal,
    as_said: Option<Decimal>,
    currency: &str,
) -> bool {
    if lines.iter().all(|line| line.terms.currency == currency) {
        let listed: Decimal = cost.lines.iter().map(|line| line.listed).sum();
        return as_said.is_some_and(|limit| listed >= limit);
    }
    cost.lines.iter().map(|line| line.goods).sum::<Decimal>() >= limit
}

#[cfg(test)]
#[path = "landed_tests.rs"]
mod tests;
