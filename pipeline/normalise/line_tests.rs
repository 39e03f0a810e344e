//! What a row becomes, sentence by sentence. All names and numbers are invented.

use super::kind::KindId;
use super::normaliser::Scope;
use super::offer::{Flag, Line, NumberRole, SetAside};
use super::test_rows::*;
use crate::intake::field::Field;
use crate::intake::problem::Problem;
use crate::trade::numerals::Decimals;
use proptest::prelude::*;

#[test]
fn an_offer_keeps_its_place_and_its_own_words() {
    let Line::Offer(offer) = titled("Recoil starter 168F, &Oslash; 6.5 mm holes <b>new</b>") else {
        panic!()
    };
    assert_eq!(
        (&*offer.file, offer.line, &*offer.supplier),
        ("lists/quillbrook.csv", 7, "quillbrook")
    );
    assert_eq!(offer.sku, "A-1");
    assert_eq!(offer.title, "Recoil starter 168F, Ø 6.5 mm holes  new");
}

#[test]
fn a_rope_is_set_aside_with_its_name() {
    let Line::SetAside(SetAside { what, probability, .. }) = titled("Starterseil 4 mm x 2 m") else {
        panic!()
    };
    assert_eq!(what, "rope");
    assert!(probability > 0.95);
}

#[test]
fn a_row_that_names_nothing_is_rejected_with_its_raw_text() {
    let row = [
        ("SKU", Field::Sku, "-"),
        ("Title", Field::Title, ""),
        ("Price", Field::Price, "9.90"),
    ];
    let Line::Reject(reject) = line_in(Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!((reject.problem, reject.line), (Problem::NoPartNamed, 7));
    assert_eq!(reject.raw, "-\t\t9.90");
}

#[test]
fn a_row_overwritten_by_a_spreadsheet_is_rejected_by_column() {
    let row = [("SKU", Field::Sku, "#REF!"), ("Title", Field::Title, "#N/A")];
    let Line::Reject(reject) = line_in(Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!((reject.problem, reject.column), (Problem::SpreadsheetDamage, Some(1)));
}

#[test]
fn a_row_with_a_number_alone_is_kept_but_unclear() {
    let row = [("SKU", Field::Sku, "QB-1042"), ("Price", Field::Price, "9.90")];
    let Line::SetAside(aside) = line_in(Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!(aside.what, "unclear");
}

#[test]
fn in_a_generic_build_every_sound_row_is_an_offer() {
    let row = [
        ("SKU", Field::Sku, "7"),
        ("Title", Field::Title, "Starterseil TX-40012B 2 pcs"),
        ("Price", Field::Price, "$9.90"),
    ];
    let Line::Offer(offer) = line_in(Scope::Generic, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!(offer.kind.kind, KindId::GENERIC);
    assert!(offer.claims.is_empty());
    assert!(
        offer
            .numbers
            .iter()
            .any(|number| number.role == NumberRole::InTitle && number.canonical == "TX40012B")
    );
}

#[test]
fn category_and_title_are_both_evidence() {
    let of = |category: &str, title: &str| {
        line_in(
            Scope::Fit,
            Decimals::Point,
            &[("Group", Field::Category, category), ("Title", Field::Title, title)],
        )
    };
    let Line::Offer(sure) = of("Recoil starters", "Starter 168F") else {
        panic!()
    };
    assert!(sure.kind.probability > 0.9, "{:?}", sure.kind);
    let Line::SetAside(motor) = of("Electric starter motors", "Starter 168F") else {
        panic!()
    };
    assert_eq!(motor.what, "starter-motor");
    let Line::SetAside(rope) = of("Recoil starters", "Starter rope 4 mm") else {
        panic!()
    };
    assert_eq!(rope.what, "rope");
    let Line::Offer(doubtful) = of("Electric starter motors", "Recoil starter 168F") else {
        panic!()
    };
    assert!(doubtful.has(Flag::KindsDisagree));
    let Line::Offer(both) = of("Starters with shroud", "Recoil starter with fan shroud 168F") else {
        panic!()
    };
    assert!(!both.has(Flag::KindsDisagree));
    assert!(doubtful.kind.probability < 0.99, "{:?}", doubtful.kind);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn any_row_becomes_exactly_one_line(cells in proptest::collection::vec("\\PC{0,40}", 9)) {
        let fields = [Field::Sku, Field::Title, Field::Mpn, Field::Replaces, Field::Gtin, Field::Fits, Field::BoltSpacing, Field::Fastener, Field::Price];
        let row: Vec<(&str, Field, &str)> = fields.iter().zip(&cells).map(|(field, cell)| ("", *field, cell.as_str())).collect();
        for scope in [Scope::Fit, Scope::Generic] {
            match line_in(scope, Decimals::Unsure, &row) {
                Line::Offer(offer) => prop_assert!(offer.kind.kind.is_in_scope()),
                Line::SetAside(aside) => prop_assert!((0.0..=1.0).contains(&aside.probability)),
                Line::Reject(reject) => prop_assert_eq!(reject.line, 7),
            }
        }
    }
}
