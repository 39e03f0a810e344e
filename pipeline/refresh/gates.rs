//! The gates: may a supplier's new list take the place of its last good one?
//!
//! A *gate* is one question with a figure and a limit; a list that fails one is *held*, its last good one stands in for
//! it, and figure and limit are told. A gate never mends a list and never judges a single price. A supplier without a
//! last good list has nothing to be compared with and nothing to stand in: its list is taken, and what would have held
//! it is told.
//!
//! The questions, in order: is the list there and readable; has it a date that is still to come; has it shrunk; grown;
//! is a column gone or renamed; has the currency changed; has the level of prices moved; are too many lines rejected.
//! A list that is the same as before although a new one was promised is told as well; there is nothing to hold.

use jiff::civil::Date;

use super::figures::PriceMoves;
use super::gate_limits::{FEW_LINES, FEWEST_PRICES, GateLimits};
use super::state::Figures;

/// What a new list is judged by.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// The last good list; none for a new supplier.
    pub before: Option<&'a Figures>,
    /// The new list.
    pub now: &'a Figures,
    /// How prices moved between them.
    pub moves: PriceMoves,
    /// The limits that hold for the supplier.
    pub limits: &'a GateLimits,
    /// The date of the night.
    pub today: Date,
}

/// The gates that a list fails, each with its figure and its limit; none lets the list through.
pub fn failed_gates(case: Case<'_>) -> Vec<String> {
    let mut failed = Vec::new();
    failed.extend(future_date(case));
    if let Some(before) = case.before {
        failed.extend(size(before, case));
        failed.extend(columns(before, case.now));
        failed.extend(currency(case));
        failed.extend(price_level(case));
    }
    failed.extend(rejects(case));
    failed
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

fn future_date(case: Case<'_>) -> Option<String> {
    let to_come = |date: &&String| date.parse::<Date>().is_ok_and(|date| date > case.today);
    let date = case.now.dates.iter().rfind(to_come)?;
    Some(format!(
        "it is dated {date}, which is still to come; the limit is {}",
        case.today
    ))
}

fn size(before: &Figures, case: Case<'_>) -> Option<String> {
    let (old, new) = (before.lines, case.now.lines);
    let least = old as f64 * (1.0 - case.limits.shrink);
    if (new as f64) < least && old - new > FEW_LINES || new == 0 && old > 0 {
        return Some(format!(
            "it shrank from {old} lines to {new}; the limit is {} less",
            percent(case.limits.shrink)
        ));
    }
    let most = old as f64 * case.limits.growth;
    (new as f64 > most && new > old + FEW_LINES).then(|| {
        format!(
            "it grew from {old} lines to {new}; the limit is {} times as many",
            case.limits.growth
        )
    })
}

fn columns(before: &Figures, now: &Figures) -> Option<String> {
    let mut gone = Vec::new();
    let mut renamed = Vec::new();
    for (field, headers) in &before.columns {
        match now.columns.get(field) {
            None => gone.push(format!("`{field}` ({})", headers.join(", "))),
            Some(new) => {
                // a list without headers has nothing to rename
                let lost = headers
                    .iter()
                    .filter(|header| !header.is_empty() && !new.contains(header));
                renamed.extend(lost.map(|header| format!("`{header}` ({field}) to {}", new.join(", "))));
            }
        }
    }
    if !gone.is_empty() {
        return Some(format!("its column {} is gone; the limit is none", gone.join(", ")));
    }
    (!renamed.is_empty()).then(|| format!("its column {} was renamed; the limit is none", renamed.join(", ")))
}

fn currency(case: Case<'_>) -> Option<String> {
    let moves = case.moves;
    if moves.compared >= FEWEST_PRICES {
        let share = moves.in_another_currency as f64 / moves.compared as f64;
        return (share > case.limits.currency).then(|| {
            format!(
                "{} of {} prices compared are in another currency ({}); the limit is {}",
                moves.in_another_currency,
                moves.compared,
                percent(share),
                percent(case.limits.currency)
            )
        });
    }
    let main = |figures: &Figures| {
        let most = figures.currencies.iter().max_by_key(|(_, count)| **count);
        most.map(|(currency, _)| currency.clone())
    };
    match (case.before.and_then(main), main(case.now)) {
        (Some(old), Some(new)) if old != new => Some(format!("its currency was {old} and is {new}; the limit is none")),
        _ => None,
    }
}

fn price_level(case: Case<'_>) -> Option<String> {
    let ratio = case.moves.median_ratio?;
    let limit = case.limits.price_level;
    let comparable = case.moves.compared - case.moves.in_another_currency >= FEWEST_PRICES;
    (comparable && (ratio > 1.0 + limit || ratio < 1.0 / (1.0 + limit))).then(|| {
        format!(
            "the median price of {} compared is {ratio:.2} times as high; the limit is {} up or down",
            case.moves.compared,
            percent(limit)
        )
    })
}

fn rejects(case: Case<'_>) -> Option<String> {
    let Figures { lines, rejected, .. } = *case.now;
    let share = rejected as f64 / (lines + rejected).max(1) as f64;
    (share > case.limits.rejects && rejected > FEW_LINES).then(|| {
        format!(
            "{rejected} of its {} lines are rejected ({}); the limit is {}",
            lines + rejected,
            percent(share),
            percent(case.limits.rejects)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    fn figures(lines: u64) -> Figures {
        Figures {
            lines,
            offers: lines,
            columns: BTreeMap::from([("price".to_owned(), vec!["price eur".to_owned()])]),
            currencies: BTreeMap::from([("EUR".to_owned(), lines)]),
            ..Figures::default()
        }
    }

    #[track_caller]
    fn told(before: &Figures, now: &Figures, moves: PriceMoves) -> String {
        let limits = GateLimits::default();
        let failed = failed_gates(Case {
            before: Some(before),
            now,
            moves,
            limits: &limits,
            today: jiff::civil::date(2026, 9, 15),
        });
        failed.join("; ")
    }

    #[test]
    fn an_ordinary_night_passes() {
        let moves = PriceMoves {
            compared: 90,
            in_another_currency: 0,
            median_ratio: Some(1.03),
        };
        assert_eq!(told(&figures(100), &figures(92), moves), "");
        assert_eq!(
            told(&figures(3), &figures(1), PriceMoves::default()),
            "",
            "tiny lists may live"
        );
    }

    #[test]
    fn a_list_that_shrank_grew_or_is_empty_is_held() {
        let none = PriceMoves::default();
        assert!(told(&figures(100), &figures(10), none).contains("from 100 lines to 10; the limit is 30 % less"));
        assert!(told(&figures(100), &figures(301), none).contains("grew from 100 lines to 301"));
        assert!(told(&figures(2), &figures(0), none).contains("from 2 lines to 0"));
    }

    #[test]
    fn a_column_gone_or_renamed_holds_the_list() {
        let mut now = figures(100);
        now.columns.insert("price".to_owned(), vec!["price usd".to_owned()]);
        assert!(told(&figures(100), &now, PriceMoves::default()).contains("renamed"));
        now.columns.clear();
        assert!(told(&figures(100), &now, PriceMoves::default()).contains("`price` (price eur) is gone"));
    }

    #[test]
    fn another_currency_or_price_level_holds_the_list() {
        let mut moves = PriceMoves {
            compared: 50,
            in_another_currency: 50,
            median_ratio: None,
        };
        assert!(told(&figures(100), &figures(100), moves).contains("50 of 50 prices compared are in another currency"));
        moves.in_another_currency = 0;
        moves.median_ratio = Some(1.19 * 1.19);
        assert!(told(&figures(100), &figures(100), moves).contains("1.42 times as high; the limit is 25 %"));
        moves.median_ratio = Some(0.5);
        assert!(told(&figures(100), &figures(100), moves).contains("0.50 times"));
        let mut now = figures(100);
        now.currencies = BTreeMap::from([("USD".to_owned(), 100)]);
        assert!(told(&figures(100), &now, PriceMoves::default()).contains("was EUR and is USD"));
    }

    #[test]
    fn too_many_rejects_or_a_date_to_come_hold_the_list() {
        let mut now = figures(100);
        now.rejected = 60;
        assert!(told(&figures(100), &now, PriceMoves::default()).contains("60 of its 160 lines are rejected (38 %)"));
        now.rejected = 0;
        now.dates = vec!["2026-09-01".to_owned(), "2026-12-01".to_owned()];
        assert!(told(&figures(100), &now, PriceMoves::default()).contains("dated 2026-12-01"));
    }
}
