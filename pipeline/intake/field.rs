//! The fields a supplier's column can be mapped to. This is the closed vocabulary of intake: header words, profiles and
//! the later stages all speak of columns by these names, and a column that is none of them is `Ignored`, never dropped
//! without a word. Intake says which column is which; what the cells mean is the next stage's work.

use serde::{Deserialize, Serialize};
use std::fmt;

/// What a column of a supplier's list is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Field {
    /// The supplier's own article number.
    Sku,
    /// The part maker's number, or the engine maker's number of the part.
    Mpn,
    /// Numbers this part stands in for ("replaces", "OE reference"), often a list in one cell.
    Replaces,
    /// The maker of the part.
    Brand,
    /// Bar code number: EAN, UPC, GTIN.
    Gtin,
    /// The short name of the article.
    Title,
    /// The longer text.
    Description,
    /// The supplier's grouping of articles.
    Category,
    /// Engines or machines the part is said to fit, as free text.
    Fits,
    /// Engine type code such as `168F-2`.
    EngineCode,
    /// Swept volume.
    Displacement,
    /// Engine power.
    Power,
    /// How many mounting holes.
    BoltHoles,
    /// Distance between mounting holes, or their circle.
    BoltSpacing,
    /// Screw, thread or head width.
    Fastener,
    /// Diameter of the mounting holes.
    HoleDiameter,
    /// Depth or height of the part.
    Depth,
    /// How many pawls or teeth the starter engages with.
    Pawls,
    /// Colour of the part.
    Colour,
    /// Asking price.
    Price,
    /// Currency of the price, when it has a column of its own.
    Currency,
    /// Net or gross, per piece or per pack.
    PriceBasis,
    /// Pieces in a pack.
    PackQuantity,
    /// Least quantity that can be ordered.
    MinimumOrder,
    /// Quantity from which a lower price holds.
    QuantityBreak,
    /// Piece, set, pack of ten.
    UnitOfMeasure,
    /// Quantity on the shelf.
    Stock,
    /// Time until delivery.
    LeadTime,
    /// Mass of the article.
    Weight,
    /// Tax rate or tax class.
    Tax,
    /// Shipping cost or class.
    Shipping,
    /// Country of origin.
    Origin,
    /// Customs tariff number.
    TariffCode,
    /// Anything else the supplier remarks.
    Remark,
    /// A column that is read and kept, but means nothing to this program.
    Ignored,
}

const NAMES: [(Field, &str); 35] = [
    (Field::Sku, "sku"),
    (Field::Mpn, "mpn"),
    (Field::Replaces, "replaces"),
    (Field::Brand, "brand"),
    (Field::Gtin, "gtin"),
    (Field::Title, "title"),
    (Field::Description, "description"),
    (Field::Category, "category"),
    (Field::Fits, "fits"),
    (Field::EngineCode, "engine_code"),
    (Field::Displacement, "displacement"),
    (Field::Power, "power"),
    (Field::BoltHoles, "bolt_holes"),
    (Field::BoltSpacing, "bolt_spacing"),
    (Field::Fastener, "fastener"),
    (Field::HoleDiameter, "hole_diameter"),
    (Field::Depth, "depth"),
    (Field::Pawls, "pawls"),
    (Field::Colour, "colour"),
    (Field::Price, "price"),
    (Field::Currency, "currency"),
    (Field::PriceBasis, "price_basis"),
    (Field::PackQuantity, "pack_quantity"),
    (Field::MinimumOrder, "minimum_order"),
    (Field::QuantityBreak, "quantity_break"),
    (Field::UnitOfMeasure, "unit_of_measure"),
    (Field::Stock, "stock"),
    (Field::LeadTime, "lead_time"),
    (Field::Weight, "weight"),
    (Field::Tax, "tax"),
    (Field::Shipping, "shipping"),
    (Field::Origin, "origin"),
    (Field::TariffCode, "tariff_code"),
    (Field::Remark, "remark"),
    (Field::Ignored, "ignored"),
];

impl Field {
    /// Every field, in the order of the declaration.
    pub fn all() -> impl Iterator<Item = Field> {
        NAMES.iter().map(|(field, _)| *field)
    }

    /// The name used in profiles and messages, `snake_case`.
    pub fn name(self) -> &'static str {
        NAMES[self as usize].1
    }

    /// The field of that name, exactly as `name` writes it.
    pub fn from_name(name: &str) -> Option<Field> {
        NAMES.iter().find(|(_, known)| *known == name).map(|(field, _)| *field)
    }

    /// The known name nearest to a mistyped one, for "did you mean".
    pub fn nearest_name(name: &str) -> Option<&'static str> {
        NAMES
            .iter()
            .map(|(_, known)| (strsim::jaro_winkler(known, name), *known))
            .filter(|(likeness, _)| *likeness >= 0.75)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, known)| known)
    }

    /// Whether a list whose only known column is this one still says something about parts. A list with none of these
    /// is refused rather than read as a table of blanks.
    pub fn tells_a_part(self) -> bool {
        matches!(
            self,
            Field::Sku
                | Field::Mpn
                | Field::Replaces
                | Field::Gtin
                | Field::Title
                | Field::Description
                | Field::Fits
                | Field::EngineCode
        )
    }
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_leads_back_to_its_field() {
        for field in Field::all() {
            assert_eq!(Field::from_name(field.name()), Some(field));
        }
    }

    #[test]
    fn a_mistyped_name_finds_its_neighbour() {
        assert_eq!(Field::nearest_name("bolt_hole"), Some("bolt_holes"));
        assert_eq!(Field::nearest_name("prize"), Some("price"));
        assert_eq!(Field::nearest_name("zzz"), None);
    }
}
