//! The steps of a night, in their order: look, compare, read, judge, make, carry on, publish.

use super::night_log::NightLog;
use super::outcome::{Failure, FailureKind, Outcome};
use super::run::{Clock, RunSettings, make};
use crate::intake::Profiles;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::facts::hexadecimal;
use crate::publish::place::chain::{Chain, pointer_of};
use crate::publish::{Chain as ChainFact, Place, PublishError, RunTables, write_claimed};
use crate::refresh::config::Config;
use crate::refresh::differences::{Compared, changes, counted};
use crate::refresh::digest::{Digest, digest_of_file, digest_of_program};
use crate::refresh::ledger;
use crate::refresh::lists::{Readings, StoredFile, profiles_in_words, unreadable};
use crate::refresh::matching::matched;
use crate::refresh::night::{FileRead, Judging, Settled, settle, unknown_names};
use crate::refresh::sources::{FoundFile, find_files};
use crate::refresh::state::{self, FORMAT, Ledger, Note};
use crate::refresh::store::{Store, snapshot_name};
use crate::shop::rates::Rates;
use crate::shop::review::{Decisions, Warning};
use jiff::civil::Date;
use rayon::prelude::*;
use serde_json::json;
use std::collections::{BTreeMap, BTreeSet};

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

/// A file found, and what was found out about it without reading its lines.
struct Looked {
    found: FoundFile,
    name: String,
    metadata: Option<String>,
    sha256: Result<[u8; 32], std::io::Error>,
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

    /// What the run that stands knows, for a night that failed.
    pub fn standing_note(&self) -> Option<Note> {
        let pointer = pointer_of(&self.config.output).ok().flatten()?;
        state::read_note(self.store, &pointer.run).ok().flatten()
    }

    /// What the run before knew: the one the output points at, or, without an output, the one published last.
    fn note_before(&self, chain: &Chain) -> Result<Option<Note>, Failure> {
        if let Some(pointer) = chain.pointer() {
            let note = state::read_note(self.store, &pointer.run)?;
            if note.is_none() {
                self.log.warn(
                    &format!(
                        "the store knows nothing of the run {}; ids and prices start anew",
                        pointer.run
                    ),
                    "was the store moved, or does the output belong to another one?",
                );
            }
            return Ok(note);
        }
        let Some(name) = self.store.get("state", PUBLISHED)? else {
            return Ok(None);
        };
        let name = String::from_utf8_lossy(&name).trim().to_owned();
        Ok(state::read_note(self.store, &name)?)
    }

    /// Finds the files and hashes them, side by side.
    fn look(&self, known: bool) -> Result<Vec<Looked>, Failure> {
        let found = find_files(&self.config.sources)?;
        if found.is_empty() && !known {
            return Err(Failure::usage("`source` names no list that is there")
                .hint("check the folders and patterns of the configuration"));
        }
        let look = |found: FoundFile| {
            let path = &found.input.path;
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let beside = path.with_file_name(format!("{name}-metadata.json"));
            Looked {
                metadata: std::fs::read_to_string(beside).ok(),
                sha256: digest_of_file(path).map(|(sha256, _)| sha256),
                name,
                found,
            }
        };
        Ok(found.into_par_iter().map(look).collect())
    }

    /// Digest of everything that bears on the result beside the lists.
    fn settings_digest(&self, program: &str, profiles: &Profiles) -> Result<Digest, Failure> {
        let file = |path: &Option<std::path::PathBuf>| match path {
            Some(path) => {
                let read = std::fs::read(path);
                read.map_err(|error| Failure::usage(format!("{} cannot be read: {error}", path.display())))
            }
            None => Ok(Vec::new()),
        };
        let config = self.config;
        Ok(Digest::default()
            .with(program)
            .with(profiles_in_words(profiles))
            .with(file(&config.rates)?)
            .with(format!("{:?}", self.decisions()?))
            .with(&config.home_currency)
            .with(format!(
                "{:?} {} {} {} {:?} {:?} {:?}",
                config.scope,
                config.reject_limit,
                config.history_days,
                config.sure,
                config.gates,
                config.gates_of,
                config.limits
            )))
    }

    /// What a person decided: a file, or a folder of them.
    fn decisions(&self) -> Result<(Decisions, Vec<Warning>), Failure> {
        let given = self.config.decisions.as_ref().map(std::slice::from_ref);
        Ok(Decisions::load(given.unwrap_or_default())?)
    }

    fn fingerprint(&self, settings: &Digest, looked: &[Looked]) -> String {
        let mut digest = settings.clone();
        for file in looked {
            let source = &self.config.sources[file.found.source];
            let hash = file
                .sha256
                .as_ref()
                .map_or_else(ToString::to_string, |hash| hexadecimal(hash));
            digest = digest
                .with(&*file.found.input.shown)
                .with(hash)
                .with(file.metadata.as_deref().unwrap_or_default())
                .with(source.supplier.as_deref().unwrap_or_default())
                .with(format!("{:?}", source.fresh_every_days));
        }
        digest.finish()
    }

