//! A small invented run for the tests of this stage, with hostile wording in it.

use rust_decimal::Decimal;

use super::facts::{Chain, InputFact, RunFacts};
use super::nightly_tables::{ChangeRow, IdRow, PriceRow};
use super::tables::{
    CrossrefRow, GroupRow, LinkRow, ProductRow, RejectRow, ReviewRow, RunTables, SetAsideRow, SupplierRow,
    TrackRecordRow,
};

/// Wording that means harm to a spreadsheet, a page or a terminal, and quoting that means harm to CSV.
pub const HOSTILE: &str =
    "=HYPERLINK(\"http://evil.invalid\",\"x\"),\r\n<img src=x onerror=alert(1)></script>\u{1b}[31m; 'q' & \"\"";

fn price(text: &str) -> Option<Decimal> {
    text.parse().ok()
}

fn offer(line: u32, sku: &str, confidence: f64) -> CrossrefRow {
    CrossrefRow {
        group_id: "G1".into(),
        product_id: "P1".into(),
        part_kind: "recoil-starter".into(),
        family: "common industrial".into(),
        size_class: "small".into(),
        supplier: "north".into(),
        supplier_sku: sku.into(),
        mpn: "007-1200".into(),
        description: "Recoil starter 163-212 cc".into(),
        displacement_cc: "163-212".into(),
        bolt_holes: Some(3),
        bolt_circle_mm: Some(118.0),
        thread: "M6".into(),
        head_af_mm: Some(8.0),
        pack_qty: Some(1),
        unit_price: price("12.5"),
        currency: "EUR".into(),
        landed_price: price("14.9"),
        landed_note: "no duty rate".into(),
        rank_in_group: Some(line),
        confidence,
        product_confidence: 0.9,
        evidence: "displacement 163-212 cc stated in the title: for".into(),
        measure_first: "bolt circle, with callipers".into(),
        source_file: "north.csv".into(),
        source_line: line,
        ..CrossrefRow::default()
    }
}

/// Two lists, one group, one product, two offers, one line set aside, one rejected.
pub fn small_run() -> RunTables {
    let hostile = CrossrefRow {
        description: HOSTILE.into(),
        gtin: "04006381333931".into(),
        ..offer(3, "0012", 0.55)
    };
    RunTables {
        crossref: vec![hostile, offer(2, "+1E5", 0.97)],
        links: vec![link()],
        groups: groups(),
        products: vec![product()],
        set_aside: vec![set_aside()],
        rejects: vec![reject()],
        suppliers: suppliers(),
        track_records: vec![track_record()],
        review: vec![question(0.4, "0012"), question(1.25, "+1E5")],
        ..RunTables::default()
    }
}

/// The two offers, found to be the very same part.
fn link() -> LinkRow {
    LinkRow {
        supplier_a: "north".into(),
        supplier_sku_a: "0012".into(),
        supplier_b: "north".into(),
        supplier_sku_b: "+1E5".into(),
        probability: 0.91,
        wording_bits: Some(2.5),
        source_file_a: "north.csv".into(),
        source_line_a: 3,
        source_file_b: "north.csv".into(),
        source_line_b: 2,
        ..LinkRow::default()
    }
}

fn product() -> ProductRow {
    ProductRow {
        product_id: "P1".into(),
        group_id: "G1".into(),
        part_kind: "recoil-starter".into(),
        offers: 2,
        suppliers: 1,
        confidence: 0.97,
        ..ProductRow::default()
    }
}

fn set_aside() -> SetAsideRow {
    SetAsideRow {
        file: "south.xlsx#Starters".into(),
        line: 2,
        supplier: "south".into(),
        what: "rope".into(),
        description: "@SUM(A1) rope".into(),
        ..SetAsideRow::default()
    }
}

fn reject() -> RejectRow {
    RejectRow {
        file: "north.csv".into(),
        line: Some(4),
        code: "ragged-row".into(),
        message: "found 3 cells, expected 5".into(),
        raw: HOSTILE.into(),
        ..RejectRow::default()
    }
}

