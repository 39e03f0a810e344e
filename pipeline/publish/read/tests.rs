use super::*;
use crate::publish::order::ordered;
use crate::publish::sample::{small_facts, small_run};
use crate::publish::write_run;
use crate::trade::identifier::canonical_number;

fn with_run(check: impl FnOnce(&FinishedRun)) {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("out [1]*");
    write_run(&out, &small_run(), &small_facts()).unwrap();
    check(&open_run(&out).unwrap());
}

fn skus(rows: &[CrossrefRow]) -> Vec<&str> {
    rows.iter().map(|row| row.supplier_sku.as_str()).collect()
}

#[test]
fn every_offer_comes_back_as_it_was_published() {
    with_run(|run| {
        let tables = small_run();
        let published: Vec<CrossrefRow> = ordered(&tables).crossref.into_iter().cloned().collect();
        assert_eq!(run.offers(&Condition::none()).unwrap(), published);
    });
}

#[test]
fn a_number_is_found_in_whichever_column_it_stands() {
    with_run(|run| {
        let find = |number: &str| {
            skus(&run.offers(&with_number([number])).unwrap())
                .into_iter()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        assert_eq!(find("0012"), ["0012"]);
        assert_eq!(find("04006381333931"), ["0012"]);
        assert_eq!(find("007-1200"), ["+1E5", "0012"]);
        assert!(find("absent").is_empty());
    });
}

#[test]
fn a_number_is_found_by_its_canonical_form() {
    with_run(|run| {
        let form = canonical_number("007 1200");
        let found = run.numbers_called(&[&form]).unwrap();
        assert_eq!(found.len(), 1);
        assert_eq!(
            (&*found[0].number, &*found[0].place, &*found[0].group_id),
            ("007-1200", "number", "G1")
        );
        assert!(run.numbers_called(&["absent"]).unwrap().is_empty());
        assert_eq!(
            run.numbers_like(|form| form == canonical_number("0012").as_bytes())
                .unwrap()
                .len(),
            1
        );
    });
}

#[test]
fn a_folder_that_is_no_run_is_named() {
    let home = tempfile::tempdir().unwrap();
    let error = open_run(home.path()).unwrap_err();
    assert!(error.to_string().contains("is not a samefit run"));
}
