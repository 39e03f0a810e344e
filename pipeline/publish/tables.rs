//! The rows of every table a run publishes, column by column in the order of the files.
//!
//! A *row* here is finished: worded, rounded where needed and resolved to the ids of the run. Nothing
//! in it depends on the time of day, on the machine or on where the input lay, so the same lists give
//! the same bytes. Texts a supplier wrote are kept as they came; each writer makes them inert for its
//! own kind of file.

use std::sync::Arc;

use compact_str::CompactString;
use rust_decimal::Decimal;

use super::column::ColumnType::{Money, Number, Probability, Text, Whole};
use super::column::table;
use super::nightly_tables::{ChangeRow, IdRow, PriceRow};

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

table! {
    /// One row per number, place and product: the numbers to find parts by, sorted by their canonical form.
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

table! {
    /// One row per question that a person can settle, the one worth most first; filled in, it is given back.
    "review" => struct ReviewRow {
        /// What a decision is worth: expected rows put right, counted up to four times as prices lie apart
        worth: f64 => Number { decimals: 3 }, Always;
        /// The question, in words
        asked: CompactString => Text, Always;
        /// The offer asked about, with its price
        this_offer: String => Text, Always;
        /// The other offer, or the fit group, with its price
        that: String => Text, Always;
        /// Probability, as far as the lists tell, that the answer is yes
        probability: f64 => Probability, Always;
        /// What speaks for a yes, the strongest first
        speaks_for: String => Text, WhenKnown;
        /// What speaks against it
        speaks_against: String => Text, WhenKnown;
        /// What to measure or ask, with the tool
        measure_first: String => Text, WhenKnown;
        /// To be filled in: same, different, fits, does not fit or wrong claim
        decision: CompactString => Text, WhenKnown;
        /// To be filled in: why, for whoever reads it later
        note: String => Text, WhenKnown;
        /// To be filled in: the day
        decided_on: CompactString => Text, WhenKnown;
        /// The claim meant by `wrong claim`: the one that speaks most against
        claim: String => Text, WhenKnown;
        /// Durable name of the offer asked about
        offer_a: String => Text, Always;
        /// Durable name of the other offer; of a fit group up to three that stand in it, joined by |
        offer_b: String => Text, Always;
        /// Fit group asked about
        group_id: CompactString => Text, WhenKnown;
        /// File of the offer asked about
        source_file: Arc<str> => Text, Always;
        /// Its line
        source_line: u32 => Whole, Always;
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
