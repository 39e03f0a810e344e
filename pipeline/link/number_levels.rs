//! What the part numbers of two records say of each other.

use super::records::{NumberId, NumberPlace, Record, Records, WordShape};
use crate::trade::identifier::canonical_number;

/// Levels of [`super::comparison::Field::Number`]:
///
/// | level | meaning |
/// |---|---|
/// | 1, 2 | own number = own number: with a letter, in bare digits |
/// | 3, 4 | own number = a number in the other's title: with a letter, in bare digits |
/// | 5 | a number in both titles |
/// | 6 | own number among those the other replaces |
/// | 7 | a number that both replace, or one replaces and the other's title shows |
/// | 8 | own numbers with two neighbouring signs swapped |
/// | 9 | own numbers different |
/// | 10 | own numbers different, but one stands in the other's title |
/// | 11 | own number among those the other replaces, both of one maker by their letters: superseded |
/// | 12 | a number in a title that is the other's own or in its title too, and that some line names as one of another part |
/// | 0 | nothing to compare |
///
/// Beside the level, the number of records that carry the equal number.
pub fn number_level(records: &Records, a: &Record, b: &Record) -> (u8, u32) {
    let mut level = 0u8;
    let mut count = 0u32;
    for &(place_a, n) in &a.numbers {
        for &(place_b, m) in &b.numbers {
            if n != m {
                continue;
            }
            let number = &records.numbers[n as usize];
            let found = match shared_number(place_a, place_b, number.lettered) {
                3..=5 if number.referred_to => 12,
                level => level,
            };
            if level == 0 || found < level {
                (level, count) = (found, number.records);
            }
        }
    }
    let own = |r: &Record| r.numbers.iter().find(|n| n.0 == NumberPlace::Own).map(|n| n.1);
    if let (Some(x), Some(y)) = (own(a), own(b))
        && (level == 0 || level >= 3)
    {
        return match level {
            3 | 4 | 12 => (10, count),
            6 if one_maker(records, x, y) => (11, count),
            _ if one_slip(records, x, y) => (8, 0),
            _ => (9, 0),
        };
    }
    (level, count)
}

fn shared_number(a: NumberPlace, b: NumberPlace, lettered: bool) -> u8 {
    let digits = u8::from(!lettered);
    match (a.min(b), a.max(b)) {
        (NumberPlace::Own, NumberPlace::Own) => 1 + digits,
        (NumberPlace::Own, NumberPlace::Title) => 3 + digits,
        (NumberPlace::Title, NumberPlace::Title) => 5,
        (NumberPlace::Own, NumberPlace::Replaces) => 6,
        _ => 7,
    }
}

/// Whether two own numbers differ by two neighbouring signs in the wrong order. Anything more is
/// another number: makers number their variants side by side.
fn one_slip(records: &Records, x: NumberId, y: NumberId) -> bool {
    swapped_pair(&records.numbers[x as usize].text, &records.numbers[y as usize].text)
}

/// Whether two numbers begin with the same letters and are as long as each other: one maker's style.
fn one_maker(records: &Records, x: NumberId, y: NumberId) -> bool {
    let (x, y) = (&records.numbers[x as usize].text, &records.numbers[y as usize].text);
    let letters = |n: &str| n.bytes().take_while(u8::is_ascii_alphabetic).count();
    let head = letters(x);
    head >= 2 && head == letters(y) && x.len() == y.len() && x[..head] == y[..head]
}

/// Two neighbouring signs in the wrong order, everything else equal.
pub fn swapped_pair(x: &str, y: &str) -> bool {
    let (x, y) = (x.as_bytes(), y.as_bytes());
    if x.len() != y.len() || x.len() < 7 {
        return false;
    }
    let Some(i) = (0..x.len() - 1).find(|i| x[*i] != y[*i]) else {
        return false;
    };
    x[i] == y[i + 1] && x[i + 1] == y[i] && x[i + 2..] == y[i + 2..]
}

/// Whether a number that stands at these places on two lines may bring them together. What both replace, or one replaces
/// and the other's title shows, says that two parts interchange: many do that are not one part. A number in a title may be
/// one that the part replaces, though nothing says so, where some line names it as one of another part.
pub(super) fn identifies(records: &Records, a: (&Record, NumberPlace), b: (&Record, NumberPlace), n: NumberId) -> bool {
    use NumberPlace::{Own, Replaces, Title};
    let own = |r: &Record| r.numbers.iter().find(|n| n.0 == Own).map(|n| n.1);
    match (a.1, b.1) {
        (Own, Own) => true,
        (Own | Title, Own | Title) => !records.numbers[n as usize].referred_to,
        (Own, Replaces) => own(b.0).is_some_and(|other| one_maker(records, n, other)),
        (Replaces, Own) => own(a.0).is_some_and(|other| one_maker(records, n, other)),
        (Title | Replaces, Replaces) | (Replaces, Title) => false,
    }
}

/// Whether a number brought the pair together. A number that is a common word of both titles did not: words find that
/// pair as well, and what such a number is worth is learned among the pairs that words find.
pub(super) fn shares_number(records: &Records, a: &Record, b: &Record) -> bool {
    let equal = |n: &(NumberPlace, NumberId)| {
        let of_b = b
            .numbers
            .iter()
            .filter(|m| m.1 == n.1 && identifies(records, (a, n.0), (b, m.0), n.1));
        of_b.map(|m| n.0 == NumberPlace::Title && m.0 == NumberPlace::Title)
            .min()
    };
    a.numbers.iter().any(|n| match equal(n) {
        None => false,
        Some(false) => true,
        Some(true) => !is_common_word(records, a, b, n.1),
    })
}

pub(super) fn lettered_in_common(records: &Records, a: &Record, b: &Record) -> bool {
    a.numbers
        .iter()
        .any(|n| records.numbers[n.1 as usize].lettered && b.numbers.iter().any(|m| m.1 == n.1))
}

fn is_common_word(records: &Records, a: &Record, b: &Record, number: NumberId) -> bool {
    let number = &records.numbers[number as usize].text;
    let common = a.words.iter().filter(|w| b.words.binary_search(w).is_ok());
    let mut codes = common
        .map(|w| &records.words[*w as usize])
        .filter(|w| w.shape == WordShape::Code);
    codes.any(|word| canonical_number(&word.text) == *number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_swapped_pair_is_a_slip() {
        assert!(swapped_pair("PWT71143", "PWT71413"));
        assert!(
            !swapped_pair("PWT71143", "PWT71146"),
            "makers number their variants side by side"
        );
        assert!(!swapped_pair("12", "21"), "too short to tell");
    }

    #[test]
    fn a_number_of_the_part_itself_says_more_than_one_it_replaces() {
        use NumberPlace::{Own, Replaces, Title};
        assert!(shared_number(Own, Own, true) < shared_number(Own, Title, true));
        assert!(shared_number(Title, Title, true) < shared_number(Replaces, Own, true));
        assert_eq!(
            shared_number(Replaces, Replaces, true),
            shared_number(Title, Replaces, true)
        );
    }
}
