use super::*;
use compact_str::CompactString;
use rust_decimal::Decimal;

fn amount(text: &str) -> Decimal {
    text.parse().unwrap()
}

#[test]
fn money_keeps_two_to_four_decimals() {
    assert_eq!(money(amount("12.5")), "12.50");
    assert_eq!(money(amount("7")), "7.00");
    assert_eq!(money(amount("0.0425")), "0.0425");
    assert_eq!(money(amount("1.23456")), "1.2346");
    assert_eq!(money(amount("1000000")), "1000000.00");
}

#[test]
fn numbers_print_with_a_fixed_count_of_decimals_and_no_minus_zero() {
    let two = ColumnType::Number { decimals: 2 };
    assert_eq!(printed(Cell::Number(118.0), two), "118.00");
    assert_eq!(printed(Cell::Number(-0.001), two), "0.00");
    assert_eq!(printed(Cell::Number(0.98765), ColumnType::Probability), "0.9877");
}

#[test]
fn empty_text_and_no_number_are_missing() {
    assert_eq!(CompactString::new("").as_cell(), Cell::Missing);
    assert_eq!(f64::NAN.as_cell(), Cell::Missing);
    assert_eq!(None::<u8>.as_cell(), Cell::Missing);
}
