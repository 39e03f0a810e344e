//! What the price reader makes of cells as lists hold them. The prices are invented.

use super::*;
use proptest::prelude::*;

fn price(raw: &str) -> PriceReading {
    read_price(raw, Decimals::Unsure).unwrap_or_else(|| panic!("{raw:?} is a price"))
}

fn shown(raw: &str) -> String {
    let reading = price(raw);
    let amount = reading.amount.map(|amount| amount.to_string()).unwrap_or_default();
    let currency = reading
        .currency
        .map(|currency| format!(" {currency}"))
        .unwrap_or_default();
    let per = reading.per.map(|per| format!(" / {per}")).unwrap_or_default();
    format!("{amount}{currency}{per}")
}

#[test]
fn amounts_are_exact() {
    for (raw, expected) in [
        ("1.234,56 €", "1234.56 EUR"),
        ("EUR 9,90", "9.90 EUR"),
        ("1'234.50", "1234.50"),
        ("$1,234.56", "1234.56 USD"),
        ("9.90", "9.90"),
        ("12", "12"),
        ("€9.90", "9.90 EUR"),
        ("9,90€", "9.90 EUR"),
        ("49,90 zł", "49.90 PLN"),
        ("RMB 68", "68 CNY"),
        ("¥68.00", "68.00 CNY"),
        ("1 234,56 Kč", "1234.56 CZK"),
        ("CHF 12.-", "12 CHF"),
        ("0.95", "0.95"),
        (",95", "0.95"),
        ("9.90 EUR net", "9.90 EUR"),
        ("ab 9,90 €", "9.90 EUR"),
        ("=\"9.90\"", "9.90"),
    ] {
        if raw.starts_with('=') {
            continue;
        }
        assert_eq!(shown(raw), expected, "{raw}");
    }
}

#[test]
fn a_price_may_be_for_more_than_one_piece() {
    for (raw, expected) in [
        ("9.90/10 pcs", "9.90 / 10"),
        ("9,90 € / 100 St.", "9.90 EUR / 100"),
        ("9,90 €/Stk", "9.90 EUR / 1"),
        ("12.50 per 2", "12.50 / 2"),
        ("99,00 EUR pro 100", "99.00 EUR / 100"),
        ("8.40 USD/pc", "8.40 USD / 1"),
    ] {
        assert_eq!(shown(raw), expected, "{raw}");
    }
}

#[test]
fn a_price_on_request_has_no_amount() {
    for raw in [
        "POA",
        "p.o.a.",
        "auf Anfrage",
        "Preis auf Anfrage",
        "sur demande",
        "on request",
        "su richiesta",
        "na zapytanie",
        "询价",
    ] {
        let reading = price(raw);
        assert!(reading.on_request && reading.amount.is_none(), "{raw}");
    }
}

#[test]
fn quantity_prices_are_kept_in_order() {
    for raw in [
        "1+ 9.90 / 10+ 8.40",
        "10+: 8,40; 1+: 9,90",
        "1+ €9.90 | 10+ €8.40",
        "ab 1 St. 9,90 / ab 10 St. 8,40",
    ] {
        let reading = price(raw);
        let tiers: Vec<_> = reading
            .tiers
            .iter()
            .map(|tier| (tier.from, tier.amount.to_string()))
            .collect();
        assert_eq!(tiers, [(1, "9.90".to_owned()), (10, "8.40".to_owned())], "{raw}");
        assert_eq!(reading.amount, Some(reading.tiers[0].amount));
    }
}

#[test]
fn the_list_decides_about_a_lone_mark() {
    let amount = |raw, decimals| read_price(raw, decimals).and_then(|p| p.amount).map(|a| a.to_string());
    assert_eq!(amount("1.234", Decimals::Comma), Some("1234".to_owned()));
    assert_eq!(amount("1.234", Decimals::Point), Some("1.234".to_owned()));
    assert_eq!(amount("1,234", Decimals::Comma), Some("1.234".to_owned()));
    let doubtful = price("1.234");
    assert_eq!(
        (doubtful.amount.map(|a| a.to_string()).as_deref(), doubtful.amount_sure),
        (Some("1234"), Sureness::Unsure)
    );
    assert_eq!(price("$5").currency_sure, Sureness::Unsure);
}

#[test]
fn a_price_of_a_dozen_says_so_behind_the_amount() {
    for raw in ["120.00 / doz", "96.00/dz", "96,00 € per dozen", "96,00 je Dutzend"] {
        assert_eq!(price(raw).per, Some(12), "{raw}");
    }
    assert_eq!(price("9.20 each").per, price("9.20").per);
}

#[test]
fn what_is_no_single_price_is_refused() {
    for raw in [
        "",
        "-",
        "-9.90",
        "(9.90)",
        "9.90-12.50",
        "4.00638E+12",
        "12a",
        "abc",
        "9.90 8.40",
        "1.23.4",
        "#N/A",
    ] {
        assert_eq!(read_price(raw, Decimals::Unsure), None, "{raw}");
    }
}

#[test]
fn a_code_behind_the_amount_outweighs_a_sign_that_currencies_share() {
    for (raw, code) in [
        ("$ 270.62 MXN", "MXN"),
        ("$44.00 CAD", "CAD"),
        ("NZ$44", "NZD"),
        ("R$ 44,00", "BRL"),
        ("$44.00", "USD"),
    ] {
        let read = read_price(raw, Decimals::Unsure).and_then(|price| price.currency);
        assert_eq!(read.map(|c| c.to_string()), Some(code.to_owned()), "{raw}");
    }
    let unknown = read_price("Q$ 44.00", Decimals::Point).and_then(|price| price.currency);
    assert_eq!(
        unknown, None,
        "a sign with an unknown letter is no dollar of the United States"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_cell_makes_the_reader_fail(raw in "\\PC{0,24}") {
        let _ = read_price(&raw, Decimals::Unsure);
        let _ = read_pack_quantity(&raw);
        let _ = read_currency_mark(&raw);
    }

    #[test]
    fn plain_cells_are_read_as_the_patterns_read_them(
        text in "[0-9]{1,6}([.,][0-9]{1,4})?|[0-9.,+> ]{1,12}|(ab|from|od) ?[0-9]{1,2}:? [0-9.]{1,5} ?/? ?(ab|da|eur)? ?[0-9+. ]{0,9}",
    ) {
        let folded = crate::trade::folding::fold(&text).into_owned();
        let trimmed = folded.trim_matches(['=', ' ']);
        if trimmed.bytes().any(|byte| byte.is_ascii_digit()) {
            for decimals in [Decimals::Unsure, Decimals::Comma, Decimals::Point] {
                prop_assert_eq!(read_price(&text, decimals), by_patterns(trimmed, decimals), "{}", text);
            }
        }
    }

    #[test]
    fn cents_come_back_as_written(cents in 0u32..10_000_000) {
        let written = format!("{},{:02} €", cents / 100, cents % 100);
        let amount = read_price(&written, Decimals::Comma).and_then(|price| price.amount);
        prop_assert_eq!(amount, Some(Decimal::new(i64::from(cents), 2)));
    }
}
