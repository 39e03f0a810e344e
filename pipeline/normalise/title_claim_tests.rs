//! Claims of titles, sentence by sentence. All names and codes are invented.

use super::claim::{Attribute, Provenance, Value, cue};
use super::offer::Flag;
use super::test_rows::*;
use super::text::read_text;

#[test]
fn power_is_its_own_claim_and_implies_a_displacement() {
    let reading = read_text(vocabulary(), "Recoil starter 6.5HP");
    let inferred = reading
        .claims
        .iter()
        .find(|claim| claim.provenance == Provenance::Inferred)
        .unwrap();
    let Value::Served(volumes) = &inferred.value else {
        panic!()
    };
    assert!(volumes[0].contains(196.0), "{volumes:?}");
    assert!(reading.claims.iter().any(|claim| claim.attribute == Attribute::Power));
}

#[test]
fn a_generator_s_output_is_no_engine_power() {
    let reading = read_text(vocabulary(), "Recoil starter for 5 kW generator");
    assert!(
        reading.claims.iter().all(|claim| claim.attribute != Attribute::Power),
        "{:?}",
        reading.claims
    );
}

#[test]
fn the_family_is_told_by_words_and_by_codes() {
    for (title, family) in [
        ("Recoil starter 163cc vertical shaft", cue::VERTICAL_SHAFT),
        ("Seilzugstarter Rasenmäher 163ccm", cue::MOWER),
        ("Recoil starter 160cc OHC", cue::OVERHEAD_CAM),
        ("Lanceur soupapes latérales 148cc", cue::SIDE_VALVE),
        ("Recoil starter V-twin 690cc", cue::TWIN),
        ("Recoil starter 2V78F", cue::TWIN),
        ("Reversierstarter 186F Dieselmotor diesel", cue::DIESEL),
        ("Arranque retráctil 1E40F-5, 2 tiempos", cue::TWO_STROKE),
        ("Recoil starter 1P70F", cue::VERTICAL_SHAFT),
        ("Recoil starter inverter generator", cue::INVERTER),
        ("Recoil starter snow blower 208cc", cue::SNOW),
        ("Szarpak do silnika dwucylindrowego", cue::TWIN),
        ("柴油机 手拉启动器 186F", cue::DIESEL),
    ] {
        let found = words(title, Attribute::FamilyCue);
        assert!(found.iter().any(|word| word == family), "{title}: {found:?}");
    }
}

#[test]
fn titles_that_embrace_several_classes_are_universal() {
    for title in [
        "Recoil starter 168F-190F",
        "Recoil starter universal",
        "Pull starter 8 9 11 13 HP",
        "Lanceur 163-389cc",
    ] {
        assert!(
            read_text(vocabulary(), title).flags.contains(&Flag::Universal),
            "{title}"
        );
    }
    for title in [
        "Recoil starter 163/196/212cc 5.5/6.5/7HP",
        "Recoil starter 168F 170F",
        "Szarpak 6/7,5 kW",
        "Lanceur 211/296cc diesel",
    ] {
        assert!(
            !read_text(vocabulary(), title).flags.contains(&Flag::Universal),
            "{title}"
        );
    }
}

#[test]
fn power_and_displacement_that_do_not_go_together_are_remarked_upon() {
    let flags = |title: &str| read_text(vocabulary(), title).flags;
    assert!(flags("Recoil starter 163cc 13HP").contains(&Flag::PowerAgainstDisplacement));
    assert!(!flags("Recoil starter 212cc 6.5HP").contains(&Flag::PowerAgainstDisplacement));
}

#[test]
fn a_diesel_is_not_decoded_as_a_petrol_engine() {
    let reading = read_text(vocabulary(), "Recoil starter 188F diesel 456cc");
    assert!(
        reading
            .claims
            .iter()
            .all(|claim| claim.provenance != Provenance::Decoded || claim.attribute != Attribute::Displacement)
    );
}

#[test]
fn plain_attributes_are_read_in_several_languages() {
    assert_eq!(words("Recoil starter red, left pull", Attribute::PullSide), ["left"]);
    assert_eq!(words("Seilzugstarter blau", Attribute::Colour), ["blue"]);
    assert_eq!(
        words("Lüfterhaube mit Aussparung, für E-Start", Attribute::ElectricStart),
        ["cut-out"]
    );
    assert_eq!(
        words("Fan shroud without electric start", Attribute::ElectricStart),
        ["none"]
    );
    assert_eq!(words("Lanceur, cliquets acier", Attribute::Pawls), ["steel"]);
    let reading = read_text(vocabulary(), "Recoil starter 2 steel pawls 3 holes depth 45 mm");
    let counts: Vec<_> = reading
        .claims
        .iter()
        .filter(|c| matches!(c.value, Value::Count(_)))
        .map(|c| c.attribute)
        .collect();
    assert!(
        counts.contains(&Attribute::Pawls) && counts.contains(&Attribute::BoltHoles),
        "{:?}",
        reading.claims
    );
    assert!(reading.claims.iter().any(|claim| claim.attribute == Attribute::Depth));
}

#[test]
fn words_that_were_not_understood_are_left_over() {
    let reading = read_text(vocabulary(), "Recoil starter 168F zumbletop 5.5HP");
    assert_eq!(reading.leftover_words, ["zumbletop"]);
}

#[test]
fn screws_in_the_bag_are_no_stated_holes() {
    let holes = |title: &str, provenance: Provenance| -> Vec<Value> {
        let reading = read_text(vocabulary(), title);
        let claims = reading
            .claims
            .into_iter()
            .filter(|claim| claim.attribute == Attribute::BoltHoles);
        claims
            .filter(|claim| claim.provenance == provenance)
            .map(|claim| claim.value)
            .collect()
    };
    for title in [
        "Recoil starter 168F, incl. 3 bolts",
        "Seilzugstarter 168F mit 3 Schrauben",
        "Lanceur 168F avec 3 vis",
        "Arrancador retráctil 168F con 3 tornillos",
        "Trekstarter 168F met 3 bouten",
        "Szarpak 168F ze śrubami",
        "Recoil starter 168F, 3 screws included",
        "Recoil starter 168F with 3 x M6 bolts",
    ] {
        assert_eq!(holes(title, Provenance::Stated), [], "{title}");
    }
    assert_eq!(
        holes("Recoil starter 168F, incl. 3 bolts", Provenance::Inferred),
        [Value::Count(3)]
    );
    for title in [
        "Recoil starter, 4 x M6",
        "Recoil starter, 4 holes M6",
        "Recoil starter (4 bolts)",
    ] {
        assert_eq!(holes(title, Provenance::Stated)[0], Value::Count(4), "{title}");
    }
}
