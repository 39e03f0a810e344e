//! What a title sells, sentence by sentence. Titles are invented; the rules are common practice, no source.

use super::kind::KindId;
use super::test_rows::vocabulary;
use super::text::{Reading, read_text};
use proptest::prelude::*;

fn read(title: &str) -> Reading {
    read_text(vocabulary(), title)
}

/// Asserts that each title is read as this kind, with at least this probability.
fn all_are(kind: &str, least: f32, titles: &[&str]) {
    for title in titles {
        let reading = read(title);
        let name = vocabulary().kind_name(reading.kind.kind);
        assert_eq!(name, kind, "{title}: {:?}", reading.kind);
        assert!(reading.kind.probability >= least, "{title}: {:?}", reading.kind);
    }
}

#[test]
fn a_recoil_starter_is_known_in_every_language() {
    all_are(
        "recoil-starter",
        0.97,
        &[
            "Recoil Starter for 168F 5.5HP Engine",
            "Rewind starter assembly 188F red",
            "Seilzugstarter 168F",
            "Reversierstarter kpl. für 188F",
            "Lanceur complet pour moteur 168F 5,5 CV",
            "Lanceur à corde adaptable 168F, cliquets acier",
            "Arrancador retráctil para motor 168F",
            "Tapa de arranque 168F",
            "Avviamento a strappo 168F",
            "Trekstarter 168F",
            "Szarpak do agregatu 188F",
            "手拉启动器总成 168F",
            "168F 拉盘",
            "168F 用 リコイルスターター 3穴",
            "リコイルスターター GX型 196cc",
            "Ruční startér 168F",
            "Snörstart 168F",
            "Conjunto de partida 168F",
        ],
    );
}

#[test]
fn a_shroud_is_known_in_every_language() {
    all_are(
        "shroud",
        0.97,
        &[
            "Fan shroud 168F black",
            "Blower housing 188F",
            "Lüftergehäuse 188F",
            "Lueftergehaeuse 188F",
            "Volute de ventilateur 168F",
            "Carcasa del ventilador 168F",
            "Convogliatore aria 168F",
            "Ventilatorhuis 168F",
            "Obudowa wentylatora 168F",
            "168F 导风罩",
            "ファンカバー 168F",
            "Engine fan cover 188F",
            "Fan shroud 188F for electric start",
            "Fan shroud 188F electric start",
        ],
    );
}

#[test]
fn starter_and_shroud_together_are_an_assembly() {
    all_are(
        "assembly",
        0.9,
        &[
            "Lüftergehäuse mit Seilzugstarter 188F",
            "Recoil starter + fan cover 168F",
            "Recoil starter & shroud assembly 188F",
            "Blower housing w/ recoil 188F",
            "Volute de ventilateur avec lanceur 188F",
            "Carcasa del ventilador con arranque retráctil",
            "Obudowa wentylatora z szarpakiem 168F",
            "Ventilatorhuis met trekstarter 168F",
            "导风罩带拉盘 188F",
            "拉盘+导风罩总成 Recoil and fan cover assembly",
            "手拉启动器带导风罩 Recoil starter with shroud, yellow",
            "Carcasa del ventilador con arrancador",
            "Starter und Lüfterhaube kpl.",
            "Recoil starter for 168F with fan shroud",
            "Set Seilzugstarter + Lüftergehäuse, inkl. Seil und Griff",
        ],
    );
}

#[test]
fn what_is_said_to_be_absent_is_not_sold() {
    all_are(
        "shroud",
        0.97,
        &[
            "Fan shroud without starter 188F",
            "Shroud only, no recoil 168F",
            "Fan shroud (recoil starter not included)",
            "Blower housing w/o recoil, 188F",
            "Lüfterhaube ohne Seilzugstarter 188F",
            "Volute sans lanceur 168F",
            "Carcasa del ventilador sin arranque 168F",
            "Convogliatore aria senza avviamento",
            "Ventilatorhuis zonder trekstarter",
            "Osłona wentylatora bez szarpaka",
            "168F 导风罩 不含拉盘",
        ],
    );
    all_are(
        "recoil-starter",
        0.97,
        &[
            "Seilzugstarter 168F ohne Lüftergehäuse",
            "Recoil starter only, shroud sold separately",
            "Lanceur seul 168F",
        ],
    );
}

