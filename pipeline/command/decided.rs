//! What is said of a person's decisions: on stderr, in `run.json` and by the exit code.

use super::outcome::{Failure, Outcome};
use super::talk::Talk;
use crate::publish::{RUN_FILE, RunFacts};
use crate::shop::review::{Decisions, Resolved, Warning, WarningSort};
use std::path::Path;

/// Refuses to replace a run whose review sheet somebody has filled in: a new run would write open questions over it.
///
/// # Errors
/// The sheet in the output, or that of its workbook, holds decisions.
pub fn refuse_unsaved(out: &Path) -> Result<(), Failure> {
    let changed = |name: &str| std::fs::metadata(out.join(name)).and_then(|file| file.modified()).ok();
    for name in ["review.csv", "crossref.xlsx"] {
        // a workbook takes long to read; as it was published it is older than the manifest, which is written last
        if name.ends_with("xlsx") && changed(name) <= changed(RUN_FILE) {
            continue;
        }
        // what cannot be read is no sheet of ours, and the output is refused for that elsewhere
        let filled = match Decisions::load(&[out.join(name)]) {
            Ok((decisions, warnings)) => decisions.list.len() + warnings.len(),
            Err(_) => 0,
        };
        if filled > 0 {
            let message = format!(
                "{} was filled in, and a new run would replace it",
                out.join(name).display()
            );
            return Err(Failure::usage(message).hint("move it out of the folder and give it with --decisions"));
        }
    }
    Ok(())
}

/// Adds counts and remarks for `run.json`; `left_out` are questions that the sheet had no room for.
pub fn add_facts(facts: &mut RunFacts, told: &Resolved, unread: &[Warning], asked: usize, left_out: u64) {
    facts.counts.insert("review_questions".into(), asked as u64);
    facts.counts.insert("review_questions_left_out".into(), left_out);
    if told.decisions.is_empty() && unread.is_empty() {
        return;
    }
    for (name, count) in told.counts() {
        *facts.counts.entry(name.into()).or_default() += count;
    }
    for warning in unread {
        *facts.counts.entry(warning.sort.count_name().into()).or_default() += 1;
    }
    facts
        .notes
        .extend(unread.iter().chain(&told.warnings).map(Warning::to_string));
}

/// Tells a person what became of the decisions. What needs mending makes the run end with a warning; that an offer is
/// gone tonight, or that a person knows better than a barcode, does not.
pub fn say(told: &Resolved, unread: &[Warning], talk: Talk) -> Outcome {
    for (before, now) in &told.renamed {
        talk.warn(
            &format!("decisions about `{before}` are taken for `{now}`"),
            "give the list a profile with a supplier name that lasts",
        );
    }
    let warnings = || unread.iter().chain(&told.warnings);
    for warning in warnings().filter(|warning| warning.sort != WarningSort::Gone) {
        talk.warn(&warning.to_string(), &warning.hint);
    }
    let gone: Vec<&Warning> = warnings().filter(|warning| warning.sort == WarningSort::Gone).collect();
    if let Some(first) = gone.first() {
        let more = match gone.len() {
            1 => String::new(),
            count => format!(", and {} more; run.json names them", count - 1),
        };
        talk.warn(&format!("{first}{more}"), &first.hint);
    }
    if warnings().any(|warning| warning.sort.is_fault()) {
        Outcome::Warned
    } else {
        Outcome::Done
    }
}
