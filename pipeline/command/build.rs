//! `samefit build`: read vendor lists, publish the cross-reference.

use super::gather::{Gathered, ListRead, gather};
use super::outcome::{Failure, Outcome};
use super::talk::{Talk, print};
use super::{Common, ProfileFolder};
use crate::fit::record::{Tally, track_records};
use crate::fit::{FitGroups, fit_products};
use crate::intake::{Delimiter, Limits, ListHead, Profiles, find_inputs};
use crate::link::{LinkSettings, Products, link_offers};
use crate::normalise::Scope;
use crate::normalise::offer::Offer;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::place::Place;
use crate::publish::{InputFact, RejectRow, RunFacts, RunTables, StageTime, SupplierRow, write_claimed};
use crate::shop::crossref::{self, Stages};
use crate::shop::landed::{Landed, landed};
use crate::shop::rates::Rates;
use clap::{Args, ValueEnum};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

/// What was typed.
#[derive(Debug, Clone, Args)]
pub struct BuildTyped {
    /// Lists, or folders of lists: CSV, TSV, TXT, .gz or .zst or .zip of them, .xlsx
    #[arg(required = true, value_name = "INPUT")]
    pub inputs: Vec<PathBuf>,
    /// Folder for the run; replaced as a whole when it holds an earlier run
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    /// What is being cross-referenced
    #[arg(long, value_enum, default_value_t = KindTyped::Parts)]
    pub kind: KindTyped,
    /// Supplier profiles
    #[command(flatten)]
    pub profiles: ProfileFolder,
    /// Limits on what one input file may ask for: a TOML file, such as `decompressed_bytes = 8589934592`
    #[arg(long, value_name = "FILE")]
    pub limits: Option<PathBuf>,
    /// Exchange rates: a TOML file with `home`, `date` and `[rates]`
    #[arg(long, value_name = "FILE")]
    pub rates: Option<PathBuf>,
    /// Home currency, ISO 4217, when no rates file names it
    #[arg(long, value_name = "CODE", default_value = "EUR")]
    pub home_currency: String,
    /// Share of rejected lines above which the run ends with exit code 3
    #[arg(long, value_name = "SHARE", default_value_t = 0.05)]
    pub reject_limit: f64,
    /// Print the account as JSON
    #[arg(long)]
    pub json: bool,
}

/// Scope of a build.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum KindTyped {
    /// recoil starters, fan shrouds and both together
    Parts,
    /// any products whose columns are known; no fit groups
    Generic,
}

/// Runs the build.
///
/// # Errors
/// Nothing usable was read, the configuration is wrong, or publishing failed; the previous output stands.
pub fn run(typed: &BuildTyped, common: &Common) -> Result<Outcome, Failure> {
    let talk = Talk::of(common);
    let profiles = load_profiles(&typed.profiles)?;
    let rates = match &typed.rates {
        Some(path) => Rates::load(path)?,
        None => Rates::none(&typed.home_currency),
    };
    let vocabulary = Vocabulary::built_in().map_err(|e| Failure::failed(e.to_string()))?;
    let limits = load_limits(typed.limits.as_deref())?;
    let files = find_inputs(&typed.inputs)?;
    let place = Place::claim(&typed.out, &typed.inputs)?;
    let mut clock = Clock::default();
    let scope = match typed.kind {
        KindTyped::Parts => Scope::Fit,
        KindTyped::Generic => Scope::Generic,
    };
    let mut gathered = clock.time("intake and normalise", || {
        gather(&files, &profiles, &limits, &vocabulary, scope, talk)
    });
    for failure in &gathered.failures {
        talk.warn(&failure.to_string(), &failure.hint);
    }
    if gathered.lists.is_empty() {
        return Err(Failure::failed("no list could be read; nothing was published")
            .hint("see the warnings above, or name a list or a folder of lists"));
    }
    let (offers, offer_profiles) = gathered.take_offers();
    let working = talk.working("linking");
    let products = clock.time("link", || link_offers(&offers, &LinkSettings::default()));
    working.set_message("fitting");
    let fit = clock.time("fit", || {
        (scope == Scope::Fit).then(|| fit_products(&offers, &products))
    });
    let landed: Vec<Landed> = offers
        .par_iter()
        .zip(&offer_profiles)
        .map(|(o, p)| landed(o, p.as_deref(), &rates))
        .collect();
    working.set_message("publishing");
    let stages = Stages {
        offers: &offers,
        products: &products,
        fit: fit.as_ref(),
        landed: &landed,
        home: &rates.home,
    };
    let tables = clock.time("tables", || run_tables(&gathered, stages));
    let facts = facts(typed, &gathered, &products, fit.as_ref(), &rates, &clock);
    let published = write_claimed(place, &tables, &facts)?;
    working.finish_and_clear();
    print(&account(&tables, &published.folder, typed.json))?;
    Ok(outcome(&tables, &gathered, typed, talk))
}

