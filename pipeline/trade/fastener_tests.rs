//! What the fastener reader makes of hints as sellers write them.

use super::*;
use crate::trade::folding::fold;

fn read(text: &str) -> Vec<FastenerReading> {
    read_fastener(&fold(text), Context::Title)
}

fn only(text: &str) -> FastenerReading {
    let readings = read(text);
    assert_eq!(readings.len(), 1, "{text}: {readings:?}");
    readings[0].clone()
}

fn threads(text: &str) -> String {
    only(text).threads.to_string()
}

#[test]
fn a_named_thread_is_certain() {
    for text in ["M6", "M6x1.0", "m6 x 1", "M6-1.0 thread", "M6×1,0"] {
        assert_eq!(threads(text), "M6", "{text}");
        assert_eq!(only(text).sure, Certainty::Certain);
    }
    assert_eq!(threads("M8x1.25"), "M8");
    assert_eq!(threads("M10x1.25 bolt"), "M10x1.25");
    assert_eq!(threads("1/4-20"), "1/4-20");
    assert_eq!(threads("5/16\"-18 UNC"), "5/16-18");
    assert_eq!(threads("1/4-28"), "1/4-28");
}

#[test]
fn thread_and_length() {
    let reading = only("M6x12");
    assert_eq!(
        (reading.threads.to_string().as_str(), reading.length_mm),
        ("M6", Some(12.0))
    );
    let reading = only("M6x1.0x20 screws");
    assert_eq!(
        (reading.threads.to_string().as_str(), reading.length_mm),
        ("M6", Some(20.0))
    );
    let reading = only("bolts 6 x 28");
    assert_eq!(
        (reading.threads.to_string().as_str(), reading.length_mm),
        ("M6", Some(28.0))
    );
    assert_eq!(reading.sure, Certainty::Medium);
}

#[test]
fn a_head_width_leaves_a_set_of_threads() {
    for text in [
        "10mm hex",
        "10 mm head",
        "10mm socket",
        "10 mm spanner",
        "AF 10",
        "10 AF",
        "SW10",
        "SW 10",
        "Schlüsselweite 10 mm",
        "clé de 10",
        "llave 10",
        "chiave da 10",
        "sleutel 10",
        "klucz 10",
        "10 mm across flats",
        "10mm hex bolt",
        "tête 10 mm",
        "łeb 10 mm",
    ] {
        assert_eq!(threads(text), "M6|M8", "{text}");
        assert_eq!(only(text).sure, Certainty::High);
        assert!(only(text).head_af_mm.is_some_and(|width| width.contains(10.0)));
    }
    assert_eq!(threads("8 or 10 mm head"), "M5|M6|M8");
    assert_eq!(threads("3/8\" hex"), "1/4-20|1/4-28");
    assert_eq!(threads("1/2 in AF"), "5/16-18|5/16-24");
}

#[test]
fn a_hole_leads_to_its_screw() {
    for text in [
        "Ø6.6 hole",
        "6.5 mm holes",
        "holes 7 mm",
        "hole diameter 6,5",
        "Lochdurchmesser 6,5 mm",
        "trous de 6,5 mm",
        "agujeros de 6,5 mm",
        "fori 6,5 mm",
        "gaten 6,5 mm",
        "otwory fi 6.5",
        "6.5mm bolt holes",
    ] {
        assert_eq!(threads(text), "M6", "{text}");
        assert!(only(text).hole_mm.is_some());
    }
    assert_eq!(threads("9 mm hole"), "M8");
    assert_eq!(threads("5.5 mm hole"), "M5");
    assert_eq!(threads("10 mm hole"), "M8");
}

#[test]
fn a_bare_bolt_size_stays_a_set() {
    for text in [
        "8mm bolt",
        "8 mm mounting bolts",
        "bolts 8mm",
        "bolt size 8 mm",
        "vis de 8",
        "8er Schrauben",
        "tornillos de 8",
    ] {
        assert_eq!(threads(text), "M5|M6|M8", "{text}");
        assert_eq!(only(text).sure, Certainty::Ambiguous);
    }
    assert_eq!(threads("10mm bolt"), "M6|M8|M10");
    assert_eq!(threads("6 mm bolts"), "M6");
    assert_eq!(threads("13 mm bolts"), "M8|M10");
    assert_eq!(threads("3/8\" bolt"), "1/4-20|1/4-28|3/8-16|3/8-24");
}

