//! Deciding doubtful cases: the sheet that asks, decisions read back, and what comes of them.

mod filled_in;
mod held;
mod sheet;
mod track_records;

use crate::helpers::{Ended, column, rows, samefit, text, write};
use std::collections::BTreeMap;
use std::path::Path;

const NORTH: &str = "Article no;Title;Brand;Mfr Part No;EAN;Price EUR\n\
    A-1;Recoil starter 168F 196cc 3 hole 118mm PCD;Brunlo;TV4471A;4006381333931;12,50\n\
    A-2;Recoil starter 188F 389cc 3 hole;Brunlo;TV4982C;;18,90\n\
    A-3;Recoil starter 168F 3 hole 131mm PCD;;;;11,00\n";
const SOUTH: &str = "Article no;Title;Brand;Mfr Part No;EAN;Price EUR\n\
    7;Pull start assembly starter 168F 196cc, 118 mm;Brunlo;TV4471A;9520274002889;9,80\n\
    8;Pull starter 188F 13 HP;Drolik;DR-77;;16,40\n\
    9;Pull starter 168F 5.5 HP;Drolik;DR-55;;8,10\n";

/// Builds two small lists under decisions.
fn decided(home: &Path, name: &str, decisions: &str, further: &[&str]) -> (String, Ended) {
    write(home, "lists/north.csv", NORTH);
    write(home, "lists/south.csv", SOUTH);
    let lists = home.join("lists");
    let out = home.join(name);
    let mut arguments = vec!["build", text(&lists), "--out", text(&out)];
    let file = write(home, &format!("{name}-answers.csv"), decisions);
    if !decisions.is_empty() {
        arguments.extend(["--decisions", text(&file)]);
    }
    arguments.extend(further);
    let ended = samefit(&arguments);
    (text(&out).to_string(), ended)
}

/// Rows of a table by a name made of two of its columns.
fn by_name(run: &str, table: &str, [one, two]: [&str; 2]) -> BTreeMap<String, csv::StringRecord> {
    let (one, two) = (column(run, table, one), column(run, table, two));
    let rows = rows(run, table).into_iter();
    rows.map(|row| (format!("{}:{}", &row[one], &row[two]), row)).collect()
}

/// A cell of an offer's row.
fn cell(run: &str, offer: &str, name: &str) -> String {
    let offers = by_name(run, "crossref.csv", ["supplier", "supplier_sku"]);
    offers[offer][column(run, "crossref.csv", name)].to_string()
}

fn count(run: &str, name: &str) -> u64 {
    let text = std::fs::read_to_string(Path::new(run).join("run.json")).unwrap();
    let manifest: serde_json::Value = serde_json::from_str(&text).unwrap();
    manifest["counts"][name]
        .as_u64()
        .unwrap_or_else(|| panic!("no count {name} in {}", manifest["counts"]))
}
