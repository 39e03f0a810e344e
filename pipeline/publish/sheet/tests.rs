//! The sheet's words, its readings and its inertness; the drawing has its own tests.

use super::*;
use crate::publish::sample::{HOSTILE, small_run};

fn sheet(readings: Vec<CircleReading>) -> FitSheet {
    FitSheet {
        group: small_run().groups[0].clone(),
        readings,
        stated: vec![Stated {
            about: About::Depth,
            value: "45 mm".into(),
            offers: 2,
        }],
    }
}

fn reading(circle_mm: f64, provided: &str) -> CircleReading {
    CircleReading {
        circle_mm,
        tolerance_mm: 0.5,
        provided: provided.into(),
    }
}

#[test]
fn a_settled_circle_is_drawn_once_with_its_figures() {
    let page = page(&sheet(vec![reading(118.0, "")]));
    assert_eq!(page.matches("<svg").count(), 1);
    assert!(page.contains("3 holes on a circle of 118.0 ± 0.5 mm, 102.2 mm from hole to hole"));
    assert!(page.contains("6.6 mm for M6"));
    assert!(page.contains("45 mm (2 offers)"));
    assert!(!page.contains("do not settle"));
}

#[test]
fn a_circle_that_is_not_settled_is_drawn_in_every_reading() {
    let page = page(&sheet(vec![
        reading(102.0, "if 102 mm is the bolt circle"),
        reading(117.8, "if 102 mm is from hole to hole"),
    ]));
    assert_eq!(page.matches("<svg").count(), 2);
    assert!(page.contains("Reading 1 of 2: if 102 mm is the bolt circle"));
    assert!(page.contains("Reading 2 of 2: if 102 mm is from hole to hole"));
    assert!(page.contains("88.3 mm or 102.0 mm"), "the chord of each reading");
}

#[test]
fn without_a_circle_nothing_is_drawn_and_it_says_what_to_measure() {
    let page = page(&sheet(Vec::new()));
    assert!(!page.contains("<svg"));
    assert!(page.contains("No bolt circle is known") && page.contains("plus one hole diameter"));
}

#[test]
fn a_screw_that_is_not_stated_is_said_to_be_a_guess() {
    let mut sheet = sheet(vec![reading(118.0, "")]);
    sheet.group.thread = "".into();
    assert!(page(&sheet).contains("holes are drawn for M6, which is a guess"));
}

#[test]
fn every_caution_is_on_the_sheet_once() {
    let page = page(&sheet(Vec::new()));
    for caution in crate::trade::cautions::SAFETY {
        let start = caution.wording.split(['\'', '"', '&']).next().unwrap();
        assert_eq!(page.matches(start).count(), 1, "{}", caution.cue);
    }
    assert!(page.contains(crate::trade::cautions::LIMIT));
}

#[test]
fn hostile_wording_stays_words_and_there_is_no_script() {
    let mut sheet = sheet(vec![reading(118.0, HOSTILE)]);
    sheet.group.name = HOSTILE.into();
    sheet.group.engine_codes = HOSTILE.into();
    sheet.stated[0].value = HOSTILE.into();
    let page = page(&sheet);
    assert!(!page.contains("<img") && !page.contains("script") || page.contains("&lt;/script&gt;"));
    assert!(!page.contains("<script") && !page.contains('\u{1b}') && !page.contains("src=\""));
}
