//! What a list says of its stock: so many pieces, some, or none.

use super::stock_words::{NOT_THERE, PIECES, THERE};
use crate::trade::folding::fold;
use std::fmt;

/// What a list says of its stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stock {
    /// So many pieces.
    Pieces(u32),
    /// So many pieces or more.
    AtLeast(u32),
    /// There is some; how much is not said.
    Some,
    /// There is none, or only on order.
    None,
}

impl Stock {
    /// Whether at least one piece is there.
    pub fn is_there(self) -> bool {
        !matches!(self, Stock::None | Stock::Pieces(0))
    }

    /// Pieces that can be counted on; `None` when there is some and no number is said.
    pub fn counted_on(self) -> Option<u32> {
        match self {
            Stock::Pieces(pieces) | Stock::AtLeast(pieces) => Option::Some(pieces),
            Stock::Some => Option::None,
            Stock::None => Option::Some(0),
        }
    }

    /// Reads what [`fmt::Display`] writes: `12`, `10+`, `yes`, `no`.
    pub fn parse(text: &str) -> Option<Stock> {
        match text {
            "yes" => Option::Some(Stock::Some),
            "no" => Option::Some(Stock::None),
            _ => match text.strip_suffix('+') {
                Option::Some(least) => least.parse().ok().map(Stock::AtLeast),
                Option::None => text.parse().ok().map(Stock::Pieces),
            },
        }
    }
}

impl fmt::Display for Stock {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stock::Pieces(pieces) => write!(out, "{pieces}"),
            Stock::AtLeast(pieces) => write!(out, "{pieces}+"),
            Stock::Some => out.write_str("yes"),
            Stock::None => out.write_str("no"),
        }
    }
}

/// Reads a cell of a stock column.
pub fn read_stock(cell: &str) -> Option<Stock> {
    let folded = fold(cell);
    let text = folded.trim().trim_end_matches(['.', '!']);
    if text.is_empty() {
        return Option::None;
    }
    if THERE.contains(&text) {
        return Option::Some(Stock::Some);
    }
    if NOT_THERE.contains(&text) {
        return Option::Some(Stock::None);
    }
    let (least, text) = match text.strip_prefix(['>', '≥', '+']) {
        Option::Some(rest) => (true, rest.trim_start_matches('=').trim_start()),
        Option::None => (false, text),
    };
    let end = text.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(text.len());
    let pieces: u32 = text[..end].parse().ok()?;
    let behind = text[end..].trim();
    let (least, behind) = match behind.strip_prefix('+') {
        Option::Some(rest) => (true, rest.trim()),
        Option::None => (least, behind),
    };
    // "12.0" of a database export is twelve pieces
    let behind = behind.strip_prefix(".0").map_or(behind, |rest| rest.trim_matches('0'));
    PIECES.contains(&behind).then_some(if least {
        Stock::AtLeast(pieces)
    } else {
        Stock::Pieces(pieces)
    })
}
