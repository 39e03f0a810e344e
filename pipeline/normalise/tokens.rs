//! Tokens of folded text: words, numbers, mixed codes, single ideographs and the few symbols that carry meaning.
//!
//! A hyphen, apostrophe or dot inside a word joins and makes no token ("pull-start" is two tokens, as "pull start" is);
//! a hyphen with a space beside it is a symbol, because titles separate with it. Every ideograph is a token of its own,
//! so that Chinese terms are found without spaces. A lone letter with a dot is an abbreviation and keeps the dot, since
//! the letter alone is no word: "Starter f. 168F", "Haube m. Starter". Offsets are bytes of the folded text.

/// What a token is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// Letters only.
    Word,
    /// Digits, with points or commas between digits.
    Number,
    /// Letters and digits.
    Mixed,
    /// One Chinese, Japanese or Korean character.
    Ideograph,
    /// One symbol.
    Symbol,
}

/// One token.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Token {
    /// First byte.
    pub start: u32,
    /// Byte after the last.
    pub end: u32,
    /// What it is made of.
    pub class: Class,
}

impl Token {
    /// Its text.
    pub fn text<'t>(&self, folded: &'t str) -> &'t str {
        &folded[self.start as usize..self.end as usize]
    }

    /// Whether it shares a byte with the span.
    pub fn overlaps(&self, span: &std::ops::Range<usize>) -> bool {
        (self.start as usize) < span.end && span.start < self.end as usize
    }
}

const SYMBOLS: &str = ",;:|()[]/+&><!*=•·、。，；：（）【】";

fn is_ideograph(character: char) -> bool {
    matches!(character as u32, 0x3040..=0x30FF | 0x3400..=0x9FFF | 0xAC00..=0xD7AF | 0xF900..=0xFAFF | 0x20000..=0x2FA1F)
}

/// Splits folded text into `tokens`, which is cleared first.
pub fn tokenise(folded: &str, tokens: &mut Vec<Token>) {
    tokens.clear();
    let bytes = folded.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let byte = bytes[at];
        if byte.is_ascii_alphanumeric() {
            at = word(folded, at, tokens);
        } else if byte < 0x80 {
            if is_symbol(bytes, at, tokens) {
                push(tokens, at, at + 1, Class::Symbol);
            }
            at += 1;
        } else {
            at = beyond_ascii(folded, at, tokens);
        }
    }
}

fn push(tokens: &mut Vec<Token>, start: usize, end: usize, class: Class) {
    tokens.push(Token {
        start: start as u32,
        end: end as u32,
        class,
    });
}

fn beyond_ascii(folded: &str, at: usize, tokens: &mut Vec<Token>) -> usize {
    let Some(character) = folded[at..].chars().next() else {
        return folded.len();
    };
    let end = at + character.len_utf8();
    if is_ideograph(character) {
        push(tokens, at, end, Class::Ideograph);
        end
    } else if character.is_alphanumeric() {
        word(folded, at, tokens)
    } else {
        if SYMBOLS.contains(character) {
            push(tokens, at, end, Class::Symbol);
        }
        end
    }
}

/// Reads the word or number that starts at `at`; hands back the byte after it.
fn word(folded: &str, at: usize, tokens: &mut Vec<Token>) -> usize {
    let bytes = folded.as_bytes();
    let (mut letters, mut digits) = (false, false);
    let mut end = at;
    while end < bytes.len() {
        let byte = bytes[end];
        if byte.is_ascii_digit() {
            digits = true;
            end += 1;
        } else if byte.is_ascii_alphabetic() {
            letters = true;
            end += 1;
        } else if byte >= 0x80 {
            let Some(character) = folded[end..].chars().next() else {
                break;
            };
            if !character.is_alphanumeric() || is_ideograph(character) {
                break;
            }
            letters = true;
            end += character.len_utf8();
        } else if digits && !letters && between_digits(bytes, end) {
            end += 1;
        } else {
            break;
        }
    }
    if is_abbreviation(bytes, at, end) {
        end += 1;
    }
    let class = match (letters, digits) {
        (true, true) => Class::Mixed,
        (false, true) => Class::Number,
        _ => Class::Word,
    };
    push(tokens, at, end, class);
    end
}

/// Whether the word from `at` to `end` is one letter with a blank before it, and a dot behind it that ends it.
fn is_abbreviation(bytes: &[u8], at: usize, end: usize) -> bool {
    let begins = at.checked_sub(1).is_none_or(|before| bytes[before] == b' ');
    let letter = end == at + 1 && bytes[at].is_ascii_alphabetic();
    begins && letter && bytes.get(end) == Some(&b'.') && bytes.get(end + 1).is_none_or(|after| *after == b' ')
}

/// Whether the point or comma at `at` stands between two digits.
fn between_digits(bytes: &[u8], at: usize) -> bool {
    matches!(bytes[at], b'.' | b',')
        && at > 0
        && bytes[at - 1].is_ascii_digit()
        && bytes.get(at + 1).is_some_and(u8::is_ascii_digit)
}

/// Whether the ASCII byte at `at` is a symbol that carries meaning where it stands.
fn is_symbol(bytes: &[u8], at: usize, tokens: &[Token]) -> bool {
    match bytes[at] {
        b'-' => {
            let before = at.checked_sub(1).is_none_or(|before| bytes[before] == b' ');
            let after = bytes.get(at + 1).is_none_or(|after| *after == b' ');
            before && after
        }
        b'.' => {
            let after = bytes.get(at + 1).is_none_or(|after| *after == b' ');
            after
                && tokens
                    .last()
                    .is_some_and(|last| last.class == Class::Word && last.end - last.start >= 5)
        }
        byte => SYMBOLS.as_bytes().contains(&byte),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::folding::fold;
    use proptest::prelude::*;

    fn texts(text: &str) -> Vec<String> {
        let folded = fold(text);
        let mut tokens = Vec::new();
        tokenise(&folded, &mut tokens);
        tokens.iter().map(|token| token.text(&folded).to_string()).collect()
    }

    #[test]
    fn a_hyphen_inside_a_word_joins_and_a_free_one_separates() {
        assert_eq!(texts("Pull-Start 168F-2"), ["pull", "start", "168f", "2"]);
        assert_eq!(texts("Starter - rope"), ["starter", "-", "rope"]);
    }

    #[test]
    fn decimals_stay_whole_and_units_stay_glued() {
        assert_eq!(texts("5.5HP, 6,5 PS"), ["5.5hp", ",", "6,5", "ps"]);
    }

    #[test]
    fn ideographs_stand_alone() {
        assert_eq!(texts("168F拉盘"), ["168f", "拉", "盘"]);
    }

    #[test]
    fn a_full_stop_ends_a_sentence_but_not_an_abbreviation() {
        assert_eq!(texts("Starter. With cup"), ["starter", ".", "with", "cup"]);
        assert_eq!(texts("incl. cup"), ["incl", "cup"]);
        assert_eq!(
            texts("Haube m. Starter f. 168F"),
            ["haube", "m.", "starter", "f.", "168f"]
        );
        assert_eq!(texts("196 c.c. M. 3"), ["196", "c", "c", "m.", "3"]);
    }

    proptest! {
        #[test]
        fn spans_are_valid_and_in_order(text in "\\PC*") {
            let folded = fold(&text);
            let mut tokens = Vec::new();
            tokenise(&folded, &mut tokens);
            let mut last = 0;
            for token in &tokens {
                prop_assert!(token.start >= last && token.end > token.start);
                prop_assert!(folded.get(token.start as usize..token.end as usize).is_some());
                last = token.end;
            }
        }
    }
}
