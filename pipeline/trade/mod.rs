//! Facts of the trade, each with its source: units, threads, heads, clearances, bolt patterns,
//! engine designations, identifiers and money, and the readers that find them in text.
//!
//! A reader takes folded text ([`folding::fold`]) and hands back *readings*: byte spans of that
//! text with intervals and sets. What the text leaves open stays open: two meanings are two
//! entries, a rounded figure is an interval as wide as its last digit. Nothing here does I/O,
//! and nothing decides whether two parts fit; that is for the stages above.
//!
//! Order of the imports inside the folder, lowest first: interval, pattern, folding; numerals,
//! lexing, units; wording (pieces) and amounts (lists with a unit); then the tables and the readers.

pub mod amounts;
pub mod availability;
pub mod bolt_pattern;
pub mod cautions;
pub mod clearances;
pub mod country;
pub mod currency;
pub mod damage;
pub mod displacement;
pub mod engine_code;
pub mod fastener;
mod fastener_sizes;
pub mod fastener_words;
pub mod fit_mark;
pub mod folding;
pub mod gtin;
pub mod heads;
pub mod hole_count;
pub mod identifier;
pub mod interval;
pub mod lexing;
pub mod model_code;
pub mod money;
pub mod numerals;
pub mod pack_quantity;
pub mod part_number;
pub mod pattern;
pub mod power;
pub mod sale_unit;
pub mod size_class;
pub mod spacing;
pub mod spacing_words;
pub mod swept_volume;
pub mod thread_set;
pub mod threads;
pub mod units;
pub mod wording;

/// Where a text stands in a supplier's list, which decides how much a bare number may mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Context {
    /// A cell of a column whose meaning is known: a bare number is a value of that column.
    Column,
    /// Running text such as a title: a number needs a unit or a word that says what it is.
    Title,
}

#[cfg(test)]
mod reader_properties;
