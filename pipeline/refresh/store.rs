//! The store: what a night leaves for the next, beside what it publishes.
//!
//! - `lock` is locked by the kernel while a night runs; never removed
//! - `lists/HASH.zst` are *snapshots*: every list ever taken and still of use, whole, by the SHA-256 of its bytes
//! - `read/KEY` are lists as they were understood, to be thrown away at any time; see [`lists`](super::lists)
//! - `state/RUN.json` and `state/RUN.ledger` are what a run knew; see [`state`](super::state)
//! - `state/published` names the run whose state holds when there is no output to ask
//! - `nights.jsonl` has a line for every night: when, how it ended, what was accepted
//! - `unpacked` holds a snapshot while it is read
//!
//! Every file is written aside, synced and renamed, and its name is given for good, so that a night that dies leaves
//! nothing the next one could take for whole. What no kept run needs is removed at the end of a night.

#![expect(
    clippy::disallowed_methods,
    reason = "the one module of this stage that makes and removes files, all of them the store's own"
)]

use std::collections::BTreeSet;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::digest::digest_of_reader;
use crate::publish::PublishError;
use crate::publish::facts::hexadecimal;
use crate::publish::place::durable;
use crate::publish::place::lock::Lock;

/// Strength of compression: fast, as a night writes each list once.
const ZSTD_LEVEL: i32 = 3;

/// A store, locked.
#[derive(Debug)]
pub struct Store {
    folder: PathBuf,
    _lock: Lock,
}

/// A list as it was taken into the store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Snapshot {
    /// SHA-256 of its bytes.
    pub sha256: [u8; 32],
    /// Its size.
    pub bytes: u64,
}

impl Store {
    /// Opens the store for one night; its folders are made when they are missing.
    ///
    /// # Errors
    /// Another night is at work in it, or what the operating system says.
    pub fn open(folder: &Path, patience: Duration) -> Result<Store, PublishError> {
        for name in ["lists", "read", "state", "unpacked"] {
            let folder = folder.join(name);
            fs::create_dir_all(&folder).map_err(PublishError::io("make the folder", &folder))?;
        }
        let lock = Lock::wait(&folder.join("lock"), patience)?;
        let store = Store {
            folder: folder.to_path_buf(),
            _lock: lock,
        };
        for name in ["lists", "read", "state"] {
            durable::sweep(&folder.join(name));
        }
        durable::sweep(folder);
        for left in names_in(&folder.join("unpacked")) {
            let _ = fs::remove_dir_all(folder.join("unpacked").join(left));
        }
        Ok(store)
    }

    /// Where a file of the store lies.
    pub fn at(&self, kind: &str, name: &str) -> PathBuf {
        self.folder.join(kind).join(name)
    }

    /// Puts a file into the store, in one step.
    ///
    /// # Errors
    /// What the operating system says.
    pub fn put(&self, kind: &str, name: &str, content: &[u8]) -> Result<(), PublishError> {
        durable::replace(&self.at(kind, name), content)
    }

