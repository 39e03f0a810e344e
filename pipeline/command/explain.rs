//! `samefit explain`: what was understood of a text, or all that a run knows of one offer or of two.

use super::cost_words::{cost_json, cost_words};
use super::explain_json::{pair_json, reading_json, told_json};
use super::machine::{json_text, row_json};
use super::outcome::{Failure, Outcome};
use super::talk::print;
use super::{Common, open};
use super::{explain_page, explain_pair, explain_reading};
use crate::normalise::claim::{Attribute, Claim, Value as Stated};
use crate::normalise::text::{Reading, read_text};
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::CrossrefRow;
use crate::publish::FinishedRun;
use crate::shop::claim_pairs::{ClaimSide, claim_pairs};
use crate::shop::dossier::{Dossier, OfferName, Traced, trace};
use crate::shop::matching::figure;
use crate::shop::pair::{numbered, side_by_side};
use crate::shop::shelf::Counter;
use crate::trade::interval::Interval;
use clap::Args;
use compact_str::CompactString;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::path::PathBuf;

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:
  samefit explain \"Recoil starter 168F 196cc 3 hole 118mm PCD M6\"
  samefit explain --run output/demo --offer fenwarden_trade_stock:FW04052
  samefit explain --run output/demo --line fenwarden_trade_stock.csv:17
  samefit explain --run output/demo fenwarden_trade_stock:FW04052 zaunholt-preisliste-2026-09:ZH-81908

An offer of a run is named SUPPLIER:NUMBER, FILE:LINE, or by its own or its maker's number.")]
pub struct ExplainTyped {
    /// A listing's text; with --run the name of an offer, or of two: why they are or are not together
    #[arg(value_name = "TEXT or OFFER", required_unless_present = "run", conflicts_with_all = ["offer", "line", "with"])]
    pub text: Vec<String>,
    /// Folder of a finished run
    #[arg(long, value_name = "RUN")]
    pub run: Option<PathBuf>,
    /// Offer of the run by supplier and the supplier's number
    #[arg(long, value_name = "SUPPLIER:NUMBER", requires = "run", conflicts_with = "line")]
    pub offer: Option<String>,
    /// Offer of the run by list and line
    #[arg(long, value_name = "FILE:LINE", requires = "run")]
    pub line: Option<String>,
    /// A second offer, either way: why the two are or are not together
    #[arg(long, value_name = "SUPPLIER:NUMBER or FILE:LINE", requires = "run")]
    pub with: Option<String>,
    /// Print as JSON
    #[arg(long)]
    pub json: bool,
}

/// An offer with what its wording says when it is read again.
pub struct Told {
    /// all that the run knows
    pub dossier: Dossier,
    /// its wording, read again
    pub reading: Reading,
    /// what the smallest order of it costs, in words and for machines
    pub price: Option<(String, Value)>,
}

/// Runs the explanation.
///
/// # Errors
/// The run cannot be opened, or holds no such offer.
pub fn run(typed: &ExplainTyped, _common: &Common) -> Result<Outcome, Failure> {
    let vocabulary = Vocabulary::built_in().map_err(|error| Failure::failed(error.to_string()))?;
    let text = match &typed.run {
        None => of_text(&vocabulary, &typed.text.join(" "), typed.json)?,
        Some(folder) => of_run(&vocabulary, &open(folder)?, typed)?,
    };
    print(&text)?;
    Ok(Outcome::Done)
}

fn of_text(vocabulary: &Vocabulary, text: &str, json: bool) -> Result<String, Failure> {
    if text.trim().is_empty() {
        return Err(Failure::usage("the text is empty").hint("samefit explain \"Recoil starter 168F 196cc\""));
    }
    let reading = read_text(vocabulary, text);
    Ok(if json {
        json_text(&reading_json(vocabulary, &reading))
    } else {
        explain_reading::of_reading(vocabulary, &reading)
    })
}

