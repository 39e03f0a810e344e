//! From log odds to probabilities, and the shift of log odds under which these come to a sum.

/// The probability of log odds.
pub(super) fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// The shift in [-bound, bound] under which a sum of probabilities that rises with it comes to what is wanted, found by
/// halving so many times.
pub(super) fn shift_to(wanted: f64, bound: f64, halvings: usize, sum: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (-bound, bound);
    for _ in 0..halvings {
        let middle = (low + high) / 2.0;
        if sum(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shift_brings_probabilities_to_the_sum_wanted_and_no_further_than_its_bound() {
        let odds = [-2.0, 0.0, 1.0];
        let sum = |shift: f64| odds.iter().map(|o| logistic(o + shift)).sum::<f64>();
        assert!((sum(shift_to(2.0, 20.0, 40, sum)) - 2.0).abs() < 1e-6);
        assert!((shift_to(3.0, 5.0, 40, sum) - 5.0).abs() < 1e-6);
    }
}
