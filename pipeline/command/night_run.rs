//! The steps of a night, in their order: look, compare, read, judge, make, carry on, publish.

use super::night_keep::{unchanged, words};
use super::night_log::NightLog;
use super::night_look::Looked;
use super::outcome::{Failure, FailureKind, Outcome};
use super::run::{Clock, RunSettings, make};
use crate::intake::Profiles;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::place::chain::Chain;
use crate::publish::{Chain as ChainFact, Place, PublishError, RunFacts, RunTables, write_claimed};
use crate::refresh::config::Config;
use crate::refresh::differences::{Compared, changes};
use crate::refresh::digest::{Digest, digest_of_program};
use crate::refresh::ledger;
use crate::refresh::lists::{Readings, StoredFile, unreadable};
use crate::refresh::matching::matched;
use crate::refresh::night::{FileRead, Judging, Settled, settle, unknown_names};
use crate::refresh::state::{self, Ledger, Note};
use crate::refresh::store::Store;
use crate::shop::rates::{Rates, STALE_DAYS};
use jiff::civil::Date;
use rayon::prelude::*;
use serde_json::json;
use std::collections::{BTreeMap, BTreeSet};

/// Suppliers whose reasons are told when nothing is published.
const REASONS_TOLD: usize = 3;

/// A night, ready to begin.
pub struct NightRun<'a> {
    /// What is asked for.
    pub config: &'a Config,
    /// The store, locked.
    pub store: &'a Store,
    /// Its date.
    pub today: Date,
    /// Suppliers accepted by name.
    pub accepted: &'a [String],
    /// Whether everything is made anew.
    pub rebuild: bool,
    /// Where it speaks.
    pub log: NightLog,
}

/// A night that ended well.
pub struct Done {
    /// What the run that stands knows.
    pub note: Note,
    /// The night in one line.
    pub words: String,
}

