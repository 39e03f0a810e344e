//! `samefit explain`: what was understood of a text, or all that a run knows of one offer or of two.

use super::explain_page;
use super::machine::{json_text, row_json};
use super::outcome::{Failure, Outcome};
use super::talk::print;
use super::{Common, open};
use crate::normalise::claim::{Attribute, Claim, Value as Stated};
use crate::normalise::text::{Reading, read_text};
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::FinishedRun;
use crate::shop::dossier::{Dossier, OfferName, Pair, Traced, differences, side_by_side, trace};
use crate::shop::matching::figure;
use crate::shop::why::{self, Item};
use crate::trade::interval::Interval;
use clap::Args;
use serde_json::{Value, json};
use std::path::PathBuf;

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:
  samefit explain \"Recoil starter 168F 196cc 3 hole 118mm PCD M6\"
  samefit explain --run output/demo --offer fenwarden_trade_stock:FW04052
  samefit explain --run output/demo --line fenwarden_trade_stock.csv:17
  samefit explain --run output/demo --offer fenwarden_trade_stock:FW04052 --with zaunholt-preisliste-2026-09:ZH-81908")]
pub struct ExplainTyped {
    /// A listing's text
    #[arg(value_name = "TEXT", required_unless_present = "run", conflicts_with_all = ["run", "offer", "line", "with"])]
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
        explain_page::of_reading(vocabulary, &reading)
    })
}

fn of_run(vocabulary: &Vocabulary, run: &FinishedRun, typed: &ExplainTyped) -> Result<String, Failure> {
    let name = match (&typed.offer, &typed.line) {
        (Some(offer), _) => sku_name(offer)?,
        (None, Some(line)) => line_name(line)?,
        (None, None) => {
            return Err(
                Failure::usage("no offer of the run was named").hint("add --offer SUPPLIER:NUMBER or --line FILE:LINE")
            );
        }
    };
    let read = |dossier: Dossier| Told {
        reading: read_text(vocabulary, &dossier.row.description),
        dossier,
    };
    let first: Vec<Told> = match trace(run, &name)? {
        Traced::Offers(dossiers) => dossiers.into_iter().map(read).collect(),
        Traced::SetAside(rows) if typed.json => {
            return Ok(json_text(
                &json!({"set_aside": rows.iter().map(row_json).collect::<Vec<_>>()}),
            ));
        }
        Traced::Rejected(rows) if typed.json => {
            return Ok(json_text(
                &json!({"rejected": rows.iter().map(row_json).collect::<Vec<_>>()}),
            ));
        }
        Traced::SetAside(rows) => return Ok(explain_page::of_set_aside(&rows)),
        Traced::Rejected(rows) => return Ok(explain_page::of_rejects(&rows)),
        Traced::Nothing => return Err(no_such(run, &name)),
    };
    let Some(with) = &typed.with else {
        return Ok(if typed.json {
            json_text(&json!({"offers": first.iter().map(|told| told_json(vocabulary, told)).collect::<Vec<_>>()}))
        } else {
            first
                .iter()
                .map(|told| explain_page::of_offer(vocabulary, told))
                .collect::<Vec<_>>()
                .join("\n")
        });
    };
    let second = second_offer(run, with)?;
    let Some(first) = first.into_iter().next() else {
        return Err(no_such(run, &name));
    };
    let pair = side_by_side(run, &first.dossier, &second)?;
    let second = read(second);
    Ok(if typed.json {
        json_text(&pair_json(&first, &second, &pair))
    } else {
        explain_page::of_pair(&first, &second, &pair)
    })
}

fn second_offer(run: &FinishedRun, given: &str) -> Result<Dossier, Failure> {
    for name in [sku_name(given), line_name(given)].into_iter().flatten() {
        if let Traced::Offers(found) = trace(run, &name)?
            && let Some(first) = found.into_iter().next()
        {
            return Ok(first);
        }
    }
    Err(Failure::usage(format!(
        "the run in {} holds no offer `{given}`",
        run.folder().display()
    ))
    .hint("name it as SUPPLIER:NUMBER or FILE:LINE, as in crossref.csv"))
}

fn sku_name(given: &str) -> Result<OfferName, Failure> {
    match given.split_once(':') {
        Some((supplier, sku)) if !supplier.is_empty() => Ok(OfferName::Sku {
            supplier: supplier.to_string(),
            sku: sku.to_string(),
        }),
        _ => Err(Failure::usage(format!("`{given}` does not name an offer"))
            .hint("write SUPPLIER:NUMBER, as in crossref.csv")),
    }
}

