#![allow(clippy::disallowed_methods, reason = "tests write files of their own")]

use super::*;
use proptest::prelude::*;

fn load(text: impl AsRef<[u8]>) -> (Vec<Decision>, Vec<Warning>) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("answers.csv");
    std::fs::write(&path, text).unwrap();
    let (decisions, warnings) = Decisions::load(&[path]).unwrap();
    (decisions.list, warnings)
}

#[test]
fn a_sheet_is_read_by_its_headings_in_any_order_and_open_questions_pass() {
    let (list, warnings) = load(
        "asked,note,decision,offer_b,worth,offer_a,probability\n\
         Same part?,side by side,Same,south:7,1.5,north:A-1,\"0,53\"\n\
         Same part?,,,south:8,1.2,north:A-2,0.4\n",
    );
    assert!(warnings.is_empty(), "{warnings:?}");
    assert_eq!(list.len(), 1);
    let only = &list[0];
    assert_eq!(
        (only.answer, only.offer.as_str(), only.other()),
        (Answer::Same, "north:A-1", "south:7")
    );
    assert_eq!(
        (only.stated, only.note.as_str(), only.place.line),
        (Some(0.53), "side by side", 2)
    );
}

#[test]
fn a_spreadsheet_may_save_it_with_other_separators_marks_and_columns_dropped() {
    let comma = "decision,offer_a,offer_b,note\nfits,north:A-1,south:7 | east:9,\"x, y\"\n";
    let (expected, _) = load(comma);
    let semicolon = "\u{feff}decision;offer_a;offer_b;note;mine\r\nfits;north:A-1;south:7 | east:9;x, y;1\r\n";
    let tab: Vec<u8> = "\u{feff}note\tdecision\toffer_a\toffer_b\r\nx, y\tfits\tnorth:A-1\tsouth:7 | east:9\r\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    for saved in [semicolon.as_bytes(), &tab] {
        let (list, warnings) = load(saved);
        assert!(warnings.is_empty());
        assert_eq!(
            (&list[0].others, &list[0].note),
            (&expected[0].others, &expected[0].note)
        );
    }
    assert_eq!(expected[0].others, ["south:7", "east:9"]);
    assert_eq!(load("decision,offer_a,offer_b\nsame,a:1,b:2\n").0[0].note, "");
}

#[test]
fn a_list_by_hand_needs_no_heading() {
    let (list, warnings) = load(
        "# decided in autumn\n\
         same, north:A-1, south:7, held side by side, 2026-11-20\n\
         wrong claim, north:A-2, bolt-circle 131 mm\n",
    );
    assert!(warnings.is_empty(), "{warnings:?}");
    assert_eq!(
        (list[0].date.as_str(), list[0].note.as_str()),
        ("2026-11-20", "held side by side")
    );
    assert_eq!(
        (list[1].claim.as_str(), list[1].others.len()),
        ("bolt-circle 131 mm", 0)
    );
}

#[test]
fn a_row_that_cannot_be_read_is_named_and_its_neighbours_stand() {
    let (list, warnings) = load(
        "decision,offer_a,offer_b,claim\nperhaps,north:A-1,south:7,\nsame,north:A-1,,\nwrong claim,north:A-1,,\n\
         same,north:A-1,south:7,\n",
    );
    assert_eq!(list.len(), 1);
    let lines: Vec<u64> = warnings.iter().map(|warning| warning.place.line).collect();
    assert_eq!(lines, [2, 3, 4]);
    assert!(
        warnings
            .iter()
            .all(|warning| warning.sort == WarningSort::Unreadable && !warning.hint.is_empty())
    );
    assert!(warnings[0].to_string().contains("`perhaps`"));
}

#[test]
fn what_is_no_table_of_decisions_is_refused_by_name() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("prices.csv");
    std::fs::write(&path, "Article,Price\nA-1,2.50\n").unwrap();
    let error = Decisions::load(&[path]).unwrap_err().to_string();
    assert!(error.contains("prices.csv") && error.contains("offer_a"), "{error}");
    let error = Decisions::load(&[folder.path().join("none.csv")])
        .unwrap_err()
        .to_string();
    assert!(error.contains("do not exist"), "{error}");
}

#[test]
fn a_folder_is_its_tables_in_the_order_of_their_names() {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in [
        ("b.csv", "same,a:1,b:2\n"),
        ("a.csv", "different,a:3,b:4\n"),
        (".hidden.csv", "same,a:5,b:6\n"),
        ("readme.md", "nothing"),
    ] {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let (decisions, _) = Decisions::load(&[folder.path().to_path_buf()]).unwrap();
    let answers: Vec<Answer> = decisions.list.iter().map(|decision| decision.answer).collect();
    assert_eq!(answers, [Answer::Different, Answer::Same]);
}

proptest! {
    #[test]
    fn no_file_of_a_person_makes_the_reader_fall_over(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("any.csv");
        std::fs::write(&path, bytes).unwrap();
        let _ = Decisions::load(&[path]);
    }
}
