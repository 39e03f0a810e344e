//! What an order costs, part by part, for people and for machines.

use crate::publish::column::money;
use crate::shop::landed::OrderCost;
use crate::shop::rates::Rates;
use rust_decimal::Decimal;
use serde_json::{Value, json};

/// An amount to the hundredth, half to even.
pub fn cents(amount: Decimal) -> String {
    money(amount.round_dp(2))
}

/// `2 at 12.50 USD (from 2 on) = 23.11 goods, 4.20 shipping, 0.62 duty = 27.93 EUR; 1.0820 USD to 1 EUR`: the parts that
/// are there, and the rate by which they were converted.
pub fn cost_words(cost: &OrderCost, currency: &str, rates: &Rates) -> String {
    let lines: Vec<String> = cost
        .lines
        .iter()
        .map(|line| {
            let from = line
                .break_from
                .map_or(String::new(), |from| format!(" (from {from} on)"));
            format!("{} at {} {currency}{from}", line.pieces, money(line.unit_price))
        })
        .collect();
    let sum = |of: fn(&crate::shop::landed::LineCost) -> Decimal| cost.lines.iter().map(of).sum::<Decimal>();
    let mut parts = vec![format!("{} goods", cents(sum(|line| line.goods)))];
    for (amount, what) in [
        (cost.shipping, "shipping"),
        (sum(|line| line.duty), "duty"),
        (sum(|line| line.tax), "tax"),
    ] {
        if !amount.is_zero() {
            parts.push(format!("{} {what}", cents(amount)));
        }
    }
    let rate = match rates.rate(currency) {
        Some(rate) if currency != rates.home => format!("; {rate} {currency} to 1 {}", rates.home),
        _ => String::new(),
    };
    format!(
        "{} = {} = {} {}{rate}",
        lines.join(" and "),
        parts.join(", "),
        cents(cost.total()),
        rates.home
    )
}

/// The same under names; amounts as texts of exact decimals.
pub fn cost_json(cost: &OrderCost, currency: &str, rates: &Rates) -> Value {
    let lines: Vec<Value> = cost
        .lines
        .iter()
        .map(|line| {
            json!({
                "pieces": line.pieces, "unit_price": line.unit_price.to_string(), "currency": currency,
                "break_from": line.break_from, "listed": money(line.listed), "goods": money(line.goods),
                "duty": money(line.duty), "tax": money(line.tax),
            })
        })
        .collect();
    json!({
        "lines": lines, "shipping": money(cost.shipping), "total": money(cost.total()), "home_currency": rates.home,
        "rate": rates.rate(currency).map(|rate| rate.to_string()), "rates_date": rates.date,
        "not_in_the_sum": cost.missing.iter().map(|what| what.as_str()).collect::<Vec<_>>(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::landed::LineCost;

    #[test]
    fn only_the_parts_that_are_there_are_said() {
        let rates = Rates::parse("home = \"EUR\"\ndate = 2026-09-01\n[rates]\nUSD = 1.25\n").unwrap();
        let amount = |text: &str| text.parse::<Decimal>().unwrap();
        let cost = OrderCost {
            lines: vec![LineCost {
                pieces: 10,
                unit_price: amount("8"),
                break_from: Some(10),
                listed: amount("80"),
                goods: amount("64"),
                duty: amount("3.2"),
                tax: Decimal::ZERO,
            }],
            shipping: amount("5"),
            missing: vec!["net or gross not known".into()],
        };
        assert_eq!(
            cost_words(&cost, "USD", &rates),
            "10 at 8.00 USD (from 10 on) = 64.00 goods, 5.00 shipping, 3.20 duty = 72.20 EUR; 1.25 USD to 1 EUR"
        );
        assert_eq!(cost_json(&cost, "USD", &rates)["total"], "72.20");
    }
}
