//! The configuration of the nightly run: one TOML file, every key of it known.
//!
//! Paths are taken from the configuration's own folder and must stay under it, or under a folder named in `roots`; a link
//! that leads elsewhere counts as elsewhere. What is wrong is told with its key, before anything is read or written.
//!
//! Numbers without a key, with their reasons:
//! - `keep` at least 2: a reader may still be in the run that was replaced
//! - `history_days` 800: two years and some, so that a season can be compared with the one before

use std::collections::BTreeMap;
use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;

use super::gate_limits::{GateLimits, GatesTyped};
use super::sources::{Source, SourceTyped};
use crate::intake::Limits;
use crate::intake::profile::what_is_wrong;
use crate::normalise::Scope;
use crate::publish::place::chain::FEWEST_KEPT;
use crate::publish::place::settled_path;
use crate::trade::currency::is_currency_code;

/// What stands in the file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Typed {
    store: PathBuf,
    output: PathBuf,
    source: Vec<SourceTyped>,
    #[serde(default)]
    roots: Vec<PathBuf>,
    profiles: Option<PathBuf>,
    rates: Option<PathBuf>,
    decisions: Option<PathBuf>,
    home_currency: Option<String>,
    #[serde(default)]
    kind: Kind,
    reject_limit: Option<f64>,
    keep: Option<usize>,
    history_days: Option<u32>,
    sure: Option<f64>,
    #[serde(default)]
    gates: GatesTyped,
    #[serde(default)]
    gate: BTreeMap<String, GatesTyped>,
    #[serde(default)]
    limits: Limits,
    #[serde(default)]
    monitor: MonitorTyped,
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Kind {
    #[default]
    Parts,
    Generic,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct MonitorTyped {
    prometheus: Option<PathBuf>,
    last_success: Option<PathBuf>,
}

/// What it means.
#[derive(Debug)]
pub struct Config {
    /// Folder of the store.
    pub store: PathBuf,
    /// Folder of the output.
    pub output: PathBuf,
    /// Where the lists come from, in the order of the file.
    pub sources: Vec<Source>,
    /// Folder of supplier profiles.
    pub profiles: Option<PathBuf>,
    /// Exchange rates.
    pub rates: Option<PathBuf>,
    /// Decisions of a person on pairs of offers.
    pub decisions: Option<PathBuf>,
    /// Home currency where no rates name it.
    pub home_currency: String,
    /// Parts with fit groups, or any products.
    pub scope: Scope,
    /// Share of rejected lines above which a run ends with a warning.
    pub reject_limit: f64,
    /// Runs kept.
    pub keep: usize,
    /// Days for which prices and ids are remembered.
    pub history_days: u32,
    /// Confidence whose crossing is told.
    pub sure: f64,
    /// Limits of the gates.
    pub gates: GateLimits,
    /// Limits of the gates for single suppliers.
    pub gates_of: BTreeMap<String, GateLimits>,
    /// Limits on what a file may ask for.
    pub limits: Limits,
    /// Metrics for monitoring, in the text format of Prometheus.
    pub prometheus: PathBuf,
    /// When the last run succeeded.
    pub last_success: PathBuf,
}

/// Why a configuration cannot be used: exit 2.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ConfigError {
    /// What is wrong, the key named.
    pub message: String,
    /// What to do about it; empty when the message says it.
    pub hint: String,
}

impl ConfigError {
    /// An error of one key.
    pub fn of(key: &str, message: impl fmt::Display) -> ConfigError {
        ConfigError {
            message: format!("`{key}` {message}"),
            hint: String::new(),
        }
    }

    /// The same with a hint.
    pub fn hint(mut self, hint: impl Into<String>) -> ConfigError {
        self.hint = hint.into();
        self
    }
}

impl fmt::Display for ConfigError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.message)
    }
}

impl std::error::Error for ConfigError {}

impl Config {
    /// Reads and checks a configuration.
    ///
    /// # Errors
    /// The file cannot be read, holds an unknown key or a value out of bounds, or a path leads out of the roots.
    pub fn load(file: &Path) -> Result<Config, ConfigError> {
        let named = |error: ConfigError| ConfigError {
            message: format!("{}: {}", file.display(), error.message),
            hint: error.hint,
        };
        let text = fs::read_to_string(file).map_err(|error| {
            named(ConfigError {
                message: format!("the configuration cannot be read: {error}"),
                hint: String::new(),
            })
        })?;
        let folder = match file.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        Config::parse(&text, folder).map_err(named)
    }

