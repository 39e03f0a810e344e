//! What one unit of an offer is: a piece, a pair, a set, a pack; read from codes and words.
//!
//! Codes of UN/ECE Recommendation 20, revision 17 (2021), as listed in GitHub
//! datasets/unece-units-of-measure. Its PK and PA are deleted; as package codes they live on in
//! Recommendation 21 (with a leading X in electronic invoices, value from memory), and lists use
//! them freely, so they are read. `KT` is Recommendation 20's "kit: tub, barrel or pail", not a kit
//! of parts, and is refused.

/// The unit in which an offer is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SaleUnit {
    /// One piece.
    Piece,
    /// Two pieces that belong together.
    Pair,
    /// Different pieces that belong together; how many is not said.
    Set,
    /// Several of the same piece; how many stands elsewhere.
    Pack,
    /// Twelve pieces.
    Dozen,
    /// A hundred pieces.
    Hundred,
}

impl SaleUnit {
    /// The code of Recommendation 20: `H87`, `PR`, `SET`, `NMP` (number of packs).
    pub const fn code(self) -> &'static str {
        match self {
            SaleUnit::Piece => "H87",
            SaleUnit::Pair => "PR",
            SaleUnit::Set => "SET",
            SaleUnit::Pack => "NMP",
            SaleUnit::Dozen => "DZN",
            SaleUnit::Hundred => "CEN",
        }
    }

    /// The number of equal pieces that the unit itself is; a price in such a unit is that of them all.
    pub const fn pieces(self) -> Option<u32> {
        match self {
            SaleUnit::Dozen => Some(12),
            SaleUnit::Hundred => Some(100),
            SaleUnit::Piece | SaleUnit::Pair | SaleUnit::Set | SaleUnit::Pack => None,
        }
    }
}

/// Reads a cell of a unit-of-measure column.
pub fn read_sale_unit(raw: &str) -> Option<SaleUnit> {
    let folded = super::folding::fold(raw);
    Some(match folded.trim_end_matches('.') {
        "h87" | "c62" | "ea" | "pce" | "pc" | "pcs" | "piece" | "pieces" | "each" | "unit" | "stk" | "st" | "stuck"
        | "u" | "ud" | "uds" | "unidad" | "pz" | "pezzo" | "pza" | "pieza" | "stuk" | "szt" | "sztuka" | "ks"
        | "个" | "件" | "只" => SaleUnit::Piece,
        "pr" | "pair" | "pairs" | "paar" | "paire" | "par" | "paio" | "para" | "对" => SaleUnit::Pair,
        "set" | "sets" | "satz" | "jeu" | "juego" | "serie" | "komplet" | "kpl" | "kmpl" | "zestaw" | "套" => {
            SaleUnit::Set
        }
        "nmp" | "pk" | "pa" | "xpk" | "xpa" | "pack" | "packs" | "packung" | "pkg" | "ve" | "paquet" | "paquete"
        | "conf" | "confezione" | "pak" | "opak" | "op" | "包" => SaleUnit::Pack,
        // DZN, DPC (dozen piece) and CEN are codes of Recommendation 20; "C" is a hundred to some and a carton to others
        "dzn" | "dpc" | "dz" | "doz" | "dozen" | "dtz" | "dutzend" | "douzaine" | "docena" | "dozzina" | "dozijn"
        | "tuzin" | "tucet" | "duzia" | "duzine" | "dussin" | "dusin" | "打" => SaleUnit::Dozen,
        "cen" | "hundred" | "hundert" => SaleUnit::Hundred,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_and_words_are_read() {
        for (raw, unit) in [
            ("H87", SaleUnit::Piece),
            ("C62", SaleUnit::Piece),
            ("szt.", SaleUnit::Piece),
            ("Stück", SaleUnit::Piece),
            ("PR", SaleUnit::Pair),
            ("kpl.", SaleUnit::Set),
            ("NMP", SaleUnit::Pack),
            ("VE", SaleUnit::Pack),
            ("DZ", SaleUnit::Dozen),
            ("DOZ.", SaleUnit::Dozen),
            ("CEN", SaleUnit::Hundred),
        ] {
            assert_eq!(read_sale_unit(raw), Some(unit), "{raw}");
            assert_eq!(read_sale_unit(unit.code()), Some(unit));
        }
    }

    #[test]
    fn measures_and_tubs_are_no_units_of_sale() {
        for raw in ["C", "KT", "kg", "mm", "", "10"] {
            assert_eq!(read_sale_unit(raw), None, "{raw}");
        }
    }
}
