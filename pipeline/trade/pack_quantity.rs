//! How many pieces a price is for: `2pcs/lot`, `VE 10`, `pack of 2`, `10er Pack`, `lot de 2`.
//!
//! A pack quantity multiplies the number of pieces. A packing multiple (`VPE`, `Colisage`) by
//! itself does not say that the price is for that many; what the column means is decided where
//! columns are mapped, and this reader only finds the number.
//!
//! Limits: 1 to 10,000 pieces.

use super::pattern::{composed, fixed};
use regex::Regex;
use std::sync::LazyLock;

const MOST_PIECES: u32 = 10_000;

/// Words for pieces, folded.
const PIECES: &str = r"(?:pcs?|pce|pieces?|pces|stk|stuck|stueck|st|ea|each|units?|pieces?|pz|pezzi|pza?s?|piezas?|uds?|unidades|stuks?|szt|sztuk|sztuki|个|只|件)";

static EXPLICIT: LazyLock<Vec<Regex>> = LazyLock::new(|| {
    vec![
        // 2pcs/lot, 2 pcs per pack, 10 szt./opak.
        fixed(
            r"(\d{1,5}) ?-?(?:pcs?|pieces?|stk|stuck|st|pz|pezzi|uds?|szt|stuks?|个|只|件)\.? ?(?:/|per|pro|par|por|na) ?(?:lot|pack|pk|set|bag|box|pkg|packung|ve|paquet|sachet|caja|confezione|opak|doos|包|套)",
        ),
        // pack of 2, set of 2, lot de 2, paquete de 2, confezione da 10, verpakking van 10
        fixed(
            r"\b(?:pack|packs|packet|box|bag|lot|set|paquet|sachet|boite|paquete|caja|bolsa|juego|conf|confezione|scatola|verpakking|doos|opakowanie|packung|beutel) (?:of|de|da|van|zu|mit|a|x|po) ?(\d{1,5})\b",
        ),
        // 10er Pack, 2er-Set
        fixed(r"\b(\d{1,4})er[ -]?(?:pack|packung|set|beutel|satz|ve|box)\b"),
        // 2-pack, 2 pack
        fixed(r"\b(\d{1,4})[ -]?pack\b"),
        // (2 pcs), satz 2 stk., conf. 5 pz, zestaw 5 szt., bolsa 10 uds
        fixed(
            r"(?:\(|\b(?:satz|set|conf|zestaw|kpl|bolsa|beutel|pack|ve)\.? ?)(\d{1,5}) ?(?:pcs?|pieces?|stk|stuck|pz|pezzi|uds?|szt|stuks?|个|只|件)\.?(?:\)|$|[ ,;])",
        ),
        // at the end: 5 pezzi; par 2; per 5 stuks
        fixed(r"[ ,;](\d{1,5}) ?(?:pcs|pieces|stk|pz|pezzi|uds|szt|stuks|piezas)\.?$"),
        fixed(r"[ ,;](?:par|per|je|po|pro) (\d{1,5})(?: ?(?:pcs|pieces|stk|pz|pezzi|uds|szt|stuks|piezas)\.?)?$"),
        // VE 10, VPE: 10, pack qty 5, pkg 5
        fixed(r"\b(?:ve|vpe|pack qty|pack size|pkg|colisage|opak\.?|uds/caja|pack) ?[:=x]? ?(\d{1,5})\b"),
    ]
});

/// One of these stands in every wording above: a text without any is not looked at closer.
static TRIGGERS: LazyLock<Regex> = LazyLock::new(|| {
    fixed(
        r"pack|lot|set|ve|vpe|box|bag|pkg|paq|sachet|caja|bolsa|juego|conf|scatola|verp|doos|opak|colisage|包|beutel|pcs|piec|piez|stk|stuk|pz|pezzi|uds|szt| par | per | je | po | pro ",
    )
});

