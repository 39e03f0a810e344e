//! From the fields of a row to cells, and back.

use super::columns::Cell;
use compact_str::CompactString;
use rust_decimal::Decimal;
use std::sync::Arc;

/// A field of a row struct that can stand in a cell and be read out of one.
pub trait AsCell: Sized {
    fn as_cell(&self) -> Cell<'_>;
    /// The value in a cell; nothing if it is missing or of another type.
    fn from_cell(cell: Cell<'_>) -> Option<Self>;
}

macro_rules! text_cells {
    ($($text:ty),*) => {$(
        impl AsCell for $text {
            #[inline]
            fn as_cell(&self) -> Cell<'_> {
                if self.is_empty() { Cell::Missing } else { Cell::Text(self) }
            }

            fn from_cell(cell: Cell<'_>) -> Option<Self> {
                match cell {
                    Cell::Text(text) => Some(text.into()),
                    _ => None,
                }
            }
        }
    )*};
}
text_cells!(CompactString, String, Arc<str>);

macro_rules! whole_cells {
    ($($whole:ty),*) => {$(
        impl AsCell for $whole {
            #[inline]
            fn as_cell(&self) -> Cell<'_> {
                Cell::Whole(u64::from(*self))
            }

            fn from_cell(cell: Cell<'_>) -> Option<Self> {
                match cell {
                    Cell::Whole(whole) => whole.try_into().ok(),
                    _ => None,
                }
            }
        }
    )*};
}
whole_cells!(u8, u16, u32, u64);

impl AsCell for f64 {
    #[inline]
    fn as_cell(&self) -> Cell<'_> {
        if self.is_finite() {
            Cell::Number(*self)
        } else {
            Cell::Missing
        }
    }

    fn from_cell(cell: Cell<'_>) -> Option<Self> {
        match cell {
            Cell::Number(number) => Some(number),
            _ => None,
        }
    }
}

impl AsCell for Decimal {
    #[inline]
    fn as_cell(&self) -> Cell<'_> {
        Cell::Money(*self)
    }

    fn from_cell(cell: Cell<'_>) -> Option<Self> {
        match cell {
            Cell::Money(amount) => Some(amount),
            _ => None,
        }
    }
}

impl<T: AsCell> AsCell for Option<T> {
    #[inline]
    fn as_cell(&self) -> Cell<'_> {
        self.as_ref().map_or(Cell::Missing, AsCell::as_cell)
    }

    fn from_cell(cell: Cell<'_>) -> Option<Self> {
        Some(T::from_cell(cell))
    }
}