    /// A file of the store; none when it is not there.
    ///
    /// # Errors
    /// It is there and cannot be read.
    pub fn get(&self, kind: &str, name: &str) -> Result<Option<Vec<u8>>, PublishError> {
        let path = self.at(kind, name);
        match fs::read(&path) {
            Ok(content) => Ok(Some(content)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(PublishError::io("read", &path)(error)),
        }
    }

    /// Whether a list of that content lies in the store.
    pub fn has_list(&self, sha256: &[u8; 32]) -> bool {
        self.at("lists", &snapshot_name(sha256)).is_file()
    }

    /// Takes a list into the store as it is now, and says what it was.
    ///
    /// # Errors
    /// The list cannot be read, or the store not be written.
    pub fn take(&self, list: &Path) -> Result<Snapshot, PublishError> {
        let from = File::open(list).map_err(PublishError::io("read", list))?;
        let aside = self.at("lists", &format!(".new.writing-{}", number_of_thread()));
        let packed = (|| {
            let mut writer = zstd::Encoder::new(File::create(&aside)?, ZSTD_LEVEL)?;
            let (sha256, bytes) = digest_of_reader(from, |block| writer.write_all(block))?;
            writer.finish()?.sync_all()?;
            Ok(Snapshot { sha256, bytes })
        })();
        let snapshot: Snapshot = packed.map_err(|error| {
            let _ = fs::remove_file(&aside);
            PublishError::io("take into the store", list)(error)
        })?;
        let path = self.at("lists", &snapshot_name(&snapshot.sha256));
        fs::rename(&aside, &path).map_err(PublishError::io("take into the store", list))?;
        Ok(snapshot)
    }

    /// Lays a list of the store out as a file of this name, with the metadata that came with it; the file goes when the
    /// result is dropped.
    ///
    /// # Errors
    /// The store does not have it, or what the operating system says.
    pub fn unpack(&self, sha256: &[u8; 32], name: &str, metadata: Option<&[u8]>) -> Result<Unpacked, PublishError> {
        let folder = self.at(
            "unpacked",
            &format!("{}-{}", hexadecimal(&sha256[..8]), number_of_thread()),
        );
        let packed = self.at("lists", &snapshot_name(sha256));
        let laid_out = (|| {
            fs::create_dir_all(&folder)?;
            let mut to = File::create(folder.join(name))?;
            io::copy(&mut zstd::Decoder::new(File::open(&packed)?)?, &mut to)?;
            if let Some(metadata) = metadata {
                fs::write(folder.join(format!("{name}-metadata.json")), metadata)?;
            }
            Ok(())
        })();
        let unpacked = Unpacked {
            list: folder.join(name),
            folder,
        };
        laid_out.map_err(PublishError::io("unpack from the store", &packed))?;
        Ok(unpacked)
    }

    /// Adds a line to the record of nights, which nothing but people reads.
    ///
    /// # Errors
    /// What the operating system says.
    pub fn record(&self, line: &str) -> Result<(), PublishError> {
        let path = self.folder.join("nights.jsonl");
        let file = OpenOptions::new().append(true).create(true).open(&path);
        file.and_then(|mut file| file.write_all(format!("{line}\n").as_bytes()))
            .map_err(PublishError::io("write", &path))
    }

    /// Removes the files of a kind that are not among those to keep.
    pub fn keep_only(&self, kind: &str, keep: &BTreeSet<String>) {
        for name in names_in(&self.folder.join(kind)) {
            if !keep.contains(&name) {
                let _ = fs::remove_file(self.at(kind, &name));
            }
        }
    }
}

/// A list of the store laid out as a file.
#[derive(Debug)]
pub struct Unpacked {
    /// The file.
    pub list: PathBuf,
    folder: PathBuf,
}

impl Drop for Unpacked {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.folder);
    }
}

/// Name of a snapshot in `lists`.
pub fn snapshot_name(sha256: &[u8; 32]) -> String {
    format!("{}.zst", hexadecimal(sha256))
}

/// Tells the files of threads apart that work side by side.
fn number_of_thread() -> String {
    let thread = rayon::current_thread_index().map_or(0, |index| index + 1);
    format!("{}{thread:03}", std::process::id())
}

fn names_in(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = entries
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    fn store() -> (tempfile::TempDir, Store) {
        let home = tempfile::tempdir().unwrap();
        let store = Store::open(&home.path().join("store"), Duration::ZERO).unwrap();
        (home, store)
    }

    #[test]
    fn a_list_comes_out_as_it_went_in() {
        let (home, store) = store();
        let list = home.path().join("north.csv");
        fs::write(&list, "sku;price\n1;2\n").unwrap();
        let snapshot = store.take(&list).unwrap();
        assert!(store.has_list(&snapshot.sha256));
        fs::write(&list, "other").unwrap();
        let unpacked = store.unpack(&snapshot.sha256, "north.csv", Some(b"{}")).unwrap();
        assert_eq!(fs::read(&unpacked.list).unwrap(), b"sku;price\n1;2\n");
        let laid_out = unpacked.list.clone();
        drop(unpacked);
        assert!(!laid_out.exists());
    }

    #[test]
    fn what_is_not_kept_goes() {
        let (_home, store) = store();
        store.put("read", "a", b"1").unwrap();
        store.put("read", "b", b"2").unwrap();
        store.keep_only("read", &BTreeSet::from(["b".to_owned()]));
        assert_eq!(store.get("read", "a").unwrap(), None);
        assert_eq!(store.get("read", "b").unwrap().as_deref(), Some(&b"2"[..]));
    }

    #[test]
    fn a_store_at_work_is_locked() {
        let (home, _store) = store();
        let error = Store::open(&home.path().join("store"), Duration::ZERO).unwrap_err();
        assert!(matches!(error, PublishError::Locked { .. }));
    }
}