fn line_name(given: &str) -> Result<OfferName, Failure> {
    match given
        .rsplit_once(':')
        .and_then(|(file, line)| Some((file, line.parse().ok()?)))
    {
        Some((file, line)) if !file.is_empty() => Ok(OfferName::Line {
            file: file.to_string(),
            line,
        }),
        _ => Err(Failure::usage(format!("`{given}` does not name a line")).hint("write FILE:LINE, as in crossref.csv")),
    }
}

fn no_such(run: &FinishedRun, name: &OfferName) -> Failure {
    let called = match name {
        OfferName::Sku { supplier, sku } => format!("{supplier}:{sku}"),
        OfferName::Line { file, line } => format!("{file}:{line}"),
    };
    Failure::usage(format!(
        "the run in {} holds no line `{called}`",
        run.folder().display()
    ))
    .hint("suppliers, numbers, files and lines stand in crossref.csv, set-aside.csv and rejects.csv")
}

fn reading_json(vocabulary: &Vocabulary, reading: &Reading) -> Value {
    let alternatives: Vec<Value> = reading
        .kind
        .alternatives
        .iter()
        .map(|(kind, probability)| json!({"kind": vocabulary.kind_name(*kind), "probability": rounded(*probability)}))
        .collect();
    let numbers: Vec<Value> = reading
        .numbers
        .iter()
        .map(|number| json!({"number": number.raw.as_str(), "canonical": number.canonical.as_str(), "role": number.role.name(), "usable": number.usable}))
        .collect();
    json!({
        "kind": {
            "name": vocabulary.kind_name(reading.kind.kind), "probability": rounded(reading.kind.probability),
            "why": reading.kind.why.as_str(), "alternatives": alternatives,
        },
        "claims": reading.claims.iter().map(claim_json).collect::<Vec<_>>(),
        "numbers": numbers,
        "remarks": reading.flags.iter().map(|flag| flag.name()).collect::<Vec<_>>(),
        "not_understood": reading.leftover_words.iter().map(|word| word.as_str()).collect::<Vec<_>>(),
    })
}

fn rounded(probability: f32) -> f64 {
    (f64::from(probability) * 1e4).round() / 1e4
}

fn claim_json(claim: &Claim) -> Value {
    let interval = |list: &[Interval]| {
        list.iter()
            .map(|i| json!([rounded3(i.low), rounded3(i.high)]))
            .collect::<Vec<_>>()
    };
    let (how, value) = match &claim.value {
        Stated::Served(list) => ("every one", json!(interval(list))),
        Stated::OneOf(list) => ("one of", json!(interval(list))),
        Stated::Threads(threads) => (
            "one of",
            json!(threads.iter().map(|thread| thread.name()).collect::<Vec<_>>()),
        ),
        Stated::Count(count) => ("is", json!(count)),
        Stated::Code(word) | Stated::Word(word) => ("is", json!(word.as_str())),
    };
    json!({
        "attribute": claim.attribute.name(), "meant": how, "value": value, "unit": unit(claim.attribute),
        "provenance": claim.provenance.name(), "words": claim.text.as_str(),
    })
}

fn rounded3(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
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

fn told_json(vocabulary: &Vocabulary, told: &Told) -> Value {
    let dossier = &told.dossier;
    let evidence: Vec<Value> = why::items(&dossier.row.evidence)
        .into_iter()
        .map(|Item { words, weight }| json!({"words": words, "weight": weight}))
        .collect();
    json!({
        "offer": row_json(&dossier.row), "understood": reading_json(vocabulary, &told.reading),
        "group": dossier.group.as_ref().map(row_json), "evidence": evidence,
        "same_product": dossier.mates.iter().map(row_json).collect::<Vec<_>>(),
        "rivals": dossier.rivals.iter().map(row_json).collect::<Vec<_>>(),
    })
}

fn pair_json(a: &Told, b: &Told, pair: &Pair) -> Value {
    let (one, two) = (&a.dossier.row, &b.dossier.row);
    let differ = match &pair.groups {
        [Some(x), Some(y)] => differences(x, y),
        _ => Vec::new(),
    };
    json!({
        "offers": [row_json(one), row_json(two)], "link": pair.link.as_ref().map(row_json),
        "same_product": one.product_id == two.product_id,
        "same_group": !one.group_id.is_empty() && one.group_id == two.group_id,
        "groups": pair.groups.iter().map(|group| group.as_ref().map(row_json)).collect::<Vec<_>>(),
        "groups_differ": differ,
    })
}
