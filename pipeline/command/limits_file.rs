//! `--limits`: what one input file may ask for, as a TOML file. Its keys are the ones that the refusals name.

use super::outcome::Failure;
use crate::intake::Limits;
use clap::Args;
use std::path::{Path, PathBuf};

/// Likeness from which a known key is offered for an unknown one.
const ALIKE: f64 = 0.75;

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
        let line = error
            .span()
            .map(|span| text[..span.start.min(text.len())].matches('\n').count() + 1);
        let place = line.map_or(String::new(), |line| format!("line {line}: "));
        wrong(&format!("{place}{}", error.message()), &hint_for(error.message()))
    })?;
    limits
        .check()
        .map_err(|what| wrong(&what, "see the defaults in the README"))?;
    Ok(limits)
}

/// The likeliest key where one is not known, else all of them.
fn hint_for(message: &str) -> String {
    let unknown = message
        .starts_with("unknown field")
        .then(|| message.split('`').nth(1))
        .flatten();
    let alike = |key: &&&str| unknown.is_some_and(|unknown| strsim::jaro_winkler(key, unknown) >= ALIKE);
    let likeness = |key: &str| strsim::jaro_winkler(key, unknown.unwrap_or_default());
    let near = Limits::KEYS
        .iter()
        .filter(alike)
        .max_by(|x, y| likeness(x).total_cmp(&likeness(y)));
    match near {
        Some(key) => format!("did you mean `{key}`?"),
        None => format!("its keys are {}", Limits::KEYS.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unknown_key_is_met_with_the_likeliest_or_with_all() {
        let toml = |text: &str| toml::from_str::<Limits>(text).unwrap_err();
        assert_eq!(hint_for(toml("line_byte = 3").message()), "did you mean `line_bytes`?");
        assert!(hint_for(toml("weight = 3").message()).contains("sheet_cells"));
    }

    #[test]
    fn every_key_is_one_that_a_file_may_set() {
        for key in Limits::KEYS {
            toml::from_str::<Limits>(&format!("{key} = 100000")).unwrap();
        }
    }
}
