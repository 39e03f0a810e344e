//! Numbers and barcodes of rows, sentence by sentence. All numbers are invented.

use super::offer::{Flag, NumberRole};
use super::test_rows::*;
use super::text::read_text;
use crate::intake::field::Field;

#[test]
fn numbers_replaced_are_split_and_labelled() {
    let offer = offer(&[
        ("MPN", Field::Mpn, "QB-1042 A"),
        (
            "Replaces",
            Field::Replaces,
            "OEM TV49-417-459, 0K77-123; B-1077/B-1078 | N/A",
        ),
    ]);
    let of = |role: NumberRole| -> Vec<&str> {
        offer
            .numbers
            .iter()
            .filter(|n| n.role == role && n.usable)
            .map(|n| n.canonical.as_str())
            .collect()
    };
    assert_eq!(of(NumberRole::Maker), ["QB1042A"]);
    assert_eq!(of(NumberRole::Replaces).len(), 4, "{:?}", offer.numbers);
    assert!(of(NumberRole::Replaces).contains(&"TV49417459"));
}

#[test]
fn fillers_and_damaged_numbers_are_kept_but_not_usable() {
    for filler in [
        "N/A",
        "-",
        "0",
        "none",
        "0000000000",
        "see notes",
        "keine",
        "brak",
        "无",
        "x",
    ] {
        let offer = offer(&[("MPN", Field::Mpn, filler)]);
        assert!(offer.maker_number().is_none(), "{filler}: {:?}", offer.numbers);
        assert_eq!(offer.numbers[0].raw, filler);
    }
    let damaged = offer(&[("MPN", Field::Mpn, "4.00638E+12")]);
    assert!(damaged.maker_number().is_none());
    assert!(damaged.has(Flag::IdentifierDamaged));
    let quoted = offer(&[("MPN", Field::Mpn, "'0012345")]);
    assert_eq!(
        quoted.maker_number().map(|number| number.canonical.as_str()),
        Some("0012345")
    );
}

#[test]
fn a_barcode_counts_only_with_its_check_digit() {
    // 4006381333931 is valid, 4006381333930 is not (PyPI python-stdnum 2.2 stdnum.ean).
    assert!(offer(&[("EAN", Field::Gtin, "4006381333931")]).gtin().is_some());
    let unsound = offer(&[("EAN", Field::Gtin, "4006381333930")]);
    assert!(unsound.gtin().is_none() && unsound.has(Flag::BarcodeUnsound));
    assert!(offer(&[("EAN", Field::Gtin, "4.00638E+12")]).has(Flag::IdentifierDamaged));
    assert!(offer(&[("EAN", Field::Gtin, "0000000000000")]).gtin().is_none());
}

#[test]
fn numbers_in_titles_are_found_and_labels_give_them_their_role() {
    let numbers = |title: &str| {
        let reading = read_text(vocabulary(), title);
        reading
            .numbers
            .into_iter()
            .map(|n| (n.role, n.canonical.to_string()))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        numbers("Recoil starter 168F RVN-33154"),
        [(NumberRole::InTitle, "RVN33154".to_string())]
    );
    for label in [
        "replaces",
        "OEM",
        "OE ref",
        "ersetzt",
        "remplace",
        "sustituye a",
        "vervangt",
        "zamiennik",
        "sostituisce",
    ] {
        let title = format!("Recoil starter 168F, {label} TV49-417-459");
        assert_eq!(
            numbers(&title),
            [(NumberRole::Replaces, "TV49417459".to_string())],
            "{title}"
        );
    }
    assert!(numbers("Recoil starter 168F-2 163cc 5.5HP M6x12 102mm").is_empty());
}