#[test]
fn a_number_label_is_no_negation() {
    all_are(
        "recoil-starter",
        0.97,
        &["Part no 12345 recoil starter 168F", "Item No. 77 Seilzugstarter"],
    );
}

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
fn contents_named_after_with_change_nothing() {
    all_are(
        "recoil-starter",
        0.97,
        &[
            "Recoil starter with cup and bolts 168F",
            "Recoil starter, rope 5mm, grip black",
            "Lanceur avec corde et poignée 168F",
            "Seilzugstarter inkl. Startertopf und Schrauben",
            "Pull starter assy 163cc incl. rope and handle",
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
fn other_parts_are_set_aside_by_name() {
    for (kind, title) in [
        ("carburettor", "Carburettor 168F with gasket"),
        ("carburettor", "Vergaser Reparatursatz 168F"),
        ("flywheel", "Flywheel 168F"),
        ("fan", "Cooling fan 168F"),
        ("decal", "Recoil starter decal"),
        ("gasket", "Zylinderkopfdichtung 188F"),
        ("solenoid", "Solenoid starter relay 188F"),
        ("other-engine-part", "Governor spring 168F"),
        ("spark-plug", "Zündkerze für Seilzugstarter-Motor"),
        ("fuel-tank", "Réservoir 168F"),
    ] {
        all_are(kind, 0.9, &[title]);
    }
}

#[test]
fn a_name_turned_round_for_the_catalogue_is_the_same_name() {
    all_are(
        "recoil-starter",
        0.97,
        &["Starter, recoil, 168F", "Starter, rewind, 5HP"],
    );
    all_are("shroud", 0.97, &["Housing, blower", "Cover, fan", "Shroud, fan, 188F"]);
    all_are("starter-motor", 0.97, &["Motor, starter, 12V"]);
    all_are("assembly", 0.9, &["Shroud, fan, w/ recoil"]);
    all_are("rope", 0.9, &["Rope, starter"]);
}

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

#[test]
fn an_opening_for_a_starter_is_no_starter() {
    all_are(
        "shroud",
        0.9,
        &[
            "Osłona wentylatora 168F, z otworem na rozrusznik",
            "Obudowa wentylatora z miejscem na rozrusznik",
            "Osłona dmuchawy z wycięciem pod rozrusznik elektryczny",
            "Lüfterhaube mit Starteröffnung 188F",
            "Fan shroud with recoil starter opening",
            "Volute avec ouverture pour démarreur",
        ],
    );
    all_are("assembly", 0.9, &["Obudowa wentylatora z rozrusznikiem ręcznym"]);
}

#[test]
fn what_comes_along_complete_or_by_its_way_of_starting_makes_an_assembly() {
    all_are(
        "assembly",
        0.9,
        &[
            "Carter ventola completo di avviamento a strappo 168F",
            "Coperchio ventola completo di autoavvolgente",
            "Blower housing c/w pull start 188F",
            "Ventilatorhuis compleet met trekstarter",
        ],
    );
    all_are("shroud", 0.9, &["Convogliatore completo di viti 188F"]);
    all_are(
        "recoil-starter",
        0.9,
        &["Recoil starter assembly 168F", "Recoil starter assy"],
    );
    all_are("recoil-starter", 0.9, &["Seilzugstarter ohne Lüftergehäuse"]);
}

#[test]
fn what_belongs_inside_the_item_is_no_part_beside_it() {
    all_are(
        "recoil-starter",
        0.9,
        &["Pull start, reel and spring fitted", "Pull start, rope included"],
    );
}

#[test]
fn plurals_in_a_vowel_or_an_n_are_known() {
    all_are("recoil-starter", 0.9, &["Avviamenti a strappo", "Szarpaki"]);
    all_are("shroud", 0.9, &["Lüfterhauben"]);
    all_are("assembly", 0.9, &["Avviamenti con convogliatore"]);
}

#[test]
fn lists_of_more_countries_are_read() {
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Rekylstarter til 168F",
            "Ручной стартер в сборе для 168F",
            "Startapparat passar 168F, 3 hål",
            "Tahový startér pro 168F",
            "Arrancador manual para 168F",
            "Berántó szerkezet 168F",
        ],
    );
    all_are(
        "shroud",
        0.9,
        &[
            "Blæserhus til 168F",
            "Кожух вентилятора для 168F",
            "Fläkthölje till 168F",
            "Carenagem do motor 168F",
        ],
    );
    all_are("rope", 0.9, &["Шнур стартера 168F", "Startsnor til 168F"]);
    all_are("starter-motor", 0.9, &["Электростартер 188F", "Startmotor til 188F"]);
}

#[test]
fn an_abbreviated_small_word_is_the_word() {
    all_are(
        "assembly",
        0.9,
        &[
            "Lüfterhaube m. Starteinheit",
            "Volute c/w recoil starter",
            "Tapa ventilador c/ arranque retráctil",
        ],
    );
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Seilzugstarter f. Rasenmäher, M. 3 Schrauben",
            "Reversierstarter f. Lüftergehäuse 188F",
        ],
    );
    all_are("recoil-starter", 0.9, &["P/N 4411 recoil starter"]);
}

#[test]
fn a_lone_letter_between_a_shroud_and_a_starter_joins_them() {
    all_are(
        "assembly",
        0.9,
        &[
            "Kryt ventilátoru a tahový startér",
            "Skříň ventilátoru s ruční startér 168F",
        ],
    );
}

#[test]
fn a_way_of_starting_joined_to_a_shroud_is_the_starter() {
    all_are("assembly", 0.9, &["Pullstart & fan shroud, 5 holes"]);
}

#[test]
fn pawls_behind_the_starter_say_what_it_is_like() {
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Lanceur cliquets métal",
            "Arranque retráctil trinquetes de plástico",
            "Avviamento manuale 2 nottolini",
        ],
    );
    all_are(
        "pawl",
        0.9,
        &["Cliquets métal pour lanceur", "Cliquet lanceur", "Recoil starter pawl"],
    );
}

#[test]
fn a_part_beside_a_bare_starter_is_the_part() {
    all_are("grip", 0.9, &["Handgriff Starter", "Handgreep starter"]);
    all_are("pawl", 0.9, &["Sperrklinke Starter 212 ccm"]);
}

#[test]
fn words_for_valves_name_no_valve() {
    all_are("shroud", 0.9, &["导风罩 侧置气门"]);
}

#[test]
fn a_text_that_names_nothing_is_unclear() {
    all_are("unclear", 0.9, &["168F 5.5HP", "Qwortle", "", "—", "🙂"]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn any_text_is_read_without_panic_and_with_sound_probabilities(text in "(\\PC|recoil|starter|168F|mit|ohne|拉盘| |,|3 holes|102 mm|KR200/240){0,40}") {
        let reading = read(&text);
        let total: f32 = reading.kind.probability + reading.kind.alternatives.iter().map(|(_, p)| p).sum::<f32>();
        prop_assert!((0.0..=1.0001).contains(&total), "{total}");
        prop_assert!(reading.kind.probability > 0.0);
    }
}
