//! Answers from a small invented run. Here: the run, and how it is asked; the tests stand in a file for each subject.

mod covering;
mod filters;
mod numbers;
mod ranking;

use super::*;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::{CrossrefRow, ProductRow, RunFacts, RunTables, SupplierRow, open_run, write_run};
use crate::shop::answer::{OfferList, Section, StockWanted};
use crate::shop::need::Question;

fn group(id: &str, kind: &str, cc: &str, covers: &str) -> GroupRow {
    GroupRow {
        group_id: id.into(),
        name: format!("{kind} {cc}"),
        part_kind: kind.into(),
        family: "industrial horizontal".into(),
        displacement_cc: cc.into(),
        bolt_holes: Some(3),
        engine_codes: if cc.starts_with('1') { "168F;170F" } else { "188F" }.into(),
        offers: 3,
        products: 1,
        currency: "EUR".into(),
        covers_groups: covers.into(),
        ..GroupRow::default()
    }
}

fn offer(line: u32, group: &str, kind: &str, landed: Option<&str>, confidence: f64) -> CrossrefRow {
    CrossrefRow {
        group_id: group.into(),
        product_id: format!("P-{group}").into(),
        part_kind: kind.into(),
        supplier: if line.is_multiple_of(2) { "north" } else { "south" }.into(),
        supplier_sku: format!("N-{line:03}").into(),
        mpn: if line == 2 { "SF-28400-KR2" } else { "" }.into(),
        description: "Starter 168F".into(),
        landed_price: landed.and_then(|price| price.parse().ok()),
        unit_price: "5".parse().ok(),
        currency: "USD".into(),
        confidence,
        product_confidence: 0.9,
        source_file: "lists.csv".into(),
        source_line: line,
        ..CrossrefRow::default()
    }
}

fn tables() -> RunTables {
    let starter = "recoil-starter";
    let crossref = vec![
        offer(2, "RS-A", starter, Some("9.50"), 0.97),
        offer(3, "RS-A", starter, Some("7.25"), 0.95),
        offer(4, "RS-A", starter, Some("4.00"), 0.40),
        offer(5, "RS-A", starter, None, 0.96),
        offer(6, "RS-B", starter, Some("19.00"), 0.95),
        offer(7, "SS-A", "assembly", Some("6.90"), 0.95),
        offer(8, "FS-B", "shroud", Some("12.00"), 0.30),
        offer(9, "SS-B", "assembly", Some("25.00"), 0.95),
    ];
    let products = ["RS-A", "RS-B", "SS-A", "SS-B", "FS-B"].map(|id| ProductRow {
        product_id: format!("P-{id}").into(),
        group_id: id.into(),
        part_kind: starter.into(),
        replaces: if id == "RS-B" { "OLD-777-1;X9" } else { "" }.into(),
        offers: crossref.iter().filter(|row| row.group_id == id).count() as u32,
        suppliers: 1,
        ..ProductRow::default()
    });
    let count = crossref.len() as u64;
    let mut groups = vec![
        group("RS-A", starter, "163-212", ""),
        group("RS-B", starter, "337-420", ""),
        group("SS-A", "assembly", "163-212", "RS-A"),
        group("SS-B", "assembly", "337-420", "RS-B;FS-B"),
        group("FS-B", "shroud", "337-420", ""),
    ];
    for group in &mut groups {
        group.offers = crossref.iter().filter(|row| row.group_id == group.group_id).count() as u32;
    }
    let account = SupplierRow {
        supplier: "north".into(),
        file: "lists.csv".into(),
        read: count,
        offers: count,
        ..SupplierRow::default()
    };
    RunTables {
        crossref,
        groups,
        products: products.into(),
        suppliers: vec![account],
        ..RunTables::default()
    }
}

fn answered(question: Question) -> Answer {
    answer_from(&tables(), question)
}

fn no_limits() -> Limits {
    Limits {
        min_confidence: 0.8,
        supplier: None,
        deliver_within: None,
        stock: StockWanted::Any,
        quantity: 1,
        most: 50,
    }
}

fn answer_from(tables: &RunTables, question: Question) -> Answer {
    answer_within(tables, question, &no_limits())
}

fn answer_within(tables: &RunTables, question: Question, limits: &Limits) -> Answer {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("run");
    let facts = RunFacts {
        home_currency: "EUR".into(),
        settings: [("rate_USD".to_string(), "1.25".to_string())].into(),
        ..RunFacts::default()
    };
    write_run(&out, tables, &facts).unwrap();
    let need = Need::of(&Vocabulary::built_in().unwrap(), &question).unwrap();
    find(&open_run(&out).unwrap(), &need, limits).unwrap()
}

fn starters() -> Question {
    Question {
        words: "212cc pull starter".into(),
        ..Question::default()
    }
}

fn words(words: &str) -> Answer {
    answered(Question {
        words: words.into(),
        ..Question::default()
    })
}

fn number(number: &str) -> Answer {
    answered(Question {
        number: Some(number.into()),
        ..Question::default()
    })
}

fn skus(list: &OfferList) -> Vec<&str> {
    list.shown
        .iter()
        .map(|offered| offered.row.supplier_sku.as_str())
        .collect()
}

fn lead<'a>(answer: &'a Answer, section: &Section) -> &'a str {
    section
        .lead
        .as_ref()
        .map_or("", |lead| answer.groups[lead.group].group_id.as_str())
}
