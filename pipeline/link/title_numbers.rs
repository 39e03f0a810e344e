//! Known part numbers that stand in a title, however they are spaced there.

use super::house_prefix::{BARE_LENGTH, PREFIX_LENGTH, bare};
use crate::trade::identifier::canonical_number;
use compact_str::CompactString;
use rustc_hash::FxHashSet;

/// Words that one spaced number may take in a title.
const MOST_WORDS: usize = 4;
/// Longest number, in characters.
const LONGEST: usize = 24;

/// Known numbers that stand in a title, also where spaces took the place of the dashes ("SP52 0457 ZB"). Of
/// two that begin alike the longer is meant.
pub(super) fn numbers_in_title(
    title: &str,
    known: &FxHashSet<CompactString>,
    prefixes: &[String; 2],
) -> Vec<CompactString> {
    let words: Vec<&str> = title
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | ':' | '"'))
        .filter(|w| !w.is_empty())
        .collect();
    let mut found: Vec<CompactString> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let longest = (1..=MOST_WORDS.min(words.len() - at)).rev().find_map(|count| {
            let number = joined(&words[at..at + count])?;
            let known = |n: &str| known.contains(n).then(|| CompactString::from(n));
            let whole = known(&number).or_else(|| known(bare(&number, prefixes)?))?;
            Some((count, whole))
        });
        match longest {
            Some((count, number)) => {
                if !found.contains(&number) {
                    found.push(number);
                }
                at += count;
            }
            None => at += 1,
        }
    }
    found
}

/// Words put together as one number; `None` where they cannot be one.
fn joined(words: &[&str]) -> Option<CompactString> {
    let has_digit = |word: &str| word.bytes().any(|b| b.is_ascii_digit());
    let length: usize = words.iter().map(|w| w.len()).sum();
    if !(BARE_LENGTH..=LONGEST).contains(&length) || !words.iter().any(|w| has_digit(w)) {
        return None;
    }
    // a piece of a number without digits is a short mark, not a word of the title
    if words.len() > 1 && words.iter().any(|w| !has_digit(w) && w.len() > PREFIX_LENGTH) {
        return None;
    }
    Some(canonical_number(&words.concat())).filter(|n| n.len() >= BARE_LENGTH)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known(numbers: &[&str]) -> FxHashSet<CompactString> {
        numbers.iter().map(|n| canonical_number(n)).collect()
    }

    fn none() -> [String; 2] {
        Default::default()
    }

    #[test]
    fn a_plain_number_in_a_title_is_known_by_another_lists_column() {
        let known = known(&["029794", "SP520457"]);
        assert_eq!(
            numbers_in_title("Lanceur pour 168F 029-794, rouge", &known, &none()).len(),
            1
        );
        assert_eq!(numbers_in_title("Recoil starter SP52 0457", &known, &none()).len(), 1);
        assert!(numbers_in_title("Recoil starter 168F 196 cc", &known, &none()).is_empty());
    }

    #[test]
    fn a_number_in_three_pieces_is_one_number_and_the_longer_one_is_meant() {
        let known = known(&["RVN5241733", "RVN52417", "RVN5241733ZA"]);
        assert_eq!(
            numbers_in_title("Starter RVN52 417 33 ZA, red", &known, &none()),
            ["RVN5241733ZA"]
        );
        assert_eq!(
            numbers_in_title("Starter RVN52 417 33, red", &known, &none()),
            ["RVN5241733"]
        );
    }

    #[test]
    fn a_number_in_a_title_is_known_without_the_house_prefix() {
        let known = known(&["040405H"]);
        assert_eq!(
            numbers_in_title("Avviamento JB-04.04.05H", &known, &["JB".to_string(), String::new()]),
            ["040405H"]
        );
    }
}
