//! The names of starters, shrouds and other parts, country by country.

use super::all_are;

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
fn plurals_in_a_vowel_or_an_n_are_known() {
    all_are("recoil-starter", 0.9, &["Avviamenti a strappo", "Szarpaki"]);
    all_are("shroud", 0.9, &["Lüfterhauben"]);
    all_are("assembly", 0.9, &["Avviamenti con convogliatore"]);
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
fn words_for_valves_name_no_valve() {
    all_are("shroud", 0.9, &["导风罩 侧置气门"]);
}

#[test]
fn a_text_that_names_nothing_is_unclear() {
    all_are("unclear", 0.9, &["168F 5.5HP", "Qwortle", "", "—", "🙂"]);
}
