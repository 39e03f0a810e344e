//! The explanations of `samefit explain` for the lines of a run, as pages for people.

use super::explain::Told;
use super::explain_reading::write_reading;
use super::page::{Page, Side, cut};
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::column::money;
use crate::publish::{CrossrefRow, LinkRow, RejectRow, SetAsideRow};
use crate::shop::why;

/// Other offers of a product listed before the rest is only counted.
const MOST_MATES: usize = 12;

/// One offer of a run.
pub fn of_offer(vocabulary: &Vocabulary, told: &Told) -> String {
    let mut page = Page::default();
    let (dossier, row) = (&told.dossier, &told.dossier.row);
    page.sentence(0, &heading(row));
    page.sentence(2, &row.description);
    page.gap();
    page.line("Its wording, read again");
    write_reading(&mut page, vocabulary, &told.reading);
    let columns = stated_in_columns(row);
    if !columns.is_empty() {
        page.sentence(
            0,
            &format!("Published of the line, columns included: {}", columns.join("; ")),
        );
    }
    page.gap();
    match &dossier.group {
        Some(group) => page.sentence(0, &format!("Fit group {}: {}", group.group_id, group.name)),
        None => page.line("Fit group: none"),
    }
    page.sentence(
        2,
        &format!(
            "confidence {:.4}; of its product {:.4}",
            row.confidence, row.product_confidence
        ),
    );
    let rank = row.rank_in_group.map_or("no delivered price".into(), |rank| {
        format!("number {rank} of its group by delivered price")
    });
    page.sentence(2, &rank);
    if let Some((price, _)) = &told.price {
        page.sentence(2, &format!("price: {price}"));
    }
    if !row.landed_note.is_empty() {
        page.sentence(2, &format!("not in the price, or to know of it: {}", row.landed_note));
    }
    if !row.measure_first.is_empty() {
        page.sentence(2, &format!("measure first: {}", row.measure_first));
    }
    write_evidence(&mut page, row);
    write_mates(&mut page, row, &dossier.mates);
    write_rivals(&mut page, &dossier.rivals);
    page.finish()
}

pub(super) fn heading(row: &CrossrefRow) -> String {
    format!(
        "{}:{}  ({}:{})",
        row.supplier, row.supplier_sku, row.source_file, row.source_line
    )
}

/// An offer as `--with` takes it: by its supplier's number, or by its line when it has none.
pub(super) fn named(supplier: &str, sku: &str, file: &str, line: u32) -> String {
    if sku.is_empty() {
        format!("{file}:{line}")
    } else {
        format!("{supplier}:{sku}")
    }
}

fn stated_in_columns(row: &CrossrefRow) -> Vec<String> {
    let mut facts: Vec<String> = Vec::new();
    let mut text = |what: &str, value: &str, unit: &str| {
        if !value.is_empty() {
            facts.push(format!("{what} {value}{unit}"));
        }
    };
    text("brand", &row.brand, "");
    text("maker's number", &row.mpn, "");
    text("barcode", &row.gtin, "");
    text("displacement", &row.displacement_cc, " cc");
    text(
        "holes",
        &row.bolt_holes.map(|count| count.to_string()).unwrap_or_default(),
        "",
    );
    text(
        "bolt circle",
        &row.bolt_circle_mm.map(|mm| format!("{mm:.2}")).unwrap_or_default(),
        " mm",
    );
    text("thread", &row.thread, "");
    text(
        "head",
        &row.head_af_mm.map(|mm| format!("{mm:.1}")).unwrap_or_default(),
        " mm across flats",
    );
    text(
        "unit price",
        &row.unit_price.map(money).unwrap_or_default(),
        &format!(" {}", row.currency),
    );
    text("delivered", &row.landed_price.map(money).unwrap_or_default(), "");
    facts
}

fn write_evidence(page: &mut Page, row: &CrossrefRow) {
    let items = why::items(&row.evidence);
    if items.is_empty() {
        return;
    }
    page.line("Evidence (above zero speaks for the group, below against; +2.3 is ten to one):");
    for item in items {
        match item.weight {
            Some(weight) => page.item(2, &format!("{weight:+5.1}"), item.words),
            None => page.item(2, "     ", item.words),
        }
    }
}

fn write_mates(page: &mut Page, row: &CrossrefRow, mates: &[CrossrefRow]) {
    page.gap();
    if mates.is_empty() {
        page.sentence(0, &format!("Product {}: no other offer", row.product_id));
        return;
    }
    let count = if mates.len() == 1 {
        "1 other offer".to_string()
    } else {
        format!("{} other offers", mates.len())
    };
    page.sentence(0, &format!("Product {}: {count} of the very same part", row.product_id));
    let headings = [("sure", Side::Right), ("offer", Side::Left), ("wording", Side::Left)];
    let rows: Vec<Vec<String>> = mates
        .iter()
        .take(MOST_MATES)
        .map(|mate| {
            let name = named(&mate.supplier, &mate.supplier_sku, &mate.source_file, mate.source_line);
            vec![
                format!("{:.2}", mate.product_confidence),
                cut(&name, 30),
                cut(&mate.description, 40),
            ]
        })
        .collect();
    page.table(2, &headings, &rows);
    if mates.len() > MOST_MATES {
        page.sentence(2, &format!("and {} more", mates.len() - MOST_MATES));
    }
}

fn write_rivals(page: &mut Page, rivals: &[LinkRow]) {
    page.gap();
    if rivals.is_empty() {
        page.line("No offer came near without being joined");
        return;
    }
    page.line("Came near and were not joined:");
    for rival in rivals {
        let name = named(
            &rival.supplier_b,
            &rival.supplier_sku_b,
            &rival.source_file_b,
            rival.source_line_b,
        );
        page.sentence(2, &format!("{:.2}  {name}  {}", rival.probability, rival.outcome));
        page.sentence(8, &bits(rival));
    }
}

fn bits(link: &LinkRow) -> String {
    let parts = [
        ("identifiers", link.identifiers_bits),
        ("wording", link.wording_bits),
        ("claims", link.claims_bits),
        ("price", link.price_bits),
        ("rivals", link.rivals_bits),
    ];
    let shown: Vec<String> = parts
        .iter()
        .filter_map(|(name, bits)| Some(format!("{name} {:+.1}", (*bits)?)))
        .collect();
    format!("evidence in bits: {}", shown.join(", "))
}

/// Lines that are not a part kind in scope.
pub fn of_set_aside(rows: &[SetAsideRow]) -> String {
    let mut page = Page::default();
    for row in rows {
        page.sentence(
            0,
            &format!("{}:{}  ({}:{})", row.supplier, row.supplier_sku, row.file, row.line),
        );
        page.sentence(2, &row.description);
        page.sentence(2, &format!("set aside: a {}; {}", row.what, row.reason));
    }
    page.finish()
}

/// Lines that could not be read.
pub fn of_rejects(rows: &[RejectRow]) -> String {
    let mut page = Page::default();
    for row in rows {
        let line = row.line.map_or(String::new(), |line| format!(":{line}"));
        page.sentence(0, &format!("{}{line}  rejected: {}", row.file, row.code));
        page.sentence(2, &row.message);
        page.sentence(2, &format!("hint: {}", row.hint));
        page.sentence(2, &row.raw);
    }
    page.finish()
}
