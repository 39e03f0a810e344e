//! The grades of a run as pages for people: against known answers, and against the decisions of a person.

use super::page::{Page, Side, cut};
use crate::publish::scores::PrecisionRecall;
use crate::shop::grade::{Calibration, Grade, Grouping, LOOK_ALIKE_LIMIT, LookAlike, SURE};
use crate::shop::review::agreement::Agreement;
use crate::shop::truth::LineScope;

/// A run against known answers, with its look-alikes one by one where `list` asks for them.
pub(super) fn truth_page(grade: &Grade, list: bool) -> String {
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

/// A run against the decisions of a person.
pub(super) fn decisions_page(agreement: &Agreement) -> String {
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
