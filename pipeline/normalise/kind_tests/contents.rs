//! What comes along with the thing sold, belongs inside it, or is absent.

use super::all_are;

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
fn what_belongs_inside_the_item_is_no_part_beside_it() {
    all_are(
        "recoil-starter",
        0.9,
        &["Pull start, reel and spring fitted", "Pull start, rope included"],
    );
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
