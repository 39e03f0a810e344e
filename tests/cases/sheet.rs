//! The fit sheet as a shop prints it: named by id, number or words; full size by its own geometry.

use crate::helpers::{bench, column, command, demo, names_in, rows, samefit, text};
use std::f64::consts::PI;
use std::fs;

/// The group of the demo with most offers whose circle is known, with the columns named.
fn largest_group(columns: [&str; 3]) -> [String; 3] {
    let place = |name: &str| column(demo(), "groups.csv", name);
    let (offers, circle) = (place("offers"), place("bolt_circle_mm"));
    let groups = rows(demo(), "groups.csv");
    let largest = groups
        .iter()
        .filter(|row| !row[circle].is_empty())
        .max_by_key(|row| row[offers].parse::<u32>().unwrap())
        .unwrap();
    columns.map(|name| largest[place(name)].to_string())
}

/// The value of an attribute, the first time it stands in the text.
fn attribute<'a>(markup: &'a str, name: &str) -> &'a str {
    let start = markup.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
    &markup[start..start + markup[start..].find('"').unwrap()]
}

#[test]
fn a_sheet_is_written_where_it_is_asked_for_and_says_so() {
    let folder = bench();
    let page = folder.path().join("starter.html");
    let [id, name, _] = largest_group(["group_id", "name", "offers"]);
    samefit(&["sheet", demo(), &id, "--out", text(&page)])
        .with_code(0)
        .printing(text(&page))
        .printing(&name);
    assert_eq!(names_in(folder.path()), ["starter.html"]);
    assert!(fs::read_to_string(&page).unwrap().contains("Compare with the old part"));
}

#[test]
fn without_a_place_the_sheet_is_called_after_its_group() {
    let folder = bench();
    let [id, ..] = largest_group(["group_id", "name", "offers"]);
    let ended = command(&["sheet", demo(), &id.to_lowercase()])
        .current_dir(folder.path())
        .output()
        .unwrap();
    assert!(ended.status.success(), "{}", String::from_utf8_lossy(&ended.stderr));
    assert_eq!(names_in(folder.path()), [format!("fit-sheet-{id}.html")]);
}

#[test]
fn one_unit_of_the_drawing_is_a_millimetre_and_holes_stand_where_the_table_says() {
    let [id, circle, holes] = largest_group(["group_id", "bolt_circle_mm", "bolt_holes"]);
    let page = samefit(&["sheet", demo(), &id, "--out", "-"]).with_code(0).stdout;
    let svg = &page[page.find("<svg").unwrap()..];
    let wide = attribute(svg, "width").strip_suffix("mm").unwrap();
    let high = attribute(svg, "height").strip_suffix("mm").unwrap();
    assert_eq!(attribute(svg, "viewBox"), format!("0 0 {wide} {high}"));
    let centres: Vec<(f64, f64)> = svg
        .split("class=\"hole\"")
        .skip(1)
        .map(|hole| {
            (
                attribute(hole, "cx").parse().unwrap(),
                attribute(hole, "cy").parse().unwrap(),
            )
        })
        .collect();
    let holes: u8 = holes.parse().unwrap();
    assert_eq!(centres.len(), usize::from(holes));
    let [(ax, ay), (bx, by)] = [centres[0], centres[1]];
    let expected = circle.parse::<f64>().unwrap() * (PI / f64::from(holes)).sin();
    assert!(((ax - bx).hypot(ay - by) - expected).abs() < 0.005);
}

#[test]
fn a_group_is_named_by_words_or_by_a_number_as_well() {
    let by_words = samefit(&["sheet", demo(), "212cc", "pull", "starter", "3", "hole", "--out", "-"]).with_code(0);
    let [id, ..] = largest_group(["group_id", "name", "offers"]);
    let by_id = samefit(&["sheet", demo(), &id, "--out", "-"]).with_code(0);
    assert!(
        by_words.stdout == by_id.stdout,
        "the words lead to another sheet than {id}"
    );
}

#[test]
fn words_that_leave_the_group_open_are_refused_with_the_candidates() {
    samefit(&["sheet", demo(), "168F", "--out", "-"])
        .with_code(2)
        .saying("may mean")
        .saying("name one by its id: RS-");
}

#[test]
fn a_name_that_leads_nowhere_is_refused_with_a_hint() {
    samefit(&["sheet", demo(), "xyzzy", "--out", "-"])
        .with_code(2)
        .saying("no fit group answers `xyzzy`")
        .saying("hint:");
    samefit(&["sheet", "no such run", "RS-1"])
        .with_code(2)
        .saying("does not exist");
}

#[test]
fn a_group_without_a_circle_says_what_to_measure() {
    let circle = column(demo(), "groups.csv", "bolt_circle_mm");
    let unknown = rows(demo(), "groups.csv")
        .into_iter()
        .find(|row| row[circle].is_empty())
        .unwrap();
    let page = samefit(&["sheet", demo(), &unknown[0], "--out", "-"])
        .with_code(0)
        .stdout;
    assert!(page.contains("No bolt circle is known") || page.contains("a spacing that comes to this"));
    assert!(page.contains("The engine's manual and local rules go before this sheet"));
}
