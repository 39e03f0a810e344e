//! An offer: one line of one supplier's list, understood; and what a line becomes when it is not an offer.
//!
//! Everything read from the line is kept beside the raw words. Nothing is compared with other lines here.

use serde::{Deserialize, Serialize};
use std::sync::Arc;

use compact_str::CompactString;
use rust_decimal::Decimal;

use super::claim::Claim;
use super::kind::KindReading;
use crate::intake::field::Field;
use crate::intake::problem::Reject;
use crate::intake::profile::PriceBasis;
use crate::trade::gtin::{Gtin, GtinReading};
use crate::trade::money::Currency;

/// What a number is to the line that shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum NumberRole {
    /// The maker's number of the part itself.
    Maker,
    /// A number that this part replaces.
    Replaces,
    /// A token shaped like a part number in a title or description.
    InTitle,
    /// The supplier's own number.
    Sku,
}

impl NumberRole {
    /// The name used in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Maker => "maker",
            Self::Replaces => "replaces",
            Self::InTitle => "in-title",
            Self::Sku => "sku",
        }
    }
}

/// One part number on a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartNumber {
    /// What it is to the line.
    pub role: NumberRole,
    /// Canonical form (`trade::identifier::canonical_number`); empty for a placeholder.
    pub canonical: CompactString,
    /// As written.
    pub raw: CompactString,
    /// Whether it may be matched on: false for placeholders and for what a spreadsheet has damaged.
    pub usable: bool,
}

/// The barcode cell of a line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Barcode {
    /// What was read.
    pub reading: GtinReading,
    /// As written.
    pub raw: CompactString,
}

impl Barcode {
    /// The number, when its check digit is right; a restored leading zero counts.
    pub fn gtin(&self) -> Option<Gtin> {
        match self.reading {
            GtinReading::Sound(gtin) | GtinReading::Restored(gtin) => Some(gtin),
            _ => None,
        }
    }
}

/// Price of one piece when at least `from` are ordered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PriceBreak {
    /// Smallest quantity, in pieces.
    pub from: u32,
    /// Price of one piece.
    pub unit_price: Decimal,
}

/// The price of a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Price {
    /// The amount as listed, for `pack_qty` pieces.
    pub amount: Decimal,
    /// Its currency, if the line, the header or the profile says.
    pub currency: Option<Currency>,
    /// Pieces that the amount buys.
    pub pack_qty: u32,
    /// Exact price of one piece, rounded half-even to six decimals when the division does not end.
    pub unit_price: Decimal,
    /// Smallest order, in pieces.
    pub minimum_order: Option<u32>,
    /// Orders are whole multiples of so many pieces, 1 when nothing is said.
    pub order_multiple: u32,
    /// Whether tax is in the price, where profile, line, heading or preamble says.
    pub basis: Option<PriceBasis>,
    /// Prices at larger quantities, by rising quantity.
    pub breaks: Vec<PriceBreak>,
}

/// Terms beside the price, as written (entities decoded), for the landed price.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Terms {
    /// What the price is stated for (net, gross, per 100 ...).
    pub price_basis: CompactString,
    /// Unit of measure.
    pub unit_of_measure: CompactString,
    /// Stock.
    pub stock: CompactString,
    /// Lead time.
    pub lead_time: CompactString,
    /// Days until delivery at the latest, when readable.
    pub lead_time_days: Option<u16>,
    /// Weight as written.
    pub weight: CompactString,
    /// Weight of one pack in grams, when readable.
    pub weight_g: Option<Decimal>,
    /// Tax.
    pub tax: CompactString,
    /// Shipping.
    pub shipping: CompactString,
    /// Country of origin.
    pub origin: CompactString,
    /// Customs tariff code.
    pub tariff_code: CompactString,
    /// Remark.
    pub remark: CompactString,
}

/// Something about a sound line that later stages and readers should know.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Flag {
    /// No price cell, or an empty one.
    PriceMissing,
    /// A price cell that could not be read.
    PriceUnreadable,
    /// Price on request.
    PriceOnRequest,
    /// A price of zero.
    PriceZero,
    /// A price without a currency.
    CurrencyUnknown,
    /// The pack quantities of column and title differ; the column was taken.
    PackQuantitiesDiffer,
    /// A pack is named, but not whether the price is of the pack or of one piece; it was taken as one of the piece,
    /// the reading that makes nothing look cheaper than it is.
    PackPriceUnsure,
    /// An identifier that a spreadsheet has damaged.
    IdentifierDamaged,
    /// A barcode with a wrong check digit.
    BarcodeUnsound,
    /// The title embraces several size classes, or calls itself universal.
    Universal,
    /// Stated power and stated displacement disagree by more than 20 %.
    PowerAgainstDisplacement,
    /// Category and title name different kinds.
    KindsDisagree,
    /// The kind rests on a bare word that also names a look-alike.
    KindUncertain,
}

