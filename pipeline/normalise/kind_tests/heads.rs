//! Which of several nouns is the thing sold: by their order, and by the small words between them.

use super::{all_are, read};
use crate::normalise::kind::KindId;

#[test]
fn the_last_noun_before_for_is_the_item_in_english_and_german() {
    all_are(
        "rope",
        0.95,
        &[
            "Recoil starter rope 168F",
            "Rope for recoil starter 168F",
            "Starterseil 4 mm",
            "Starter rope 4.5mm x 2.4m",
            "Pull cord",
        ],
    );
    all_are(
        "grip",
        0.95,
        &[
            "Seilzugstarter-Griff",
            "Starter handle",
            "Startergriff passend für 188F",
            "Handgreep trekstarter",
        ],
    );
    all_are("spring", 0.95, &["Recoil spring 168F", "Rückholfeder Seilzugstarter"]);
    all_are("cup", 0.95, &["Starter cup 188F", "Startertopf passend für 188F"]);
    all_are("reel", 0.95, &["Starter pulley 168F", "Seilrolle für Starter"]);
    all_are(
        "pawl",
        0.95,
        &[
            "Starterklinke 188F",
            "Klinkensatz Seilzugstarter",
            "Pallenset trekstarter",
        ],
    );
}

#[test]
fn the_first_noun_is_the_item_in_romance_languages_and_polish() {
    all_are(
        "rope",
        0.95,
        &[
            "Corde de lanceur 168F",
            "Corde lanceur",
            "Cuerda de arranque",
            "Fune avviamento",
            "Linka do szarpaka",
        ],
    );
    all_are(
        "spring",
        0.95,
        &[
            "Ressort de lanceur 168F",
            "Muelle de arranque",
            "Molla avviamento 168F",
            "Sprężyna szarpaka 168F",
        ],
    );
    all_are(
        "pawl",
        0.95,
        &["Kit cliquets pour lanceur", "Trinquete de arranque", "Zapadka szarpaka"],
    );
}

#[test]
fn a_repair_kit_is_no_starter_wherever_the_word_stands() {
    all_are(
        "repair-kit",
        0.95,
        &[
            "Recoil starter repair kit 168F",
            "Reparatursatz Seilzugstarter",
            "Kit réparation lanceur",
            "Zestaw naprawczy szarpaka",
            "拉盘修理包",
        ],
    );
}

#[test]
fn what_it_goes_on_is_not_what_it_is() {
    all_are(
        "recoil-starter",
        0.97,
        &[
            "Recoil starter suitable for shroud 168F",
            "Pull starter for generator and water pump",
            "Pour moteur 168F lanceur complet",
            "Für Motor 168F Seilzugstarter kpl.",
            "适用于168F汽油机的手拉盘",
        ],
    );
}

#[test]
fn an_unknown_thing_for_a_starter_is_no_sure_starter() {
    let reading = read("Qwortle for recoil starter 168F");
    assert!(
        reading.kind.probability_of(KindId::RECOIL_STARTER) < 0.8,
        "{:?}",
        reading.kind
    );
}

#[test]
fn a_part_beside_a_bare_starter_is_the_part() {
    all_are("grip", 0.9, &["Handgriff Starter", "Handgreep starter"]);
    all_are("pawl", 0.9, &["Sperrklinke Starter 212 ccm"]);
}
