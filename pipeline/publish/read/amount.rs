//! Amounts of money, and other exact numbers, as they come back from a column of doubles: exact again, since no more than
//! four decimals are published.

use rust_decimal::Decimal;

/// Decimals of a published amount.
const AMOUNT_DECIMALS: u32 = 4;
/// Steps of an amount in one unit of money.
const AMOUNT_STEPS: f64 = 10_000.0;
/// Whole numbers below it are doubles without a gap (2 to the power of 53).
const WHOLE_DOUBLES: f64 = 9_007_199_254_740_992.0;

/// The number of at most four decimals whose nearest double this is.
pub fn exact_number(number: f64) -> Option<Decimal> {
    let steps = (number * AMOUNT_STEPS).round();
    // below that every step is a whole number of its own, and the division gives back the nearest double
    if steps.abs() < WHOLE_DOUBLES && steps / AMOUNT_STEPS == number {
        return Some(Decimal::new(steps as i64, AMOUNT_DECIMALS).normalize());
    }
    amount_by_its_digits(number)
}

fn amount_by_its_digits(number: f64) -> Option<Decimal> {
    let digits = AMOUNT_DECIMALS as usize;
    let amount = format!("{number:.digits$}").parse::<Decimal>().ok()?;
    Some(amount.normalize())
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig { failure_persistence: None, ..Default::default() })]

        #[test]
        fn an_amount_read_in_one_step_is_the_one_that_its_digits_say(steps in -10_000_000_000i64..10_000_000_000, odd: f64) {
            for number in [steps as f64 / 10_000.0, odd, odd % 1e6] {
                proptest::prop_assert_eq!(exact_number(number), amount_by_its_digits(number));
            }
        }
    }

    #[test]
    fn an_amount_of_four_decimals_is_exact() {
        assert_eq!(exact_number(0.1 + 0.2), "0.3".parse().ok());
    }
}
