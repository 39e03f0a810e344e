//! `samefit grade`: a run measured against known answers.

use super::grade_page::{decisions_page, truth_page};
use super::machine::json_text;
use super::outcome::{Failure, Outcome};
use super::talk::print;
use super::{Common, open};
use crate::publish::read::Condition;
use crate::publish::{CrossrefRow, FinishedRun, RejectRow, SetAsideRow};
use crate::shop::grade::Grade;
use crate::shop::grading::{RunRows, grade};
use crate::shop::review::Decisions;
use crate::shop::review::agreement::{Agreement, agreement};
use crate::shop::run_tables::rows_of;
use crate::shop::truth::read_truth;
use clap::Args;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:
  samefit grade --truth input-samples/known-answers.csv output/demo
  samefit grade --decisions answers.csv output/demo")]
pub struct GradeTyped {
    /// Folder of a finished run
    #[arg(value_name = "RUN")]
    pub run: PathBuf,
    /// Known answers: CSV with file, line, scope, part_kind, product, fit_group, shows_identifier, states_enough
    #[arg(long, value_name = "FILE", required_unless_present = "decisions")]
    pub truth: Option<PathBuf>,
    /// Decisions of a person, as build takes them: how true the probabilities were that they decided on
    #[arg(long, value_name = "FILE")]
    pub decisions: Vec<PathBuf>,
    /// List the look-alikes that stand in the cross-reference above confidence 0.5
    #[arg(long)]
    pub list: bool,
    /// Print as JSON
    #[arg(long)]
    pub json: bool,
}

/// Runs the measurement.
///
/// # Errors
/// The run or the known answers cannot be read, or have no line in common.
pub fn run(typed: &GradeTyped, _common: &Common) -> Result<Outcome, Failure> {
    let run = open(&typed.run)?;
    let crossref = run.offers(&Condition::none())?;
    let grade = match &typed.truth {
        Some(truth) => Some(against_truth(&run, &crossref, truth)?),
        None => None,
    };
    let agreement = if typed.decisions.is_empty() {
        None
    } else {
        Some(against_decisions(&run, &crossref, &typed.decisions)?)
    };
    let text = if typed.json {
        json_text(&answer_json(grade.as_ref(), agreement.as_ref())?)
    } else {
        let pages = [
            grade.map(|grade| truth_page(&grade, typed.list)),
            agreement.map(|agreement| decisions_page(&agreement)),
        ];
        pages.into_iter().flatten().collect::<Vec<_>>().join("\n")
    };
    print(&text)?;
    Ok(Outcome::Done)
}

fn against_truth(run: &FinishedRun, crossref: &[CrossrefRow], file: &Path) -> Result<Grade, Failure> {
    let truth = read_truth(file).map_err(|error| {
        Failure::usage(error.to_string())
            .hint("the columns are file,line,scope,part_kind,product,fit_group,shows_identifier,states_enough")
    })?;
    let set_aside: Vec<SetAsideRow> = rows_of(run)?;
    let rejects: Vec<RejectRow> = rows_of(run)?;
    let links = run.links(&Condition::none())?;
    let rows = RunRows {
        crossref,
        set_aside: &set_aside,
        rejects: &rejects,
        links: &links,
    };
    let grade = grade(&truth, rows).map_err(|error| Failure::failed(format!("crossref.parquet: {error}")))?;
    if grade.rows_without_answer == crossref.len() as u64 && !crossref.is_empty() {
        return Err(Failure::usage(format!(
            "{} says nothing of the lines of the run in {}",
            file.display(),
            run.folder().display()
        ))
        .hint("`file` must be as in source_file of crossref.csv, and `line` as in source_line"));
    }
    Ok(grade)
}

fn against_decisions(run: &FinishedRun, crossref: &[CrossrefRow], files: &[PathBuf]) -> Result<Agreement, Failure> {
    let (decisions, warnings) = Decisions::load(files)?;
    if let Some(first) = warnings.first() {
        return Err(Failure::usage(first.to_string()).hint(first.hint.as_str()));
    }
    let links = run.links(&Condition::none())?;
    agreement(&decisions, crossref, &links).map_err(|error| Failure::failed(format!("links.parquet: {error}")))
}

fn answer_json(grade: Option<&Grade>, agreement: Option<&Agreement>) -> Result<Value, Failure> {
    let wrong = |error: serde_json::Error| Failure::failed(error.to_string());
    let mut answer = match grade {
        Some(grade) => serde_json::to_value(grade).map_err(wrong)?,
        None => Value::Object(serde_json::Map::new()),
    };
    if let (Some(agreement), Value::Object(fields)) = (agreement, &mut answer) {
        fields.insert("decisions".into(), serde_json::to_value(agreement).map_err(wrong)?);
    }
    Ok(answer)
}
