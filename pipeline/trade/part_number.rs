//! Which tokens of running text look like a part number.
//!
//! A candidate only: it is for finding numbers in titles and for guessing what a column holds.
//! Engine designations and model codes say what a part is for, so they are none.

use super::folding::fold;

/// Fewest and most letters and digits of what is taken for a part number.
const FEWEST: usize = 5;
const MOST: usize = 24;

/// Whether a token of running text looks like a part number: five to 24 letters and digits, at
/// least three digits, nothing but hyphens, points, slashes and underscores between them, and
/// not an engine's designation or model code, a measure, a dimension or a list of amounts.
pub fn looks_like_part_number(token: &str) -> bool {
    let folded = fold(token);
    let token = folded.trim_matches(|c: char| !c.is_alphanumeric());
    let digits = token.bytes().filter(u8::is_ascii_digit).count();
    let letters = token.bytes().filter(u8::is_ascii_lowercase).count();
    let signs = token.bytes().filter(|b| matches!(b, b'-' | b'.' | b'/' | b'_')).count();
    let size = digits + letters;
    if size + signs != token.len() || !(FEWEST..=MOST).contains(&size) || digits < 3 {
        return false;
    }
    let parts = || token.split(['-', '.', '/', '_']);
    if parts().any(str::is_empty) || is_list_of_amounts(token) {
        return false;
    }
    let measured = parts().any(|part| {
        let unit = part.trim_start_matches(|c: char| c.is_ascii_digit());
        let behind_digits = unit.len() < part.len() || (unit.len() >= 2 && digits <= 4);
        behind_digits && super::wording::goes_on_with_unit(unit)
    });
    // Bare digits are a number only when there are enough of them for it not to be anything else.
    let bare = letters == 0 && signs == 0 && digits < 6;
    let designation = !super::engine_code::read_codes(token).is_empty() && digits <= 4;
    !measured && !bare && !designation && !is_dimension(token) && !is_model_code(token, digits)
}

/// `M6x12`, `70x52`, `180x160x60`.
fn is_dimension(token: &str) -> bool {
    let mut parts = token.trim_start_matches('m').split('x');
    let number = |part: &str| part.starts_with(|c: char| c.is_ascii_digit()) && part.parse::<f64>().is_ok();
    token.contains('x') && parts.all(number)
}

/// `KR200`: what a part is for is no number of the part.
fn is_model_code(token: &str, digits: usize) -> bool {
    let whole = |code: &super::model_code::CodeToken| code.span == (0..token.len());
    digits <= 3 && super::model_code::read_code_tokens(token).iter().any(whole)
}

/// `163/196/212`, `5.5/6.5/7`, `2018-2022`, `03.05.2024`: numbers of up to four digits in a list,
/// a range, a decimal or a date.
fn is_list_of_amounts(token: &str) -> bool {
    let is_amount = |part: &str| {
        let (whole, decimals) = part.split_once('.').unwrap_or((part, ""));
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        digits(whole) && digits(decimals) && whole.len() <= 4 && decimals.len() <= 3
    };
    let is_date = {
        let parts: Vec<usize> = token.split('.').map(str::len).collect();
        matches!(parts.as_slice(), [1 | 2, 1 | 2, 2 | 4])
    };
    let is_list = token.split('/').all(is_amount);
    let is_range = token
        .split_once('-')
        .is_some_and(|(low, high)| is_amount(low) && is_amount(high));
    is_list || is_range || is_date
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn part_numbers_are_told_from_the_rest_of_a_title() {
        for token in [
            "28400-KR2-003",
            "SF28400",
            "SF-1023",
            "123456",
            "1234567",
            "(SF-28400)",
            "1.028.400-3",
            "KR2-284",
        ] {
            assert!(looks_like_part_number(token), "{token}");
        }
        for token in [
            "168F",
            "168F-2",
            "196cc",
            "163/196/212",
            "5.5/6.5/7",
            "2018-2022",
            "118mm",
            "starter",
            "M6x12",
            "12345",
            "188FE",
            "163/196cc",
            "1.234",
            "-",
            "KR200",
            "TB-340E",
            "70x52",
            "recoil-starter",
            "196-cc",
        ] {
            assert!(!looks_like_part_number(token), "{token}");
        }
    }
}