    fn parse(text: &str, folder: &Path) -> Result<Config, ConfigError> {
        let typed: Typed = toml::from_str(text).map_err(|error| {
            let (message, hint) = what_is_wrong(text, &error);
            ConfigError { message, hint }
        })?;
        let roots = Roots::of(folder, &typed.roots)?;
        let optional = |key: &str, path: &Option<PathBuf>| path.as_ref().map(|path| roots.under(key, path)).transpose();
        let output = roots.under("output", &typed.output)?;
        let store = roots.under("store", &typed.store)?;
        if store.starts_with(&output) || output.starts_with(&store) {
            return Err(
                ConfigError::of("store", "and `output` lie inside one another").hint("keep them in two folders")
            );
        }
        let gates = typed.gates.over(&GateLimits::default(), "gates")?;
        let mut gates_of = BTreeMap::new();
        for (supplier, own) in &typed.gate {
            gates_of.insert(supplier.clone(), own.over(&gates, &format!("gate.{supplier}"))?);
        }
        if typed.source.is_empty() {
            return Err(ConfigError::of("source", "names no list").hint("add a [[source]] with `folder` or `files`"));
        }
        let sources = typed.source.iter().enumerate();
        let sources = sources.map(|(at, source)| Source::of(source, at, &roots));
        let sources = sources.collect::<Result<Vec<Source>, _>>()?;
        for source in &sources {
            let lists = source.folder();
            if store.starts_with(lists) || lists.starts_with(&store) {
                let message = format!("and the lists in {} lie inside one another", lists.display());
                return Err(ConfigError::of("store", message).hint("keep them in two folders"));
            }
        }
        Ok(Config {
            sources,
            profiles: optional("profiles", &typed.profiles)?,
            rates: optional("rates", &typed.rates)?,
            decisions: optional("decisions", &typed.decisions)?,
            home_currency: currency(typed.home_currency.unwrap_or_else(|| "EUR".to_owned()))?,
            scope: match typed.kind {
                Kind::Parts => Scope::Fit,
                Kind::Generic => Scope::Generic,
            },
            reject_limit: share("reject_limit", typed.reject_limit.unwrap_or(0.05))?,
            keep: at_least("keep", typed.keep.unwrap_or(7), FEWEST_KEPT)?,
            history_days: typed.history_days.unwrap_or(800),
            sure: share("sure", typed.sure.unwrap_or(0.8))?,
            gates,
            gates_of,
            limits: typed.limits,
            prometheus: optional("monitor.prometheus", &typed.monitor.prometheus)?
                .unwrap_or_else(|| output.join("samefit.prom")),
            last_success: optional("monitor.last_success", &typed.monitor.last_success)?
                .unwrap_or_else(|| output.join("last_success")),
            store,
            output,
        })
    }

    /// The limits of the gates that hold for a supplier.
    pub fn gates_for(&self, supplier: &str) -> &GateLimits {
        self.gates_of.get(supplier).unwrap_or(&self.gates)
    }
}

/// The code of a currency that exists.
fn currency(code: String) -> Result<String, ConfigError> {
    match is_currency_code(&code) {
        true => Ok(code),
        false => Err(ConfigError::of(
            "home_currency",
            format!("is `{code}`, which is no currency of ISO 4217"),
        )),
    }
}

/// A share of something, 0 to 1.
pub fn share(key: &str, value: f64) -> Result<f64, ConfigError> {
    if (0.0..=1.0).contains(&value) {
        Ok(value)
    } else {
        Err(ConfigError::of(
            key,
            format!("is {value}, expected a share from 0 to 1"),
        ))
    }
}

fn at_least(key: &str, value: usize, least: usize) -> Result<usize, ConfigError> {
    if value >= least {
        Ok(value)
    } else {
        Err(ConfigError::of(key, format!("is {value}, expected {least} or more")))
    }
}

/// The folders that paths of a configuration must stay in.
#[derive(Debug)]
pub struct Roots {
    folder: PathBuf,
    allowed: Vec<PathBuf>,
}

impl Roots {
    fn of(folder: &Path, further: &[PathBuf]) -> Result<Roots, ConfigError> {
        let settled = |key: &str, path: &Path| {
            settled_path(path).map_err(|error| ConfigError::of(key, format!("cannot be resolved: {error}")))
        };
        let folder = settled("roots", folder)?;
        let mut allowed = vec![folder.clone()];
        for root in further {
            allowed.push(settled("roots", &folder.join(root))?);
        }
        Ok(Roots { folder, allowed })
    }

    /// The path as seen from the configuration's folder, if it stays under a root.
    ///
    /// # Errors
    /// It leads elsewhere.
    pub fn under(&self, key: &str, path: &Path) -> Result<PathBuf, ConfigError> {
        let real = settled_path(&self.folder.join(path))
            .map_err(|error| ConfigError::of(key, format!("cannot be resolved: {error}")))?;
        if self.allowed.iter().any(|root| real.starts_with(root)) {
            return Ok(real);
        }
        Err(ConfigError::of(
            key,
            format!("leads to {}, outside the configuration's folder", real.display()),
        )
        .hint("name the folder it may lie in under `roots`"))
    }
}

#[cfg(test)]
#[path = "config_tests.rs"]
mod tests;
