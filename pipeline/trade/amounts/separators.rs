//! What stands between the numbers of a chain: marks, and the words for "and" and "to" in the languages of the lists.

/// What joins two numbers.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Separator {
    /// A slash without spaces, the closest of list marks.
    Slash,
    List,
    Range,
    Space,
}

/// Words between the numbers of a list, folded: "and" and "or" of the list languages.
const LIST_WORDS: [&str; 15] = [
    "and", "und", "et", "y", "e", "en", "i", "oraz", "or", "oder", "ou", "o", "of", "lub", "u",
];
/// Words between the ends of a range, folded: "to" of the list languages.
const RANGE_WORDS: [&str; 12] = [
    "to", "bis", "a", "al", "tot", "do", "hasta", "thru", "through", "jusqu'a", "fino", "upto",
];

/// The separator at `at` and where the next number starts; None where no number follows.
pub(super) fn separator_at(text: &str, at: usize) -> Option<(Separator, usize)> {
    let rest = &text[at..];
    let trimmed = rest.trim_start_matches(' ');
    let spaces = rest.len() - trimmed.len();
    let first = trimmed.chars().next()?;
    if first.is_ascii_digit() {
        return (spaces > 0).then_some((Separator::Space, at + spaces));
    }
    let (separator, length) = match first {
        '/' if spaces == 0 && !trimmed[1..].starts_with(' ') => (Separator::Slash, 1),
        '/' | '&' | '+' | ',' | ';' | '|' | '、' => (Separator::List, first.len_utf8()),
        '-' | '~' => (Separator::Range, 1),
        '.' if trimmed.starts_with("..") => (Separator::Range, trimmed.len() - trimmed.trim_start_matches('.').len()),
        _ if first.is_ascii_lowercase() && spaces > 0 => {
            let length = trimmed
                .find(|c: char| !c.is_ascii_lowercase() && c != '\'')
                .unwrap_or(trimmed.len());
            let word = &trimmed[..length];
            if LIST_WORDS.contains(&word) {
                (Separator::List, length)
            } else if RANGE_WORDS.contains(&word) {
                (Separator::Range, length)
            } else {
                return None;
            }
        }
        _ => return None,
    };
    let behind = &trimmed[length..];
    let mut number = behind.trim_start_matches(' ');
    if separator == Separator::List {
        // "163, 196, and 212 cc", "163 and/or 196 cc"
        for word in ["and ", "und ", "et ", "or ", "oder ", "& "] {
            number = number.strip_prefix(word).unwrap_or(number).trim_start_matches(' ');
        }
    }
    number
        .starts_with(|c: char| c.is_ascii_digit())
        .then(|| (separator, text.len() - number.len()))
}
