//! Rows about the lists themselves: how each was read, and how far its claims hold.

use super::super::column::ColumnType::{Money, Probability, Text, Whole};
use super::super::column::table;
use compact_str::CompactString;
use rust_decimal::Decimal;
use std::sync::Arc;

table! {
    /// One row per list read: how it was read, what became of its lines, and how far its claims hold.
    "suppliers" => struct SupplierRow {
        /// Supplier
        supplier: Arc<str> => Text, Always;
        /// File, relative to the folder given
        file: Arc<str> => Text, Always;
        /// Sheet of a workbook
        sheet: CompactString => Text, WhenKnown;
        /// Text encoding and how it was known
        encoding: CompactString => Text, WhenKnown;
        /// Delimiter, quote and line end
        dialect: CompactString => Text, WhenKnown;
        /// Profile used; none when columns were detected
        profile: CompactString => Text, WhenKnown;
        /// Lines read, counted as records
        read: u64 => Whole, Always;
        /// Lines that became offers
        offers: u64 => Whole, Always;
        /// Lines set aside
        set_aside: u64 => Whole, Always;
        /// Lines rejected
        rejected: u64 => Whole, Always;
        /// Layout lines: preamble
        layout_preamble: u64 => Whole, Always;
        /// Layout lines: header
        layout_header: u64 => Whole, Always;
        /// Layout lines: header repeated further down
        layout_repeated_header: u64 => Whole, Always;
        /// Layout lines: units below the header
        layout_units: u64 => Whole, Always;
        /// Layout lines: section headings
        layout_section: u64 => Whole, Always;
        /// Layout lines: totals
        layout_total: u64 => Whole, Always;
        /// Layout lines: footnotes
        layout_footnote: u64 => Whole, Always;
        /// Layout lines: blank
        layout_blank: u64 => Whole, Always;
        /// Lines mended while reading, counted among the offers and lines set aside
        repaired: u64 => Whole, Always;
        /// Claims that other suppliers' claims could check
        checked_claims: u64 => Whole, Always;
        /// Of those, claims that the rest contradicts
        contradicted_claims: u64 => Whole, Always;
        /// Share of checkable claims that hold, lower end of the 95 % interval
        track_record_low: Option<f64> => Probability, WhenKnown;
        /// Share of checkable claims that hold, upper end of the 95 % interval
        track_record_high: Option<f64> => Probability, WhenKnown;
        /// Remarks on how the list was read, joined by ;
        notes: String => Text, WhenKnown;
        /// Country the supplier sends from, ISO 3166-1 alpha-2
        country: CompactString => Text, WhenKnown;
        /// Shipping per order, in the currency of the shipping terms; none without terms, 0.00 where terms name no sum
        shipping_flat: Option<Decimal> => Money, WhenKnown;
        /// Shipping per kilogram
        shipping_per_kg: Option<Decimal> => Money, WhenKnown;
        /// Orders from this value on travel free
        shipping_free_above: Option<Decimal> => Money, WhenKnown;
        /// ISO 4217 code of the shipping terms; none where they are in the currency of the prices
        shipping_currency: CompactString => Text, WhenKnown;
        /// Tax rate of the supplier's prices as a fraction, where the profile says
        tax_rate: Option<Decimal> => Money, WhenKnown;
    }
}

table! {
    /// One row per supplier and attribute: how many of its claims the rest could check, and how many it contradicts.
    "track-records" => struct TrackRecordRow {
        /// Supplier
        supplier: Arc<str> => Text, Always;
        /// Attribute, or `all` for all of them together
        attribute: CompactString => Text, Always;
        /// Claims that other claims of the same engine class could check
        checked: u64 => Whole, Always;
        /// Of those, claims that the rest contradicts
        contradicted: u64 => Whole, Always;
        /// Share contradicted, lower end of the 95 % interval
        share_low: Option<f64> => Probability, WhenKnown;
        /// Share contradicted
        share: Option<f64> => Probability, WhenKnown;
        /// Share contradicted, upper end of the 95 % interval
        share_high: Option<f64> => Probability, WhenKnown;
    }
}

impl SupplierRow {
    /// Layout lines of every sort.
    pub fn layout(&self) -> u64 {
        self.layout_preamble
            + self.layout_header
            + self.layout_repeated_header
            + self.layout_units
            + self.layout_section
            + self.layout_total
            + self.layout_footnote
            + self.layout_blank
    }

    /// The list as other tables name it in `source_file` and `file`.
    pub fn source_name(&self) -> Arc<str> {
        source_name(&self.file, &self.sheet)
    }
}

/// How a list is named in `source_file` and `file`: the file, and `#` with the sheet for a workbook.
pub fn source_name(file: &Arc<str>, sheet: &str) -> Arc<str> {
    if sheet.is_empty() {
        Arc::clone(file)
    } else {
        Arc::from(format!("{file}#{sheet}"))
    }
}
