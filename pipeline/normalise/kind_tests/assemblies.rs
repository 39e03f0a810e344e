//! When a shroud and a starter named together are sold as one.

use super::all_are;

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
fn a_bare_cover_beside_a_starter_is_the_shroud_and_nothing_elsewhere() {
    all_are(
        "assembly",
        0.8,
        &[
            "Conjunto arrancador y carcasa",
            "Arrancador completo con carcasa",
            "Arranque con tapa, M6",
            "Lanceur avec carter",
            "Lanceur complet avec couvercle 2 kW",
            "Avviamento a strappo con coperchio",
            "Szarpak z pokrywą",
            "Recoil complete with cover",
            "Recoil starter complete with cover",
            "Starter complete with housing",
            "Recoil starter with rope and cover",
            "Seilzugstarter mit Deckel",
        ],
    );
    all_are("air-filter", 0.9, &["Air filter with cover"]);
    all_are("carburettor", 0.9, &["Carburettor and cover"]);
    // A slash may mean "or".
    all_are("recoil-starter", 0.9, &["Recoil starter/cover"]);
}

#[test]
fn what_an_engine_has_that_a_part_is_for_is_not_sold_with_it() {
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Recoil starter for engines with shroud",
            "Recoil starter for engine with electric start",
            "Lanceur pour moteurs avec volute",
        ],
    );
    all_are("shroud", 0.9, &["Fan shroud for engines with recoil starter"]);
    all_are("assembly", 0.9, &["Recoil starter for 168F with fan shroud"]);
}

#[test]
fn a_complete_shroud_is_a_shroud_more_often_than_not_however_many_holes_it_has() {
    all_are("shroud", 0.9, &["Flywheel shroud - complete - M6"]);
    all_are(
        "shroud",
        0.55,
        &[
            "Shroud asm, 4-holes",
            "Fan housing assy 118 mm PCD",
            "Cowl red complete",
        ],
    );
    all_are("assembly", 0.9, &["Shroud w/ recoil five bolt"]);
}
