//! The letters that a supplier puts in front of every number ("VL-28400"), and numbers without them.

use std::collections::BTreeMap;

/// Numbers a list must show before its habits are looked at.
pub(super) const ENOUGH: usize = 20;
/// Share of a list's numbers that must carry a prefix before it is taken for the supplier's own.
const PREFIX_SHARE: f64 = 0.8;
/// Longest prefix, in characters.
pub(super) const PREFIX_LENGTH: usize = 4;
/// Shortest number that may stand without its prefix.
pub(super) const BARE_LENGTH: usize = 5;

/// A number without a house prefix, when it carries one and enough is left.
pub(super) fn bare<'a>(number: &'a str, prefixes: &[String; 2]) -> Option<&'a str> {
    let some = prefixes.iter().filter(|p| !p.is_empty());
    let mut without = some.filter_map(|p| number.strip_prefix(p.as_str()));
    without.find(|bare| bare.len() >= BARE_LENGTH)
}

/// The longest run of letters that most numbers of a list begin with, empty when there is none.
pub(super) fn house_prefix(numbers: &[&str]) -> String {
    let mut prefix = String::new();
    if numbers.len() < ENOUGH {
        return prefix;
    }
    for length in 1..=PREFIX_LENGTH {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for n in numbers
            .iter()
            .filter_map(|n| n.get(..length))
            .filter(|p| p.bytes().all(|b| b.is_ascii_alphabetic()))
        {
            *counts.entry(n).or_default() += 1;
        }
        match counts.into_iter().max_by_key(|c| c.1) {
            Some((p, n)) if n as f64 >= PREFIX_SHARE * numbers.len() as f64 => prefix = p.to_string(),
            _ => break,
        }
    }
    prefix
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_in_front_of_nearly_all_numbers_are_the_suppliers_own() {
        let numbers: Vec<String> = (0..30).map(|i| format!("VL{}", 28400 + i * 7)).collect();
        let borrowed: Vec<&str> = numbers.iter().map(String::as_str).collect();
        assert_eq!(house_prefix(&borrowed), "VL");
    }

    #[test]
    fn a_short_list_has_no_house_prefix() {
        assert_eq!(house_prefix(&["VL28400", "VL28401"]), "");
    }
}
