//! Headers in the form in which they are looked up.

use crate::trade::folding::fold;

/// Runs of single letters drawn together to one word.
pub(super) fn initials_joined(header: &str) -> String {
    let mut joined = String::with_capacity(header.len());
    let mut last_was_initial = false;
    for word in header.split(' ') {
        let initial = word.chars().count() == 1;
        let goes_on = initial && last_was_initial;
        if !joined.is_empty() && !goes_on {
            joined.push(' ');
        }
        joined.push_str(word);
        last_was_initial = initial;
    }
    joined
}

/// Folded, with punctuation as single spaces.
pub(crate) fn normalise(text: &str) -> String {
    let folded = fold(text);
    let mut plain = String::with_capacity(folded.len());
    for letter in folded.chars() {
        if letter.is_alphanumeric() || letter == '%' {
            plain.push(letter);
        } else if letter == '#' {
            // "Mfr #" is the maker's number, not the maker
            plain.push_str(if plain.is_empty() || plain.ends_with(' ') {
                "no"
            } else {
                " no"
            });
        } else if !plain.ends_with(' ') && !plain.is_empty() {
            plain.push(' ');
        }
    }
    plain.truncate(plain.trim_end().len());
    plain
}
