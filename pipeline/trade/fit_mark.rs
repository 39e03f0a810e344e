//! Lists that give each engine a column and mark the parts that fit it: `168F` over cells of `X` and nothing.

use super::engine_code::read_codes;
use super::folding::fold;

/// Cells that say "fits", folded. Common use, no source.
const MARKS: [&str; 18] = [
    "x", "✓", "✔", "☑", "•", "●", "√", "ja", "yes", "y", "oui", "si", "sim", "tak", "ano", "evet", "да", "是",
];
/// Cells that say that it does not.
const BLANKS: [&str; 11] = ["-", "–", "—", "no", "nein", "nej", "non", "nee", "nie", "ne", "нет"];

/// Whether a cell marks a part as fitting what its column is headed with.
pub fn is_fit_mark(cell: &str) -> bool {
    let cell = cell.trim();
    cell.len() <= 8 && MARKS.contains(&&*fold(cell))
}

/// Whether it marks a part as not fitting.
pub fn is_no_fit_mark(cell: &str) -> bool {
    let cell = cell.trim();
    cell.is_empty() || cell.len() <= 8 && BLANKS.contains(&&*fold(cell))
}

/// Whether a heading is the designation of an engine, or of several, and nothing else.
pub fn is_engine_heading(heading: &str) -> bool {
    let folded = fold(heading);
    let codes = read_codes(&folded);
    let outside = |at: usize| !codes.iter().any(|code| code.span.contains(&at));
    let mut letters = folded.char_indices().filter(|(_, letter)| letter.is_alphanumeric());
    !codes.is_empty() && !letters.any(|(at, _)| outside(at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_of_engines_are_told_from_others() {
        for heading in ["168F", "1P70F", " 168F-2 ", "168F / 170F", "(188F)"] {
            assert!(is_engine_heading(heading), "{heading}");
        }
        for heading in ["168F EUR", "Engine", "M6", "3 holes", "", "Price"] {
            assert!(!is_engine_heading(heading), "{heading}");
        }
    }

    #[test]
    fn marks_are_told_from_words() {
        assert!(["x", "X", " ✓", "Ja", "yes"].into_iter().all(is_fit_mark));
        assert!(!["", "no", "12", "M6", "XL"].into_iter().any(is_fit_mark));
        assert!(["", " ", "-", "nein"].into_iter().all(is_no_fit_mark));
    }
}
