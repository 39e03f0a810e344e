//! Numbers behind labels and numbers written in groups, sentence by sentence. All names and numbers are invented.

use super::claim::Attribute;
use super::offer::NumberRole;
use super::test_rows::*;
use super::text::read_text;
use crate::intake::field::Field;

fn numbers(title: &str, role: NumberRole) -> Vec<String> {
    let numbers = read_text(vocabulary(), title).numbers;
    let of = numbers.iter().filter(|number| number.role == role);
    of.map(|number| number.canonical.to_string()).collect()
}

#[test]
fn a_maker_before_a_number_does_not_end_the_list_of_a_label() {
    for title in [
        "Recoil starter, replaces OEM Varnello 72747-T33-116 / SGX42529",
        "Recoil starter x-ref 72747-T33-116, Corvale SGX42529, red",
        "Arrancador equivale a 72747-T33-116, SGX42529",
        "Lanceur réf. d'origine Varnello 72747-T33-116 / Varnello SGX42529",
        "Seilzugstarter passend statt 72747-T33-116, SGX42529",
        "Seilzugstarter Vergleichsnr. Varnello 72747-T33-116 / SGX42529",
    ] {
        let replaced = numbers(title, NumberRole::Replaces);
        assert_eq!(replaced, ["72747T33116", "SGX42529"], "{title}");
    }
    // the part's own number behind the list
    for title in [
        "Recoil starter OE SGX42529 - Corvale 72747-T33",
        "Recoil starter OE SGX42529 Corvale 72747-T33",
        "Corvale recoil starter, OE SGX42529, Corvale 72747-T33",
    ] {
        assert_eq!(numbers(title, NumberRole::Replaces), ["SGX42529"], "{title}");
        assert_eq!(numbers(title, NumberRole::InTitle), ["72747T33"], "{title}");
    }
    let ended = numbers("Recoil starter OE 755762 black 803240", NumberRole::Replaces);
    assert_eq!(ended, ["755762"]);
}

#[test]
fn a_number_behind_a_label_is_no_engine() {
    for title in [
        "Recoil starter replaces OEM RK-1124-72",
        "Lanceur remplace réf. RK-1124-72",
        "Seilzugstarter ersetzt RK-1124-72",
    ] {
        assert_eq!(numbers(title, NumberRole::Replaces), ["RK112472"], "{title}");
        assert!(words(title, Attribute::EngineCode).is_empty(), "{title}");
    }
    // a code as short as an engine's stays one
    assert_eq!(
        words("Recoil starter replacement for KR200", Attribute::EngineCode),
        ["KR200"]
    );
}

#[test]
fn numbers_written_in_groups_are_read_whole() {
    assert_eq!(
        numbers("Recoil starter OE 26 474 60-S, red", NumberRole::Replaces),
        ["2647460S"]
    );
    assert_eq!(numbers("Recoil starter 26 474 60-S", NumberRole::InTitle), ["2647460S"]);
    assert_eq!(
        numbers("Recoil starter LS 5268 G, 3 hole", NumberRole::InTitle),
        ["LS5268G"]
    );
    for title in [
        "Recoil starter 118 196 212 cc",
        "Recoil starter GW 5268 g",
        "Recoil starter 163 196 cc",
        "Recoil starter 98 163 196 212",
        "Recoil starter gen 3000 W",
    ] {
        assert!(numbers(title, NumberRole::InTitle).is_empty(), "{title}");
    }
}

#[test]
fn a_part_number_before_an_amount_is_not_swallowed() {
    assert_eq!(numbers("Recoil starter 943760, 200cc", NumberRole::InTitle), ["943760"]);
}

#[test]
fn a_slash_inside_a_number_belongs_to_it() {
    let makers = |cell: &str| -> Vec<String> {
        let offer = offer(&[("MPN", Field::Mpn, cell)]);
        offer
            .numbers
            .iter()
            .map(|number| number.canonical.to_string())
            .collect()
    };
    assert_eq!(makers("ZP694/20-OR"), ["ZP694200R"]);
    assert_eq!(makers("A-1042/B-1077"), ["A1042", "B1077"]);
    assert_eq!(makers("ZP694 / 20-OR"), ["ZP694", "200R"]);
    assert_eq!(makers("K694/K720"), ["K694", "K720"]);
}

#[test]
fn a_colour_of_its_own_column_is_claimed() {
    let offer = offer(&[("Farbe", Field::Colour, "schwarz")]);
    let colours = values(&offer, Attribute::Colour, Field::Colour);
    assert_eq!(colours, [super::claim::Value::Word("black".into())]);
}

#[test]
fn a_bare_number_of_a_column_of_screws_gives_way_to_a_stated_thread() {
    let threads = |title: &str| {
        let cells = [("Fixings", Field::Fastener, "5"), ("Title", Field::Title, title)];
        match line_in(
            super::normaliser::Scope::Fit,
            crate::trade::numerals::Decimals::Point,
            &cells,
        ) {
            super::offer::Line::Offer(offer) => values(&offer, Attribute::Thread, Field::Fastener).len(),
            other => panic!("no offer: {other:?}"),
        }
    };
    assert_eq!(threads("Recoil starter M8"), 0);
    assert_eq!(threads("Recoil starter"), 1);
}
