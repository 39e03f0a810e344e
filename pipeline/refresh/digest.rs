//! Digests: what tells whether anything that bears on the result has changed.
//!
//! A *digest* is the SHA-256 of parts that are each put in with their length, so that no two sets of parts run together.
//! The program is part of every digest by its own bytes: a list read, or a run made, by another build of it is never
//! taken for one of this build.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use sha2::{Digest as _, Sha256};

use crate::publish::facts::hexadecimal;

const BLOCK: usize = 1 << 18;

/// A digest being made.
#[derive(Clone, Default)]
pub struct Digest(Sha256);

impl Digest {
    /// Adds one part.
    #[must_use]
    pub fn with(mut self, part: impl AsRef<[u8]>) -> Digest {
        let part = part.as_ref();
        self.0.update((part.len() as u64).to_le_bytes());
        self.0.update(part);
        self
    }

    /// The digest as hexadecimal digits.
    pub fn finish(self) -> String {
        hexadecimal(&self.0.finalize())
    }
}

/// SHA-256 and size of what a reader gives, each block also handed to `also`.
///
/// # Errors
/// What reading or `also` reports.
pub fn digest_of_reader(
    mut from: impl Read,
    mut also: impl FnMut(&[u8]) -> io::Result<()>,
) -> io::Result<([u8; 32], u64)> {
    let mut hash = Sha256::new();
    let mut block = vec![0; BLOCK];
    let mut bytes = 0;
    loop {
        let read = match from.read(&mut block) {
            Ok(0) => return Ok((hash.finalize().into(), bytes)),
            Ok(read) => read,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(error),
        };
        hash.update(&block[..read]);
        also(&block[..read])?;
        bytes += read as u64;
    }
}

/// SHA-256 and size of a file.
///
/// # Errors
/// The file cannot be read.
pub fn digest_of_file(path: &Path) -> io::Result<([u8; 32], u64)> {
    digest_of_reader(File::open(path)?, |_| Ok(()))
}

/// The digest of this program.
///
/// # Errors
/// The program's own file cannot be read.
pub fn digest_of_program() -> io::Result<String> {
    let (hash, _) = digest_of_file(&std::env::current_exe()?)?;
    Ok(hexadecimal(&hash))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_do_not_run_together() {
        let of = |parts: &[&str]| {
            parts
                .iter()
                .fold(Digest::default(), |digest, part| digest.with(part))
                .finish()
        };
        assert_ne!(of(&["ab", "c"]), of(&["a", "bc"]));
        assert_eq!(of(&["a", "bc"]), of(&["a", "bc"]));
    }

    #[test]
    fn a_reader_is_digested_as_its_bytes_are() {
        let (hash, bytes) = digest_of_reader(&b"abc"[..], |_| Ok(())).unwrap();
        assert_eq!(bytes, 3);
        // the worked example of FIPS 180-2, appendix B.1
        assert!(hexadecimal(&hash).starts_with("ba7816bf8f01cfea414140de5dae2223"));
    }
}
