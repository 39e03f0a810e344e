//! What a column's values look like, for lists without a header and for headers in words not known.

use super::super::cellclass::{CellClass, class_of};
use super::super::field::Field;
use super::Columns;
use crate::trade::fit_mark::{is_fit_mark, is_no_fit_mark};

/// What the values of one column show.
#[derive(Clone, Debug, Default)]
pub(crate) struct Values {
    pub(crate) filled: usize,
    distinct: usize,
    numbers: usize,
    money: usize,
    two_decimals: usize,
    codes: usize,
    texts: usize,
    long_digits: usize,
    currencies: usize,
    engine_codes: usize,
    marks: usize,
    counts: usize,
    few: bool,
    threads: usize,
    mean_length: f32,
}

const CURRENCIES: [&str; 19] = [
    "EUR", "USD", "GBP", "CHF", "PLN", "CNY", "RMB", "SEK", "DKK", "NOK", "CZK", "HUF", "TRY", "TL", "₺", "€", "$",
    "£", "¥",
];

/// More different numbers than a column of price units has: 1, 10, 12, 100, 1000. Common practice, no source.
const USUAL_BASES: usize = 5;

impl Values {
    /// Looks at a column of the sample.
    pub(crate) fn of(columns: &Columns, index: usize) -> Values {
        let mut values = Values::default();
        let mut seen: Vec<&str> = Vec::new();
        let mut length = 0;
        for value in columns.values(index) {
            values.filled += 1;
            length += value.chars().count();
            seen.push(value);
            let class = class_of_all(value);
            values.numbers += usize::from(class.is_number());
            values.money += usize::from(class == CellClass::Money);
            values.codes += usize::from(matches!(class, CellClass::Code | CellClass::Whole));
            values.texts += usize::from(class == CellClass::Text);
            values.two_decimals += usize::from(has_two_decimals(value, class));
            let digits = value.bytes().filter(u8::is_ascii_digit).count();
            values.long_digits += usize::from(class == CellClass::Whole && (12..=14).contains(&digits));
            values.currencies += usize::from(CURRENCIES.contains(&value));
            // the header may stand among the rows again
            let again = value.trim() == columns.header(index).trim();
            values.marks += usize::from(again || is_fit_mark(value) || is_no_fit_mark(value));
            let count = value.parse::<u8>().ok().filter(|count| (2..=8).contains(count));
            values.counts += usize::from(count.is_some());
            values.few |= count.is_some_and(|count| count <= 4);
            values.threads += usize::from(is_thread(value));
            values.engine_codes += usize::from(is_engine_code(value));
        }
        seen.sort_unstable();
        seen.dedup();
        values.distinct = seen.len();
        values.mean_length = length as f32 / values.filled.max(1) as f32;
        values
    }

    fn share(&self, count: usize) -> f32 {
        count as f32 / self.filled.max(1) as f32
    }

    /// How well the values fit a field, 0 to 1, for fields whose values have a look of their own.
    pub(crate) fn fit(&self, field: Field) -> f32 {
        if self.filled == 0 {
            return 0.0;
        }
        let distinct = self.distinct as f32 / self.filled as f32;
        match field {
            Field::Gtin => self.share(self.long_digits),
            Field::Price => {
                let money = self.share(self.money).max(0.9 * self.share(self.two_decimals));
                money.max(0.3 * self.share(self.numbers)) * (1.0 - self.share(self.long_digits))
            }
            Field::Currency => self.share(self.currencies),
            Field::EngineCode => self.share(self.engine_codes),
            Field::Sku | Field::Mpn => {
                self.share(self.codes)
                    * distinct
                    * (1.0 - self.share(self.long_digits))
                    * (1.0 - self.share(self.two_decimals))
            }
            Field::Title | Field::Description => {
                self.share(self.texts) * (self.mean_length / 20.0).min(1.0) * (0.3 + 0.7 * distinct)
            }
            _ => 0.0,
        }
    }

    /// Whether the values speak plainly against a field.
    pub(crate) fn contradict(&self, field: Field) -> bool {
        if self.filled < 5 {
            return false;
        }
        match field {
            Field::Price => self.share(self.numbers) < 0.2 && self.share(self.texts) > 0.8,
            Field::Gtin => self.share(self.texts) > 0.5,
            // "Articolo", "Item" may head numbers or names
            Field::Sku | Field::Mpn => self.share(self.texts) > 0.6 && self.mean_length > 18.0,
            Field::Title | Field::Description => self.share(self.money) > 0.8,
            // "BC" may head bolt circles or barcodes
            Field::BoltSpacing | Field::BoltHoles | Field::HoleDiameter | Field::Displacement | Field::Power => {
                self.share(self.long_digits) > 0.5
            }
            _ => false,
        }
    }

    /// Whether these are amounts of money rather than the numbers of pieces that amounts are for.
    pub(crate) fn are_amounts(&self) -> bool {
        let differ = self.distinct > USUAL_BASES && self.distinct * 3 > self.filled;
        self.fit(Field::Price) >= 0.5 || (self.share(self.numbers) > 0.5 && differ)
    }

    /// Whether all are small whole numbers, some of them smaller than any screw of a starter: holes are counted.
    pub(crate) fn are_hole_counts(&self) -> bool {
        self.filled > 0 && self.counts == self.filled && self.few
    }

    /// Whether most are threads: "M6", "1/4-20".
    pub(crate) fn are_threads(&self) -> bool {
        self.share(self.threads) > 0.5
    }

    /// Whether the cells hold nothing but marks that a part fits, or that it does not.
    pub(crate) fn are_marks(&self) -> bool {
        self.marks == self.filled
    }

    /// Mean number of letters.
    pub(crate) fn mean_length(&self) -> f32 {
        self.mean_length
    }
}

/// The class of a cell; of several numbers in one, that of a number.
fn class_of_all(value: &str) -> CellClass {
    let class = class_of(value);
    let mut parts = value
        .split([';', ',', '/'])
        .map(str::trim)
        .filter(|part| !part.is_empty());
    if class == CellClass::Text && parts.clone().count() > 1 && parts.all(|part| class_of(part) == CellClass::Code) {
        return CellClass::Code;
    }
    class
}

fn has_two_decimals(value: &str, class: CellClass) -> bool {
    matches!(class, CellClass::Decimal | CellClass::Money)
        && value
            .trim_end_matches(|letter: char| !letter.is_ascii_digit())
            .rsplit(['.', ','])
            .next()
            .is_some_and(|fraction| fraction.len() == 2)
}

/// `M6`, `M8x1.25`, `1/4-20`, `5/16"`: how a thread begins.
fn is_thread(value: &str) -> bool {
    let metric = value.strip_prefix(['M', 'm']);
    let inch = || {
        value
            .split_once('/')
            .is_some_and(|(over, _)| over.len() == 1 && over != "0")
    };
    metric.map_or_else(inch, |size| size.starts_with(|c: char| c.is_ascii_digit()))
}

/// `168F`, `188F-2`, `1P70FA`: digits, an F or P, and little else.
fn is_engine_code(value: &str) -> bool {
    let mut letters = value.bytes().peekable();
    let mut digits = 0;
    while letters.next_if(u8::is_ascii_digit).is_some() {
        digits += 1;
    }
    (1..=3).contains(&digits) && value.len() <= 12 && matches!(letters.next(), Some(b'F' | b'P'))
}
