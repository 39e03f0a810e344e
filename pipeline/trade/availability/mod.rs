//! Whether a part is there, and how soon: cells of stock and of lead time, read in the words that lists use.
//!
//! What cannot be read stays unknown; a word that only promises ("on request") is no stock. A bare number in a column
//! of lead times counts days unless the heading says weeks. Words of common use in price lists, no source.

mod lead_time;
mod stock;
mod stock_words;

pub use lead_time::{TimeUnit, read_lead_time};
pub use stock::{Stock, read_stock};

#[cfg(test)]
mod tests;