impl Flag {
    /// The name used in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::PriceMissing => "price-missing",
            Self::PriceUnreadable => "price-unreadable",
            Self::PriceOnRequest => "price-on-request",
            Self::PriceZero => "price-zero",
            Self::CurrencyUnknown => "currency-unknown",
            Self::PackQuantitiesDiffer => "pack-quantities-differ",
            Self::PackPriceUnsure => "pack-price-unsure",
            Self::IdentifierDamaged => "identifier-damaged",
            Self::BarcodeUnsound => "barcode-unsound",
            Self::Universal => "universal",
            Self::PowerAgainstDisplacement => "power-against-displacement",
            Self::KindsDisagree => "kinds-disagree",
            Self::KindUncertain => "kind-uncertain",
        }
    }
}

/// A sound line in scope.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Offer {
    /// File as shown, with `#Sheet` appended for a sheet of a workbook.
    #[serde(skip)]
    pub file: Arc<str>,
    /// Physical line at which the record starts, 1-based.
    pub line: u32,
    /// Supplier.
    #[serde(skip)]
    pub supplier: Arc<str>,
    /// Supplier's own number, as written; empty when there is none.
    pub sku: CompactString,
    /// Brand of the part, as written; empty when there is none.
    pub brand: CompactString,
    /// Title (or description when there is no title), entities decoded; empty when there is none.
    pub title: CompactString,
    /// Description, when there is one beside the title.
    pub description: CompactString,
    /// What it is. The kind is always in scope; an out-of-scope kind may lead among the alternatives.
    pub kind: KindReading,
    /// What the line says, in the order of its fields.
    pub claims: Vec<Claim>,
    /// Its part numbers, in the order of its fields, each canonical form once per role.
    pub numbers: Vec<PartNumber>,
    /// Its barcode, when the cell is not empty.
    pub barcode: Option<Barcode>,
    /// Its price, when readable.
    pub price: Option<Price>,
    /// Pieces in the pack sold, 1 when nothing is said.
    pub pack_qty: u32,
    /// Terms beside the price, when the list has any.
    pub terms: Option<Box<Terms>>,
    /// Remarks for later stages, sorted.
    pub flags: Vec<Flag>,
}

impl Offer {
    /// The barcode's number, when sound.
    pub fn gtin(&self) -> Option<Gtin> {
        self.barcode.as_ref().and_then(Barcode::gtin)
    }

    /// The first usable number of the maker, as written.
    pub fn maker_number(&self) -> Option<&PartNumber> {
        self.numbers
            .iter()
            .find(|number| number.role == NumberRole::Maker && number.usable)
    }

    /// Whether the line carries this flag.
    pub fn has(&self, flag: Flag) -> bool {
        self.flags.contains(&flag)
    }
}

/// A line that was read well but sells something out of scope.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetAside {
    /// File as shown, with `#Sheet` appended for a sheet of a workbook.
    #[serde(skip)]
    pub file: Arc<str>,
    /// Physical line at which the record starts, 1-based.
    pub line: u32,
    /// Supplier.
    #[serde(skip)]
    pub supplier: Arc<str>,
    /// Supplier's own number, as written.
    pub sku: CompactString,
    /// Title, entities decoded.
    pub title: CompactString,
    /// Name of the kind it was taken for (`rope`, `starter-motor` ...), or `unclear`.
    pub what: CompactString,
    /// The cues that decided, and how sure that is.
    pub why: CompactString,
    /// Probability that it is out of scope.
    pub probability: f32,
    /// Its price, when readable.
    pub price: Option<Price>,
    /// Pieces in the pack sold, 1 when nothing is said.
    pub pack_qty: u32,
    /// Terms beside the price, when the list has any.
    pub terms: Option<Box<Terms>>,
    /// Whether a pack is named and not said whether the price is of the pack or of one piece.
    pub pack_price_unsure: bool,
    /// What the line says.
    pub claims: Vec<Claim>,
    /// Its part numbers.
    pub numbers: Vec<PartNumber>,
}

/// What one row became.
#[derive(Clone, Debug)]
#[allow(
    clippy::large_enum_variant,
    reason = "lines are moved once into their table; most are offers"
)]
pub enum Line {
    /// Sound and in scope.
    Offer(Offer),
    /// Read well, out of scope.
    SetAside(SetAside),
    /// Not readable as a line.
    Reject(Reject),
}

/// Where a piece of text came from, for claims read outside a list.
pub const FREE_TEXT: Field = Field::Title;
