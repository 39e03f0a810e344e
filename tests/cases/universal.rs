//! All-embracing titles ("168F-190F universal") are listed with low confidence and join no groups.

use crate::helpers::{bench, column, rows, samefit, text, write};
use std::fmt::Write as _;
use std::path::Path;

/// Engines of three size classes: code, displacement in cc, bolt circle in mm.
const ENGINES: [(&str, u32, u32); 4] = [
    ("168F", 163, 118),
    ("170F", 212, 118),
    ("188F", 389, 165),
    ("190F", 420, 165),
];
const UNIVERSAL: [&str; 3] = [
    "Recoil starter universal 168F-190F",
    "Pull starter fits all engines 5.5HP-13HP universal",
    "Recoil starter 160-420cc universal",
];

fn lists(folder: &Path) {
    for (number, supplier) in ["velmar", "tostrup", "quindry"].iter().enumerate() {
        let mut list = String::from("Article no;Title;Maker no;Price EUR\n");
        for item in 0..24 {
            let (code, cc, circle) = ENGINES[item % ENGINES.len()];
            let maker = format!("{}{:05}", ["VK", "TL"][item / 12], 20_417 + 13 * item);
            let _ = writeln!(
                list,
                "{supplier}-{item:03};Recoil starter {code} {cc}cc 3 hole {circle} mm PCD;{maker};{}.{:02}",
                11 + item % 5,
                10 * number
            );
        }
        for (item, title) in UNIVERSAL.iter().enumerate() {
            let _ = writeln!(list, "{supplier}-U{item};{title};UN{number}{item}7731;14.90");
        }
        write(folder, &format!("lists/{supplier}.csv"), list);
    }
}

#[test]
fn a_title_that_embraces_every_class_is_doubtful_and_joins_none() {
    let home = bench();
    lists(home.path());
    let run = home.path().join("run");
    samefit(&[
        "build",
        text(&home.path().join("lists")),
        "--out",
        text(&run),
        "--quiet",
    ])
    .with_code(0);
    let run = text(&run);
    let place = |name: &str| column(run, "crossref.csv", name);
    let (title, group, confidence) = (place("description"), place("group_id"), place("confidence"));
    let rows = rows(run, "crossref.csv");
    let group_of = |words: &str| -> Vec<String> {
        let mut found: Vec<String> = rows
            .iter()
            .filter(|row| row[title].contains(words) && !row[title].contains("universal"))
            .map(|row| row[group].to_string())
            .collect();
        found.sort();
        found.dedup();
        found
    };
    let (small, large) = (group_of("168F"), group_of("188F"));
    assert_eq!((small.len(), large.len()), (1, 1), "{small:?} {large:?}");
    assert_ne!(small, large, "an all-embracing title joined two size classes");
    let universal: Vec<_> = rows.iter().filter(|row| row[title].contains("universal")).collect();
    assert_eq!(universal.len(), 9);
    for row in universal {
        let sure: f64 = row[confidence].parse().unwrap();
        assert!(sure < 0.7, "{} stands at {sure}", &row[title]);
    }
}
