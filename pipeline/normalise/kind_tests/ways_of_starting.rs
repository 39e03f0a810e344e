//! Pull starters, electric ones, bare "starters", and machines that are started in some way.

use super::{all_are, read};
use crate::normalise::kind::KindId;
use crate::normalise::test_rows::vocabulary;

#[test]
fn electric_starter_motors_are_set_aside() {
    all_are(
        "starter-motor",
        0.95,
        &[
            "Starter motor 188F",
            "E-start motor with solenoid fits 188F",
            "Starter 12V 188F electric 16 teeth",
            "Anlasser 188F",
            "Démarreur électrique 12V 188F",
            "Motor de arranque 188F",
            "Motorino d'avviamento 188F",
            "Startmotor 188F",
            "Rozrusznik elektryczny 12V 188F",
            "启动电机 188F",
        ],
    );
}

#[test]
fn a_bare_starter_is_uncertain() {
    for title in [
        "Starter 188F",
        "Démarreur 188F",
        "Rozrusznik 188F",
        "Starter assy 188F",
        "Avviamento 188F",
    ] {
        let reading = read(title);
        let motor = vocabulary().kind_named("starter-motor").unwrap();
        let recoil = reading.kind.probability_of(KindId::RECOIL_STARTER);
        assert!((0.2..0.9).contains(&recoil), "{title}: {:?}", reading.kind);
        assert!(reading.kind.probability_of(motor) > 0.1, "{title}: {:?}", reading.kind);
    }
}

#[test]
fn other_claims_settle_a_bare_starter() {
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Starter assy 4 holes 118 mm PCD",
            "Rozrusznik 168F 3 otwory z linką",
            "Starter 168F left pull",
            "Démarreur 168F entraxe 102 mm, 2 cliquets acier",
        ],
    );
    all_are(
        "starter-motor",
        0.9,
        &["Démarreur 188F 12V 16 dents", "Starter 188F 12 volt with solenoid"],
    );
}

#[test]
fn a_starter_cover_is_mostly_the_starter() {
    let reading = read("Starter cover 168F red");
    assert_eq!(reading.kind.kind, KindId::RECOIL_STARTER);
    assert!((0.6..0.97).contains(&reading.kind.probability), "{:?}", reading.kind);
    assert!(reading.kind.probability_of(KindId::SHROUD) > 0.03, "{:?}", reading.kind);
}

#[test]
fn a_way_of_starting_does_not_make_a_machine_a_starter() {
    all_are("engine", 0.9, &["Petrol engine 6.5HP 196cc recoil start"]);
    all_are(
        "machine",
        0.9,
        &["Recoil start generator 3kW", "Generator 3kW with recoil starter"],
    );
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Pull start, 12 HP, 6kW generator, blue",
            "168F 5.5HP Generator recoil starter",
        ],
    );
}

#[test]
fn an_engine_named_first_with_its_size_is_the_item_where_the_noun_stands_first() {
    all_are(
        "engine",
        0.9,
        &[
            "Moteur essence 6,5 CV lanceur",
            "Motor gasolina 8 CV arranque manual",
            "Motore benzina 6,5 HP avviamento a strappo",
            "Motor 8 CV arranque manual",
        ],
    );
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Lanceur moteur essence 6,5 CV",
            "Pour moteur essence 6,5 CV lanceur complet",
            "Arranque manual, motor gasolina 8 CV",
        ],
    );
}

#[test]
fn a_way_of_starting_before_a_machine_is_its_starter_unless_the_machine_has_a_size() {
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Pull start mower engine M6",
            "Pull start inverter generator",
            "Rewind start mini engine 87-98 cc 4 bolt holes",
        ],
    );
    all_are(
        "machine",
        0.9,
        &["Recoil start generator 3kW", "Pull start inverter generator 2.2 kW"],
    );
}
