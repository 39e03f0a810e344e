//! How many pieces a line sells together, and what its price is of.

use super::headings::contains_words;
use super::plan::{PriceOf, PricePlan, USUAL_BASES};
use crate::intake::rows::Row;
use crate::intake::statements::per_in;
use crate::normalise::offer::Flag;
use crate::normalise::vocabulary::Vocabulary;
use crate::trade::folding::fold;
use crate::trade::money::read_pack_quantity;
use crate::trade::sale_unit::{SaleUnit, read_sale_unit};

/// Largest pack that is believed.
pub(super) const LARGEST_PACK: u32 = 100_000;

/// What a line names as its pack.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pack {
    /// Pieces, 1 when no pack is named.
    pub(super) pieces: u32,
    /// The number of pieces that orders must be a multiple of, by a column.
    pub(super) multiple: Option<u32>,
    /// Whether the line itself shows that the pack is what is sold and priced.
    pub(super) shown_as_sold: bool,
    /// Pieces in the unit that the line is sold in, where that is a dozen or a hundred.
    pub(super) of_unit: Option<u32>,
}

impl PricePlan {
    /// What a line names as its pack, by its columns and its title.
    pub(super) fn pack(&self, row: &Row<'_>, title_pack: Option<u32>, flags: &mut Vec<Flag>) -> Pack {
        let of_column = self.pack.and_then(|index| quantity(row.cell(index)));
        let (of_column, multiple) = if self.pack_is_multiple {
            (None, of_column)
        } else {
            (of_column, None)
        };
        let unit = self.unit_of_measure.map_or("", |index| row.cell(index));
        let of_unit = pack_in_unit(unit);
        let stated = of_column.filter(|pack| *pack > 1).or(of_unit).or(of_column);
        if let (Some(column), Some(title)) = (stated, title_pack)
            && column != title
            && column > 1
        {
            flags.push(Flag::PackQuantitiesDiffer);
        }
        let pieces = match stated {
            Some(column) if column > 1 => column,
            _ => title_pack.or(stated).unwrap_or(1),
        };
        let sold_by_the_pack = || {
            matches!(
                read_sale_unit(unit),
                Some(SaleUnit::Pack | SaleUnit::Set | SaleUnit::Pair)
            )
        };
        Pack {
            pieces: pieces.clamp(1, LARGEST_PACK),
            multiple,
            of_unit: read_sale_unit(unit).and_then(SaleUnit::pieces),
            shown_as_sold: pieces > 1
                && (of_unit.is_some() || (of_column == title_pack && title_pack.is_some()) || sold_by_the_pack()),
        }
    }

    /// What the price of a line is of: the cell beside it, else the list.
    pub(super) fn price_of_row(&self, vocabulary: &Vocabulary, row: &Row<'_>) -> PriceOf {
        let Some(index) = self.basis else { return self.price_of };
        let cell = fold(row.cell(index));
        if vocabulary.per_pack.iter().any(|word| contains_words(&cell, word)) {
            PriceOf::Pack
        } else if vocabulary.per_piece.iter().any(|word| contains_words(&cell, word)) {
            PriceOf::Pieces(1)
        } else {
            // "100" under "Preiseinheit", "per dozen"
            let pieces = cell.trim().parse::<u32>().ok().or_else(|| per_in(&cell));
            pieces
                .filter(|pieces| USUAL_BASES.contains(pieces))
                .map_or(self.price_of, PriceOf::Pieces)
        }
    }
}

/// A plain or worded quantity.
pub(super) fn quantity(cell: &str) -> Option<u32> {
    let cell = cell.trim();
    if cell.is_empty() {
        return None;
    }
    let plain = cell.parse::<u32>().ok();
    plain
        .or_else(|| read_pack_quantity(cell))
        .filter(|quantity| (1..=LARGEST_PACK).contains(quantity))
}

/// A quantity in a cell of units ("set of 2", "PK10"); a bare number there is no quantity.
fn pack_in_unit(cell: &str) -> Option<u32> {
    let cell = cell.trim();
    if cell.len() < 2
        || !cell.bytes().any(|byte| byte.is_ascii_digit())
        || cell.bytes().all(|byte| byte.is_ascii_digit())
    {
        return None;
    }
    read_pack_quantity(cell).filter(|quantity| (2..=LARGEST_PACK).contains(quantity))
}
