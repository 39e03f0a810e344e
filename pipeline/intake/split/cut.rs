//! How text is cut: which bytes separate cells and records, and how cells are quoted.

use super::super::list::{Delimiter, DialectGuess, Escape, Gutters};

/// Stands between the cells of a worksheet's row, ASCII unit separator.
pub(crate) const CELL_SEPARATOR: u8 = 0x1F;

/// Stands after each row of a worksheet, ASCII record separator.
pub(crate) const ROW_SEPARATOR: u8 = 0x1E;

/// How text is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cut {
    pub(crate) delimiter: Option<u8>,
    pub(crate) spaced: Spaced,
    pub(crate) quote: Option<u8>,
    pub(crate) escape: Escape,
    /// Where the columns of a print-out part.
    pub(crate) gutters: Option<Gutters>,
    pub(super) ends: [u8; 2],
}

/// Whether spaces after a delimiter belong to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Spaced {
    No,
    Yes,
}

impl Cut {
    /// The cut of a dialect.
    pub(crate) fn of(dialect: &DialectGuess) -> Cut {
        let (delimiter, spaced) = match dialect.delimiter {
            Delimiter::Byte(byte) => (Some(byte), Spaced::No),
            Delimiter::ByteAndSpace(byte) => (Some(byte), Spaced::Yes),
            // a byte that no line holds: the gutters cut
            Delimiter::Columns(_) => (Some(CELL_SEPARATOR), Spaced::No),
            Delimiter::None => (None, Spaced::No),
            Delimiter::Workbook => return Cut::workbook(),
        };
        Cut {
            delimiter,
            spaced,
            quote: dialect.quote,
            escape: dialect.escape,
            gutters: match dialect.delimiter {
                Delimiter::Columns(gutters) => Some(gutters),
                _ => None,
            },
            ends: [b'\n', b'\r'],
        }
    }

    /// A cut by one byte, with quotes doubled.
    #[cfg(test)]
    pub(crate) fn by(delimiter: u8, quote: Option<u8>) -> Cut {
        Cut {
            delimiter: Some(delimiter),
            spaced: Spaced::No,
            quote,
            escape: Escape::Doubled,
            gutters: None,
            ends: [b'\n', b'\r'],
        }
    }

    /// The same with another delimiter.
    pub(crate) fn with_delimiter(&self, delimiter: u8) -> Cut {
        Cut {
            delimiter: Some(delimiter),
            spaced: Spaced::No,
            gutters: None,
            ..*self
        }
    }

    /// The same with another quote.
    pub(crate) fn with_quote(&self, quote: u8) -> Cut {
        Cut {
            quote: Some(quote),
            ..*self
        }
    }

    /// The same with quotes as mere letters.
    pub(crate) fn without_quotes(&self) -> Cut {
        Cut { quote: None, ..*self }
    }

    fn workbook() -> Cut {
        Cut {
            delimiter: Some(CELL_SEPARATOR),
            spaced: Spaced::No,
            quote: None,
            escape: Escape::None,
            gutters: None,
            ends: [ROW_SEPARATOR; 2],
        }
    }

    #[inline]
    pub(super) fn is_end(&self, byte: u8) -> bool {
        byte == self.ends[0] || byte == self.ends[1]
    }

    /// The byte that ends a line, of two the second.
    pub(crate) fn line_end(&self) -> u8 {
        self.ends[0]
    }

    /// Whether line ends are those of text.
    pub(super) fn counts_lines(&self) -> bool {
        self.ends[0] == b'\n'
    }
}
