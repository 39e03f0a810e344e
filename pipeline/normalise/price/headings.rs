//! What the heading of a price column says: the quantity the price holds from, the currency, per piece or per pack.

use crate::trade::folding::fold;
use crate::trade::money::{Currency, read_currency_mark};

/// The quantity in a price heading: "Price 10+", "from 50", "ab 10 Stück".
pub fn quantity_in(heading: &str) -> Option<u32> {
    let folded = fold(heading);
    let mut number: Option<u32> = None;
    for word in folded
        .split(|character: char| !character.is_ascii_digit())
        .filter(|word| !word.is_empty())
    {
        if number.is_some() {
            return None;
        }
        number = word.parse().ok();
    }
    let marked = folded.contains('+')
        || folded.contains(">=")
        || [
            "from", "ab", "des", "desde", "da", "vanaf", "od", "qty", "stk", "pcs", "x",
        ]
        .iter()
        .any(|word| contains_words(&folded, word));
    number.filter(|number| marked && *number > 1)
}

/// The currency named in a heading, whole or as one of its words.
pub fn currency_in(heading: &str) -> Option<Currency> {
    let sure = |text: &str| read_currency_mark(text).map(|(currency, _)| currency);
    let words = heading.split(|character: char| {
        character.is_whitespace()
            || matches!(
                character,
                '(' | ')' | '[' | ']' | '/' | ',' | ':' | ';' | '.' | '-' | '_'
            )
    });
    let mut candidates = words.filter(|word| !word.is_empty() && is_currency_word(word));
    candidates.find_map(sure)
}

/// A code of three letters, or a symbol: other words of a heading ("net", "pro") are not asked.
fn is_currency_word(word: &str) -> bool {
    let upper = word.len() == 3 && word.bytes().all(|byte| byte.is_ascii_uppercase());
    let symbol = word.chars().any(|character| "€$£¥".contains(character));
    let named = [
        "euro", "zl", "zł", "kc", "kč", "kr", "rmb", "元", "usd", "eur", "gbp", "pln", "cny", "czk", "chf", "sek",
    ];
    upper || symbol || named.contains(&word.to_lowercase().as_str())
}

/// Whether `text` contains `words` with no letter or digit directly on either side. Words that begin or end with a
/// symbol stand anywhere.
pub fn contains_words(text: &str, words: &str) -> bool {
    let letter = |character: Option<char>| character.is_some_and(char::is_alphanumeric);
    text.match_indices(words).any(|(at, _)| {
        let before = letter(words.chars().next()) && letter(text[..at].chars().next_back());
        let after = letter(words.chars().next_back()) && letter(text[at + words.len()..].chars().next());
        !before && !after
    })
}