static CELL: LazyLock<[Regex; 2]> = LazyLock::new(|| {
    [
        composed(&format!(r"^(?:x ?)?(\d{{1,5}})(?:[.,]0+)? ?(?:x|{PIECES}\.?)?$")),
        composed(&format!(
            r"^(?:/|per|pro|par|por|je|za) ?(\d{{1,5}}) ?(?:{PIECES}\.?)?$"
        )),
    ]
});

/// Reads a cell of a pack quantity column: any of the wordings, or the bare number.
pub fn read_pack_quantity(raw: &str) -> Option<u32> {
    let folded = super::folding::fold(raw);
    let captures = CELL.iter().find_map(|pattern| pattern.captures(&folded));
    match captures {
        Some(captures) => plausible(captures.get(1)?.as_str()),
        None => find_pack_quantity(&folded).or_else(|| one_piece(&folded)),
    }
}

fn one_piece(folded: &str) -> Option<u32> {
    matches!(
        folded.trim_end_matches('.'),
        "each"
            | "ea"
            | "single"
            | "piece"
            | "pc"
            | "pce"
            | "stk"
            | "stuck"
            | "piece(s)"
            | "unidad"
            | "ud"
            | "pezzo"
            | "pz"
            | "stuk"
            | "szt"
            | "sztuka"
            | "c62"
            | "h87"
            | "个"
            | "件"
            | "只"
    )
    .then_some(1)
}

/// Finds a pack quantity stated outright in a folded title.
pub fn find_pack_quantity(folded: &str) -> Option<u32> {
    let digit = folded.bytes().any(|byte| byte.is_ascii_digit());
    if !digit || !TRIGGERS.is_match(folded) {
        return None;
    }
    EXPLICIT
        .iter()
        .find_map(|pattern| plausible(pattern.captures(folded)?.get(1)?.as_str()))
}

fn plausible(digits: &str) -> Option<u32> {
    digits.parse().ok().filter(|pieces| (1..=MOST_PIECES).contains(pieces))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::folding::fold;

    #[test]
    fn wordings_in_titles() {
        for (text, pieces) in [
            ("Recoil starter 2pcs/lot", 2),
            ("VE 10", 10),
            ("pawl pack of 2", 2),
            ("10er Pack Klinken", 10),
            ("lot de 2 lanceurs", 2),
            ("2-pack recoil", 2),
            ("2er-Set", 2),
            ("confezione da 10", 10),
            ("10 szt./opak", 10),
            ("verpakking van 5", 5),
            ("5 pcs per bag", 5),
            ("recoil starter (2 pcs)", 2),
            ("Komplett Satz 2 Stk.", 2),
            ("giallo conf. 5 pz", 5),
            ("giallo 5 pezzi", 5),
            ("szarpanka zestaw 5 szt.", 5),
            ("vis clé 8 mm par 2", 2),
            ("tornillos M6 bolsa 10 uds", 10),
            ("metalen pallen per 5 stuks", 5),
        ] {
            assert_eq!(find_pack_quantity(&fold(text)), Some(pieces), "{text}");
        }
    }

    #[test]
    fn other_numbers_of_titles_are_no_packs() {
        for text in [
            "Recoil starter 196cc",
            "set 168F",
            "3 holes",
            "gearbox 2 shaft",
            "package 3x8mm",
            "pack 0",
            "KR200 starter set",
            "5,1-5,6 pk",
            "4 agujeros par tornillos",
        ] {
            assert_eq!(find_pack_quantity(&fold(text)), None, "{text}");
        }
    }

    #[test]
    fn cells_may_hold_the_bare_number() {
        for (text, pieces) in [
            ("10", 10),
            ("1", 1),
            ("x2", 2),
            ("10 Stk.", 10),
            ("2 pcs", 2),
            ("per 100", 100),
            ("/10", 10),
            ("each", 1),
            ("10,00", 10),
            ("VPE: 5", 5),
            ("10个", 10),
        ] {
            assert_eq!(read_pack_quantity(text), Some(pieces), "{text}");
        }
        for text in ["", "0", "-", "n/a", "ten", "123456"] {
            assert_eq!(read_pack_quantity(text), None, "{text}");
        }
    }
}
