//! How a cell prints: decimals, rounding, and amounts of money.

use super::columns::{Cell, ColumnType};
use rust_decimal::Decimal;
use std::borrow::Cow;
use std::fmt::Write as _;

/// Decimals kept of an amount of money: a hundredth of the smallest coin of most currencies, enough
/// for the price of one piece out of a pack.
pub const MONEY_DECIMALS: u32 = 4;

/// A cell as it stands in a CSV file; nothing for a missing one.
pub fn printed(cell: Cell<'_>, of_type: ColumnType) -> Cow<'_, str> {
    match cell {
        Cell::Missing => Cow::Borrowed(""),
        Cell::Text(text) => Cow::Borrowed(text),
        _ => {
            let mut text = String::new();
            print(&mut text, cell, of_type);
            Cow::Owned(text)
        }
    }
}

/// Writes a cell as [`printed`] behind a text that the caller uses again and again.
pub fn print(text: &mut String, cell: Cell<'_>, of_type: ColumnType) {
    // writing to a string cannot fail
    let _ = match cell {
        Cell::Missing => Ok(()),
        Cell::Text(words) => text.write_str(words),
        Cell::Whole(whole) => write!(text, "{whole}"),
        Cell::Number(number) => {
            let decimals = decimals(of_type);
            write!(text, "{:.decimals$}", rounded(number, decimals))
        }
        Cell::Money(amount) => write!(text, "{}", two_to_four_decimals(amount)),
    };
}

/// Decimals printed of a number in a column of that type.
pub fn decimals(of_type: ColumnType) -> usize {
    match of_type {
        ColumnType::Number { decimals } => usize::from(decimals),
        ColumnType::Probability => 4,
        ColumnType::Text | ColumnType::Whole | ColumnType::Money => 0,
    }
}

/// A number rounded to what is printed of it, so that every file says the same. Never minus zero.
pub fn rounded(number: f64, decimals: usize) -> f64 {
    let scale = 10f64.powi(i32::try_from(decimals).unwrap_or(0));
    (number * scale).round() / scale + 0.0
}

/// An amount with two decimals, or up to four where it has them: `12.50`, `0.0425`.
pub fn money(amount: Decimal) -> String {
    two_to_four_decimals(amount).to_string()
}

fn two_to_four_decimals(amount: Decimal) -> Decimal {
    let mut amount = settled(amount).normalize();
    if amount.scale() < 2 {
        amount.rescale(2);
    }
    amount
}

/// An amount rounded to [`MONEY_DECIMALS`], half to even.
pub fn settled(amount: Decimal) -> Decimal {
    amount.round_dp(MONEY_DECIMALS)
}