fn of_run(vocabulary: &Vocabulary, run: &FinishedRun, typed: &ExplainTyped) -> Result<String, Failure> {
    let named = typed.offer.as_ref().or(typed.line.as_ref());
    let (first, second) = match (named, typed.text.as_slice()) {
        (Some(first), _) => (first, typed.with.as_ref()),
        (None, [first]) => (first, None),
        (None, [first, second]) => (first, Some(second)),
        (None, _) => {
            return Err(Failure::usage("no offer of the run was named, or more than two were")
                .hint("name one or two, each as SUPPLIER:NUMBER, FILE:LINE, or by its number"));
        }
    };
    let counter = Counter::of(run)?;
    let read = |dossier: Dossier| Told {
        reading: read_text(vocabulary, &dossier.row.description),
        price: counter.cost(&dossier.row, 1).map(|cost| {
            let (currency, rates) = (&dossier.row.currency, &counter.rates);
            (cost_words(&cost, currency, rates), cost_json(&cost, currency, rates))
        }),
        dossier,
    };
    let traced = find(run, first)?;
    let Some(second) = second else {
        return Ok(match traced {
            Traced::Offers(found) => of_offers(vocabulary, found.into_iter().map(read), typed.json),
            other => of_no_offer(&other, typed.json),
        });
    };
    let first = one_offer(traced, first)?;
    let second = one_offer(find(run, second)?, second)?;
    if (&first.row.source_file, first.row.source_line) == (&second.row.source_file, second.row.source_line) {
        return Err(Failure::usage("both names lead to one line").hint("name two different offers"));
    }
    let pair = side_by_side(run, &first, &second)?;
    let (first, second) = (read(first), read(second));
    let claims = claim_pairs(side(&first, &codes_of(&first)), side(&second, &codes_of(&second)));
    Ok(if typed.json {
        json_text(&pair_json(&first, &second, &pair, &claims))
    } else {
        explain_pair::of_pair(&first, &second, &pair, &claims)
    })
}

fn of_offers(vocabulary: &Vocabulary, found: impl Iterator<Item = Told>, json: bool) -> String {
    if json {
        let told: Vec<Value> = found.map(|told| told_json(vocabulary, &told)).collect();
        return json_text(&json!({"offers": told}));
    }
    let pages: Vec<String> = found.map(|told| explain_page::of_offer(vocabulary, &told)).collect();
    pages.join("\n")
}

/// A line that is no offer.
fn of_no_offer(traced: &Traced, json: bool) -> String {
    match (traced, json) {
        (Traced::SetAside(rows), true) => {
            json_text(&json!({"set_aside": rows.iter().map(row_json).collect::<Vec<_>>()}))
        }
        (Traced::Rejected(rows), true) => {
            json_text(&json!({"rejected": rows.iter().map(row_json).collect::<Vec<_>>()}))
        }
        (Traced::SetAside(rows), false) => explain_page::of_set_aside(rows),
        (Traced::Rejected(rows), false) => explain_page::of_rejects(rows),
        _ => String::new(),
    }
}

/// Follows a name of any sort into the run.
fn find(run: &FinishedRun, given: &str) -> Result<Traced, Failure> {
    for name in [sku_name(given), line_name(given)].into_iter().flatten() {
        match trace(run, &name)? {
            Traced::Nothing => {}
            found => return Ok(found),
        }
    }
    let rows = numbered(run, given)?;
    let products: BTreeSet<&str> = rows.iter().map(|row| row.product_id.as_str()).collect();
    match (rows.first(), products.len()) {
        (None, _) => Err(no_such(run, given)),
        (Some(first), 1) => Ok(trace(run, &line_of(first))?),
        (Some(_), _) => {
            let names: Vec<String> = rows.iter().map(named).collect();
            Err(
                Failure::usage(format!("the number `{given}` stands for {} parts", products.len()))
                    .hint(format!("name one of {}", names.join(", "))),
            )
        }
    }
}

