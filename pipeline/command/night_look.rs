//! The first look of a night: which files are there, and does anything differ that bears on the result?
//!
//! No list is parsed here. A night on which nothing changed ends after this look and costs little more than hashing.

use super::night_run::NightRun;
use super::outcome::Failure;
use crate::intake::Profiles;
use crate::publish::facts::hexadecimal;
use crate::publish::place::chain::Chain;
use crate::refresh::digest::{Digest, digest_of_file};
use crate::refresh::lists::profiles_in_words;
use crate::refresh::sources::{FoundFile, find_files};
use crate::refresh::state::Note;
use crate::shop::review::{Decisions, Warning};
use jiff::civil::Date;
use rayon::prelude::*;

/// A file found, and what was found out about it without reading its lines.
pub(super) struct Looked {
    pub(super) found: FoundFile,
    pub(super) name: String,
    pub(super) metadata: Option<String>,
    pub(super) sha256: Result<[u8; 32], std::io::Error>,
}

impl NightRun<'_> {
    /// Finds the files and hashes them, side by side.
    pub(super) fn look(&self, known: bool) -> Result<Vec<Looked>, Failure> {
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
    pub(super) fn settings_digest(&self, program: &str, profiles: &Profiles) -> Result<Digest, Failure> {
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
    pub(super) fn decisions(&self) -> Result<(Decisions, Vec<Warning>), Failure> {
        let given = self.config.decisions.as_ref().map(std::slice::from_ref);
        Ok(Decisions::load(given.unwrap_or_default())?)
    }

    pub(super) fn fingerprint(&self, settings: &Digest, looked: &[Looked]) -> String {
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

    pub(super) fn nothing_changed(&self, note: &Note, fingerprint: &str, chain: &Chain) -> bool {
        let due = |date: &String| date.parse::<Date>().is_ok_and(|date| self.today >= date);
        !self.rebuild
            && self.accepted.is_empty()
            && note.fingerprint == fingerprint
            && !note.judge_again.as_ref().is_some_and(due)
            && chain.pointer().is_some_and(|pointer| pointer.run == note.run)
            && chain.stands_whole()
    }
}