    fn nothing_changed(&self, note: &Note, fingerprint: &str, chain: &Chain) -> bool {
        let due = |date: &String| date.parse::<Date>().is_ok_and(|date| self.today >= date);
        !self.rebuild
            && self.accepted.is_empty()
            && note.fingerprint == fingerprint
            && !note.judge_again.as_ref().is_some_and(due)
            && chain.pointer().is_some_and(|pointer| pointer.run == note.run)
            && chain.stands_whole()
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
        let (decisions, unread) = self.decisions()?;
        let run_settings = RunSettings {
            scope: self.config.scope,
            decisions,
            unread,
            rates,
            reject_limit: self.config.reject_limit,
            input_paths: Vec::new(),
        };
        let made = make(&mut settled.gathered, &run_settings, &mut clock, self.log.talk());
        self.log.step(
            "made",
            json!({ "offers": made.tables.crossref.len(), "groups": made.tables.groups.len() }),
        );
        if made.decisions == Outcome::Warned {
            let words = "decisions contradict each other or could not be read; run.json names them";
            settled.warnings.push(words.into());
        }
        let (mut tables, mut facts) = (made.tables, made.facts);
        let run = self.name(&chain);
        let ledger = self.carry_on(&mut tables, &settled, before.is_some(), ledger);
        facts.chain = ChainFact::Nightly {
            before: before.as_ref().map(|note| note.run.clone()),
        };
        let note = self.note(run, fingerprint, &tables, settled);
        state::write(self.store, &note, &ledger)?;
        let words = words(&note, before.as_ref(), &tables);
        let place = Place::among(chain, &note.run, self.config.keep)?;
        write_claimed(place, &tables, &facts)?;
        self.tidy(&note, &keys, readings)?;
        Ok(Done { note, words })
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
            let why: Vec<&str> = settled.warnings.iter().map(String::as_str).collect();
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

    /// A name that no run has: the date and a number.
    fn name(&self, chain: &Chain) -> String {
        let taken = chain.names();
        let free = |number: &u32| {
            let name = format!("{}-{number}", self.today);
            !taken.contains(&name) && !self.store.at("state", &state::note_name(&name)).exists()
        };
        let number = (1..u32::MAX).find(free).unwrap_or(u32::MAX);
        format!("{}-{number}", self.today)
    }

    fn note(&self, run: String, fingerprint: String, tables: &RunTables, settled: Settled) -> Note {
        let failures = settled.gathered.failures.len();
        let read: u64 = tables.suppliers.iter().map(|list| list.read).sum();
        let rejected: u64 = tables.suppliers.iter().map(|list| list.rejected).sum();
        let mut warnings = settled.warnings;
        if failures > 0 {
            warnings.push(format!("{failures} of the files could not be used; see rejects.csv"));
        }
        if rejected as f64 / read.max(1) as f64 > self.config.reject_limit {
            let limit = self.config.reject_limit;
            warnings.push(format!(
                "{rejected} of {read} lines were rejected, more than the limit of {limit}"
            ));
        }
        let mut counts = BTreeMap::new();
        for (name, count) in [
            ("offers", tables.crossref.len()),
            ("products", tables.products.len()),
            ("groups", tables.groups.len()),
            ("rejects", tables.rejects.len()),
            ("set_aside", tables.set_aside.len()),
            ("changes", tables.changes.len()),
        ] {
            counts.insert(name.to_owned(), count as u64);
        }
        Note {
            format: FORMAT,
            run,
            date: self.today.to_string(),
            fingerprint,
            judge_again: settled.judge_again.map(|date| date.to_string()),
            warned: !warnings.is_empty(),
            warnings,
            suppliers: settled.suppliers,
            counts,
        }
    }

    /// Names the run in the store and removes what no kept run needs.
    fn tidy(&self, note: &Note, keys: &BTreeSet<String>, readings: &Readings<'_>) -> Result<(), Failure> {
        self.store
            .put("state", PUBLISHED, format!("{}\n", note.run).as_bytes())?;
        let kept = pointer_of(&self.config.output)?
            .map(|pointer| pointer.kept)
            .unwrap_or_default();
        let mut states = BTreeSet::from([PUBLISHED.to_owned()]);
        let mut lists = BTreeSet::new();
        for run in &kept {
            states.extend([state::note_name(run), state::ledger_name(run)]);
            let Some(known) = state::read_note(self.store, run)? else {
                continue;
            };
            for file in known.suppliers.values().flat_map(|standing| &standing.files) {
                lists.extend(StoredFile::remembered(file).map(|file| snapshot_name(&file.sha256)));
            }
        }
        let mut keys = keys.clone();
        for file in note.suppliers.values().flat_map(|standing| &standing.files) {
            keys.extend(StoredFile::remembered(file).map(|file| readings.key(&file)));
        }
        self.store.keep_only("state", &states);
        self.store.keep_only("lists", &lists);
        self.store.keep_only("read", &keys);
        Ok(())
    }
}

/// Names the run that was published last, in the store's `state`.
const PUBLISHED: &str = "published";

fn unchanged(note: Note) -> Done {
    let words = format!("nothing changed; {} stands: {}", note.run, rows_in_words(&note));
    Done { note, words }
}

fn rows_in_words(note: &Note) -> String {
    let count = |name: &str| note.counts.get(name).copied().unwrap_or(0);
    format!(
        "{} offers, {} products, {} fit groups of {} suppliers",
        count("offers"),
        count("products"),
        count("groups"),
        note.suppliers.len()
    )
}

fn words(note: &Note, before: Option<&Note>, tables: &RunTables) -> String {
    let told = match before {
        None => "the first run".to_owned(),
        Some(before) => format!("since {}: {}", before.run, counted(&tables.changes)),
    };
    format!("published {}: {}; {told}", note.run, rows_in_words(note))
}
