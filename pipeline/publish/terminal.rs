//! Making a supplier's text harmless on a terminal.
//!
//! A listing may carry escape sequences that recolour, overwrite or answer back, and direction marks
//! that show a number back to front. Printed through [`inert`] it is words only. The tables keep the
//! text as it came; this is for talk.

use std::borrow::Cow;

/// The text without control characters (escape among them), direction marks and invisible joiners;
/// line ends and tabs become spaces. Doing it twice changes nothing.
pub fn inert(text: &str) -> Cow<'_, str> {
    // plain letters and signs, as in most texts, are told byte by byte
    if text.bytes().all(|byte| (b' '..=b'~').contains(&byte))
        || !text.chars().any(|letter| is_space_like(letter) || is_active(letter))
    {
        return Cow::Borrowed(text);
    }
    let shown = text.chars().filter_map(|letter| {
        if is_space_like(letter) {
            Some(' ')
        } else if is_active(letter) {
            None
        } else {
            Some(letter)
        }
    });
    Cow::Owned(shown.collect())
}

fn is_space_like(letter: char) -> bool {
    matches!(
        letter,
        '\t' | '\n' | '\r' | '\u{0B}' | '\u{0C}' | '\u{85}' | '\u{2028}' | '\u{2029}'
    )
}

/// Control characters, and the marks of Unicode's bidirectional algorithm (UAX #9) with the other
/// invisible formatting characters.
fn is_active(letter: char) -> bool {
    letter.is_control()
        || matches!(letter,
            '\u{00AD}' | '\u{061C}' | '\u{180E}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}' | '\u{E0000}'..='\u{E007F}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_words_are_handed_back_untouched() {
        assert!(matches!(inert("Démarreur 163 cm³ 50 €"), Cow::Borrowed(_)));
    }

    #[test]
    fn escape_sequences_lose_their_escape() {
        assert_eq!(
            inert("\u{1b}[2J\u{1b}]0;owned\u{7}starter\u{9b}31m"),
            "[2J]0;ownedstarter31m"
        );
    }

    #[test]
    fn direction_marks_go_and_lines_join() {
        assert_eq!(inert("A\u{202E}21\u{202C}\r\nB\tC\u{200B}D"), "A21  B CD");
    }

    #[test]
    fn doing_it_twice_changes_nothing() {
        let hostile = "\u{1b}\u{1b}[0m\u{2066}x\u{2028}y\0";
        let once = inert(hostile).into_owned();
        assert_eq!(inert(&once), once);
    }
}