/// An offer as it is named on the command line.
pub(super) fn named(row: &CrossrefRow) -> String {
    if row.supplier_sku.is_empty() {
        format!("{}:{}", row.source_file, row.source_line)
    } else {
        format!("{}:{}", row.supplier, row.supplier_sku)
    }
}

fn line_of(row: &CrossrefRow) -> OfferName {
    OfferName::Line {
        file: row.source_file.to_string(),
        line: row.source_line,
    }
}

fn one_offer(traced: Traced, given: &str) -> Result<Dossier, Failure> {
    let Traced::Offers(found) = traced else {
        return Err(
            Failure::usage(format!("`{given}` is no offer but a line set aside or rejected"))
                .hint("samefit explain --run RUN with that name alone says why"),
        );
    };
    let names: Vec<String> = found
        .iter()
        .map(|one| format!("{}:{}", one.row.source_file, one.row.source_line))
        .collect();
    let mut found = found.into_iter();
    match (found.next(), found.next()) {
        (Some(only), None) => Ok(only),
        _ => Err(Failure::usage(format!("the supplier lists `{given}` on several lines"))
            .hint(format!("name one of {}", names.join(", ")))),
    }
}

fn codes_of(told: &Told) -> Vec<CompactString> {
    let codes = told.reading.claims.iter().filter_map(|claim| match &claim.value {
        Stated::Code(code) if claim.attribute == Attribute::EngineCode => Some(code.clone()),
        _ => None,
    });
    codes.collect()
}

fn side<'a>(told: &'a Told, codes: &'a [CompactString]) -> ClaimSide<'a> {
    ClaimSide {
        row: &told.dossier.row,
        group: told.dossier.group.as_ref(),
        codes,
    }
}

fn sku_name(given: &str) -> Option<OfferName> {
    let (supplier, sku) = given.split_once(':').filter(|(supplier, _)| !supplier.is_empty())?;
    Some(OfferName::Sku {
        supplier: supplier.to_string(),
        sku: sku.to_string(),
    })
}

fn line_name(given: &str) -> Option<OfferName> {
    let (file, line) = given.rsplit_once(':').filter(|(file, _)| !file.is_empty())?;
    Some(OfferName::Line {
        file: file.to_string(),
        line: line.parse().ok()?,
    })
}

fn no_such(run: &FinishedRun, given: &str) -> Failure {
    Failure::usage(format!("the run in {} holds no line `{given}`", run.folder().display())).hint(
        "write SUPPLIER:NUMBER, FILE:LINE or a number, as in crossref.csv, set-aside.csv and rejects.csv; \
             a line of the list that is in none of them was taken for layout: a heading, a sum or a blank",
    )
}

/// Unit of an attribute's values, empty where there is none.
pub fn unit(attribute: Attribute) -> &'static str {
    match attribute {
        Attribute::Displacement => "cc",
        Attribute::Power => "kW",
        Attribute::BoltCircle
        | Attribute::Rectangle
        | Attribute::HeadAf
        | Attribute::HoleDiameter
        | Attribute::Depth => "mm",
        _ => "",
    }
}

/// A claim's value in words, with its unit.
pub fn value_words(claim: &Claim) -> String {
    let unit = unit(claim.attribute);
    let list = |list: &[Interval], between: &str| {
        let figures: Vec<String> = list.iter().map(interval_words).collect();
        format!("{} {unit}", figures.join(between)).trim_end().to_string()
    };
    match &claim.value {
        Stated::Served(served) => list(served, " and "),
        Stated::OneOf(meant) => list(meant, " or "),
        Stated::Threads(threads) => threads.to_string().replace('|', " or "),
        Stated::Count(count) => count.to_string(),
        Stated::Code(word) | Stated::Word(word) => word.to_string(),
    }
}

/// `196`, or `195.5 to 196.5` where it is wider than the rounding of a figure.
fn interval_words(interval: &Interval) -> String {
    if interval.width() <= (0.011 * interval.mid()).max(1.0 + 1e-9) {
        figure(interval.mid())
    } else {
        format!("{} to {}", figure(interval.low), figure(interval.high))
    }
}
