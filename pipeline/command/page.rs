//! A page of text for people: tables with straight columns, and sentences wrapped to the width.
//!
//! Width: 80 columns, whatever the terminal. No colour: a page is read in a terminal, in a log
//! and on paper alike. Everything a supplier wrote passes through `inert` on its way in.

use crate::publish::terminal::inert;
use std::fmt::Write as _;

/// Columns a sentence is wrapped to.
pub const WIDTH: usize = 80;

/// Which side a column's cells stand on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// words
    Left,
    /// figures
    Right,
}

/// A page being written.
#[derive(Debug, Default)]
pub struct Page {
    text: String,
}

impl Page {
    /// A line as it is.
    pub fn line(&mut self, text: &str) {
        let _ = writeln!(self.text, "{}", inert(text).trim_end());
    }

    /// An empty line, but never two.
    pub fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// A sentence wrapped to the width, its first line at `indent`, the others two further in.
    pub fn sentence(&mut self, indent: usize, text: &str) {
        self.wrapped(&" ".repeat(indent), indent + 2, text);
    }

    /// A label with a text beside it that is wrapped under itself.
    pub fn item(&mut self, indent: usize, label: &str, text: &str) {
        let start = format!("{}{}  ", " ".repeat(indent), inert(label));
        let hanging = start.chars().count();
        self.wrapped(&start, hanging, text);
    }

    fn wrapped(&mut self, start: &str, hanging: usize, text: &str) {
        let mut line = start.to_string();
        let mut used = line.chars().count();
        let mut bare = true;
        for word in inert(text).split_whitespace() {
            let length = word.chars().count();
            if !bare && used + 1 + length > WIDTH {
                let _ = writeln!(self.text, "{line}");
                line = " ".repeat(hanging);
                used = hanging;
                bare = true;
            }
            if !bare {
                line.push(' ');
                used += 1;
            }
            line.push_str(word);
            used += length;
            bare = false;
        }
        let _ = writeln!(self.text, "{}", line.trim_end());
    }

    /// A table: headings, then rows of as many cells. The last column is not filled up.
    pub fn table(&mut self, indent: usize, headings: &[(&str, Side)], rows: &[Vec<String>]) {
        let shown: Vec<Vec<String>> = rows
            .iter()
            .map(|row| row.iter().map(|cell| inert(cell).into_owned()).collect())
            .collect();
        let widths: Vec<usize> = headings
            .iter()
            .enumerate()
            .map(|(at, (heading, _))| {
                let cells = shown
                    .iter()
                    .filter_map(|row| row.get(at))
                    .map(|cell| cell.chars().count());
                cells.chain([heading.chars().count()]).max().unwrap_or(0)
            })
            .collect();
        let names: Vec<String> = headings.iter().map(|(heading, _)| (*heading).to_string()).collect();
        for row in std::iter::once(&names).chain(&shown) {
            let mut line = " ".repeat(indent);
            for (at, cell) in row.iter().enumerate() {
                let fill = " ".repeat(widths[at].saturating_sub(cell.chars().count()));
                match headings[at].1 {
                    Side::Left => line.extend([cell.as_str(), &fill]),
                    Side::Right => line.extend([fill.as_str(), cell]),
                }
                line.push_str("  ");
            }
            let _ = writeln!(self.text, "{}", line.trim_end());
        }
    }

    /// The page.
    pub fn finish(self) -> String {
        self.text
    }
}

/// A word cut to so many signs, with `...` where it was cut.
pub fn cut(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_string();
    }
    let mut short: String = text.chars().take(most.saturating_sub(3)).collect();
    short.push_str("...");
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_straight_and_lines_carry_no_blanks_at_their_end() {
        let mut page = Page::default();
        page.table(
            1,
            &[("no", Side::Right), ("name", Side::Left)],
            &[vec!["7".into(), "ax".into()], vec!["12".into(), "b".into()]],
        );
        assert_eq!(page.finish(), " no  name\n  7  ax\n 12  b\n");
    }

    #[test]
    fn a_sentence_is_wrapped_at_eighty_columns() {
        let mut page = Page::default();
        page.sentence(2, &"word ".repeat(40));
        let text = page.finish();
        assert!(text.lines().count() > 2);
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(text.lines().nth(1).unwrap().starts_with("    word"));
    }

    #[test]
    fn a_text_beside_a_label_is_wrapped_under_itself() {
        let mut page = Page::default();
        page.item(2, "+1.0", &"word ".repeat(30));
        let text = page.finish();
        assert!(text.starts_with("  +1.0  word"));
        assert!(text.lines().nth(1).unwrap().starts_with("        word"));
    }

    #[test]
    fn a_suppliers_escape_sequences_do_nothing() {
        let mut page = Page::default();
        page.sentence(0, "red \u{1b}[31m text\u{202e}");
        page.table(0, &[("x", Side::Left)], &[vec!["a\u{7}\nb".into()]]);
        let text = page.finish();
        assert!(!text.chars().any(|sign| sign.is_control() && sign != '\n'));
        assert!(!text.contains('\u{202e}'));
    }

    #[test]
    fn a_long_word_is_cut_with_a_mark() {
        assert_eq!(cut("abcdefgh", 6), "abc...");
        assert_eq!(cut("abc", 6), "abc");
    }
}
