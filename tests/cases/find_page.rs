//! The page of `samefit find` as a terminal shows it: a small run written by hand, the real binary, at 80 and 120
//! columns, with and without colour. `INSTA_UPDATE=always cargo test find_page` writes the snapshots anew.

use crate::helpers::{bench, command, text};
use samefit::publish::{CrossrefRow, GroupRow, ProductRow, RunFacts, RunTables, SetAsideRow, SupplierRow, write_run};
use std::path::Path;

fn offer(line: u32, supplier: &str, description: &str, (price, landed): (&str, &str), confidence: f64) -> CrossrefRow {
    CrossrefRow {
        group_id: "RS-ABCDE".into(),
        product_id: "P-1".into(),
        part_kind: "recoil-starter".into(),
        supplier: supplier.into(),
        supplier_sku: format!("N-{line:03}").into(),
        mpn: "SF-28400".into(),
        description: description.into(),
        unit_price: price.parse().ok(),
        currency: "USD".into(),
        landed_price: landed.parse().ok(),
        price_basis: "net".into(),
        stock: "10+".into(),
        lead_time_days: Some(4),
        weight_g: Some(600.0),
        confidence,
        product_confidence: 0.9,
        evidence: "kind \"starter\" in the title 0.99; displacement 196 cc stated +2.5".into(),
        measure_first: if confidence < 0.8 {
            "count the mounting holes"
        } else {
            ""
        }
        .into(),
        source_file: format!("{supplier}.csv").into(),
        source_line: line,
        ..CrossrefRow::default()
    }
}

fn list(supplier: &str, offers: u64, set_aside: u64, flat: &str) -> SupplierRow {
    SupplierRow {
        supplier: supplier.into(),
        file: format!("{supplier}.csv").into(),
        read: offers + set_aside,
        offers,
        set_aside,
        shipping_flat: flat.parse().ok(),
        shipping_per_kg: "2".parse().ok(),
        ..SupplierRow::default()
    }
}

fn hand_made(out: &Path) {
    let group = GroupRow {
        group_id: "RS-ABCDE".into(),
        name: "Recoil starter, industrial horizontal small, 118-213 cc (168F, 170F), 3 holes on 118 mm, M6".into(),
        part_kind: "recoil-starter".into(),
        family: "industrial horizontal".into(),
        displacement_cc: "118-213".into(),
        bolt_holes: Some(3),
        engine_codes: "168F;170F".into(),
        products: 1,
        offers: 3,
        currency: "EUR".into(),
        confidence: 0.9,
        ..GroupRow::default()
    };
    let product = ProductRow {
        product_id: "P-1".into(),
        group_id: "RS-ABCDE".into(),
        part_kind: "recoil-starter".into(),
        offers: 3,
        suppliers: 2,
        ..ProductRow::default()
    };
    let rope = SetAsideRow {
        file: "north.csv".into(),
        line: 9,
        supplier: "north".into(),
        what: "rope".into(),
        description: "Starter rope for 168F".into(),
        landed_price: "2.40".parse().ok(),
        engine_codes: "168F".into(),
        displacement_cc: "196".into(),
        ..SetAsideRow::default()
    };
    let tables = RunTables {
        crossref: vec![
            offer(
                2,
                "north",
                "手拉启动器总成 168F 红色 Recoil starter assembly for 168F, red",
                ("9.50", "12.56"),
                0.97,
            ),
            offer(
                3,
                "north",
                "Recoil starter 168F/170F 196cc \u{1b}[31mwith rope and grip",
                ("11.00", "13.76"),
                0.95,
            ),
            offer(2, "south", "Pull starter, universal", ("4.00", "6.56"), 0.55),
        ],
        groups: vec![group],
        products: vec![product],
        set_aside: vec![rope],
        suppliers: vec![list("north", 2, 1, "5"), list("south", 1, 0, "3")],
        ..RunTables::default()
    };
    let rates = [
        ("rate_USD", "1.25"),
        ("rates_date", "2026-09-01"),
        ("duty_default", "0"),
    ];
    let facts = RunFacts {
        home_currency: "EUR".into(),
        settings: rates.map(|(key, value)| (key.to_string(), value.to_string())).into(),
        ..RunFacts::default()
    };
    write_run(out, &tables, &facts).unwrap();
}

fn shown(columns: &str, colour: &str) -> String {
    let home = bench();
    let run = home.path().join("run");
    hand_made(&run);
    let arguments = [
        "find",
        text(&run),
        "196cc pull starter 168F wobbly",
        "--color",
        colour,
        "--quiet",
    ];
    let output = command(&arguments)
        .env("COLUMNS", columns)
        .env_remove("NO_COLOR")
        .output()
        .unwrap();
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn at_eighty_columns() {
    insta::assert_snapshot!(shown("80", "never"));
}

#[test]
fn at_a_hundred_and_twenty_columns() {
    insta::assert_snapshot!(shown("120", "never"));
}

#[test]
fn in_colour_at_eighty_columns() {
    insta::assert_snapshot!(shown("80", "always").replace('\u{1b}', "<ESC>"));
}

#[test]
fn colour_is_off_where_nobody_looks_and_says_nothing_that_words_do_not() {
    let plain = shown("80", "auto");
    assert!(!plain.contains('\u{1b}'));
    let mut coloured = shown("80", "always");
    for code in ["1", "2", "32", "33", "0"] {
        coloured = coloured.replace(&format!("\u{1b}[{code}m"), "");
    }
    assert_eq!(plain, coloured);
}

#[test]
fn a_width_that_is_no_number_is_named() {
    let home = bench();
    let run = home.path().join("run");
    hand_made(&run);
    let output = command(&["find", text(&run), "196cc"])
        .env("COLUMNS", "wide")
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("COLUMNS is `wide`"));
}