impl NightRun<'_> {
    /// The night, up to the published run.
    ///
    /// # Errors
    /// The configuration names what is not there, a gate refused, or something failed; the old output stands.
    pub fn night(&self, chain: Chain) -> Result<Done, Failure> {
        let profiles = match &self.config.profiles {
            Some(folder) => Profiles::load(folder)?,
            None => Profiles::none(),
        };
        let rates = match &self.config.rates {
            Some(file) => Rates::load(file)?,
            None => Rates::none(&self.config.home_currency),
        };
        let program =
            digest_of_program().map_err(|error| Failure::failed(format!("cannot read this program: {error}")))?;
        let before = self.note_before(&chain)?;
        let looked = self.look(before.is_some())?;
        let settings = self.settings_digest(&program, &profiles)?;
        let fingerprint = self.fingerprint(&settings, &looked);
        self.log
            .step("looked", json!({ "files": looked.len(), "fingerprint": fingerprint }));
        if let Some(note) = before
            .as_ref()
            .filter(|note| self.nothing_changed(note, &fingerprint, &chain))
        {
            return Ok(unchanged(note.clone()));
        }
        let vocabulary = Vocabulary::built_in().map_err(|error| Failure::failed(error.to_string()))?;
        let readings = Readings::under(
            self.store,
            &profiles,
            &self.config.limits,
            &vocabulary,
            self.config.scope,
            &program,
        );
        if self.rebuild {
            self.store.keep_only("read", &BTreeSet::new());
        }
        self.make(chain, before, looked, &settings, &readings, rates)
    }

    fn make(
        &self,
        chain: Chain,
        before: Option<Note>,
        looked: Vec<Looked>,
        settings: &Digest,
        readings: &Readings<'_>,
        rates: Rates,
    ) -> Result<Done, Failure> {
        let mut clock = Clock::default();
        let ledger = match &before {
            Some(note) => state::read_ledger(self.store, &note.run)?,
            None => Ledger::default(),
        };
        let suppliers = before.as_ref().map(|note| note.suppliers.clone()).unwrap_or_default();
        let (read, fingerprint) = clock.time("intake and normalise", || self.read(looked, settings, readings))?;
        self.log.step("read", json!({ "files": read.len() }));
        let judging = Judging {
            config: self.config,
            before: &suppliers,
            ledger: &ledger,
            today: self.today,
            accepted: self.accepted,
            readings,
        };
        let keys: BTreeSet<String> = read
            .iter()
            .filter_map(|file| Some(readings.key(file.file.as_ref()?)))
            .collect();
        let mut settled = settle(read, &judging)?;
        self.refuse(&settled, &suppliers)?;
        mind_rates(&rates, &mut settled, self.today);
        let (mut tables, mut facts) = self.make_tables(&mut settled, rates, &mut clock)?;
        let run = self.name(&chain, before.as_ref());
        let ledger = self.carry_on(&mut tables, &settled, before.is_some(), ledger);
        facts.chain = ChainFact::Nightly {
            before: before.as_ref().map(|note| note.date.clone()),
        };
        let note = self.note(run, fingerprint, &tables, settled);
        state::write(self.store, &note, &ledger)?;
        let words = words(&note, before.as_ref(), &tables);
        let place = Place::among(chain, &note.run, self.config.keep)?;
        write_claimed(place, &tables, &facts)?;
        self.tidy(&note, &keys, readings)?;
        Ok(Done { note, words })
    }

    /// Makes the tables of what was settled; decisions that cannot be held are a warning of the night.
    fn make_tables(
        &self,
        settled: &mut Settled,
        rates: Rates,
        clock: &mut Clock,
    ) -> Result<(RunTables, RunFacts), Failure> {
        let (decisions, unread) = self.decisions()?;
        let run_settings = RunSettings {
            scope: self.config.scope,
            decisions,
            unread,
            rates,
            reject_limit: self.config.reject_limit,
            input_paths: Vec::new(),
        };
        let made = make(&mut settled.gathered, &run_settings, clock, self.log.talk());
        self.log.step(
            "made",
            json!({ "offers": made.tables.crossref.len(), "groups": made.tables.groups.len() }),
        );
        if made.decisions == Outcome::Warned {
            let words = "decisions contradict each other or could not be read; run.json names them";
            settled.warnings.push(words.into());
        }
        Ok((made.tables, made.facts))
    }

    /// Takes new files into the store and reads all of them, side by side.
    fn read(
        &self,
        looked: Vec<Looked>,
        settings: &Digest,
        readings: &Readings<'_>,
    ) -> Result<(Vec<FileRead>, String), Failure> {
        let read_one = |looked: &mut Looked| -> Result<FileRead, PublishError> {
            let source = &self.config.sources[looked.found.source];
            let input = &looked.found.input;
            let mut file = FileRead {
                file: None,
                shown: input.shown.clone(),
                called: source.supplier.clone(),
                fresh_every_days: source.fresh_every_days,
                lists: Ok(Vec::new()),
            };
            let sha256 = match &looked.sha256 {
                Ok(sha256) if self.store.has_list(sha256) => *sha256,
                // what the store takes counts, should the list change under the hand
                Ok(_) => self.store.take(&input.path)?.sha256,
                Err(error) => {
                    file.lists = Err(unreadable(&input.shown, error));
                    return Ok(file);
                }
            };
            looked.sha256 = Ok(sha256);
            let stored = StoredFile {
                shown: input.shown.clone(),
                name: looked.name.clone(),
                sha256,
                metadata: looked.metadata.clone(),
                called: source.supplier.clone(),
            };
            file.lists = readings.read(&stored)?;
            file.file = Some(stored);
            Ok(file)
        };
        let mut looked = looked;
        let read = looked.par_iter_mut().map(read_one).collect::<Result<Vec<_>, _>>()?;
        let fingerprint = self.fingerprint(settings, &looked);
        Ok((read, fingerprint))
    }

    /// What must not be published.
    fn refuse(&self, settled: &Settled, before: &BTreeMap<String, state::Standing>) -> Result<(), Failure> {
        if let Some(name) = unknown_names(self.accepted, settled, before).first() {
            return Err(
                Failure::usage(format!("--accept names `{name}`, which is no supplier here")).hint(format!(
                    "the suppliers are {}",
                    settled.suppliers.keys().cloned().collect::<Vec<_>>().join(", ")
                )),
            );
        }
        let share = settled.offers_held as f64 / settled.offers.max(1) as f64;
        if share > self.config.gates.held {
            let told = settled.warnings.iter().take(REASONS_TOLD).map(String::as_str);
            let mut why: Vec<&str> = told.collect();
            if settled.warnings.len() > REASONS_TOLD {
                why.push("and others likewise");
            }
            return Err(Failure {
                kind: FailureKind::Gate,
                message: format!(
                    "nothing was published: {} of {} offers ({:.0} %) would come from lists that stand in; the limit is {:.0} %; {}",
                    settled.offers_held,
                    settled.offers,
                    share * 100.0,
                    self.config.gates.held * 100.0,
                    why.join("; ")
                ),
                hint: "the previous output stands; mend the lists, accept suppliers by name, or raise `gates.held`"
                    .to_owned(),
            });
        }
        if settled.gathered.lists.is_empty() {
            let failures: Vec<String> = settled.gathered.failures.iter().map(ToString::to_string).collect();
            return Err(Failure::failed(format!(
                "no list could be read; nothing was published; {}",
                failures.join("; ")
            ))
            .hint("mend the lists, or check the sources of the configuration"));
        }
        Ok(())
    }

    /// Gives the tables their lasting ids and what changed, and makes the ledger after.
    fn carry_on(&self, tables: &mut RunTables, settled: &Settled, follows: bool, before: Ledger) -> Ledger {
        let known = matched(&tables.crossref, &before.offers);
        let events = ledger::carry_ids(tables, &before, &known);
        tables.changes = settled.told.clone();
        if follows {
            let compared = Compared {
                tables,
                before: &before,
                known: &known,
                sure: self.config.sure,
            };
            let told = changes(compared);
            tables.changes.extend(told);
        }
        let days = jiff::Span::new().days(i64::from(self.config.history_days));
        let forget = self.today.checked_sub(days).unwrap_or(Date::MIN).to_string();
        let ledger = ledger::after(tables, before, &known, events, &self.today.to_string(), &forget);
        (tables.prices, tables.ids) = ledger::rows(&ledger);
        ledger
    }
}

/// Warns of stale rates, or has the night look again on the day on which they will be.
fn mind_rates(rates: &Rates, settled: &mut Settled, today: Date) {
    let Some(stale) = rates.stale_from() else { return };
    if stale <= today {
        settled.warnings.push(format!(
            "the exchange rates of {} are more than {STALE_DAYS} days old; delivered prices are those of that day",
            rates.date
        ));
    } else {
        settled.look_again(stale, today);
    }
}
