//! One run, whoever asked for it: offers -> products -> fit groups -> delivered prices -> tables and facts.
//!
//! `build` and `refresh` both end here, so that the same lists and settings give the same tables by either way.

use super::decided;
use super::list_rows::add_lists;
use super::outcome::Outcome;
use super::talk::Talk;
use crate::fit::FitGroups;
use crate::link::Products;
use crate::normalise::Scope;
use crate::normalise::list_read::Gathered;
use crate::publish::{InputFact, RunFacts, RunTables, StageTime};
use crate::shop::crossref::{self, Priced, Stages};
use crate::shop::rates::Rates;
use crate::shop::records::record_rows;
use crate::shop::review::{Decisions, Warning};
use rayon::prelude::*;
use std::path::PathBuf;
use std::time::Instant;

/// What bears on the result of a run beside the lists.
#[derive(Debug, Clone)]
pub struct RunSettings {
    /// parts with fit groups, or any products
    pub scope: Scope,
    /// what a person decided
    pub decisions: Decisions,
    /// rows of the decisions that could not be read
    pub unread: Vec<Warning>,
    /// exchange rates and home currency
    pub rates: Rates,
    /// share of rejected lines above which a run ends with a warning
    pub reject_limit: f64,
    /// files and folders given; the output may not touch them
    pub input_paths: Vec<PathBuf>,
}

/// The tables of a run and what it knows of itself.
#[derive(Debug)]
pub struct Made {
    /// tables, ready to be published
    pub tables: RunTables,
    /// facts beside them
    pub facts: RunFacts,
    /// whether the decisions need mending
    pub decisions: Outcome,
}

/// Wall clock per stage.
#[derive(Debug, Default)]
pub struct Clock {
    stages: Vec<StageTime>,
}

impl Clock {
    /// Does the work and keeps how long it took.
    pub fn time<T>(&mut self, stage: &str, work: impl FnOnce() -> T) -> T {
        let start = Instant::now();
        let done = work();
        self.stages.push(StageTime {
            stage: stage.into(),
            wall: start.elapsed(),
        });
        done
    }
}

/// Runs the stages over lists that were read.
pub fn make(gathered: &mut Gathered, settings: &RunSettings, clock: &mut Clock, talk: Talk) -> Made {
    let (mut offers, profiles) = gathered.take_offers();
    let mut told = settings.decisions.resolve(&offers);
    told.apply(&mut offers);
    let working = talk.working("linking");
    let products = clock.time("link", || told.link(&offers));
    working.set_message("fitting");
    let fit = clock.time("fit", || {
        (settings.scope == Scope::Fit).then(|| told.fit(&offers, &products))
    });
    let priced: Vec<Priced> = offers
        .par_iter()
        .zip(&profiles)
        .map(|(offer, profile)| Priced::of(offer, profile.as_deref(), &settings.rates))
        .collect();
    let stages = Stages {
        offers: &offers,
        products: &products,
        fit: fit.as_ref(),
        told: &told,
        priced: &priced,
        rates: &settings.rates,
    };
    let (tables, left_out) = clock.time("tables", || tables(gathered, stages));
    working.finish_and_clear();
    let mut facts = facts(settings, gathered, &products, fit.as_ref(), clock);
    decided::add_facts(&mut facts, &told, &settings.unread, tables.review.len(), left_out);
    Made {
        tables,
        facts,
        decisions: decided::say(&told, &settings.unread, talk),
    }
}

/// The tables, and how many questions the review sheet had no room for.
fn tables(gathered: &Gathered, stages: Stages<'_>) -> (RunTables, u64) {
    let made = crossref::tables(stages);
    let mut tables = RunTables {
        crossref: made.crossref,
        links: made.links,
        groups: made.groups,
        products: made.products,
        review: made.review.rows,
        ..RunTables::default()
    };
    if let Some(fit) = stages.fit {
        tables.track_records = record_rows(stages.offers, stages.products, fit);
    }
    add_lists(&mut tables, gathered, stages);
    (tables, made.review.left_out)
}

fn facts(
    settings: &RunSettings,
    gathered: &Gathered,
    products: &Products,
    fit: Option<&FitGroups>,
    clock: &Clock,
) -> RunFacts {
    let mut facts = RunFacts {
        version: env!("CARGO_PKG_VERSION").into(),
        home_currency: settings.rates.home.as_str().into(),
        input_paths: settings.input_paths.clone(),
        timings: clock.stages.clone(),
        ..RunFacts::default()
    };
    let kind = match settings.scope {
        Scope::Generic => "generic",
        Scope::Fit => "parts",
    };
    facts.settings.insert("kind".into(), kind.into());
    facts.settings.extend(settings.rates.settings());
    facts
        .settings
        .insert("reject_limit".into(), settings.reject_limit.to_string());
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
        ("numbers_too_common", blocks.numbers_too_common),
        ("words_too_common", blocks.words_too_common),
        ("links_forbidden", products.counts.forbidden),
        ("links_cut", products.counts.cut),
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
