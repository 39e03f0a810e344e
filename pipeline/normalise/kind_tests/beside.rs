//! What stands beside the name of the item: screws by their size, a small part behind a dash, a maker before a name turned
//! round.

use super::all_are;

#[test]
fn screws_named_by_their_size_are_a_note_beside_the_part() {
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Lanceur vis M6",
            "Arranque manual rojo tornillos M6",
            "Seilzugstarter Schrauben M6x1",
            "Pull starter bolts 1/4-20",
            "Arranque manual círculo de tornillos 146,5 mm",
        ],
    );
    all_are("shroud", 0.9, &["Volute vis M6"]);
    all_are(
        "screws",
        0.9,
        &[
            "Vis M6 pour lanceur",
            "Vis lanceur M6",
            "Recoil starter bolts M6x20",
            "Recoil starter bolt set",
        ],
    );
}

#[test]
fn a_small_part_alone_behind_a_dash_or_a_colon_is_what_is_sold() {
    all_are(
        "spring",
        0.9,
        &["Recoil starter - spring", "Lanceur - ressort", "Seilzugstarter: Feder"],
    );
    all_are("rope", 0.9, &["Pull starter: rope", "Recoil starter - rope, for 168F"]);
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Recoil starter - spring and rope fitted",
            "Recoil starter - cup included",
            "Recoil starter - rope, grip, spring",
            "Recoil starter - M6 bolts",
        ],
    );
}

#[test]
fn pawls_that_are_described_are_no_item_beside_a_shroud_either() {
    all_are("shroud", 0.9, &["Fan housing metal pawls black"]);
    all_are("pawl", 0.9, &["Metal pawls for recoil starter"]);
}

#[test]
fn a_name_turned_round_is_known_behind_a_maker() {
    all_are(
        "shroud",
        0.97,
        &[
            "Varnello Case, fan, red",
            "Varnello VX-20 Cover, fan",
            "Varnello Housing, blower",
        ],
    );
    all_are("recoil-starter", 0.97, &["Varnello Starter, recoil"]);
    all_are("starter-motor", 0.97, &["Varnello Motor, starter"]);
    all_are("fan", 0.97, &["Varnello Fan, cooling"]);
}

#[test]
fn a_tirador_is_the_grip_and_a_tirador_de_arranque_the_starter() {
    all_are(
        "recoil-starter",
        0.9,
        &[
            "Tirador de arranque 196cc",
            "Tirador arranque M6",
            "Tirador de arranque - rojo",
        ],
    );
    all_are(
        "grip",
        0.9,
        &["Tirador de cuerda", "Empuñadura tirador arranque", "Mango de arranque"],
    );
    all_are("grip", 0.6, &["Tirador"]);
}
