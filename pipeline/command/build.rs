//! `samefit build`: read vendor lists, publish the cross-reference.

use super::decided;
use super::doubts::doubts;
use super::gather::gather;
use super::limits_file::LimitsFile;
use super::outcome::{Failure, Outcome};
use super::run::{Clock, RunSettings, make};
use super::talk::{Talk, print};
use super::today::{Dated, warn_of_age};
use super::{Common, ProfileFolder};
use crate::intake::{Profiles, find_inputs};
use crate::normalise::Scope;
use crate::normalise::list_read::Gathered;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::place::Place;
use crate::publish::{RunTables, SupplierRow, write_claimed};
use crate::shop::rates::Rates;
use crate::shop::review::Decisions;
use crate::trade::currency::is_currency_code;
use clap::{Args, ValueEnum};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

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
    /// Limits on what one input file may ask for
    #[command(flatten)]
    pub limits: LimitsFile,
    /// Exchange rates: a TOML file with `home`, `date` and `[rates]`
    #[arg(long, value_name = "FILE")]
    pub rates: Option<PathBuf>,
    /// Home currency, ISO 4217, when no rates file names it
    #[arg(long, value_name = "CODE", default_value = "EUR")]
    pub home_currency: String,
    /// Share of rejected lines above which the run ends with exit code 3
    #[arg(long, value_name = "SHARE", default_value_t = 0.05)]
    pub reject_limit: f64,
    /// Decisions of a person: review.csv filled in, a list by hand, or a folder of them
    #[arg(long, value_name = "FILE")]
    pub decisions: Vec<PathBuf>,
    /// Day to count from
    #[command(flatten)]
    pub dated: Dated,
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
        None => Rates::none(known_currency(&typed.home_currency)?),
    };
    warn_of_age(&rates, &typed.dated, common);
    let vocabulary = Vocabulary::built_in().map_err(|e| Failure::failed(e.to_string()))?;
    let limits = typed.limits.load()?;
    let (decisions, unread) = Decisions::load(&typed.decisions)?;
    let files = find_inputs(&typed.inputs)?;
    // decisions inside the output would be replaced by the new run's open questions
    let given: Vec<PathBuf> = typed.inputs.iter().chain(&typed.decisions).cloned().collect();
    decided::refuse_unsaved(&typed.out)?;
    let place = Place::claim(&typed.out, &given)?;
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
        if files.is_empty() {
            return Err(Failure::failed("no list was found in what was given; nothing was published")
                .hint("a folder's lists are known by their endings, such as .csv, .txt, .xlsx, .zip; name another file outright"));
        }
        return Err(Failure::failed("no list could be read; nothing was published").hint("see the warnings above"));
    }
    let settings = RunSettings {
        scope,
        decisions,
        unread,
        rates,
        reject_limit: typed.reject_limit,
        input_paths: given,
    };
    let made = make(&mut gathered, &settings, &mut clock, talk);
    // their lines stand in the tables now
    gathered.lists.clear();
    let working = talk.working("publishing");
    let published = write_claimed(place, &made.tables, &made.facts)?;
    working.finish_and_clear();
    print(&account(&made.tables, &published.folder, typed.json))?;
    Ok(outcome(&made.tables, &gathered, (typed, scope), talk).and(made.decisions))
}

/// The code of a currency that exists.
fn known_currency(code: &str) -> Result<&str, Failure> {
    let unknown = || Failure::usage(format!("`{code}` is no currency")).hint("give the code of ISO 4217, such as EUR");
    is_currency_code(code).then_some(code).ok_or_else(unknown)
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

/// The account on stdout: per list what was read and what became of it.
fn account(tables: &RunTables, folder: &Path, json: bool) -> String {
    if json {
        format!("{}\n", account_json(tables, folder))
    } else {
        account_table(tables, folder)
    }
}

/// The account for machines.
fn account_json(tables: &RunTables, folder: &Path) -> serde_json::Value {
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
    serde_json::json!({
        "out": folder.display().to_string(), "lists": lists, "offers": tables.crossref.len(),
        "products": tables.products.len(), "groups": tables.groups.len(), "rejects": tables.rejects.len(),
    })
}

/// The account for people: a line for each list, and one for all.
fn account_table(tables: &RunTables, folder: &Path) -> String {
    let sum = |of: fn(&SupplierRow) -> u64| tables.suppliers.iter().map(of).sum::<u64>();
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

fn outcome(tables: &RunTables, gathered: &Gathered, (typed, scope): (&BuildTyped, Scope), talk: Talk) -> Outcome {
    let read: u64 = tables.suppliers.iter().map(|s| s.read).sum();
    let rejected: u64 = tables.suppliers.iter().map(|s| s.rejected).sum();
    let share = rejected as f64 / read.max(1) as f64;
    let mut outcome = Outcome::Done;
    for doubt in doubts(&tables.suppliers, &tables.crossref, scope, typed.reject_limit) {
        talk.warn(&doubt.message, &doubt.hint);
        if doubt.warns {
            outcome = Outcome::Warned;
        }
    }
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
    outcome
}
