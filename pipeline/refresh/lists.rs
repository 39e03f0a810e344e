//! Lists as they were understood, kept so that an unchanged list is not parsed again.
//!
//! A *reading* is what intake and normalise made of one file: all its lists, every line of them. It is kept under a
//! digest of everything it depends on: the file's bytes, its names, the metadata beside it, profiles, limits, scope, and
//! this very program with its vocabulary. A reading under another digest is never looked at; one that cannot be
//! understood is made anew. A changed list is parsed from its snapshot, not from where it lies, so that what was hashed
//! is what was read, even while a supplier's upload is under way.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::digest::Digest;
use super::state::FileStanding;
use super::store::Store;
use crate::intake::{FileFailure, InputFile, Limits, ListReader, Problem, Profile, Profiles, Use, read_file};
use crate::normalise::Scope;
use crate::normalise::list_read::{ListRead, read_list};
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::PublishError;
use crate::publish::facts::hexadecimal;

/// Strength of compression: as fast as it gets.
const ZSTD_LEVEL: i32 = 1;

/// What readings depend on beside the files.
pub struct Readings<'a> {
    store: &'a Store,
    profiles: &'a Profiles,
    limits: &'a Limits,
    vocabulary: &'a Vocabulary,
    scope: Scope,
    settings: Digest,
}

/// One file to be read out of the store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredFile {
    /// Name shown.
    pub shown: Arc<str>,
    /// Name of the file, by which profiles know it.
    pub name: String,
    /// SHA-256 of its bytes.
    pub sha256: [u8; 32],
    /// The metadata file that lay beside it.
    pub metadata: Option<String>,
    /// What its source calls its supplier.
    pub called: Option<Arc<str>>,
}

/// A list and the name of the profile it was read with.
#[derive(Serialize)]
struct Kept<'a>(&'a ListRead, Option<&'a str>);

#[derive(Deserialize)]
struct KeptList(ListRead, Option<String>);

impl<'a> Readings<'a> {
    /// Readings under these settings, by this program.
    pub fn under(
        store: &'a Store,
        profiles: &'a Profiles,
        limits: &'a Limits,
        vocabulary: &'a Vocabulary,
        scope: Scope,
        program: &str,
    ) -> Readings<'a> {
        let settings = Digest::default()
            .with(program)
            .with(profiles_in_words(profiles))
            .with(format!("{limits:?} {scope:?}"));
        Readings {
            store,
            profiles,
            limits,
            vocabulary,
            scope,
            settings,
        }
    }

    /// The name of a file's reading in the store.
    pub fn key(&self, file: &StoredFile) -> String {
        self.settings
            .clone()
            .with(file.sha256)
            .with(&*file.shown)
            .with(&file.name)
            .with(file.metadata.as_deref().unwrap_or_default())
            .with(file.called.as_deref().unwrap_or_default())
            .finish()
    }

    /// The lists of a file, from the reading kept or from its snapshot.
    ///
    /// # Errors
    /// The outer error: the store cannot be read or written. The inner one: the file is no list that can be used.
    pub fn read(&self, file: &StoredFile) -> Result<Result<Vec<ListRead>, FileFailure>, PublishError> {
        let key = self.key(file);
        if let Some(kept) = self.store.get("read", &key)?
            && let Some(lists) = self.understand(&kept)
        {
            return Ok(Ok(lists));
        }
        let unpacked = self
            .store
            .unpack(&file.sha256, &file.name, file.metadata.as_deref().map(str::as_bytes))?;
        let input = InputFile {
            path: unpacked.list.clone(),
            shown: file.shown.clone(),
        };
        // of an archive all members are read or none: yesterday's stand in for half a delivery
        let lists = read_file(&input, self.profiles, self.limits, Use::Build);
        let lists: Vec<ListReader> = match lists.into_iter().collect() {
            Ok(lists) => lists,
            Err(failure) => return Ok(Err(failure)),
        };
        let read = |list| read_list(list, file.called.as_ref(), self.vocabulary, self.scope);
        let lists: Vec<ListRead> = lists.into_iter().map(read).collect();
        self.keep(&key, &lists)?;
        Ok(Ok(lists))
    }

    fn keep(&self, key: &str, lists: &[ListRead]) -> Result<(), PublishError> {
        let path = self.store.at("read", key);
        let kept = lists.iter().map(|list| {
            let profile = list.head.profile.as_deref();
            Kept(list, profile.map(|profile: &Profile| profile.supplier.as_str()))
        });
        let kept: Vec<Kept<'_>> = kept.collect();
        let mut packed = zstd::Encoder::new(Vec::new(), ZSTD_LEVEL).map_err(PublishError::io("pack", &path))?;
        rmp_serde::encode::write(&mut packed, &kept).map_err(PublishError::format(&path))?;
        let packed = packed.finish().map_err(PublishError::io("pack", &path))?;
        self.store.put("read", key, &packed)
    }

    /// The lists of a reading, with what is not written in it put back.
    fn understand(&self, kept: &[u8]) -> Option<Vec<ListRead>> {
        let text = zstd::Decoder::new(kept).ok()?;
        let kept: Vec<KeptList> = rmp_serde::from_read(std::io::BufReader::new(text)).ok()?;
        let put_back = |KeptList(mut list, profile): KeptList| {
            if let Some(name) = profile {
                let known = self.profiles.iter().find(|profile| profile.supplier == name);
                list.head.profile = Some(known?.clone());
            }
            let shown: Arc<str> = list.head.shown().into();
            for offer in &mut list.offers {
                offer.file = shown.clone();
                offer.supplier = list.head.supplier.clone();
            }
            for aside in &mut list.set_aside {
                aside.file = shown.clone();
                aside.supplier = list.head.supplier.clone();
            }
            for reject in &mut list.rejects {
                reject.file = shown.clone();
            }
            Some(list)
        };
        kept.into_iter().map(put_back).collect()
    }
}

