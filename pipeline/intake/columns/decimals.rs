//! Which mark stands before decimals in a list, by the vote of its numbers.

use super::super::cellclass::class_of;
use super::super::field::Field;
use super::super::list::ColumnMap;
use super::Columns;
use crate::trade::numerals::Decimals;

/// The mark that a number's writing proves: the later of two different ones, or a single one that is not followed by
/// three digits. `1.234` proves nothing.
fn vote_of(number: &str) -> Option<Decimals> {
    let number: String = number
        .chars()
        .filter(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ','))
        .collect();
    let number = number.trim_matches(['.', ',']);
    let (comma, point) = (number.rfind(','), number.rfind('.'));
    match (comma, point) {
        (Some(comma), Some(point)) => Some(if comma > point {
            Decimals::Comma
        } else {
            Decimals::Point
        }),
        (Some(place), None) => single(number, ',', place).then_some(Decimals::Comma),
        (None, Some(place)) => single(number, '.', place).then_some(Decimals::Point),
        (None, None) => None,
    }
}

fn single(number: &str, mark: char, place: usize) -> bool {
    number.matches(mark).count() == 1 && number.len() - place - 1 != 3
}

/// The mark of a list: prices vote first, other numbers only if prices say nothing.
pub(crate) fn decimals_of(columns: &Columns, mapped: &[ColumnMap]) -> Decimals {
    let is_price = |index: usize| {
        mapped
            .iter()
            .any(|column| column.index == index && column.field == Field::Price)
    };
    let prices: Vec<usize> = (0..columns.width).filter(|index| is_price(*index)).collect();
    let others: Vec<usize> = (0..columns.width).filter(|index| !is_price(*index)).collect();
    for group in [prices, others] {
        let (mut comma, mut point) = (0u32, 0u32);
        for value in group.iter().flat_map(|index| columns.values(*index)) {
            if !class_of(value).is_number() {
                continue;
            }
            match vote_of(value) {
                Some(Decimals::Comma) => comma += 1,
                Some(Decimals::Point) => point += 1,
                _ => {}
            }
        }
        if comma > point * 4 {
            return Decimals::Comma;
        }
        if point > comma * 4 {
            return Decimals::Point;
        }
        if comma + point > 0 {
            return Decimals::Unsure;
        }
    }
    Decimals::Unsure
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_digits_after_one_mark_prove_nothing() {
        assert_eq!(vote_of("1.234"), None);
        assert_eq!(vote_of("1.234,50"), Some(Decimals::Comma));
        assert_eq!(vote_of("1,234.50"), Some(Decimals::Point));
        assert_eq!(vote_of("€ 12,5"), Some(Decimals::Comma));
        assert_eq!(vote_of("12"), None);
    }
}
