//! `samefit refresh`: the nightly run, for cron or a systemd timer.
//!
//! Here is what was typed, and how the night ended: exit code, one line on stdout, the files for monitoring and the
//! record of nights. What is done in between stands in `night_run`.

use super::Common;
use super::night_log::{LogForm, NightLog};
use super::night_run::NightRun;
use super::outcome::{Failure, Outcome};
use super::stop;
use super::talk::{Talk, print};
use crate::publish::place::chain::Chain;
use crate::publish::place::durable;
use crate::refresh::config::Config;
use crate::refresh::monitor::{Ended, metrics};
use crate::refresh::state::Note;
use crate::refresh::store::Store;
use clap::Args;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde_json::json;
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(after_help = "Example, in cron:  15 3 * * *  samefit refresh --quiet --config /srv/parts/samefit.toml")]
pub struct RefreshTyped {
    /// Configuration: a TOML file; paths in it are taken from its folder
    #[arg(long, value_name = "FILE")]
    pub config: PathBuf,
    /// Take this supplier's list in spite of the gates; recorded in the change report
    #[arg(long, value_name = "SUPPLIER")]
    pub accept: Vec<String>,
    /// Wait so long for another run to end, instead of ending with exit code 5 at once
    #[arg(long, value_name = "SECONDS")]
    pub wait: Option<u64>,
    /// Form of what is said on stderr
    #[arg(long, value_enum, value_name = "FORM", default_value_t)]
    pub log: LogForm,
    /// Date of the run, YYYY-MM-DD [default: today, UTC]
    #[arg(long, value_name = "DATE")]
    pub date: Option<Date>,
    /// Build anew although nothing changed, and parse every list anew
    #[arg(long)]
    pub rebuild: bool,
}

/// Runs a night.
///
/// # Errors
/// See [`Failure`]; the previous output stands.
pub fn run(typed: &RefreshTyped, common: &Common) -> Result<Outcome, Failure> {
    let log = NightLog::of(typed.log, Talk::of(common));
    let ended = night(typed, common, log);
    match ended {
        Err(failure) if log.tells_errors() => {
            log.error(&failure);
            Ok(Outcome::Failed(failure.kind))
        }
        ended => ended,
    }
}

fn night(typed: &RefreshTyped, common: &Common, log: NightLog) -> Result<Outcome, Failure> {
    let start = Instant::now();
    let config = Config::load(&typed.config)?;
    stop::when_asked(move |words| log.warn(words, ""))?;
    let patience = Duration::from_secs(typed.wait.unwrap_or(0));
    let lists: Vec<PathBuf> = config
        .sources
        .iter()
        .map(|source| source.folder().to_path_buf())
        .collect();
    let chain = Chain::claim(&config.output, &lists, patience)?;
    let store = Store::open(&config.store, patience)?;
    let today = typed
        .date
        .unwrap_or_else(|| Timestamp::now().to_zoned(TimeZone::UTC).date());
    log.step(
        "started",
        json!({ "config": config_name(typed), "date": today.to_string() }),
    );
    let run = NightRun {
        config: &config,
        store: &store,
        today,
        accepted: &typed.accept,
        rebuild: typed.rebuild,
        log,
    };
    let done = run.night(chain);
    let (code, note) = match &done {
        Ok(done) => (if done.note.warned { 3 } else { 0 }, Some(done.note.clone())),
        Err(failure) => (failure.kind.code(), run.standing_note()),
    };
    let told = tell_machines(typed, &config, &store, start, code, note.as_ref(), today);
    let done = done?;
    if let Err(failure) = told {
        log.warn(&failure.message, "the run stands; monitoring may not know of it");
    }
    for warning in &done.note.warnings {
        log.warn(warning, "");
    }
    if !common.quiet {
        print(&format!("{}\n", done.words))?;
    }
    log.step(
        "ended",
        json!({ "run": done.note.run, "code": code, "words": done.words }),
    );
    Ok(if done.note.warned {
        Outcome::Warned
    } else {
        Outcome::Done
    })
}

fn config_name(typed: &RefreshTyped) -> String {
    typed.config.display().to_string()
}

/// Writes the files that monitoring reads, and the record of nights.
fn tell_machines(
    typed: &RefreshTyped,
    config: &Config,
    store: &Store,
    start: Instant,
    code: u8,
    note: Option<&Note>,
    today: Date,
) -> Result<(), Failure> {
    let now = Timestamp::now();
    let went_well = matches!(code, 0 | 3);
    let run = note.map(|note| note.run.as_str()).unwrap_or_default();
    let line = json!({
        "time": format!("{now:.0}"), "date": today.to_string(), "code": code, "run": run,
        "seconds": (start.elapsed().as_secs_f64() * 1000.0).round() / 1000.0, "accepted": typed.accept,
    });
    store.record(&line.to_string())?;
    if went_well {
        durable::replace(&config.last_success, format!("{now:.0} {run}\n").as_bytes())?;
    }
    let last_success = if went_well {
        Some(now.as_second())
    } else {
        last_success(config)
    };
    let ended = Ended {
        at: now.as_second(),
        took: start.elapsed().as_secs_f64(),
        code,
        last_success,
    };
    let text = metrics(&ended, note, Some(today));
    durable::replace(&config.prometheus, text.as_bytes())?;
    Ok(())
}

/// The time of the last night that ended well, as its file says.
fn last_success(config: &Config) -> Option<i64> {
    let text = std::fs::read_to_string(&config.last_success).ok()?;
    let time: Timestamp = text.split(' ').next()?.parse().ok()?;
    Some(time.as_second())
}
