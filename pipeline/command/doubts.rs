//! What makes a list look misunderstood once a build is done. A list of which little was understood must not hide behind
//! the good ones.

use std::collections::BTreeMap;

use crate::normalise::Scope;
use crate::publish::{CrossrefRow, SupplierRow};

/// Share of a list's lines above which its rejects are told by its name; the gate `rejects` of a night by default.
const LIST_REJECTED: f64 = 0.2;
/// Lines below which a share says nothing of a list.
const FEW_LINES: u64 = 10;
/// What to look at first.
const LOOK: &str = "samefit onboard FILE shows how the list was read";

/// One doubt about a list.
#[derive(Debug, PartialEq)]
pub struct Doubt {
    pub message: String,
    pub hint: String,
    /// Whether it makes the build end with a warning.
    pub warns: bool,
}

/// The doubts about the lists of a build, in their order. Lists of any goods need no prices: they may be linked alone.
pub fn doubts(lists: &[SupplierRow], offers: &[CrossrefRow], scope: Scope, reject_limit: f64) -> Vec<Doubt> {
    let mut priced: BTreeMap<&str, u64> = BTreeMap::new();
    for offer in offers.iter().filter(|offer| offer.unit_price.is_some()) {
        *priced.entry(&offer.source_file).or_default() += 1;
    }
    let priced = |list: &SupplierRow| match scope {
        Scope::Fit => priced.get(&*list.source_name()).copied(),
        Scope::Generic => Some(list.offers),
    };
    let of_list = |list: &SupplierRow| about(list, priced(list), reject_limit);
    lists.iter().filter_map(of_list).collect()
}

fn about(list: &SupplierRow, priced: Option<u64>, reject_limit: f64) -> Option<Doubt> {
    if list.read < FEW_LINES {
        return None;
    }
    let name = list.source_name();
    if list.rejected as f64 / list.read as f64 > LIST_REJECTED.max(reject_limit) {
        return Some(Doubt {
            message: format!("{} of {} lines of {name} were rejected", list.rejected, list.read),
            hint: format!("see rejects.csv; {LOOK}"),
            warns: true,
        });
    }
    let message = match (list.offers, priced) {
        (0, _) => format!("none of the {} lines of {name} became an offer", list.read),
        (offers, None) => format!("none of the {offers} offers of {name} has a price"),
        (_, Some(_)) => return None,
    };
    // a list of other goods, or one of numbers alone, is odd and not wrong
    Some(Doubt {
        message,
        hint: LOOK.to_string(),
        warns: false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(read: u64, offers: u64, rejected: u64) -> SupplierRow {
        SupplierRow {
            file: "own.csv".into(),
            read,
            offers,
            rejected,
            ..SupplierRow::default()
        }
    }

    fn offer(price: Option<&str>) -> CrossrefRow {
        CrossrefRow {
            source_file: "own.csv".into(),
            unit_price: price.map(|price| price.parse().unwrap()),
            ..CrossrefRow::default()
        }
    }

    fn told(list: SupplierRow, offers: &[CrossrefRow], limit: f64) -> Vec<(String, bool)> {
        let doubts = doubts(&[list], offers, Scope::Fit, limit);
        doubts.into_iter().map(|doubt| (doubt.message, doubt.warns)).collect()
    }

    #[test]
    fn a_list_much_of_which_was_rejected_is_told_by_name() {
        let priced = [offer(Some("9.90"))];
        let told_of = told(list(88, 37, 51), &priced, 0.05);
        assert_eq!(told_of, [("51 of 88 lines of own.csv were rejected".to_string(), true)]);
        assert_eq!(told(list(88, 80, 8), &priced, 0.05), []);
        assert_eq!(told(list(4, 1, 3), &priced, 0.05), []);
        // who allows more is not told
        assert_eq!(told(list(88, 37, 51), &priced, 0.6), []);
    }

    #[test]
    fn a_list_without_an_offer_or_without_a_price_is_told_and_is_no_failure() {
        let none = told(list(40, 0, 0), &[], 0.05);
        assert_eq!(
            none,
            [("none of the 40 lines of own.csv became an offer".to_string(), false)]
        );
        let unpriced = told(list(40, 30, 0), &[offer(None)], 0.05);
        assert_eq!(
            unpriced,
            [("none of the 30 offers of own.csv has a price".to_string(), false)]
        );
        assert_eq!(told(list(40, 30, 0), &[offer(None), offer(Some("1"))], 0.05), []);
    }
}
