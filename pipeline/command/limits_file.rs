//! `--limits`: what one input file may ask for, as a TOML file. Its keys are the ones that the refusals name.

use super::outcome::Failure;
use crate::intake::Limits;
use crate::intake::profile::what_is_wrong;
use clap::Args;
use std::path::{Path, PathBuf};

/// Where limits stand, if not the safe defaults.
#[derive(Debug, Clone, Args)]
pub struct LimitsFile {
    /// Limits on what one input file may ask for: a TOML file, such as `decompressed_bytes = 8589934592`
    #[arg(long, value_name = "FILE")]
    pub limits: Option<PathBuf>,
}

impl LimitsFile {
    /// Reads the file, or gives the safe defaults.
    ///
    /// # Errors
    /// The file cannot be read, names a limit that does not exist, or sets one that no reader could keep.
    pub fn load(&self) -> Result<Limits, Failure> {
        match &self.limits {
            None => Ok(Limits::default()),
            Some(path) => read(path),
        }
    }
}

fn read(path: &Path) -> Result<Limits, Failure> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure::usage(format!("the limits file {} cannot be read: {error}", path.display())))?;
    let wrong = |what: &str, hint: &str| {
        Failure::usage(format!("the limits file {} is wrong: {what}", path.display())).hint(hint)
    };
    let limits: Limits = toml::from_str(&text).map_err(|error| {
        let (what, hint) = what_is_wrong(&text, &error);
        let keys = format!("its keys are {}", Limits::KEYS.join(", "));
        wrong(&what, if hint.is_empty() { &keys } else { &hint })
    })?;
    limits
        .check()
        .map_err(|what| wrong(&what, "see the defaults in the README"))?;
    Ok(limits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_is_one_that_a_file_may_set() {
        for key in Limits::KEYS {
            toml::from_str::<Limits>(&format!("{key} = 100000")).unwrap();
        }
    }
}
