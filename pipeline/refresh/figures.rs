//! What the gates measure of a supplier's lists, and how its prices moved since they were last taken.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use jiff::civil::Date;
use regex::Regex;

use super::state::{Figures, KnownOffer};
use crate::intake::{ColumnMap, Field, MappedBy};
use crate::normalise::list_read::ListRead;
use crate::trade::folding::fold;
use crate::trade::pattern::fixed;

/// The figures of a supplier's lists.
pub fn figures_of(lists: &[ListRead]) -> Figures {
    let mut figures = Figures::default();
    for list in lists {
        figures.offers += list.offers.len() as u64;
        figures.lines += (list.offers.len() + list.set_aside.len()) as u64;
        figures.rejected += list.rejects.len() as u64;
        // what a column looks like may change from night to night; what its header says may not
        let by_word = |column: &&ColumnMap| column.field != Field::Ignored && column.how != MappedBy::Values;
        for column in list.head.columns.iter().filter(by_word) {
            let headers = figures.columns.entry(column.field.name().to_owned()).or_default();
            headers.push(header_words(&column.header));
        }
        for offer in &list.offers {
            if let Some(currency) = offer.price.as_ref().and_then(|price| price.currency) {
                *figures.currencies.entry(currency.to_string()).or_default() += 1;
            }
        }
        figures.dates.extend(dates_in(&list.head.file));
        let stated = list.head.statements.stated_at.iter();
        figures.dates.extend(stated.flat_map(|stated| dates_in(&stated.text)));
    }
    for headers in figures.columns.values_mut() {
        headers.sort();
        headers.dedup();
    }
    figures.dates.sort();
    figures.dates.dedup();
    figures
}

/// A header without its digits, which may be the date or year of a price.
fn header_words(header: &str) -> String {
    let folded = fold(header);
    let letters: String = folded
        .chars()
        .filter(|sign| sign.is_alphabetic() || *sign == ' ')
        .collect();
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The dates a text holds, as YYYY-MM-DD; a month stands for its first day.
fn dates_in(text: &str) -> Vec<String> {
    static YEAR_FIRST: LazyLock<Regex> =
        LazyLock::new(|| fixed(r"(?:^|[^0-9])(20[0-9]{2})[-_./]?([01][0-9])(?:[-_./]?([0-3][0-9]))?(?:[^0-9]|$)"));
    static DAY_FIRST: LazyLock<Regex> =
        LazyLock::new(|| fixed(r"(?:^|[^0-9])([0-3]?[0-9])[./-]([01]?[0-9])[./-](20[0-9]{2})(?:[^0-9]|$)"));
    let mut found = Vec::new();
    for caught in YEAR_FIRST.captures_iter(text) {
        let day = caught.get(3).map_or("1", |day| day.as_str());
        found.extend(date(&caught[1], &caught[2], day));
    }
    for caught in DAY_FIRST.captures_iter(text) {
        found.extend(date(&caught[3], &caught[2], &caught[1]));
    }
    found
}

fn date(year: &str, month: &str, day: &str) -> Option<String> {
    let date = Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?).ok()?;
    Some(date.to_string())
}

/// How a supplier's prices moved, over the numbers listed once before and once now.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PriceMoves {
    /// Prices compared.
    pub compared: usize,
    /// Of those, prices in another currency than before.
    pub in_another_currency: usize,
    /// Median of new price through old price, of those in the same currency.
    pub median_ratio: Option<f64>,
}

/// Compares today's prices of a supplier with those known; `known` are its offers in the ledger.
pub fn price_moves(known: &[KnownOffer], lists: &[ListRead]) -> PriceMoves {
    let mut before: BTreeMap<&str, Option<&KnownOffer>> = BTreeMap::new();
    for offer in known.iter().filter(|offer| offer.listed && !offer.sku.is_empty()) {
        let once = before.entry(&offer.sku);
        once.and_modify(|twice| *twice = None).or_insert(Some(offer));
    }
    let mut moves = PriceMoves::default();
    let mut ratios = Vec::new();
    for offer in lists.iter().flat_map(|list| &list.offers) {
        let Some(old) = before
            .get(offer.sku.as_str())
            .copied()
            .flatten()
            .and_then(KnownOffer::price)
        else {
            continue;
        };
        let (Some(old_price), Some(new)) = (old.price, &offer.price) else {
            continue;
        };
        moves.compared += 1;
        if new
            .currency
            .is_none_or(|currency| currency.to_string() != old.currency.as_str())
        {
            moves.in_another_currency += 1;
        } else if let (Ok(old), Ok(new)) = (f64::try_from(old_price), f64::try_from(new.unit_price))
            && old > 0.0
            && new > 0.0
        {
            ratios.push(new / old);
        }
    }
    ratios.sort_by(f64::total_cmp);
    moves.median_ratio = ratios.get(ratios.len() / 2).copied();
    moves
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_found_in_names_and_sentences() {
        assert_eq!(dates_in("north-2026-09.csv"), ["2026-09-01"]);
        assert_eq!(dates_in("north_20260915.csv"), ["2026-09-15"]);
        assert_eq!(dates_in("Preise netto, gültig ab 1.12.2026"), ["2026-12-01"]);
        assert!(dates_in("article 20269915, 12.50 EUR").is_empty());
        assert!(dates_in("2026-13-01").is_empty());
    }

    #[test]
    fn a_header_is_the_same_though_its_date_moved_on() {
        assert_eq!(header_words("Price EUR (09/2026)"), header_words("Price EUR (10/2026)"));
        assert_ne!(header_words("Price EUR"), header_words("Price USD"));
    }
}
