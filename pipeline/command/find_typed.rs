//! What is typed for `samefit find`, and the question and the limits that it means.

use super::find_history::HistoryForm;
use super::page::ColourWhen;
use super::today::Dated;
use crate::normalise::kind::KindId;
use crate::shop::answer::{Limits, StockWanted};
use crate::shop::crossref::SURE_ENOUGH;
use crate::shop::need::Question;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:
  samefit find output/demo 212cc pull starter 3 hole
  samefit find output/demo --number TVI49-417-459
  samefit find output/demo --kind shroud --code 168F-2
  samefit find output/demo 212cc pull starter --quantity 10 --in-stock --deliver-within 7
  samefit find output/demo --kind starter --power \"6.5 hp\" --holes 3 --spacing \"118 mm circle\"")]
pub struct FindTyped {
    /// Folder of a finished run, as given to `build --out`
    #[arg(value_name = "RUN")]
    pub run: PathBuf,
    /// What is known, in your own words: displacement, engine code, part number, holes, kind of part
    #[arg(value_name = "WORDS")]
    pub words: Vec<String>,
    /// Part number, supplier's number or barcode; dashes, spaces and O for 0 do not matter
    #[arg(long, value_name = "NUMBER")]
    pub number: Option<String>,
    /// Kind of part
    #[arg(long, value_enum)]
    pub kind: Option<KindWanted>,
    /// Displacement of the engine, such as 212 or 163/196cc
    #[arg(long, value_name = "CC")]
    pub cc: Option<String>,
    /// Code on the engine's plate, such as 168F-2
    #[arg(long, value_name = "CODE")]
    pub code: Option<String>,
    /// Power of the engine, such as "6.5 hp" or "4.8 kW"
    #[arg(long, value_name = "POWER")]
    pub power: Option<String>,
    /// Number of mounting holes
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(2..=8))]
    pub holes: Option<u8>,
    /// Spacing of the holes: "118 mm circle", "102 mm between holes"; both are tried when it is not said
    #[arg(long, value_name = "SPACING")]
    pub spacing: Option<String>,
    /// Thread of the mounting screws, such as M6 or 1/4-20
    #[arg(long, value_name = "THREAD")]
    pub thread: Option<String>,
    /// Confidence from which an offer is sure enough
    #[arg(long, value_name = "0-1", default_value_t = SURE_ENOUGH, value_parser = probability)]
    pub min_confidence: f64,
    /// Only offers of suppliers whose name holds this
    #[arg(long, value_name = "NAME")]
    pub supplier: Option<String>,
    /// Only offers promised within so many days; those that promise nothing are left out and counted
    #[arg(long, value_name = "DAYS")]
    pub deliver_within: Option<u16>,
    /// Only offers in stock, as many as --quantity asks
    #[arg(long)]
    pub in_stock: bool,
    /// Pieces wanted; offers are ranked by what ordering that many costs, with packs, smallest orders and breaks
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub quantity: u32,
    /// Most offers shown per list
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u16).range(1..))]
    pub limit: u16,
    /// Instead, what the offers that carry the number cost, and since when; for runs of `refresh`
    #[arg(long)]
    pub history: bool,
    /// Print the safety list in full
    #[arg(long)]
    pub cautions: bool,
    /// Day to count from
    #[command(flatten)]
    pub dated: Dated,
    /// Colour the page
    #[arg(long, value_enum, default_value_t, value_name = "WHEN", alias = "colour")]
    pub color: ColourWhen,
    /// Print the answer as JSON
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,
    /// Print the offers as CSV, with the columns of crossref.csv
    #[arg(long)]
    pub csv: bool,
}

/// Kinds that can be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KindWanted {
    /// recoil (pull) starter
    #[value(alias = "recoil-starter")]
    Starter,
    /// fan shroud without a starter
    Shroud,
    /// fan shroud and starter together
    Assembly,
}

impl KindWanted {
    fn kind(self) -> KindId {
        match self {
            KindWanted::Starter => KindId::RECOIL_STARTER,
            KindWanted::Shroud => KindId::SHROUD,
            KindWanted::Assembly => KindId::ASSEMBLY,
        }
    }
}

/// A number from 0 to 1.
pub fn probability(text: &str) -> Result<f64, String> {
    match text.replace(',', ".").parse::<f64>() {
        Ok(value) if (0.0..=1.0).contains(&value) => Ok(value),
        _ => Err("must be a number from 0 to 1".into()),
    }
}

/// The form of a price history.
pub(super) fn history_form(typed: &FindTyped) -> HistoryForm {
    match (typed.json, typed.csv) {
        (true, _) => HistoryForm::Json,
        (_, true) => HistoryForm::Csv,
        _ => HistoryForm::Page,
    }
}

/// Which offers are shown, and how many.
pub(super) fn limits(typed: &FindTyped) -> Limits {
    Limits {
        min_confidence: typed.min_confidence,
        supplier: typed.supplier.clone(),
        deliver_within: typed.deliver_within,
        stock: if typed.in_stock {
            StockWanted::InStock
        } else {
            StockWanted::Any
        },
        quantity: typed.quantity,
        most: usize::from(typed.limit),
    }
}

/// What is asked.
pub(super) fn question(typed: &FindTyped) -> Question {
    Question {
        words: typed.words.join(" "),
        number: typed.number.clone(),
        kind: typed.kind.map(KindWanted::kind),
        cc: typed.cc.clone(),
        code: typed.code.clone(),
        power: typed.power.clone(),
        holes: typed.holes,
        spacing: typed.spacing.clone(),
        thread: typed.thread.clone(),
    }
}
