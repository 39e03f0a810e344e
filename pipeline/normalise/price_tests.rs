//! Prices and weights of rows, cell by cell. All numbers are invented.

use super::normaliser::Scope;
use super::offer::{Flag, Line};
use super::test_rows::*;
use crate::intake::field::Field;
use crate::intake::statements::Statements;
use crate::trade::numerals::Decimals;

#[test]
fn a_price_is_exact_and_knows_its_currency() {
    let comma = offer_with(Decimals::Comma, &[("VK netto EUR", Field::Price, "1.234,56")]);
    let price = comma.price.unwrap();
    assert_eq!(price.amount, decimal("1234.56"));
    assert_eq!(
        price.currency.map(|currency| currency.to_string()).as_deref(),
        Some("EUR")
    );
    let pounds = offer(&[("Price", Field::Price, "£15.15")]).price.unwrap();
    assert_eq!(
        pounds.currency.map(|currency| currency.to_string()).as_deref(),
        Some("GBP")
    );
    let column = offer(&[("Price", Field::Price, "12.00"), ("Currency", Field::Currency, "PLN")])
        .price
        .unwrap();
    assert_eq!(
        column.currency.map(|currency| currency.to_string()).as_deref(),
        Some("PLN")
    );
    assert!(offer(&[("Price", Field::Price, "12.00")]).has(Flag::CurrencyUnknown));
}

