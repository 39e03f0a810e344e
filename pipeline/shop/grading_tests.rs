use super::*;

fn line(line: u32, scope: LineScope, kind: &str, product: &str, group: &str) -> TrueLine {
    let yes = if scope == LineScope::Offer {
        YesNo::Yes
    } else {
        YesNo::No
    };
    TrueLine {
        file: "a.csv".into(),
        line,
        scope,
        part_kind: kind.into(),
        product: product.into(),
        fit_group: group.into(),
        shows_identifier: yes,
        states_enough: yes,
    }
}

fn row(line: u32, kind: &str, product: &str, group: &str, confidence: f64) -> CrossrefRow {
    CrossrefRow {
        source_file: "a.csv".into(),
        source_line: line,
        part_kind: kind.into(),
        product_id: product.into(),
        group_id: group.into(),
        confidence,
        ..CrossrefRow::default()
    }
}

fn measured(truth: &[TrueLine], crossref: &[CrossrefRow]) -> Grade {
    grade(
        truth,
        RunRows {
            crossref,
            set_aside: &[],
            rejects: &[],
            links: &[],
        },
    )
    .unwrap()
}

fn starters() -> Vec<TrueLine> {
    (1..=4)
        .map(|n| line(n, LineScope::Offer, "starter", if n < 3 { "P1" } else { "P2" }, "G"))
        .collect()
}

#[test]
fn a_perfect_run_scores_one_everywhere() {
    let rows: Vec<CrossrefRow> = (1..=4)
        .map(|n| row(n, "starter", if n < 3 { "x" } else { "y" }, "g", 0.95))
        .collect();
    let grade = measured(&starters(), &rows);
    assert_eq!(grade.scope.f1, Some(1.0));
    assert_eq!(grade.kind_accuracy, Some(1.0));
    assert_eq!(grade.products.pairwise.f1, Some(1.0));
    assert_eq!(grade.groups_stating_enough.b_cubed.f1, Some(1.0));
    assert_eq!((grade.products.true_groups, grade.products.found_groups), (2, 2));
    assert_eq!(grade.share_sure, Some(1.0));
    assert!((grade.plain.expected_calibration_error.unwrap() - 0.05).abs() < 1e-12);
}

#[test]
fn an_offer_that_was_missed_costs_recall_of_pairs() {
    let rows: Vec<CrossrefRow> = (1..=3).map(|n| row(n, "starter", "x", "g", 0.9)).collect();
    let grade = measured(&starters(), &rows);
    assert_eq!(grade.scope.recall, Some(0.75));
    // By hand: 6 true pairs, 3 found, all of them true.
    assert_eq!(
        (grade.groups.pairwise.precision, grade.groups.pairwise.recall),
        (Some(1.0), Some(0.5))
    );
    assert_eq!(grade.confusion["offer"]["layout"], 1);
}

#[test]
fn a_look_alike_let_in_is_listed_and_is_never_right() {
    let mut truth = starters();
    truth.push(line(9, LineScope::SetAside, "rope", "", ""));
    let mut rows: Vec<CrossrefRow> = (1..=4).map(|n| row(n, "starter", "x", "g", 0.9)).collect();
    rows.push(row(9, "starter", "z", "alone", 0.7));
    let grade = measured(&truth, &rows);
    assert_eq!(grade.look_alikes.len(), 1);
    assert_eq!(
        (grade.look_alikes[0].truly.as_str(), grade.look_alikes[0].line),
        ("rope", 9)
    );
    assert_eq!(grade.plain.reliability[7].came_true, 0);
    rows[4].confidence = 0.5;
    assert!(measured(&truth, &rows).look_alikes.is_empty());
}

#[test]
fn splitting_a_true_group_is_plainly_right_and_strictly_wrong() {
    let rows: Vec<CrossrefRow> = (1..=4)
        .map(|n| row(n, "starter", "x", if n == 4 { "h" } else { "g" }, 0.9))
        .collect();
    let grade = measured(&starters(), &rows);
    assert_eq!(grade.plain.reliability[9].came_true, 4);
    assert_eq!(grade.strict.reliability[9].came_true, 3);
}

#[test]
fn a_row_whose_line_has_no_answer_is_counted_and_not_judged() {
    let mut rows: Vec<CrossrefRow> = (1..=4).map(|n| row(n, "starter", "x", "g", 0.9)).collect();
    rows.push(row(77, "starter", "x", "g", 0.9));
    let grade = measured(&starters(), &rows);
    assert_eq!(grade.rows_without_answer, 1);
    assert_eq!(grade.groups.rows, 4);
}

#[test]
fn kinds_that_were_mistaken_are_counted_by_name() {
    let rows: Vec<CrossrefRow> = (1..=4)
        .map(|n| row(n, if n == 1 { "shroud" } else { "starter" }, "x", "g", 0.9))
        .collect();
    let grade = measured(&starters(), &rows);
    assert_eq!(grade.kind_accuracy, Some(0.75));
    assert_eq!(grade.kind_mistakes["starter taken for shroud"], 1);
}
