//! What a run knew: enough to compare the next night with it, to carry its ids on and to stand in for a list that is held.
//!
//! Two files per run, written before the run is published and never changed: the *note*, small, in JSON, for the night
//! on which nothing changed; and the *ledger*, one entry per offer ever seen and still remembered. Which run's state
//! holds is decided by the output's pointer, so that what is published and what is known cannot part.
//!
//! A state of another format is refused rather than misread: ids and prices would be lost in silence.

use std::collections::BTreeMap;

use compact_str::CompactString;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::store::Store;
use crate::publish::PublishError;

/// Raised when an older program would misread what is written.
pub const FORMAT: u32 = 1;
/// Strength of compression of the ledger.
const ZSTD_LEVEL: i32 = 3;

/// The small part: lists and how the run ended.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Note {
    /// Format of note and ledger.
    pub format: u32,
    /// Name of the run.
    pub run: String,
    /// Its date.
    pub date: String,
    /// Digest of everything that bore on it.
    pub fingerprint: String,
    /// First date on which the same lists might be judged otherwise: a new one is overdue, a date is no longer to come.
    pub judge_again: Option<String>,
    /// Whether it ended with a warning.
    pub warned: bool,
    /// One sentence per warning.
    pub warnings: Vec<String>,
    /// Suppliers and the lists that stand for them.
    pub suppliers: BTreeMap<String, Standing>,
    /// Counts told to monitoring.
    pub counts: BTreeMap<String, u64>,
}

/// The lists that stand for a supplier.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Standing {
    /// The files, in order of their names.
    pub files: Vec<FileStanding>,
    /// What the gates measure of them.
    pub figures: Figures,
    /// Date since which the lists are as they are.
    pub since: String,
    /// Why newer ones were held back, if they were.
    pub held: Option<HeldNote>,
    /// Date of an acceptance by name, if the lists stand because of one.
    pub accepted: Option<String>,
}

/// A list held back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HeldNote {
    /// Date since which lists are held.
    pub since: String,
    /// Figure and limit, in words.
    pub words: String,
}

/// One file of a supplier.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FileStanding {
    /// Name shown.
    pub shown: String,
    /// Name of the file.
    pub name: String,
    /// SHA-256 of its bytes, in hexadecimal digits.
    pub sha256: String,
    /// The metadata file that lay beside it.
    pub metadata: Option<String>,
    /// Name its supplier was given by the source.
    pub called: Option<String>,
}

/// What the gates measure of a supplier's lists.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Figures {
    /// Offers and lines set aside.
    pub lines: u64,
    /// Offers.
    pub offers: u64,
    /// Lines rejected.
    pub rejected: u64,
    /// Fields that columns were taken for, each with its headers; digits, which may be dates, are left out.
    pub columns: BTreeMap<String, Vec<String>>,
    /// Priced offers by currency.
    pub currencies: BTreeMap<String, u64>,
    /// Dates that the files' names and price statements hold.
    pub dates: Vec<String>,
}

/// The large part: offers, groups and ids.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Ledger {
    /// Offers, in the order of their keys.
    pub offers: Vec<KnownOffer>,
    /// Groups of the run by id.
    pub groups: BTreeMap<CompactString, KnownGroup>,
    /// Numbers that products of the run replace, by product id; products that replace none are left out.
    pub replaces: BTreeMap<CompactString, String>,
    /// What became of ids, oldest first.
    pub ids: Vec<IdEvent>,
}

/// One offer as last seen.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct KnownOffer {
    /// Supplier.
    pub supplier: CompactString,
    /// Its number for the line.
    pub sku: CompactString,
    /// Its wording.
    pub title: String,
    /// Pieces in the pack.
    pub pack: u32,
    /// Product it was last in.
    pub product: CompactString,
    /// Group it was last in.
    pub group: CompactString,
    /// Confidence of the group.
    pub confidence: f64,
    /// Delivered price of one piece.
    pub landed: Option<Decimal>,
    /// Whether it was listed in the run.
    pub listed: bool,
    /// Date it was last listed.
    pub last_seen: CompactString,
    /// Its prices, oldest first; the last holds.
    pub prices: Vec<PricePoint>,
}