#[test]
fn count_times_size() {
    let reading = only("recoil starter 3x8mm");
    assert_eq!(
        (reading.count, reading.threads.to_string().as_str()),
        (Some(3), "M5|M6|M8")
    );
    for text in ["3 x M6", "3xM6", "3 M6", "3×M6 bolts"] {
        let reading = &read(text)[0];
        assert_eq!(
            (reading.count, reading.threads.to_string().as_str()),
            (Some(3), "M6"),
            "{text}"
        );
    }
    let reading = only("3 x Ø6.5 mm");
    assert_eq!((reading.count, reading.threads.to_string().as_str()), (Some(3), "M6"));
    for text in ["3-hole", "3 trous", "3-Loch", "3 agujeros"] {
        let reading = only(text);
        assert_eq!((reading.count, reading.threads.is_empty()), (Some(3), true), "{text}");
    }
}

#[test]
fn threads_that_hold_no_starter_are_left() {
    for text in [
        "flywheel nut M14x1.5",
        "M14 x 1.5 nut",
        "M10x1.25 flywheel nut",
        "M14x1.25 spark plug",
        "cup nut M12x1.25",
    ] {
        assert!(read(text).is_empty(), "{text}: {:?}", read(text));
    }
}

#[test]
fn other_numbers_are_no_fasteners() {
    for text in [
        "KR200 6.5 hp 196cc",
        "rope 4.5 mm x 2 m",
        "168F/170F",
        "70x52 mm",
        "180 x 160 x 60 mm",
        "KM6 starter",
        "118 mm PCD",
        "1/3-20",
        "1/4-18",
        "rope 3x8mm",
        "rope 2m6",
        "bolts 6.5 x 28",
        "bolts 6 x 28.5",
    ] {
        assert!(read(text).is_empty(), "{text}: {:?}", read(text));
    }
}

#[test]
fn a_fastener_column_may_leave_words_out() {
    let cell = |text: &str| read_fastener(&fold(text), Context::Column);
    assert_eq!(cell("8")[0].threads.to_string(), "M5|M6|M8");
    assert_eq!(cell("8 mm")[0].sure, Certainty::Ambiguous);
    assert_eq!(cell("M6")[0].sure, Certainty::Certain);
    assert_eq!(cell("6x12")[0].length_mm, Some(12.0));
    assert_eq!(cell("1/4\"")[0].threads.to_string(), "1/4-20|1/4-28");
    assert_eq!(cell("6.5")[0].threads.to_string(), "M6");
}

#[test]
fn spans_take_the_noun_with_them() {
    let folded = fold("vis clé de 10 mm, trous Ø 6,5 mm").into_owned();
    let spans: Vec<&str> = read(&folded).into_iter().map(|reading| &folded[reading.span]).collect();
    assert_eq!(spans, ["cle de 10 mm", "trous ø 6,5 mm"]);
}

#[test]
fn the_threads_per_inch_are_no_size_of_a_second_screw() {
    assert_eq!(threads("1/4-20 bolts"), "1/4-20");
    assert_eq!(threads("5/16-18 screws"), "5/16-18");
}

#[test]
fn a_power_behind_a_hole_is_no_diameter() {
    for text in [
        "5 hole 4.5/5hp",
        "3-Loch - 5,1 PS",
        "5 points de fixation 4,6CV",
        "3 hole 5.5 hp",
    ] {
        let readings = read(text);
        assert!(
            readings.iter().all(|reading| reading.hole_mm.is_none()),
            "{text}: {readings:?}"
        );
        assert!(
            readings.iter().all(|reading| reading.threads.is_empty()),
            "{text}: {readings:?}"
        );
    }
    assert!(only("hole 6.5").hole_mm.is_some());
}

#[test]
fn what_follows_a_thread_behind_a_free_dash_is_no_pitch() {
    assert_eq!(threads("M6 - 3.7/4.5 kW"), "M6");
    assert_eq!(threads("M8 - 259.5mm"), "M8");
}

#[test]
fn the_end_of_a_code_counts_no_screws() {
    assert_eq!(only("SV118-4 M6x1.0 bolts").count, None);
    assert_eq!(only("4 M6 bolts").count, Some(4));
}