/// Loads the profiles asked for, or those that lie where they usually do.
///
/// # Errors
/// A folder that was named does not exist, or a profile in it is wrong.
pub fn load_profiles(typed: &ProfileFolder) -> Result<Profiles, Failure> {
    match &typed.profiles {
        Some(folder) if !folder.is_dir() => Err(Failure::usage(format!(
            "the profile folder {} does not exist",
            folder.display()
        ))),
        Some(folder) => Ok(Profiles::load(folder)?),
        None => {
            let usual = Path::new("schemas/suppliers");
            if usual.is_dir() {
                Ok(Profiles::load(usual)?)
            } else {
                Ok(Profiles::none())
            }
        }
    }
}

/// Reads a limits file, or gives the safe defaults.
fn load_limits(path: Option<&Path>) -> Result<Limits, Failure> {
    let Some(path) = path else { return Ok(Limits::default()) };
    let text = std::fs::read_to_string(path)
        .map_err(|e| Failure::usage(format!("the limits file {} cannot be read: {e}", path.display())))?;
    toml::from_str(&text).map_err(|e| {
        Failure::usage(format!("the limits file {} is wrong: {}", path.display(), e.message()))
            .hint("its keys are those that the messages name, such as decompressed_bytes, line_bytes or columns")
    })
}

#[derive(Default)]
struct Clock {
    stages: Vec<StageTime>,
}

impl Clock {
    fn time<T>(&mut self, stage: &str, work: impl FnOnce() -> T) -> T {
        let start = Instant::now();
        let done = work();
        self.stages.push(StageTime {
            stage: stage.into(),
            wall: start.elapsed(),
        });
        done
    }
}

fn run_tables(gathered: &Gathered, stages: Stages<'_>) -> RunTables {
    let made = crossref::tables(stages);
    let records = stages
        .fit
        .map(|fit| list_records(gathered, stages.offers, stages.products, fit));
    let mut tables = RunTables {
        crossref: made.crossref,
        links: made.links,
        groups: made.groups,
        products: made.products,
        ..RunTables::default()
    };
    let mut offers_of: BTreeMap<&Arc<str>, u64> = BTreeMap::new();
    for offer in stages.offers {
        *offers_of.entry(&offer.file).or_default() += 1;
    }
    for (number, list) in gathered.lists.iter().enumerate() {
        let shown: Arc<str> = list.head.shown().into();
        let offers = offers_of.get(&shown).copied().unwrap_or(0);
        tables
            .suppliers
            .push(supplier_row(list, offers, records.as_ref().map(|r| r[number])));
        tables
            .set_aside
            .extend(list.set_aside.iter().map(crossref::set_aside_row));
        tables.rejects.extend(list.rejects.iter().map(|r| RejectRow {
            file: shown.clone(),
            line: Some(r.line),
            column: r.column,
            code: r.problem.code().into(),
            message: r.message.clone(),
            hint: r.hint.clone(),
            raw: r.raw.clone(),
        }));
    }
    for failure in &gathered.failures {
        tables.rejects.push(RejectRow {
            file: failure.file.clone(),
            line: None,
            column: None,
            code: failure.problem.code().into(),
            message: failure.message.clone(),
            hint: failure.hint.clone(),
            raw: String::new(),
        });
    }
    tables
}

