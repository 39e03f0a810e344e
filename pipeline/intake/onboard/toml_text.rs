//! Texts of a list made fit to stand in a TOML file, whatever they hold.

use std::fmt::Write;

/// A TOML basic string.
pub(super) fn quoted(text: &str) -> String {
    let mut own = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => own.push_str("\\\""),
            '\\' => own.push_str("\\\\"),
            '\t' => own.push_str("\\t"),
            '\n' => own.push_str("\\n"),
            '\r' => own.push_str("\\r"),
            letter if letter.is_control() => {
                let _ = write!(own, "\\u{:04X}", u32::from(letter));
            }
            letter => own.push(letter),
        }
    }
    own.push('"');
    own
}

/// Text fit for a comment: no line end can leave it.
pub(super) fn comment(text: &str) -> String {
    text.chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect()
}
