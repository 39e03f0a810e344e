//! `samefit find`: what fits, and what of it is cheapest delivered.

use super::cost_words::cost_json;
use super::find_history::{self, HistoryForm};
use super::find_page;
use super::machine::{json_text, row_json, rows_csv};
use super::outcome::{Failure, Outcome};
use super::page::{ColourWhen, Look};
use super::talk::print;
use super::today::{Dated, warn_of_age};
use super::{Common, open};
use crate::normalise::kind::KindId;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::FinishedRun;
use crate::publish::column::money;
use crate::shop::answer::{Answer, Limits, OfferList, Section, StockWanted};
use crate::shop::crossref::SURE_ENOUGH;
use crate::shop::find::find;
use crate::shop::matching::Match;
use crate::shop::need::{Need, Question};
use crate::shop::shelf::Offered;
use crate::trade::cautions::{BEFORE_ORDERING, LIMIT, SAFETY};
use clap::{Args, ValueEnum};
use compact_str::CompactString;
use serde_json::{Value, json};
use std::collections::BTreeSet;
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

/// Runs the search.
///
/// # Errors
/// The run cannot be opened, an option cannot be read, or the question holds nothing to search by.
pub fn run(typed: &FindTyped, common: &Common) -> Result<Outcome, Failure> {
    // the two take about as long as each other
    let (vocabulary, run) = rayon::join(Vocabulary::built_in, || {
        open(&typed.run).inspect(FinishedRun::open_what_find_asks)
    });
    let vocabulary = vocabulary.map_err(|error| Failure::failed(error.to_string()))?;
    let need = Need::of(&vocabulary, &question(typed))?;
    if need.is_empty() {
        return Err(nothing_asked(&need));
    }
    let run = run?;
    if typed.history {
        let words = typed.words.join(" ");
        return find_history::show(&run, typed.number.as_deref().unwrap_or(&words), history_form(typed));
    }
    let answer = find(&run, &need, &limits(typed))?;
    warn_of_age(&answer.counter.rates, &typed.dated, common);
    let text = if typed.json {
        json_text(&answer_json(&need, &answer, typed.quantity))
    } else if typed.csv {
        answer_csv(&answer)?
    } else {
        find_page::page(&need, &answer, typed, Look::of_stdout(typed.color)?)
    };
    print(&text)?;
    Ok(Outcome::Done)
}

fn history_form(typed: &FindTyped) -> HistoryForm {
    match (typed.json, typed.csv) {
        (true, _) => HistoryForm::Json,
        (_, true) => HistoryForm::Csv,
        _ => HistoryForm::Page,
    }
}