/// Track record of each list, all attributes together.
fn list_records(gathered: &Gathered, offers: &[Offer], products: &Products, fit: &FitGroups) -> Vec<Tally> {
    let number_of: BTreeMap<String, u32> = gathered
        .lists
        .iter()
        .enumerate()
        .map(|(n, l)| (l.head.shown(), n as u32))
        .collect();
    let list_of: Vec<u32> = offers
        .iter()
        .map(|o| number_of.get(o.file.as_ref()).copied().unwrap_or(0))
        .collect();
    track_records(fit, products, &list_of, gathered.lists.len())
        .iter()
        .map(|fields| {
            fields.iter().fold(Tally::default(), |sum, t| Tally {
                checked: sum.checked + t.checked,
                contradicted: sum.contradicted + t.contradicted,
            })
        })
        .collect()
}

fn supplier_row(list: &ListRead, offers: u64, record: Option<Tally>) -> SupplierRow {
    let layout = &list.account.layout;
    let share = record.and_then(Tally::share);
    let mut notes: Vec<&str> = list
        .head
        .notes
        .iter()
        .chain(&list.account.notes)
        .map(|n| n.message.as_str())
        .collect();
    notes.dedup();
    SupplierRow {
        supplier: list.head.supplier.clone(),
        file: list.head.file.clone(),
        sheet: list.head.sheet.clone().unwrap_or_default().into(),
        encoding: list.head.encoding.label.into(),
        dialect: dialect_words(&list.head).into(),
        profile: list
            .head
            .profile
            .as_ref()
            .map(|p| p.supplier.as_str().into())
            .unwrap_or_default(),
        read: list.account.read,
        offers,
        set_aside: list.set_aside.len() as u64,
        rejected: list.rejects.len() as u64,
        layout_preamble: layout.preamble,
        layout_header: layout.header,
        layout_repeated_header: layout.repeated_header,
        layout_units: layout.units,
        layout_section: layout.section,
        layout_total: layout.total,
        layout_footnote: layout.footnote,
        layout_blank: layout.blank,
        repaired: list.account.repaired,
        checked_claims: record.map_or(0, |t| u64::from(t.checked)),
        contradicted_claims: record.map_or(0, |t| u64::from(t.contradicted)),
        track_record_low: share.map(|s| 1.0 - s.2),
        track_record_high: share.map(|s| 1.0 - s.0),
        notes: notes.join("; "),
    }
}

fn dialect_words(head: &ListHead) -> String {
    let delimiter = match head.dialect.delimiter {
        Delimiter::Byte(b'\t') => "tab".to_string(),
        Delimiter::Byte(b' ') => "space".to_string(),
        Delimiter::Byte(b) => char::from(b).to_string(),
        Delimiter::ByteAndSpace(b) => format!("{} and space", char::from(b)),
        Delimiter::None => "one column".to_string(),
        Delimiter::Workbook => return "workbook".to_string(),
    };
    match head.dialect.quote {
        Some(q) => format!("{delimiter} quoted by {}", char::from(q)),
        None => format!("{delimiter} unquoted"),
    }
}

