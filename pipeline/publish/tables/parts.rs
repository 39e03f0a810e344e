//! Rows of fit groups, products and the numbers they are asked for by.

use super::super::column::ColumnType::{Money, Number, Probability, Text, Whole};
use super::super::column::table;
use compact_str::CompactString;
use rust_decimal::Decimal;

table! {
    /// One row per fit group: products that bolt on and work in place of each other.
    "groups" => struct GroupRow {
        /// Fit group
        group_id: CompactString => Text, Always;
        /// A name a mechanic would say
        name: String => Text, Always;
        /// Kind of part
        part_kind: CompactString => Text, Always;
        /// Engine family
        family: CompactString => Text, WhenKnown;
        /// Size class inside the family
        size_class: CompactString => Text, WhenKnown;
        /// Displacement band in cubic centimetres
        displacement_cc: CompactString => Text, WhenKnown;
        /// Count of mounting holes
        bolt_holes: Option<u8> => Whole, WhenKnown;
        /// Bolt circle diameter in millimetres
        bolt_circle_mm: Option<f64> => Number { decimals: 2 }, WhenKnown;
        /// Half width of the bolt circle's uncertainty, plus or minus millimetres
        bolt_circle_tolerance_mm: Option<f64> => Number { decimals: 2 }, WhenKnown;
        /// Mounting thread
        thread: CompactString => Text, WhenKnown;
        /// Engine codes served, joined by ;
        engine_codes: String => Text, WhenKnown;
        /// Count of products in the group
        products: u32 => Whole, Always;
        /// Count of offers in the group
        offers: u32 => Whole, Always;
        /// Landed price of the cheapest offer that is sure enough
        cheapest_landed: Option<Decimal> => Money, WhenKnown;
        /// Who sells it
        cheapest_supplier: CompactString => Text, WhenKnown;
        /// Home currency of the landed price
        currency: CompactString => Text, WhenKnown;
        /// Mean confidence of the offers in the group
        confidence: f64 => Probability, Always;
        /// Fit groups this one also answers: an assembly covers a starter and a shroud need; joined by ;
        covers_groups: String => Text, WhenKnown;
        /// Groups of the same kind that may be one with this, and what would settle it; joined by ;
        possibly_same: String => Text, WhenKnown;
    }
}

table! {
    /// One row per product: the very same made part, whoever sells it.
    "products" => struct ProductRow {
        /// Product
        product_id: CompactString => Text, Always;
        /// Fit group it belongs to
        group_id: CompactString => Text, WhenKnown;
        /// Kind of part
        part_kind: CompactString => Text, Always;
        /// Wording of its clearest offer
        name: String => Text, WhenKnown;
        /// Brands it is sold under, joined by ;
        brands: String => Text, WhenKnown;
        /// Maker's part numbers, joined by ;
        mpns: String => Text, WhenKnown;
        /// GTINs, joined by ;
        gtins: String => Text, WhenKnown;
        /// Numbers it replaces, joined by ;
        replaces: String => Text, WhenKnown;
        /// Displacements served in cubic centimetres
        displacement_cc: CompactString => Text, WhenKnown;
        /// Count of offers
        offers: u32 => Whole, Always;
        /// Count of suppliers
        suppliers: u32 => Whole, Always;
        /// Landed price of the cheapest offer
        cheapest_landed: Option<Decimal> => Money, WhenKnown;
        /// Who sells it
        cheapest_supplier: CompactString => Text, WhenKnown;
        /// Home currency of the landed price
        currency: CompactString => Text, WhenKnown;
        /// Confidence that the product belongs to the fit group
        confidence: f64 => Probability, Always;
    }
}

table! {
    /// One row per number, place and product: the numbers to find parts by, sorted by place and canonical form.
    "numbers" => struct NumberRow {
        /// The form in which all spellings of the number are the same
        canonical: CompactString => Text, Always;
        /// As published
        number: CompactString => Text, Always;
        /// Where it stands: number, replaced or wording
        place: CompactString => Text, Always;
        /// Fit group of the part that carries it
        group_id: CompactString => Text, WhenKnown;
        /// Product that carries it
        product_id: CompactString => Text, Always;
    }
}