impl StoredFile {
    /// The file as a run remembers it.
    pub fn standing(&self) -> FileStanding {
        FileStanding {
            shown: self.shown.to_string(),
            name: self.name.clone(),
            sha256: hexadecimal(&self.sha256),
            metadata: self.metadata.clone(),
            called: self.called.as_deref().map(str::to_owned),
        }
    }

    /// A file that an earlier run remembered; none if its hash is no hash.
    pub fn remembered(standing: &FileStanding) -> Option<StoredFile> {
        let mut sha256 = [0; 32];
        if standing.sha256.len() != 64 || !standing.sha256.is_ascii() {
            return None;
        }
        for (at, byte) in sha256.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&standing.sha256[2 * at..2 * at + 2], 16).ok()?;
        }
        Some(StoredFile {
            shown: Arc::from(standing.shown.as_str()),
            name: standing.name.clone(),
            sha256,
            metadata: standing.metadata.clone(),
            called: standing.called.as_deref().map(Arc::from),
        })
    }
}

/// A failure to read a file where it lies, before the store has it.
pub fn unreadable(shown: &Arc<str>, error: &impl std::fmt::Display) -> FileFailure {
    FileFailure::new(shown, Problem::UnreadableFile, error.to_string())
}

/// Everything that profiles say, in a fixed order.
pub fn profiles_in_words(profiles: &Profiles) -> String {
    let by_supplier: BTreeMap<&str, String> = profiles
        .iter()
        .map(|profile| (profile.supplier.as_str(), format!("{profile:?}")))
        .collect();
    format!("{by_supplier:?}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    const LIST: &str = "Article no;Title;EAN;Price EUR\n\
        A-1001;Recoil starter 168F 196cc 3 hole 118mm PCD;4006381333931;12,50\n\
        A-1002;Starter rope 3 mm x 10 m;;2,20\n";

    fn with_list(check: impl FnOnce(&Store, &StoredFile)) {
        let home = tempfile::tempdir().unwrap();
        let list = home.path().join("north.csv");
        std::fs::write(&list, LIST).unwrap();
        let store = Store::open(&home.path().join("store"), Duration::ZERO).unwrap();
        let snapshot = store.take(&list).unwrap();
        let file = StoredFile {
            shown: "north.csv".into(),
            name: "north.csv".into(),
            sha256: snapshot.sha256,
            metadata: None,
            called: Some("North & Sons".into()),
        };
        check(&store, &file);
    }

    #[test]
    fn a_list_read_again_is_the_list_read_first() {
        with_list(|store, file| {
            let vocabulary = Vocabulary::built_in().unwrap();
            let (profiles, limits) = (Profiles::none(), Limits::default());
            let readings = Readings::under(store, &profiles, &limits, &vocabulary, Scope::Fit, "p");
            let first = readings.read(file).unwrap().unwrap();
            assert!(store.get("read", &readings.key(file)).unwrap().is_some());
            let again = readings.read(file).unwrap().unwrap();
            assert_eq!(format!("{first:?}"), format!("{again:?}"));
            assert_eq!(&*again[0].offers[0].supplier, "North & Sons");
        });
    }

    #[test]
    fn a_reading_of_another_program_or_of_other_settings_is_not_looked_at() {
        with_list(|store, file| {
            let vocabulary = Vocabulary::built_in().unwrap();
            let profiles = Profiles::none();
            let limits = Limits::default();
            let key = |program: &str, limits: &Limits, scope| {
                Readings::under(store, &profiles, limits, &vocabulary, scope, program).key(file)
            };
            let usual = key("p", &limits, Scope::Fit);
            assert_eq!(usual, key("p", &limits, Scope::Fit));
            assert_ne!(usual, key("q", &limits, Scope::Fit));
            assert_ne!(usual, key("p", &limits, Scope::Generic));
            let mut narrower = limits.clone();
            narrower.columns = 20;
            assert_ne!(usual, key("p", &narrower, Scope::Fit));
        });
    }

    #[test]
    fn a_damaged_reading_is_made_anew() {
        with_list(|store, file| {
            let vocabulary = Vocabulary::built_in().unwrap();
            let (profiles, limits) = (Profiles::none(), Limits::default());
            let readings = Readings::under(store, &profiles, &limits, &vocabulary, Scope::Fit, "p");
            store.put("read", &readings.key(file), b"nonsense").unwrap();
            assert_eq!(readings.read(file).unwrap().unwrap()[0].offers.len(), 1);
        });
    }

    #[test]
    fn a_file_is_remembered_as_it_was() {
        with_list(|_, file| {
            assert_eq!(StoredFile::remembered(&file.standing()).as_ref(), Some(file));
        });
    }
}
