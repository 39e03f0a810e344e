//! Titles with slips of the keyboard.

use super::{all_are, read};

#[test]
fn a_misspelt_title_is_mended_and_counts_less() {
    all_are(
        "recoil-starter",
        0.85,
        &[
            "Varnello Recoi lstarter assy 168F",
            "Recoli strater 168F",
            "Seilzugstater 188F",
        ],
    );
    all_are("shroud", 0.85, &["Fanshroud 168F", "Lüftergehüse 188F"]);
    assert!(read("Recoli strater 168F").kind.probability < read("Recoil starter 168F").kind.probability);
}

#[test]
fn a_misspelt_title_is_mended_where_only_what_comes_along_or_a_machine_is_named() {
    all_are(
        "recoil-starter",
        0.85,
        &[
            "Szaprak do silnika 168F, ze śrubami",
            "Pull strat for 168F, incl. 3 bolts",
            "Seilzugtsarter kpl., Notstromaggregat 3 kW",
            "Seiltsarter 4,6 PS, Schrauben M6, Stahlklinken",
        ],
    );
    all_are("spring", 0.9, &["Seilzugstartr Feder 168F"]);
    // A brand one letter from a word of the vocabulary is no slip.
    all_are("assembly", 0.9, &["Lankuo pull start with blower housing 168F"]);
    all_are("machine", 0.9, &["Notstromaggregat 3 kW mit Seilzugstart"]);
}
