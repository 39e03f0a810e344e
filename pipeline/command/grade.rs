//! `samefit grade`: a run measured against known answers.

use super::machine::json_text;
use super::outcome::{Failure, Outcome};
use super::page::{Page, Side, cut};
use super::talk::print;
use super::{Common, open};
use crate::publish::read::Condition;
use crate::publish::scores::PrecisionRecall;
use crate::publish::{CrossrefRow, FinishedRun, RejectRow, SetAsideRow};
use crate::shop::grading::{Calibration, Grade, Grouping, LOOK_ALIKE_LIMIT, LookAlike, RunRows, SURE, grade};
use crate::shop::review::Decisions;
use crate::shop::review::agreement::{Agreement, agreement};
use crate::shop::run_tables::rows_of;
use crate::shop::truth::{LineScope, read_truth};
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
            grade.map(|grade| page(&grade, typed.list)),
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

fn decisions_page(agreement: &Agreement) -> String {
    let mut page = Page::default();
    let words: Vec<String> = agreement
        .decisions
        .iter()
        .map(|(word, count)| format!("{count} {word}"))
        .collect();
    let words = if words.is_empty() {
        "none".into()
    } else {
        words.join(", ")
    };
    page.sentence(0, &format!("Decisions: {words}"));
    page.sentence(
        0,
        &format!(
            "Both offers stand in this run: {}; of these the run is as decided: {}",
            agreement.in_the_run, agreement.followed
        ),
    );
    page.gap();
    page.line("The probability before the decision, against the answer (yes is same or fits)");
    let headings = [
        ("probability", Side::Left),
        ("decided", Side::Right),
        ("stated", Side::Right),
        ("yes", Side::Right),
    ];
    let rows: Vec<Vec<String>> = agreement
        .reliability
        .iter()
        .map(|bin| {
            vec![
                format!("{:.1}-{:.1}", bin.low, bin.high),
                bin.forecasts.to_string(),
                short(bin.mean_probability),
                short(bin.share_true),
            ]
        })
        .collect();
    page.table(2, &headings, &rows);
    page.sentence(
        0,
        &format!(
            "Over {} decisions: expected calibration error {}, Brier score {}",
            agreement.judged,
            share(agreement.expected_calibration_error),
            share(agreement.brier)
        ),
    );
    page.sentence(
        0,
        "Decided are the doubtful cases: this tells how true the middle of the scale is, not the whole",
    );
    page.finish()
}

fn page(grade: &Grade, list: bool) -> String {
    let mut page = Page::default();
    write_lines(&mut page, grade);
    page.gap();
    write_groupings(&mut page, grade);
    page.gap();
    write_calibration(&mut page, grade);
    if list {
        page.gap();
        page.line("Look-alikes:");
        for found in grade.look_alikes.iter().chain(&grade.other_intruders) {
            write_look_alike(&mut page, found);
        }
    }
    page.finish()
}

fn write_lines(page: &mut Page, grade: &Grade) {
    page.line("What became of the lines (down: truly; across: taken for)");
    let mut headings = vec![("", Side::Left)];
    headings.extend(LineScope::ALL.iter().map(|scope| (scope.word(), Side::Right)));
    let rows: Vec<Vec<String>> = LineScope::ALL
        .iter()
        .map(|truly| {
            let counts = grade.confusion.get(truly.word());
            let count = |taken: &LineScope| counts.and_then(|row| row.get(taken.word())).copied().unwrap_or(0);
            let cells = LineScope::ALL.iter().map(|taken| count(taken).to_string());
            std::iter::once(truly.word().to_string()).chain(cells).collect()
        })
        .collect();
    page.table(2, &headings, &rows);
    page.sentence(0, &format!("Offers: {}", three(&grade.scope)));
    page.sentence(0, &format!("Kind of part right: {}", share(grade.kind_accuracy)));
    for (mistake, count) in &grade.kind_mistakes {
        page.sentence(2, &format!("{count}  {mistake}"));
    }
    page.sentence(
        0,
        &format!(
            "Look-alikes in the cross-reference above confidence {LOOK_ALIKE_LIMIT}: {}",
            grade.look_alikes.len()
        ),
    );
    page.sentence(
        0,
        &format!("Broken or layout lines there: {}", grade.other_intruders.len()),
    );
    if grade.rows_without_answer > 0 {
        page.sentence(
            0,
            &format!("Rows without a known answer: {}", grade.rows_without_answer),
        );
    }
}