/// A price and since when it holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PricePoint {
    /// First date.
    pub since: CompactString,
    /// Price of one piece; none where the offer had none or was gone.
    pub price: Option<Decimal>,
    /// Currency.
    pub currency: CompactString,
    /// Whether it was listed.
    pub listed: bool,
}

/// One group as published.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct KnownGroup {
    /// Its name.
    pub name: String,
    /// Its cheapest delivered price.
    pub cheapest: Option<Decimal>,
    /// Who sold it.
    pub supplier: CompactString,
}

/// Something that became of an id.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct IdEvent {
    /// Date of the run.
    pub date: CompactString,
    /// `group` or `product`.
    pub names: CompactString,
    /// `born`, `split`, `merged` or `ended`.
    pub event: CompactString,
    /// The id.
    pub id: CompactString,
    /// The id it came from or went into; empty if none.
    pub other_id: CompactString,
    /// Offers that went that way.
    pub offers: u32,
    /// Why, in words.
    pub reason: String,
}

impl KnownOffer {
    /// The price that holds.
    pub fn price(&self) -> Option<&PricePoint> {
        self.prices.last()
    }
}

/// Writes the state of a run.
///
/// # Errors
/// What the operating system says.
pub fn write(store: &Store, note: &Note, ledger: &Ledger) -> Result<(), PublishError> {
    let name = ledger_name(&note.run);
    let path = store.at("state", &name);
    let mut packed = zstd::Encoder::new(Vec::new(), ZSTD_LEVEL).map_err(PublishError::io("pack", &path))?;
    rmp_serde::encode::write(&mut packed, ledger).map_err(PublishError::format(&path))?;
    let packed = packed.finish().map_err(PublishError::io("pack", &path))?;
    store.put("state", &name, &packed)?;
    write_note(store, note)
}

/// Writes the small part alone, over the one of the same run.
///
/// # Errors
/// What the operating system says.
fn write_note(store: &Store, note: &Note) -> Result<(), PublishError> {
    let name = note_name(&note.run);
    let text = serde_json::to_vec_pretty(note).map_err(PublishError::format(&store.at("state", &name)))?;
    store.put("state", &name, &text)
}

/// The small part of a run's state; none if the store does not know the run.
///
/// # Errors
/// It is of another format, or cannot be read.
pub fn read_note(store: &Store, run: &str) -> Result<Option<Note>, PublishError> {
    let name = note_name(run);
    let Some(text) = store.get("state", &name)? else {
        return Ok(None);
    };
    let path = store.at("state", &name);
    let note: Note = serde_json::from_slice(&text).map_err(|error| PublishError::Unreadable {
        path: path.clone(),
        message: error.to_string(),
    })?;
    if note.format != FORMAT {
        return Err(PublishError::Unreadable {
            path,
            message: format!("it has format {}, this program knows {FORMAT}", note.format),
        });
    }
    Ok(Some(note))
}

/// The large part of a run's state.
///
/// # Errors
/// It is missing or cannot be read.
pub fn read_ledger(store: &Store, run: &str) -> Result<Ledger, PublishError> {
    let name = ledger_name(run);
    let path = store.at("state", &name);
    let unreadable = |message: String| PublishError::Unreadable {
        path: path.clone(),
        message,
    };
    let packed = store
        .get("state", &name)?
        .ok_or_else(|| unreadable("it is missing".to_owned()))?;
    let text = zstd::Decoder::new(packed.as_slice()).map_err(|error| unreadable(error.to_string()))?;
    rmp_serde::from_read(std::io::BufReader::new(text)).map_err(|error| unreadable(error.to_string()))
}

/// Name of a run's note in `state`.
pub fn note_name(run: &str) -> String {
    format!("{run}.json")
}

/// Name of a run's ledger in `state`.
pub fn ledger_name(run: &str) -> String {
    format!("{run}.ledger")
}

#[cfg(test)]
#[path = "state_tests.rs"]
mod tests;
