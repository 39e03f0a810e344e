//! Rows of the cross-reference and of the links between its offers.

use super::super::column::ColumnType::{Money, Number, Probability, Text, Whole};
use super::super::column::table;
use compact_str::CompactString;
use rust_decimal::Decimal;
use std::sync::Arc;

table! {
    /// One row per offer: what it is, what it fits with, what it costs delivered, how sure that is.
    "crossref" => struct CrossrefRow {
        /// Fit group: parts that bolt on and work in place of each other
        group_id: CompactString => Text, WhenKnown;
        /// Product: the very same made part
        product_id: CompactString => Text, Always;
        /// Kind of part, such as recoil-starter, shroud or assembly
        part_kind: CompactString => Text, Always;
        /// Engine family whose interface the part shares
        family: CompactString => Text, WhenKnown;
        /// Size class: the band of displacements inside the family
        size_class: CompactString => Text, WhenKnown;
        /// Supplier: the profile's name, or the stem of the file
        supplier: Arc<str> => Text, Always;
        /// The supplier's own number for the line
        supplier_sku: CompactString => Text, WhenKnown;
        /// Brand as the supplier states it
        brand: CompactString => Text, WhenKnown;
        /// Maker's part number
        mpn: CompactString => Text, WhenKnown;
        /// GTIN with a sound check digit
        gtin: CompactString => Text, WhenKnown;
        /// The supplier's wording, unchanged
        description: String => Text, WhenKnown;
        /// Displacements served in cubic centimetres: values joined by ; or a range
        displacement_cc: CompactString => Text, WhenKnown;
        /// Count of mounting holes
        bolt_holes: Option<u8> => Whole, WhenKnown;
        /// Bolt circle diameter in millimetres
        bolt_circle_mm: Option<f64> => Number { decimals: 2 }, WhenKnown;
        /// Mounting thread, or the threads it may be joined by |
        thread: CompactString => Text, WhenKnown;
        /// Width across flats of the screw head in millimetres
        head_af_mm: Option<f64> => Number { decimals: 2 }, WhenKnown;
        /// Pieces in the pack that the list price buys
        pack_qty: Option<u32> => Whole, WhenKnown;
        /// Price of one piece in the supplier's currency
        unit_price: Option<Decimal> => Money, WhenKnown;
        /// ISO 4217 code of the unit price
        currency: CompactString => Text, WhenKnown;
        /// Delivered cost of one piece in the home currency, from what is known
        landed_price: Option<Decimal> => Money, WhenKnown;
        /// What is missing from the landed price
        landed_note: CompactString => Text, WhenKnown;
        /// Place in the fit group by landed price, 1 the cheapest
        rank_in_group: Option<u32> => Whole, WhenKnown;
        /// Probability that the part truly belongs to the fit group
        confidence: f64 => Probability, Always;
        /// Probability that the offer truly is this product
        product_confidence: f64 => Probability, Always;
        /// What speaks for and against, claim by claim
        evidence: String => Text, WhenKnown;
        /// The one measurement or fact that would settle most
        measure_first: CompactString => Text, WhenKnown;
        /// File the line stands in, with # and the sheet for a workbook
        source_file: Arc<str> => Text, Always;
        /// Line the record starts at, counted from 1
        source_line: u32 => Whole, Always;
        /// Smallest order in pieces
        minimum_order: Option<u32> => Whole, WhenKnown;
        /// Orders are whole multiples of so many pieces
        order_multiple: Option<u32> => Whole, WhenKnown;
        /// Prices of one piece at larger quantities, as pieces:price joined by ;, and the price of one in full where
        /// it does not end within four decimals
        price_breaks: CompactString => Text, WhenKnown;
        /// Whether the price is net or gross of tax, where anything says
        price_basis: CompactString => Text, WhenKnown;
        /// Stock: pieces, pieces with + for so many or more, yes or no
        stock: CompactString => Text, WhenKnown;
        /// Days until delivery at the latest, as the line or the supplier's profile says
        lead_time_days: Option<u16> => Whole, WhenKnown;
        /// Weight of one piece in grams
        weight_g: Option<f64> => Number { decimals: 1 }, WhenKnown;
        /// Country of origin, ISO 3166-1 alpha-2
        origin: CompactString => Text, WhenKnown;
    }
}

table! {
    /// One row per pair of offers compared and kept, at probability 0.05 or more.
    "links" => struct LinkRow {
        /// Supplier of the first offer
        supplier_a: Arc<str> => Text, Always;
        /// Its number for the line
        supplier_sku_a: CompactString => Text, WhenKnown;
        /// Supplier of the second offer
        supplier_b: Arc<str> => Text, Always;
        /// Its number for the line
        supplier_sku_b: CompactString => Text, WhenKnown;
        /// Probability that both are the very same product
        probability: f64 => Probability, Always;
        /// Weight of evidence of the identifiers, in bits
        identifiers_bits: Option<f64> => Number { decimals: 3 }, WhenKnown;
        /// Weight of evidence of the wording, in bits
        wording_bits: Option<f64> => Number { decimals: 3 }, WhenKnown;
        /// Weight of evidence of kind, fit and other claims, in bits
        claims_bits: Option<f64> => Number { decimals: 3 }, WhenKnown;
        /// Weight of evidence of prices and weights, in bits
        price_bits: Option<f64> => Number { decimals: 3 }, WhenKnown;
        /// Weight of evidence of rival candidates, in bits
        rivals_bits: Option<f64> => Number { decimals: 3 }, WhenKnown;
        /// What became of the pair, in words
        outcome: CompactString => Text, WhenKnown;
        /// File of the first offer
        source_file_a: Arc<str> => Text, Always;
        /// Line of the first offer
        source_line_a: u32 => Whole, Always;
        /// File of the second offer
        source_file_b: Arc<str> => Text, Always;
        /// Line of the second offer
        source_line_b: u32 => Whole, Always;
    }
}