/// Unit price, remark and smallest order of a pack of ten, under what its list states and its other cells.
fn pack_of_ten(stated: Statements, cells: &[(&str, Field, &str)]) -> (rust_decimal::Decimal, bool, Option<u32>) {
    let mut row = vec![
        ("Title", Field::Title, "Recoil starter 168F pack of 10"),
        ("Price USD", Field::Price, "100.00"),
    ];
    row.retain(|cell| cells.iter().all(|other| other.1 != cell.1));
    row.extend_from_slice(cells);
    let Line::Offer(offer) = line_stating(stated, Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!(offer.pack_qty, 10);
    let unsure = offer.has(Flag::PackPriceUnsure);
    let price = offer.price.unwrap();
    (price.unit_price, unsure, price.minimum_order)
}

fn stating_per(per: u32) -> Statements {
    Statements {
        per: Some(per),
        ..Statements::default()
    }
}

#[test]
fn a_pack_price_is_divided_where_something_says_that_it_is_one() {
    let unsaid = Statements::default;
    for cells in [
        [("Pack qty", Field::PackQuantity, "10")],
        [("U/M", Field::UnitOfMeasure, "PK")],
        [("U/M", Field::UnitOfMeasure, "set of 10")],
        [("Price USD per pack", Field::Price, "100.00")],
        [("Price USD", Field::Price, "100.00/10 pcs")],
        [("Basis", Field::PriceBasis, "per pack")],
    ] {
        assert_eq!(pack_of_ten(unsaid(), &cells), (decimal("10"), false, None), "{cells:?}");
    }
}

#[test]
fn a_price_that_is_said_to_be_one_of_the_piece_is_not_divided_and_orders_go_by_the_pack() {
    for cells in [
        [("Unit price USD each", Field::Price, "100.00")],
        [("Basis", Field::PriceBasis, "per piece")],
    ] {
        let read = pack_of_ten(Statements::default(), &cells);
        assert_eq!(read, (decimal("100.00"), false, Some(10)), "{cells:?}");
    }
    // "Preise je Stück" above the table.
    assert_eq!(
        pack_of_ten(stating_per(1), &[("Pack qty", Field::PackQuantity, "10")]),
        (decimal("100.00"), false, Some(10))
    );
    assert_eq!(pack_of_ten(stating_per(100), &[]).0, decimal("1"));
}

#[test]
fn a_price_of_a_hundred_a_dozen_or_ten_is_divided_once() {
    let unit = |stated: Statements, cells: &[(&str, Field, &str)]| {
        let mut row = vec![("Title", Field::Title, "Recoil starter 168F")];
        row.extend_from_slice(cells);
        let Line::Offer(offer) = line_stating(stated, Scope::Fit, Decimals::Point, &row) else {
            panic!()
        };
        offer.price.unwrap().unit_price
    };
    for (heading, cell, each) in [
        ("Price EUR / 100", "820.00", "8.2"),
        ("Preis je 100 Stück EUR", "820.00", "8.2"),
        ("Preis je 10 Stk / Price per 10 pcs", "82.00", "8.2"),
        ("Price per dozen EUR", "120.00", "10"),
        ("Düzine Fiyatı / Price per dozen", "120.00", "10"),
        ("Price per 7 EUR", "82.00", "82.00"),
        ("Price per piece EUR", "8.20", "8.20"),
    ] {
        let price = (heading, Field::Price, cell);
        assert_eq!(unit(Statements::default(), &[price]), decimal(each), "{heading}");
        // the text above the table and a column that say the same do not divide it again
        if heading.contains("100") {
            let beside = ("Preiseinheit", Field::PriceBasis, "100");
            assert_eq!(unit(stating_per(100), &[price, beside]), decimal(each), "{heading}");
        }
    }
    for (cell, each) in [
        ("100", "8.2"),
        ("1", "820.00"),
        ("per 100", "8.2"),
        ("1000", "0.82"),
        ("37", "820.00"),
    ] {
        let cells = [("Price EUR", Field::Price, "820.00"), ("Per", Field::PriceBasis, cell)];
        assert_eq!(unit(Statements::default(), &cells), decimal(each), "{cell}");
    }
    for (unit_of_measure, each) in [("DZ", "10"), ("DOZ", "10"), ("EA", "120.00")] {
        let cells = [
            ("U/M", Field::UnitOfMeasure, unit_of_measure),
            ("Price EUR", Field::Price, "120.00"),
        ];
        assert_eq!(unit(Statements::default(), &cells), decimal(each), "{unit_of_measure}");
        // "prices per piece" above the table
        assert_eq!(unit(stating_per(1), &cells), decimal("120.00"), "{unit_of_measure}");
    }
    let dozen = [
        ("Price EUR", Field::Price, "120.00"),
        ("Per", Field::PriceBasis, "dozen"),
    ];
    assert_eq!(unit(Statements::default(), &dozen), decimal("10"));
}

#[test]
fn a_pack_price_that_could_be_one_of_the_piece_makes_nothing_look_cheaper_and_is_remarked_upon() {
    let unsaid = Statements::default;
    assert_eq!(pack_of_ten(unsaid(), &[]), (decimal("100.00"), true, None));
    // An order multiple says what may be ordered, not what the price buys.
    let multiple = pack_of_ten(unsaid(), &[("VPE", Field::PackQuantity, "10")]);
    assert_eq!(multiple, (decimal("100.00"), true, Some(10)));
    // "Price list 9/2026" is no number of pieces.
    assert_eq!(pack_of_ten(stating_per(2026), &[]), (decimal("100.00"), true, None));
}

#[test]
fn a_pack_column_alone_does_not_divide_either() {
    let offer = offer(&[
        ("Price USD", Field::Price, "21.00"),
        ("Pack qty", Field::PackQuantity, "2"),
    ]);
    assert!(offer.has(Flag::PackPriceUnsure));
    assert_eq!(offer.price.unwrap().unit_price, decimal("21.00"));
}

#[test]
fn a_currency_stated_above_the_table_is_that_of_every_price() {
    let stated = Statements {
        currency: crate::trade::money::read_currency("PLN"),
        ..Statements::default()
    };
    let currency = |heading: &str| {
        let row = [
            ("Title", Field::Title, "Szarpak 168F"),
            (heading, Field::Price, "52,16"),
        ];
        let Line::Offer(offer) = line_stating(stated.clone(), Scope::Fit, Decimals::Comma, &row) else {
            panic!()
        };
        offer.price.unwrap().currency.unwrap().to_string()
    };
    assert_eq!(currency("Cena netto"), "PLN");
    assert_eq!(currency("Cena EUR"), "EUR");
}

#[test]
fn a_row_priced_in_the_other_currency_alone_keeps_that_price() {
    let of = |usd: &str, eur: &str| {
        let price = offer(&[("Price USD", Field::Price, usd), ("Price EUR", Field::Price, eur)])
            .price
            .unwrap();
        (price.amount, price.currency.unwrap().to_string())
    };
    assert_eq!(of("8.80", "8.00"), (decimal("8.80"), "USD".to_string()));
    assert_eq!(of("", "7.00"), (decimal("7.00"), "EUR".to_string()));
}

#[test]
fn an_order_multiple_is_no_pack_unless_the_price_is_one_per_multiple() {
    let multiple = offer_with(
        Decimals::Comma,
        &[("VK EUR", Field::Price, "7,52"), ("VPE", Field::PackQuantity, "5")],
    );
    assert_eq!(multiple.pack_qty, 1);
    let price = multiple.price.unwrap();
    assert_eq!((price.unit_price, price.minimum_order), (decimal("7.52"), Some(5)));
    let pack = offer_with(
        Decimals::Comma,
        &[
            ("Preis pro VPE EUR", Field::Price, "7,50"),
            ("VPE", Field::PackQuantity, "5"),
        ],
    );
    assert_eq!(pack.price.unwrap().unit_price, decimal("1.5"));
}

#[test]
fn quantity_prices_become_breaks() {
    let tiers = offer(&[
        ("Price USD", Field::Price, "9.90"),
        ("Price USD 10+", Field::Price, "8.40"),
        ("Price from 50", Field::QuantityBreak, "7.90"),
    ]);
    let price = tiers.price.unwrap();
    let breaks: Vec<_> = price
        .breaks
        .iter()
        .map(|price_break| (price_break.from, price_break.unit_price))
        .collect();
    assert_eq!(breaks, [(10, decimal("8.40")), (50, decimal("7.90"))]);
}

#[test]
fn a_price_that_cannot_be_read_is_a_remark() {
    assert!(offer(&[("Price", Field::Price, "")]).has(Flag::PriceMissing));
    assert!(offer(&[("Price", Field::Price, "call us maybe?!")]).price.is_none());
    assert!(offer(&[("Price", Field::Price, "on request")]).has(Flag::PriceOnRequest));
    assert!(offer(&[("Price USD", Field::Price, "0.00")]).has(Flag::PriceZero));
}

#[test]
fn a_weight_is_read_in_grams() {
    let offer = offer_with(Decimals::Comma, &[("Gewicht kg", Field::Weight, "0,67")]);
    assert_eq!(offer.terms.unwrap().weight_g, Some(decimal("670")));
}
