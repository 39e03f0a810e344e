//! A page of text for people: tables with straight columns, and sentences wrapped to the width.
//!
//! Width: what `COLUMNS` says, else the terminal's, else 80; never less than 60 nor more than 160. Columns are counted as
//! a terminal shows them: a sign of Chinese takes two. Colour only ever repeats what the words say; it is on where stdout
//! is a terminal and `NO_COLOR` (no-color.org) is not set, or as `--color` asks. Everything a supplier wrote passes
//! through `inert` on its way in.

use super::outcome::Failure;
use crate::publish::terminal::inert;
use clap::ValueEnum;
use std::fmt::Write as _;
use std::io::IsTerminal;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns a sentence is wrapped to where nothing else is known.
const WIDTH: usize = 80;
/// Fewest and most columns.
const WIDTHS: std::ops::RangeInclusive<usize> = 60..=160;

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum ColourWhen {
    /// on a terminal, unless NO_COLOR is set
    #[default]
    Auto,
    /// always
    Always,
    /// never
    Never,
}

/// How a page looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// columns
    pub width: usize,
    /// whether lines are coloured
    pub colour: Colour,
}

/// Whether lines are coloured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colour {
    /// plain text
    Off,
    /// escape sequences of ECMA-48
    On,
}

impl Default for Look {
    fn default() -> Look {
        Look {
            width: WIDTH,
            colour: Colour::Off,
        }
    }
}

impl Look {
    /// As stdout, the environment and `--color` ask.
    ///
    /// # Errors
    /// `COLUMNS` is set to something that is no number.
    pub fn of_stdout(when: ColourWhen) -> Result<Look, Failure> {
        let set = |name: &str| environment(name).filter(|value| !value.is_empty());
        let terminal = std::io::stdout().is_terminal();
        let width = match set("COLUMNS") {
            Some(columns) => columns.trim().parse().map_err(|_| {
                Failure::usage(format!("COLUMNS is `{columns}`, expected a number of columns")).hint("unset COLUMNS")
            })?,
            None if terminal => terminal_size::terminal_size().map_or(WIDTH, |size| usize::from(size.0.0)),
            None => WIDTH,
        };
        let colour = match when {
            ColourWhen::Always => Colour::On,
            ColourWhen::Never => Colour::Off,
            ColourWhen::Auto if terminal && set("NO_COLOR").is_none() => Colour::On,
            ColourWhen::Auto => Colour::Off,
        };
        Ok(Look {
            width: width.clamp(*WIDTHS.start(), *WIDTHS.end()),
            colour,
        })
    }
}

#[expect(clippy::disallowed_methods, reason = "how a terminal looks bears on no result")]
fn environment(name: &str) -> Option<String> {
    std::env::var(name).ok()
}

/// What a line is, for its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Style {
    /// text
    #[default]
    Plain,
    /// the name of a part of the page
    Heading,
    /// good news
    Good,
    /// what to look at before acting
    Caution,
    /// by the way
    Quiet,
}

impl Style {
    /// The parameter of SGR, ECMA-48 8.3.117.
    const fn code(self) -> &'static str {
        match self {
            Style::Plain => "",
            Style::Heading => "1",
            Style::Good => "32",
            Style::Caution => "33",
            Style::Quiet => "2",
        }
    }
}

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
    look: Look,
    style: Style,
}

impl Page {
    /// A page of this look.
    pub fn of(look: Look) -> Page {
        Page {
            look,
            ..Page::default()
        }
    }

    /// What follows is of this style, until the next call.
    pub fn style(&mut self, style: Style) -> &mut Page {
        self.style = style;
        self
    }

    /// A line as it is.
    pub fn line(&mut self, text: &str) {
        self.put(inert(text).trim_end());
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
        let hanging = start.width();
        self.wrapped(&start, hanging, text);
    }

    fn wrapped(&mut self, start: &str, hanging: usize, text: &str) {
        let mut line = start.to_string();
        let mut used = line.width();
        let mut bare = true;
        for word in inert(text).split_whitespace() {
            let length = word.width();
            if !bare && used + 1 + length > self.look.width {
                self.put(&line);
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
        self.put(line.trim_end());
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
                let cells = shown.iter().filter_map(|row| row.get(at)).map(|cell| cell.width());
                cells.chain([heading.width()]).max().unwrap_or(0)
            })
            .collect();
        let names: Vec<String> = headings.iter().map(|(heading, _)| (*heading).to_string()).collect();
        let style = self.style;
        self.style = Style::Quiet;
        for row in std::iter::once(&names).chain(&shown) {
            let mut line = " ".repeat(indent);
            for (at, cell) in row.iter().enumerate() {
                let fill = " ".repeat(widths[at].saturating_sub(cell.width()));
                match headings[at].1 {
                    Side::Left => line.extend([cell.as_str(), &fill]),
                    Side::Right => line.extend([fill.as_str(), cell]),
                }
                line.push_str("  ");
            }
            self.put(line.trim_end());
            self.style = style;
        }
    }

    /// A finished line in the style of the page.
    fn put(&mut self, line: &str) {
        let code = self.style.code();
        // writing to a string cannot fail
        let _ = if self.look.colour == Colour::On && !code.is_empty() && !line.is_empty() {
            writeln!(self.text, "\u{1b}[{code}m{line}\u{1b}[0m")
        } else {
            writeln!(self.text, "{line}")
        };
    }

    /// Columns of the page.
    pub fn width(&self) -> usize {
        self.look.width
    }

    /// The page.
    pub fn finish(self) -> String {
        self.text
    }
}

/// A text cut to so many columns, with `...` where it was cut.
pub fn cut(text: &str, most: usize) -> String {
    if text.width() <= most {
        return text.to_string();
    }
    let mut short = String::new();
    let mut used = 3;
    for sign in text.chars() {
        used += sign.width().unwrap_or(0);
        if used > most {
            break;
        }
        short.push(sign);
    }
    short.push_str("...");
    short
}

#[cfg(test)]
#[path = "page_tests.rs"]
mod tests;
