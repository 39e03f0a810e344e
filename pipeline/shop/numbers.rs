//! A part number looked up in a finished run, whatever its dashes, spaces or O for 0.
//!
//! Looked for, in this order: numbers of suppliers, makers and barcodes; numbers that a product replaces;
//! numbers inside the suppliers' wording. A number that stands nowhere is answered with the nearest ones.

use crate::publish::number_index::{NUMBER, REPLACED, WORDING};
use crate::publish::{FinishedRun, NumberRow, ReadError};
use crate::trade::gtin::{GtinReading, read_gtin};
use crate::trade::identifier::canonical_number;
use compact_str::{CompactString, ToCompactString};
use rayon::prelude::*;
use std::collections::BTreeSet;

/// How alike a number must be to be offered as the nearest, by Damerau-Levenshtein, 0 to 1.
const NEAR: f64 = 0.6;
/// Nearest forms looked at: some stand in wordings only, and are not named.
const MOST_TRIED: usize = 24;
/// Nearest numbers shown.
const MOST_NEAREST: usize = 3;

/// Where a number was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// number of a supplier or maker, or barcode
    Number,
    /// number that a product replaces
    Replaced,
    /// in the suppliers' wording
    Wording,
}

/// What came of looking up one number.
#[derive(Clone, Debug, PartialEq)]
pub struct NumberFound {
    /// as asked
    pub asked: CompactString,
    /// where it stands; `None` when it stands nowhere
    pub place: Option<Place>,
    /// its spellings there
    pub spelled: BTreeSet<CompactString>,
    /// products that carry it
    pub products: BTreeSet<CompactString>,
    /// their fit groups
    pub groups: BTreeSet<CompactString>,
    /// the numbers most like it, when it stands nowhere
    pub nearest: Vec<String>,
}

/// How far to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// everywhere, and name the nearest
    Everywhere,
    /// columns of numbers only: the word may be no number at all
    NumbersOnly,
}

/// Looks a number up.
///
/// # Errors
/// The run cannot be read.
pub fn look_up(run: &FinishedRun, asked: &str, reach: Reach) -> Result<NumberFound, ReadError> {
    let forms = canonical_forms(asked);
    let forms: Vec<&str> = forms.iter().map(CompactString::as_str).collect();
    let entries = run.numbers_called(&forms)?;
    let mut found = NumberFound {
        asked: asked.into(),
        place: None,
        spelled: BTreeSet::new(),
        products: BTreeSet::new(),
        groups: BTreeSet::new(),
        nearest: Vec::new(),
    };
    let places = match reach {
        Reach::Everywhere => &[Place::Number, Place::Replaced, Place::Wording][..],
        Reach::NumbersOnly => &[Place::Number][..],
    };
    for place in places {
        let of_place: Vec<&NumberRow> = entries.iter().filter(|entry| entry.place == place.name()).collect();
        if !of_place.is_empty() {
            found.place = Some(*place);
            found.spelled = of_place.iter().map(|entry| entry.number.clone()).collect();
            found.products = of_place.iter().map(|entry| entry.product_id.clone()).collect();
            found.groups = of_place.iter().map(|entry| entry.group_id.clone()).collect();
            return Ok(found);
        }
    }
    if reach == Reach::Everywhere {
        found.nearest = nearest(run, forms.first().copied().unwrap_or_default())?;
    }
    Ok(found)
}

impl Place {
    /// The name used in the index.
    pub const fn name(self) -> &'static str {
        match self {
            Place::Number => NUMBER,
            Place::Replaced => REPLACED,
            Place::Wording => WORDING,
        }
    }
}

/// The forms under which a number may stand: its own, and that of the barcode with all its digits.
fn canonical_forms(asked: &str) -> Vec<CompactString> {
    let mut forms = vec![canonical_number(asked)];
    if let GtinReading::Sound(gtin) | GtinReading::Restored(gtin) = read_gtin(asked) {
        forms.push(canonical_number(&gtin.to_compact_string()));
    }
    forms.retain(|form| !form.is_empty());
    forms.dedup();
    forms
}

fn nearest(run: &FinishedRun, wanted: &str) -> Result<Vec<String>, ReadError> {
    let bag = Bag::of(wanted);
    let mut near: Vec<(f64, String)> = run
        .numbers_like(|form| bag.may_be_near(form))?
        .into_par_iter()
        .map(|form| (strsim::normalized_damerau_levenshtein(&form, wanted), form))
        .filter(|(alike, _)| *alike >= NEAR)
        .collect();
    near.par_sort_by(|x, y| y.0.total_cmp(&x.0).then_with(|| x.1.cmp(&y.1)));
    near.truncate(MOST_TRIED);
    let forms: Vec<&str> = near.iter().map(|(_, form)| form.as_str()).collect();
    // of the spellings of a number the one with dashes comes first, and reads best
    let entries = run.numbers_called(&forms)?;
    let spelled = forms.iter().filter_map(|form| {
        let entry = entries
            .iter()
            .find(|entry| entry.canonical == *form && entry.place == NUMBER);
        entry.map(|entry| entry.number.to_string())
    });
    Ok(spelled.take(MOST_NEAREST).collect())
}

/// The signs of a number, counted. Every edit mends one sign at most, so two numbers that share few signs are far apart,
/// and that is seen without comparing them sign by sign.
struct Bag {
    /// how often each sign stands there; signs that differ by a multiple of [`BAG`] count as one, which lets more numbers
    /// through and never fewer
    signs: [u8; BAG],
    length: usize,
}

/// Signs told apart in a bag: canonical numbers are lower case letters and digits, which all differ by less.
const BAG: usize = 64;

impl Bag {
    fn of(text: &str) -> Bag {
        let mut signs = [0u8; BAG];
        for sign in text.bytes() {
            let count = &mut signs[usize::from(sign) % BAG];
            *count = count.saturating_add(1);
        }
        Bag {
            signs,
            length: text.len(),
        }
    }

    fn may_be_near(&self, text: &[u8]) -> bool {
        let longest = self.length.max(text.len());
        // signs that must be shared for the likeness to reach `NEAR`
        let least = (NEAR * longest as f64).ceil() as usize;
        if self.length.min(text.len()) < least {
            return false;
        }
        let mut left = self.signs;
        let shared = text.iter().filter(|sign| {
            let count = &mut left[usize::from(**sign) % BAG];
            let is_shared = *count > 0;
            *count = count.saturating_sub(1);
            is_shared
        });
        shared.count() >= least
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_number_that_is_near_is_passed_over() {
        let wanted = "sf28400kr2";
        for other in ["sf28400kr9", "fs28400kr2", "28400kr2", "sf28400kr2b1", "zz99999", "sf"] {
            let near = strsim::normalized_damerau_levenshtein(other, wanted) >= NEAR;
            assert!(!near || Bag::of(wanted).may_be_near(other.as_bytes()), "{other}");
        }
        assert!(!Bag::of(wanted).may_be_near(b"zz99999"));
    }
}
