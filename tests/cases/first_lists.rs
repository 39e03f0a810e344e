//! The lists of strangers, held against what was written into them.

use crate::helpers::{Ended, bench, column, rows, samefit, text};
use crate::strangers::{Part, by_the_dozen, matrix, print_out, workbook};
use std::path::Path;

fn built(home: &Path) -> Ended {
    samefit(&["build", text(&home.join("lists")), "--out", text(&home.join("run"))]).with_code(0)
}

/// Holds what was published of a list against what was written into it.
fn compare(run: &str, file: &str, written: &[Part]) {
    let at = |name: &str| column(run, "crossref.csv", name);
    let [sku, kind, price, currency, circle, evidence, source] = [
        "supplier_sku",
        "part_kind",
        "unit_price",
        "currency",
        "bolt_circle_mm",
        "evidence",
        "source_file",
    ]
    .map(at);
    let published = rows(run, "crossref.csv");
    let of_list: Vec<&csv::StringRecord> = published.iter().filter(|row| row[source].starts_with(file)).collect();
    assert_eq!(of_list.len(), written.len(), "offers of {file}");
    for part in written {
        let row = of_list
            .iter()
            .find(|row| row[sku] == part.sku)
            .unwrap_or_else(|| panic!("{} of {file} is published", part.sku));
        assert_eq!(&row[kind], part.kind, "{}", part.sku);
        let paid: f64 = row[price]
            .parse()
            .unwrap_or_else(|_| panic!("{} of {file} has a price", part.sku));
        assert!(
            (paid - part.price).abs() < 0.01,
            "{}: {paid} for {}",
            part.sku,
            part.price
        );
        assert_eq!(&row[currency], part.currency, "{}", part.sku);
        let code = format!("engine code {}", part.engine);
        assert!(row[evidence].contains(&code), "{}: {}", part.sku, &row[evidence]);
        if let Some(mm) = part.circle {
            let found: f64 = row[circle]
                .parse()
                .unwrap_or_else(|_| panic!("{} of {file} has a circle", part.sku));
            assert!((found - mm).abs() < 0.6, "{}: {found} for {mm}", part.sku);
        }
    }
}

#[test]
fn four_lists_of_strangers_come_out_as_they_were_written() {
    let home = bench();
    let lists = home.path().join("lists");
    std::fs::create_dir_all(&lists).unwrap();
    let written = [
        ("quintavento.xlsx", workbook(&lists)),
        ("harrowmill.txt", print_out(&lists)),
        ("tulunçay.txt", by_the_dozen(&lists)),
        ("sollgren.csv", matrix(&lists)),
    ];
    built(home.path());
    let out = home.path().join("run");
    let run = text(&out);
    for (file, parts) in &written {
        compare(run, file, parts);
    }
    // every line is accounted for, and none was rejected
    let at = |name: &str| column(run, "suppliers.csv", name);
    let layout: Vec<usize> = [
        "preamble",
        "header",
        "repeated_header",
        "units",
        "section",
        "total",
        "footnote",
        "blank",
    ]
    .map(|kind| at(&format!("layout_{kind}")))
    .to_vec();
    let lists = rows(run, "suppliers.csv");
    assert_eq!(lists.len(), written.len());
    for row in &lists {
        let count = |column: usize| row[column].parse::<u64>().unwrap_or_default();
        let became = count(at("offers")) + count(at("set_aside")) + count(at("rejected"));
        let of_layout: u64 = layout.iter().map(|column| count(*column)).sum();
        assert_eq!(count(at("read")), became + of_layout, "{row:?}");
        assert_eq!(count(at("rejected")), 0, "{row:?}");
    }
    let print_out = lists
        .iter()
        .find(|row| row[at("file")].starts_with("harrowmill"))
        .unwrap();
    assert_eq!(
        (&print_out[at("layout_total")], &print_out[at("layout_repeated_header")]),
        ("4", "2")
    );
    // a sheet of terms is no list to choose from
    samefit(&["onboard", text(&home.path().join("lists/quintavento.xlsx"))]).printing("Código");
    // the second number of a maker leads to the part as the first does
    samefit(&["find", run, "--number", "ZRP-37-331"]).printing("QV");
}