fn track_record() -> TrackRecordRow {
    TrackRecordRow {
        supplier: "north".into(),
        attribute: "all".into(),
        checked: 4,
        contradicted: 1,
        share_low: Some(0.0456),
        share: Some(0.25),
        share_high: Some(0.6994),
    }
}

fn question(worth: f64, sku: &str) -> ReviewRow {
    ReviewRow {
        worth,
        asked: "Are these the very same part?".into(),
        this_offer: HOSTILE.into(),
        that: "Recoil starter 163-212 cc".into(),
        probability: 0.6,
        offer_a: format!("north:{sku}"),
        offer_b: "south:7".into(),
        source_file: "north.csv".into(),
        source_line: 3,
        ..ReviewRow::default()
    }
}

/// The same as a night's run after another.
pub fn small_night() -> (RunTables, RunFacts) {
    let mut tables = small_run();
    let change = |change: &str, worth: &str, words: &str| ChangeRow {
        change: change.into(),
        supplier: "north".into(),
        group_id: "G-gone".into(),
        worth: price(worth),
        words: words.into(),
        ..ChangeRow::default()
    };
    tables.changes = vec![
        change("new", "0.4", "a little cheaper"),
        change("gone", "-3.1", HOSTILE),
        change("held", "", "north is held back: 0 lines, the limit is 2"),
    ];
    tables.prices = vec![PriceRow {
        supplier: "north".into(),
        supplier_sku: "0012".into(),
        since: "2026-09-01".into(),
        unit_price: price("12.5"),
        currency: "EUR".into(),
        state: "listed".into(),
        ..PriceRow::default()
    }];
    tables.ids = vec![IdRow {
        date: "2026-09-02".into(),
        names: "group".into(),
        event: "merged".into(),
        id: "G0".into(),
        other_id: "G1".into(),
        offers: 2,
        reason: "most of its offers went there".into(),
    }];
    let facts = RunFacts {
        chain: Chain::Nightly {
            before: Some("2026-09-01".into()),
        },
        ..small_facts()
    };
    (tables, facts)
}

/// Facts to go with it.
pub fn small_facts() -> RunFacts {
    let input = |file: &str, seed| InputFact {
        file: file.into(),
        sha256: [seed; 32],
        bytes: 100,
    };
    RunFacts {
        version: "0.0.0".into(),
        home_currency: "EUR".into(),
        inputs: vec![input("south.xlsx", 7), input("north.csv", 9)],
        ..RunFacts::default()
    }
}

fn groups() -> Vec<GroupRow> {
    vec![GroupRow {
        group_id: "G1".into(),
        name: "Recoil starter, 163-212 cc, 3 x M6 on 118 mm".into(),
        part_kind: "recoil-starter".into(),
        family: "common industrial".into(),
        size_class: "small".into(),
        displacement_cc: "163-212".into(),
        bolt_holes: Some(3),
        bolt_circle_mm: Some(118.0),
        bolt_circle_tolerance_mm: Some(0.6),
        thread: "M6".into(),
        engine_codes: "168F;170F".into(),
        products: 1,
        offers: 2,
        cheapest_landed: price("14.9"),
        cheapest_supplier: "north".into(),
        currency: "EUR".into(),
        confidence: 0.76,
        ..GroupRow::default()
    }]
}

fn suppliers() -> Vec<SupplierRow> {
    vec![
        SupplierRow {
            supplier: "north".into(),
            file: "north.csv".into(),
            read: 4,
            offers: 2,
            rejected: 1,
            layout_header: 1,
            checked_claims: 4,
            contradicted_claims: 1,
            track_record_low: Some(0.4),
            track_record_high: Some(0.95),
            ..SupplierRow::default()
        },
        SupplierRow {
            supplier: "south".into(),
            file: "south.xlsx".into(),
            sheet: "Starters".into(),
            read: 2,
            set_aside: 1,
            layout_header: 1,
            ..SupplierRow::default()
        },
    ]
}