fn write_groupings(page: &mut Page, grade: &Grade) {
    let headings = [
        ("", Side::Left),
        ("rows", Side::Right),
        ("true", Side::Right),
        ("found", Side::Right),
        ("pairs P", Side::Right),
        ("R", Side::Right),
        ("F1", Side::Right),
        ("B3 P", Side::Right),
        ("R", Side::Right),
        ("F1", Side::Right),
    ];
    let rows = [
        ("products", &grade.products),
        ("  show an identifier", &grade.products_identified),
        ("fit groups", &grade.groups),
        ("  state enough", &grade.groups_stating_enough),
        ("  confidence >= 0.9", &grade.groups_sure),
    ];
    let rows: Vec<Vec<String>> = rows
        .into_iter()
        .map(|(name, grouping)| grouping_cells(name, grouping))
        .collect();
    page.table(0, &headings, &rows);
    page.sentence(
        0,
        &format!("Rows at confidence {SURE} or more: {}", share(grade.share_sure)),
    );
    let recall = grade.link_recall;
    page.sentence(
        0,
        &format!(
            "Pairs of one product that show an identifier: {}; compared and kept {}, connected by such pairs {}",
            recall.true_pairs,
            share(recall.compared),
            share(recall.connected)
        ),
    );
}

fn grouping_cells(name: &str, grouping: &Grouping) -> Vec<String> {
    let mut cells = vec![
        name.to_string(),
        grouping.rows.to_string(),
        grouping.true_groups.to_string(),
        grouping.found_groups.to_string(),
    ];
    for scores in [&grouping.pairwise, &grouping.b_cubed] {
        cells.extend([scores.precision, scores.recall, scores.f1].map(short));
    }
    cells
}

fn write_calibration(page: &mut Page, grade: &Grade) {
    page.line("Calibration of the confidence (plain: the group's main true group; strict: and its main place)");
    let headings = [
        ("confidence", Side::Left),
        ("rows", Side::Right),
        ("stated", Side::Right),
        ("plain", Side::Right),
        ("strict", Side::Right),
    ];
    let bins = grade.plain.reliability.iter().zip(&grade.strict.reliability);
    let rows: Vec<Vec<String>> = bins
        .map(|(plain, strict)| {
            vec![
                format!("{:.1}-{:.1}", plain.low, plain.high),
                plain.forecasts.to_string(),
                short(plain.mean_probability),
                short(plain.share_true),
                short(strict.share_true),
            ]
        })
        .collect();
    page.table(2, &headings, &rows);
    let sums = |name: &str, of: &Calibration| {
        format!(
            "{name}: expected calibration error {}, Brier score {}, area under the curve {}",
            share(of.expected_calibration_error),
            share(of.brier),
            share(of.area_under_curve)
        )
    };
    page.sentence(0, &sums("Plain", &grade.plain));
    page.sentence(0, &sums("Strict", &grade.strict));
}

fn write_look_alike(page: &mut Page, found: &LookAlike) {
    page.sentence(
        2,
        &format!(
            "{}:{}  {} taken for {} at {:.2}",
            found.file, found.line, found.truly, found.taken_for, found.confidence
        ),
    );
    page.sentence(6, &cut(&found.description, 120));
}

fn three(scores: &PrecisionRecall) -> String {
    format!(
        "precision {}, recall {}, F1 {}",
        share(scores.precision),
        share(scores.recall),
        share(scores.f1)
    )
}

fn share(value: Option<f64>) -> String {
    value.map_or("-".into(), |value| format!("{value:.4}"))
}

fn short(value: Option<f64>) -> String {
    value.map_or("-".into(), |value| format!("{value:.3}"))
}
