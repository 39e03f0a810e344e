//! A part number looked up in a finished run, whatever its dashes, spaces or O for 0.
//!
//! Looked for, in this order: numbers of suppliers, makers and barcodes; numbers that a product replaces;
//! numbers inside the suppliers' wording. A number that stands nowhere is answered with the nearest ones.

use crate::publish::read::with_number;
use crate::publish::{CrossrefRow, FinishedRun, ProductRow, ReadError};
use crate::trade::gtin::{GtinReading, read_gtin};
use crate::trade::identifier::canonical_number;
use compact_str::CompactString;
use polars::prelude::{col, lit};

/// How alike a number must be to be offered as the nearest, by Damerau-Levenshtein, 0 to 1.
const NEAR: f64 = 0.6;
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
    /// offers that carry it
    pub offers: Vec<CrossrefRow>,
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
pub fn look_up(
    run: &FinishedRun,
    products: &[ProductRow],
    asked: &str,
    reach: Reach,
) -> Result<NumberFound, ReadError> {
    let wanted = Wanted::of(asked);
    let mut found = NumberFound {
        asked: asked.into(),
        place: None,
        offers: Vec::new(),
        nearest: Vec::new(),
    };
    let spelled = run.numbers(|number| wanted.is(number))?;
    if !spelled.is_empty() {
        found.offers = run.answer(run.offers()?.filter(with_number(&spelled)))?;
        found.place = Some(Place::Number);
        return Ok(found);
    }
    if reach == Reach::NumbersOnly {
        return Ok(found);
    }
    let replacing = products
        .iter()
        .filter(|product| product.replaces.split(';').any(|number| wanted.is(number)));
    let replacing: Vec<&str> = replacing.map(|product| product.product_id.as_str()).collect();
    if !replacing.is_empty() {
        for product in replacing {
            found
                .offers
                .extend(run.answer(run.offers()?.filter(col("product_id").eq(lit(product))))?);
        }
        found.place = Some(Place::Replaced);
        return Ok(found);
    }
    let words = |row: &CrossrefRow| row.description.split_whitespace().any(|word| wanted.is(word));
    found.offers = run.answer(run.offers()?)?.into_iter().filter(words).collect();
    if found.offers.is_empty() {
        found.nearest = nearest(run, &wanted)?;
    } else {
        found.place = Some(Place::Wording);
    }
    Ok(found)
}

struct Wanted {
    canonical: CompactString,
    gtin: Option<String>,
}

impl Wanted {
    fn of(asked: &str) -> Wanted {
        let gtin = match read_gtin(asked) {
            GtinReading::Sound(gtin) | GtinReading::Restored(gtin) => Some(gtin.to_string()),
            _ => None,
        };
        Wanted {
            canonical: canonical_number(asked),
            gtin,
        }
    }

    fn is(&self, number: &str) -> bool {
        self.gtin.as_deref() == Some(number)
            || (!self.canonical.is_empty() && canonical_number(number) == self.canonical)
    }
}

fn nearest(run: &FinishedRun, wanted: &Wanted) -> Result<Vec<String>, ReadError> {
    let mut near: Vec<(f64, String)> = run
        .numbers(|_| true)?
        .into_iter()
        .map(|number| {
            (
                strsim::normalized_damerau_levenshtein(&canonical_number(&number), &wanted.canonical),
                number,
            )
        })
        .filter(|(alike, _)| *alike >= NEAR)
        .collect();
    // one spelling of a number is enough; the one with dashes reads best
    let plain = |number: &str| !number.contains('-');
    near.sort_by(|x, y| {
        y.0.total_cmp(&x.0)
            .then_with(|| plain(&x.1).cmp(&plain(&y.1)))
            .then_with(|| x.1.cmp(&y.1))
    });
    let mut seen = std::collections::BTreeSet::new();
    near.retain(|(_, number)| seen.insert(canonical_number(number)));
    near.truncate(MOST_NEAREST);
    Ok(near.into_iter().map(|(_, number)| number).collect())
}