fn facts(
    typed: &BuildTyped,
    gathered: &Gathered,
    products: &Products,
    fit: Option<&FitGroups>,
    rates: &Rates,
    clock: &Clock,
) -> RunFacts {
    let mut facts = RunFacts {
        version: env!("CARGO_PKG_VERSION").into(),
        home_currency: rates.home.as_str().into(),
        input_paths: typed.inputs.clone(),
        timings: clock.stages.clone(),
        ..RunFacts::default()
    };
    let kind = if typed.kind == KindTyped::Generic {
        "generic"
    } else {
        "parts"
    };
    facts.settings.insert("kind".into(), kind.into());
    facts.settings.insert("rates_date".into(), rates.date.clone());
    facts
        .settings
        .insert("reject_limit".into(), typed.reject_limit.to_string());
    for list in &gathered.lists {
        facts.inputs.push(InputFact {
            file: list.head.file.to_string(),
            sha256: list.head.sha256,
            bytes: list.head.bytes,
        });
    }
    facts.inputs.sort();
    facts.inputs.dedup();
    let blocks = products.counts.blocks;
    let mut counts: Vec<(&str, u64)> = vec![
        ("pairs_by_number", blocks.by_number),
        ("pairs_by_words", blocks.by_words),
        ("stop_numbers", blocks.stop_numbers),
        ("stop_words", blocks.stop_words),
        ("links_forbidden", products.counts.forbidden),
        ("links_cut", products.counts.cut),
        ("files_failed", gathered.failures.len() as u64),
    ];
    if let Some(fit) = fit {
        counts.push(("engine_classes", fit.classes.list.len() as u64));
        counts.push(("class_merges", fit.merges as u64));
    }
    facts
        .counts
        .extend(counts.into_iter().map(|(name, n)| (name.to_string(), n)));
    facts
}

/// The account on stdout: per list what was read and what became of it.
fn account(tables: &RunTables, folder: &Path, json: bool) -> String {
    let sum = |of: fn(&SupplierRow) -> u64| tables.suppliers.iter().map(of).sum::<u64>();
    if json {
        let lists: Vec<serde_json::Value> = tables
            .suppliers
            .iter()
            .map(|s| {
                serde_json::json!({
                    "file": s.source_name().as_ref(), "supplier": s.supplier.as_ref(), "read": s.read,
                    "offers": s.offers, "set_aside": s.set_aside, "rejected": s.rejected, "layout": s.layout(),
                })
            })
            .collect();
        let whole = serde_json::json!({
            "out": folder.display().to_string(), "lists": lists, "offers": tables.crossref.len(),
            "products": tables.products.len(), "groups": tables.groups.len(), "rejects": tables.rejects.len(),
        });
        return format!("{whole}\n");
    }
    let mut text = String::new();
    let width = tables
        .suppliers
        .iter()
        .map(|s| s.source_name().chars().count())
        .max()
        .unwrap_or(4)
        .max(4);
    let _ = writeln!(
        text,
        "{:<width$} {:>9} {:>9} {:>9} {:>9} {:>9}",
        "list", "read", "offers", "set aside", "rejected", "layout"
    );
    for s in &tables.suppliers {
        let name = s.source_name();
        let name = crate::publish::terminal::inert(&name);
        let _ = writeln!(
            text,
            "{name:<width$} {:>9} {:>9} {:>9} {:>9} {:>9}",
            s.read,
            s.offers,
            s.set_aside,
            s.rejected,
            s.layout()
        );
    }
    let _ = writeln!(
        text,
        "{:<width$} {:>9} {:>9} {:>9} {:>9} {:>9}",
        "all",
        sum(|s| s.read),
        sum(|s| s.offers),
        sum(|s| s.set_aside),
        sum(|s| s.rejected),
        sum(SupplierRow::layout)
    );
    let _ = writeln!(
        text,
        "{} products in {} fit groups; published in {}",
        tables.products.len(),
        tables.groups.len(),
        folder.display()
    );
    text
}

fn outcome(tables: &RunTables, gathered: &Gathered, typed: &BuildTyped, talk: Talk) -> Outcome {
    let read: u64 = tables.suppliers.iter().map(|s| s.read).sum();
    let rejected: u64 = tables.suppliers.iter().map(|s| s.rejected).sum();
    let share = rejected as f64 / read.max(1) as f64;
    if !gathered.failures.is_empty() {
        talk.warn(
            &format!("{} of the files could not be used", gathered.failures.len()),
            "see rejects.csv",
        );
        return Outcome::Warned;
    }
    if share > typed.reject_limit {
        talk.warn(
            &format!(
                "{rejected} of {read} lines were rejected, more than the limit of {}",
                typed.reject_limit
            ),
            "see rejects.csv, or raise --reject-limit",
        );
        return Outcome::Warned;
    }
    Outcome::Done
}
