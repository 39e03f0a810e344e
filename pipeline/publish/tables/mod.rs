//! The rows of every table a run publishes, column by column in the order of the files.
//!
//! A *row* here is finished: worded, rounded where needed and resolved to the ids of the run. Nothing
//! in it depends on the time of day, on the machine or on where the input lay, so the same lists give
//! the same bytes. Texts a supplier wrote are kept as they came; each writer makes them inert for its
//! own kind of file.

mod lines;
mod lists;
mod offers;
mod parts;
mod questions;

use super::nightly_tables::{ChangeRow, IdRow, PriceRow};

pub use lines::{RejectRow, SetAsideRow};
pub use lists::{SupplierRow, TrackRecordRow, source_name};
pub use offers::{CrossrefRow, LinkRow};
pub use parts::{GroupRow, NumberRow, ProductRow};
pub use questions::ReviewRow;

/// Everything a run publishes as tables. The order of the rows does not matter: they are sorted on the
/// way out by keys that depend on nothing but the lists.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RunTables {
    pub crossref: Vec<CrossrefRow>,
    pub links: Vec<LinkRow>,
    pub groups: Vec<GroupRow>,
    pub products: Vec<ProductRow>,
    pub set_aside: Vec<SetAsideRow>,
    pub rejects: Vec<RejectRow>,
    pub suppliers: Vec<SupplierRow>,
    pub track_records: Vec<TrackRecordRow>,
    pub review: Vec<ReviewRow>,
    /// What changed since the run before; empty in a run that follows none.
    pub changes: Vec<ChangeRow>,
    /// Prices and since when they hold; empty in a run that follows none.
    pub prices: Vec<PriceRow>,
    /// What became of ids; empty in a run that follows none.
    pub ids: Vec<IdRow>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::column::{Cell, Column, TableRow};
    use crate::publish::sample::small_run;

    fn names(columns: &[Column]) -> Vec<&'static str> {
        columns.iter().map(|column| column.name).collect()
    }

    #[test]
    fn the_cross_reference_has_its_columns_in_the_promised_order() {
        let promised = "group_id, product_id, part_kind, family, size_class, supplier, supplier_sku, brand, mpn, gtin, \
             description, displacement_cc, bolt_holes, bolt_circle_mm, thread, head_af_mm, pack_qty, unit_price, \
             currency, landed_price, landed_note, rank_in_group, confidence, product_confidence, evidence, \
             measure_first, source_file, source_line, minimum_order, order_multiple, price_breaks, price_basis, stock, \
             lead_time_days, weight_g, origin";
        let promised: Vec<&str> = promised.split(',').map(str::trim).collect();
        assert_eq!(names(CrossrefRow::COLUMNS), promised);
    }

    #[test]
    fn a_cell_is_found_under_the_index_of_its_column() {
        let row = CrossrefRow {
            origin: "CN".into(),
            ..CrossrefRow::default()
        };
        let last = CrossrefRow::COLUMNS.len() - 1;
        assert_eq!(row.cell(last), Cell::Text("CN"));
        assert_eq!(row.cell(last + 1), Cell::Missing);
    }

    #[test]
    fn a_row_is_made_of_its_own_cells_again() {
        for row in small_run().crossref {
            assert_eq!(CrossrefRow::from_cells(|at| row.cell(at)), row);
        }
    }

    #[test]
    fn a_sheet_is_named_after_its_file() {
        let row = SupplierRow {
            file: "north.xlsx".into(),
            sheet: "Starters".into(),
            ..SupplierRow::default()
        };
        assert_eq!(&*row.source_name(), "north.xlsx#Starters");
    }
}
