//! What a cell looks like, by its letters alone: number, date, code, word, prose. Used to choose the dialect, to find the
//! header, to align ragged rows and to map columns without a header. A class is a look, not a meaning.

/// The look of a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum CellClass {
    Empty,
    Whole,
    Decimal,
    Money,
    Percent,
    Date,
    Time,
    Stamp,
    Address,
    Code,
    Word,
    Text,
}

impl CellClass {
    /// Number of classes.
    pub(crate) const COUNT: usize = 12;

    /// Whether a header could hardly look like this.
    pub(crate) fn is_typed(self) -> bool {
        !matches!(
            self,
            CellClass::Empty | CellClass::Code | CellClass::Word | CellClass::Text
        )
    }

    /// Whether it is a plain number.
    pub(crate) fn is_number(self) -> bool {
        matches!(
            self,
            CellClass::Whole | CellClass::Decimal | CellClass::Money | CellClass::Percent
        )
    }

    /// Classes that stand in one column without surprise share a family.
    pub(crate) fn family(self) -> u8 {
        match self {
            CellClass::Empty => 0,
            CellClass::Whole | CellClass::Decimal | CellClass::Money | CellClass::Percent => 1,
            CellClass::Date | CellClass::Time | CellClass::Stamp => 2,
            CellClass::Address => 3,
            CellClass::Code => 4,
            CellClass::Word | CellClass::Text => 5,
        }
    }
}

/// Tells the look of a cell.
pub(crate) fn class_of(cell: &str) -> CellClass {
    let cell = cell.trim();
    if cell.is_empty() {
        return CellClass::Empty;
    }
    if cell.len() > 48 {
        return if is_address(cell) {
            CellClass::Address
        } else {
            prose_or_word(cell)
        };
    }
    let bytes = cell.as_bytes();
    let digits = bytes.iter().filter(|byte| byte.is_ascii_digit()).count();
    if digits == bytes.len() {
        return CellClass::Whole;
    }
    if digits > 0 {
        if is_number(cell) {
            let whole = !bytes.iter().any(|byte| matches!(byte, b'.' | b',' | b'e' | b'E'));
            return if whole { CellClass::Whole } else { CellClass::Decimal };
        }
        if let Some(rest) = cell.strip_suffix('%')
            && is_number(rest.trim_end())
        {
            return CellClass::Percent;
        }
        if is_money(cell) {
            return CellClass::Money;
        }
        if let Some(class) = moment(cell) {
            return class;
        }
    }
    if is_address(cell) {
        return CellClass::Address;
    }
    if digits > 0 && !cell.contains(char::is_whitespace) {
        return CellClass::Code;
    }
    prose_or_word(cell)
}

fn prose_or_word(cell: &str) -> CellClass {
    if cell.contains(char::is_whitespace) {
        CellClass::Text
    } else {
        CellClass::Word
    }
}

fn is_address(cell: &str) -> bool {
    if cell.contains(' ') {
        return false;
    }
    cell.contains("://") || cell.starts_with("www.") || (cell.contains('@') && cell.contains('.'))
}

/// Digits with at most a sign, group marks, one decimal mark and an exponent.
pub(crate) fn is_number(cell: &str) -> bool {
    let cell = cell.strip_prefix(['-', '+', '−']).unwrap_or(cell).trim_start();
    let (mantissa, exponent) = match cell.find(['e', 'E']) {
        Some(place) => (&cell[..place], Some(&cell[place + 1..])),
        None => (cell, None),
    };
    if let Some(exponent) = exponent {
        let digits = exponent.strip_prefix(['-', '+']).unwrap_or(exponent);
        if digits.is_empty() || digits.len() > 3 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            return false;
        }
    }
    let mark = mantissa.rfind(['.', ',']).filter(|place| {
        let sign = &mantissa[*place..*place + 1];
        mantissa.matches(sign).count() == 1
    });
    let (whole, fraction) = match mark {
        Some(place) => (&mantissa[..place], &mantissa[place + 1..]),
        None => (mantissa, ""),
    };
    let digits_only = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let mut groups = whole.split(['.', ',', '\'', '\u{a0}', '\u{202f}', ' ']);
    let first = groups.next().unwrap_or_default();
    let mut grouped = false;
    let sound = groups.all(|group| {
        grouped = true;
        group.len() == 3 && digits_only(group)
    });
    let first_fits = digits_only(first) && (!grouped || (1..=3).contains(&first.len()));
    sound && first_fits && digits_only(fraction) && first.len() + fraction.len() > 0
}

