//! Talk on stderr: progress, warnings, errors with their hints. Data never goes here.
//!
//! Progress bars show only on a terminal; a pipe or a log gets plain sentences. Everything a supplier
//! wrote is made inert before it is shown.

use super::Common;
use super::outcome::Failure;
use crate::publish::terminal::inert;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::{IsTerminal, Write};
use std::time::Duration;

/// How much is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loudness {
    /// errors only
    Quiet,
    /// sentences
    Plain,
    /// sentences and moving bars
    Moving,
}

/// The voice of a run.
#[derive(Clone, Copy, Debug)]
pub struct Talk {
    loudness: Loudness,
}

impl Talk {
    /// As the options and the terminal ask.
    pub fn of(common: &Common) -> Talk {
        let loudness = match (common.quiet, std::io::stderr().is_terminal()) {
            (true, _) => Loudness::Quiet,
            (false, false) => Loudness::Plain,
            (false, true) => Loudness::Moving,
        };
        Talk { loudness }
    }

    /// One sentence.
    pub fn say(self, sentence: &str) {
        if self.loudness != Loudness::Quiet {
            line(&inert(sentence));
        }
    }

    /// A warning with a hint on its own line; said even when quiet, as it explains the exit code.
    pub fn warn(self, sentence: &str, hint: &str) {
        line(&format!("warning: {}", inert(sentence)));
        if !hint.is_empty() {
            line(&format!("  hint: {}", inert(hint)));
        }
    }

    /// A bar over a known number of steps.
    pub fn bar(self, what: &'static str, steps: u64) -> ProgressBar {
        if self.loudness != Loudness::Moving {
            return ProgressBar::with_draw_target(Some(steps), ProgressDrawTarget::hidden());
        }
        let bar = ProgressBar::new(steps);
        if let Ok(style) = ProgressStyle::with_template("{prefix:>10} {wide_bar} {human_pos}/{human_len}") {
            bar.set_style(style);
        }
        bar.set_prefix(what);
        bar
    }

    /// A mark that something goes on whose length is not known.
    pub fn working(self, what: &'static str) -> ProgressBar {
        if self.loudness != Loudness::Moving {
            return ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        }
        let bar = ProgressBar::new_spinner();
        bar.set_message(what);
        bar.enable_steady_tick(Duration::from_millis(120));
        bar
    }
}

/// Tells a failure.
pub fn tell(failure: &Failure) {
    line(&format!("error: {}", inert(&failure.message)));
    if !failure.hint.is_empty() {
        line(&format!("  hint: {}", inert(&failure.hint)));
    }
}

/// A line on stderr; a closed stderr is no reason to stop.
pub fn line(text: &str) {
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// Writes data to stdout. A reader that went away is no failure.
///
/// # Errors
/// Any other fault of stdout.
pub fn print(data: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(data.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::failed(format!("could not write to standard output: {e}")))
        }
        _ => Ok(()),
    }
}
