//! Rows of lines that are no offers: set aside, or rejected.

use super::super::column::ColumnType::{Money, Text, Whole};
use super::super::column::table;
use compact_str::CompactString;
use rust_decimal::Decimal;
use std::sync::Arc;

table! {
    /// One row per line that was read well but is not a part kind in scope.
    "set-aside" => struct SetAsideRow {
        /// File the line stands in, with # and the sheet for a workbook
        file: Arc<str> => Text, Always;
        /// Line the record starts at
        line: u32 => Whole, Always;
        /// Supplier
        supplier: Arc<str> => Text, Always;
        /// The supplier's number for the line
        supplier_sku: CompactString => Text, WhenKnown;
        /// What it is instead, such as rope or starter-motor
        what: CompactString => Text, WhenKnown;
        /// Why it was set aside, in words
        reason: String => Text, WhenKnown;
        /// The supplier's wording, unchanged
        description: String => Text, WhenKnown;
        /// Price of one piece in the supplier's currency
        unit_price: Option<Decimal> => Money, WhenKnown;
        /// ISO 4217 code of the price
        currency: CompactString => Text, WhenKnown;
        /// Maker's part number
        part_number: CompactString => Text, WhenKnown;
        /// Delivered cost of one piece in the home currency, from what is known
        landed_price: Option<Decimal> => Money, WhenKnown;
        /// What is missing from the landed price
        landed_note: CompactString => Text, WhenKnown;
        /// Displacements it is for in cubic centimetres: values joined by ; or a range
        displacement_cc: CompactString => Text, WhenKnown;
        /// Engine codes it is for, joined by ;
        engine_codes: String => Text, WhenKnown;
        /// Stock: pieces, pieces with + for so many or more, yes or no
        stock: CompactString => Text, WhenKnown;
        /// Days until delivery at the latest
        lead_time_days: Option<u16> => Whole, WhenKnown;
    }
}

table! {
    /// One row per line, or whole file, that could not be read.
    "rejects" => struct RejectRow {
        /// File, with # and the sheet for a workbook
        file: Arc<str> => Text, Always;
        /// Line the record starts at; none when the whole file failed
        line: Option<u32> => Whole, WhenKnown;
        /// Column, counted from 1, where one column is to blame
        column: Option<u32> => Whole, WhenKnown;
        /// Problem code
        code: CompactString => Text, Always;
        /// What was found and what was expected
        message: String => Text, Always;
        /// What to do about it
        hint: String => Text, WhenKnown;
        /// The line as it stands in the file
        raw: String => Text, WhenKnown;
    }
}