fn is_money(cell: &str) -> bool {
    const SIGNS: [char; 9] = ['$', '€', '£', '¥', '￥', '₽', '₹', '元', '円'];
    let bare = cell.trim_start_matches(['-', '+', '(']).trim_end_matches(')');
    if let Some(rest) = bare.strip_prefix(SIGNS).or_else(|| bare.strip_suffix(SIGNS)) {
        return is_number(rest.trim());
    }
    if let Some(rest) = bare.strip_suffix(",-").or_else(|| bare.strip_suffix(".-")) {
        return is_number(rest);
    }
    let letters: usize = bare.chars().filter(|letter| letter.is_alphabetic()).count();
    if !(2..=3).contains(&letters) {
        return false;
    }
    let rest = bare.trim_matches(char::is_alphabetic).trim();
    let split = rest.len() < bare.len()
        && bare
            .chars()
            .filter(|letter| letter.is_alphabetic())
            .all(char::is_uppercase);
    split && bare.contains([' ', '.', ',']) && is_number(rest) && letters == 3
        || bare.ends_with("zł") && is_number(rest)
}

/// A date, a time of day, or both.
fn moment(cell: &str) -> Option<CellClass> {
    if is_date(cell) {
        return Some(CellClass::Date);
    }
    if is_time(cell) {
        return Some(CellClass::Time);
    }
    let place = cell.find([' ', 'T'])?;
    let (day, time) = (&cell[..place], cell[place + 1..].trim());
    (is_date(day) && is_time(time)).then_some(CellClass::Stamp)
}

fn is_date(cell: &str) -> bool {
    let Some(separator) = cell.chars().find(|letter| matches!(letter, '/' | '-' | '.')) else {
        return false;
    };
    let parts: Vec<&str> = cell.split(separator).collect();
    let all_digits = |part: &&str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let month_word = |part: &&str| (3..=9).contains(&part.len()) && part.chars().all(char::is_alphabetic);
    match parts.as_slice() {
        [a, b, c] => {
            let day_first = a.len() <= 2 && matches!(c.len(), 2 | 4);
            let year_first = a.len() == 4 && c.len() <= 2;
            all_digits(a)
                && all_digits(c)
                && (day_first || year_first)
                && (all_digits(b) && b.len() <= 2 || month_word(b))
        }
        [a, b] => separator == '-' && (all_digits(a) && a.len() <= 2 && month_word(b) && b.len() == 3),
        _ => false,
    }
}

fn is_time(cell: &str) -> bool {
    let bare = cell.trim_end_matches(|letter: char| letter.is_alphabetic() || letter == ' ');
    let parts: Vec<&str> = bare.split(':').collect();
    (2..=3).contains(&parts.len())
        && cell.len() - bare.len() <= 3
        && (1..=2).contains(&parts[0].len())
        && parts.iter().enumerate().all(|(index, part)| {
            let part = if index == 2 {
                part.split('.').next().unwrap_or_default()
            } else {
                part
            };
            part.bytes().all(|byte| byte.is_ascii_digit()) && (index == 0 || part.len() == 2)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn looks_are_told_apart() {
        for (cell, class) in [
            ("", CellClass::Empty),
            ("1001", CellClass::Whole),
            ("-3", CellClass::Whole),
            ("12,50", CellClass::Decimal),
            ("1.234,56", CellClass::Decimal),
            ("1 234,56", CellClass::Decimal),
            ("1.23E+10", CellClass::Decimal),
            ("€ 12,50", CellClass::Money),
            ("12.50 EUR", CellClass::Money),
            ("19 %", CellClass::Percent),
            ("28/01/2018", CellClass::Date),
            ("2018-01-28", CellClass::Date),
            ("10-Mar", CellClass::Date),
            ("02:15", CellClass::Time),
            ("2018-01-28 02:15:00", CellClass::Stamp),
            ("https://example.com/a", CellClass::Address),
            ("MG-8769", CellClass::Code),
            ("168F-2", CellClass::Code),
            ("starter", CellClass::Word),
            ("recoil starter 8 mm", CellClass::Text),
            ("12 34", CellClass::Text),
        ] {
            assert_eq!(class_of(cell), class, "{cell}");
        }
    }
}
