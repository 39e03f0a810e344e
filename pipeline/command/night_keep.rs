//! What a night keeps for the next and what it says of itself: the run's name and note, and what no kept run needs.

use super::night_run::{Done, NightRun};
use super::outcome::Failure;
use crate::publish::RunTables;
use crate::publish::place::chain::{Chain, pointer_of};
use crate::refresh::differences::counted;
use crate::refresh::lists::{Readings, StoredFile};
use crate::refresh::night::Settled;
use crate::refresh::state::{self, FORMAT, Note};
use crate::refresh::store::snapshot_name;
use std::collections::{BTreeMap, BTreeSet};

/// Names the run that was published last, in the store's `state`.
const PUBLISHED: &str = "published";

impl NightRun<'_> {
    /// What the run that stands knows, for a night that failed.
    pub fn standing_note(&self) -> Option<Note> {
        let pointer = pointer_of(&self.config.output).ok().flatten()?;
        state::read_note(self.store, &pointer.run).ok().flatten()
    }

    /// What the run before knew: the one the output points at, or, without an output, the one published last.
    pub(super) fn note_before(&self, chain: &Chain) -> Result<Option<Note>, Failure> {
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

    /// A name that no run has, nor had before it was cleared away: the date and a number above all of that date.
    pub(super) fn name(&self, chain: &Chain, before: Option<&Note>) -> String {
        let mut taken = chain.names();
        taken.extend(before.map(|note| note.run.clone()));
        let number_of = |name: &String| -> Option<u32> {
            let number = name.strip_prefix(&self.today.to_string())?.strip_prefix('-')?;
            number.parse().ok()
        };
        let last = taken.iter().filter_map(number_of).max().unwrap_or(0);
        let free = |number: &u32| {
            let name = format!("{}-{number}", self.today);
            !self.store.at("state", &state::note_name(&name)).exists()
        };
        let number = (last.saturating_add(1)..u32::MAX).find(free).unwrap_or(u32::MAX);
        format!("{}-{number}", self.today)
    }

    pub(super) fn note(&self, run: String, fingerprint: String, tables: &RunTables, settled: Settled) -> Note {
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
    pub(super) fn tidy(&self, note: &Note, keys: &BTreeSet<String>, readings: &Readings<'_>) -> Result<(), Failure> {
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

/// The end of a night on which nothing changed.
pub(super) fn unchanged(note: Note) -> Done {
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

/// The night in one line.
pub(super) fn words(note: &Note, before: Option<&Note>, tables: &RunTables) -> String {
    let told = match before {
        None => "the first run".to_owned(),
        Some(before) => format!("since {}: {}", before.run, counted(&tables.changes)),
    };
    format!("published {}: {}; {told}", note.run, rows_in_words(note))
}