fn limits(typed: &FindTyped) -> Limits {
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

fn question(typed: &FindTyped) -> Question {
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

fn nothing_asked(need: &Need) -> Failure {
    let message = match &need.out_of_scope {
        Some(kind) => format!("this asks for a part of the kind `{kind}`, which is not cross-referenced"),
        None if need.leftover.is_empty() => "nothing was asked".to_string(),
        None => format!("nothing to search by was understood in: {}", need.leftover.join(" ")),
    };
    Failure::usage(message).hint(
        "say a part number, or what is known of the engine: displacement (212cc), engine code (168F), \
         power (6.5 hp), holes; see `samefit find --help`",
    )
}

/// Offers of a section with the list they stand in.
fn lists(section: &Section) -> impl Iterator<Item = (&'static str, &Offered)> {
    let covering = section.covering.iter().flat_map(|covering| &covering.offers.shown);
    let very = section.very.shown.iter().map(|offered| ("very part", offered));
    let sure = section.in_its_place.shown.iter().map(|offered| ("equivalent", offered));
    let doubtful = section.doubtful.shown.iter().map(|offered| ("doubtful", offered));
    very.chain(sure)
        .chain(doubtful)
        .chain(covering.map(|offered| ("assembly that covers it", offered)))
}

fn answer_csv(answer: &Answer) -> Result<String, Failure> {
    let rows = answer.sections.iter().flat_map(|section| {
        let share = section
            .lead
            .as_ref()
            .map_or(String::new(), |lead| format!("{:.4}", lead.share));
        let kind = section.kind.fixed_name().unwrap_or_default().to_string();
        lists(section).map(move |(list, offered)| {
            let delivered = offered.delivered.map_or(String::new(), money);
            let front = vec![kind.clone(), list.to_string(), share.clone(), delivered];
            (front, &offered.row)
        })
    });
    rows_csv(&["asked_for", "answer", "group_share", "delivered"], rows)
}

fn answer_json(need: &Need, answer: &Answer, quantity: u32) -> Value {
    let numbers: Vec<Value> = answer
        .numbers
        .iter()
        .map(|number| {
            json!({
                "asked": number.asked.as_str(), "spelled": words(&number.spelled), "products": words(&number.products),
                "groups": words(&number.groups), "nearest": number.nearest,
                "found_in": number.place.map(find_page::understood::place_word),
            })
        })
        .collect();
    let sections: Vec<Value> = answer
        .sections
        .iter()
        .map(|section| section_json(section, answer, quantity))
        .collect();
    let cautions: Vec<Value> = SAFETY
        .iter()
        .map(|caution| json!({"cue": caution.cue, "wording": caution.wording}))
        .collect();
    json!({
        "understood": find_page::understood::understood(need),
        "not_understood": need.leftover.iter().map(|word| word.as_str()).collect::<Vec<_>>(),
        "codes_not_in_run": answer.unknown_codes.iter().map(|code| code.as_str()).collect::<Vec<_>>(),
        "numbers": numbers, "quantity": quantity, "answers": sections,
        "before_ordering": BEFORE_ORDERING, "cautions": cautions, "limit": LIMIT,
    })
}

fn section_json(section: &Section, answer: &Answer, quantity: u32) -> Value {
    let matched = |found: &Match| {
        let facts: Vec<Value> = found
            .judged
            .iter()
            .map(|fact| json!({"fact": fact.fact, "verdict": fact.verdict.word(), "words": fact.words}))
            .collect();
        json!({"group": row_json(&answer.groups[found.group]), "share": rounded4(found.share), "facts": facts})
    };
    let rows = |list: &OfferList| {
        let shown = list.shown.iter().map(|offered| offered_json(offered, answer, quantity));
        shown.collect::<Vec<_>>()
    };
    json!({
        "asked_for": section.kind.fixed_name(),
        "group": section.lead.as_ref().map(matched),
        "also_possible": section.possible.iter().map(matched).collect::<Vec<_>>(),
        "tells_apart": section.tells_apart,
        "nearest": section.nearest.as_ref().map(matched),
        "very_part": rows(&section.very), "very_part_in_all": section.very.in_all,
        "equivalents": rows(&section.sure), "equivalents_in_all": section.sure.in_all,
        "doubtful": rows(&section.doubtful), "doubtful_in_all": section.doubtful.in_all,
        "left_out": find_page::left_out_words(section.left_out),
        "covered_by_assembly": section.covering.as_ref().map(|covering| json!({
            "groups": covering.groups.iter().map(|group| group.as_str()).collect::<Vec<_>>(),
            "price": find_page::compared_word(covering.price), "offers": rows(&covering.offers),
            "offers_in_all": covering.offers.in_all,
        })),
        "repair_instead": section.repair.as_ref().map(|repair| json!({
            "lines": repair.lines.iter().map(|line| json!({
                "line": row_json(&line.row), "probability": rounded4(line.probability),
                "saves": line.saves.map(money),
            })).collect::<Vec<_>>(),
            "lines_that_name_no_engine": repair.unsaid,
        })),
    })
}

/// A row, with what it costs part by part.
fn offered_json(offered: &Offered, answer: &Answer, quantity: u32) -> Value {
    let mut value = row_json(&offered.row);
    let cost = answer.counter.cost(&offered.row, quantity);
    if let Value::Object(cells) = &mut value {
        cells.insert("delivered".into(), json!(offered.delivered.map(money)));
        let rates = &answer.counter.rates;
        let parts = cost.map(|cost| cost_json(&cost, &offered.row.currency, rates));
        cells.insert("cost".into(), json!(parts));
    }
    value
}

fn words(set: &BTreeSet<CompactString>) -> Vec<&str> {
    set.iter().map(CompactString::as_str).collect()
}

fn rounded4(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}
