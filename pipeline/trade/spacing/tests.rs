//! What the spacing reader makes of wordings as sellers write them. The figures are invented.

use super::*;
use crate::trade::folding::fold;

fn read(text: &str) -> Vec<SpacingReading> {
    read_spacing(&fold(text), None, Context::Title)
}

fn only(text: &str) -> SpacingReading {
    let readings = read(text);
    assert_eq!(readings.len(), 1, "{text}: {readings:?}");
    readings[0].clone()
}

fn meant(text: &str) -> Vec<(Distance, f64)> {
    only(text)
        .meant
        .iter()
        .map(|(distance, mm)| (*distance, (mm.mid() * 10.0).round() / 10.0))
        .collect()
}

#[test]
fn a_length_in_whole_inches_before_apart_is_the_spacing() {
    assert!(meant("mounting holes 5 in apart").contains(&(Distance::BoltCircle, 127.0)));
    assert!(meant("holes 3 3/4 in apart 190/206 cc").contains(&(Distance::BoltCircle, 95.3)));
}

#[test]
fn a_heading_that_settles_the_distance_is_told_from_one_that_leaves_it_open() {
    for (heading, settles) in [
        ("PCD mm", Some("pcd")),
        ("P.C.D.", Some("p.c.d.")),
        ("Lochkreis / PCD (mm)", Some("lochkreis")),
        ("Hole distance ctr to ctr", Some("ctr to ctr")),
        ("Ø hole distance", Some("ø")),
        ("Hole distance mm", None),
        ("Lochabstand (Zoll)", None),
        ("Price", None),
        ("", None),
    ] {
        assert_eq!(settling_words(&fold(heading)), settles, "{heading}");
    }
}

#[test]
fn cubic_centimetres_with_full_stops_are_no_distance() {
    for text in [
        "Arrancador de retroceso 200 c.c. para motor",
        "Aparato de arranque para 118-208 c.c., rojo",
        "para 140/158/179 c.c., 4,6/5,6/6,1CV",
        "completa compatible 296 c.c.",
    ] {
        assert_eq!(read(text), [], "{text}");
    }
    for text in ["hole distance 102 c.c.", "102 mm c.c.", "holes 102 c/c", "102 c-c"] {
        assert_eq!(meant(text)[0].0, Distance::Chord, "{text}");
    }
}

#[test]
fn a_count_from_elsewhere_is_told_from_one_in_the_text() {
    let stated = |text: &str, holes: Option<u8>| {
        let readings = read_spacing(text, holes, Context::Column);
        (readings[0].holes, readings[0].holes_stated)
    };
    assert_eq!(stated("136 mm", Some(3)), (Some(3), false));
    assert_eq!(stated("136 mm", None), (None, false));
    assert_eq!(stated("3 x 136 mm", None), (Some(3), true));
    assert_eq!(stated("70 x 52", None), (Some(4), true));
    // the words of the reading hold the count they state
    assert_eq!(read_spacing("3 x 136 mm", None, Context::Column)[0].span, 0..10);
}

#[test]
fn bolt_circles_in_every_wording() {
    for text in [
        "PCD 118 mm",
        "118mm PCD",
        "P.C.D. 118",
        "BCD: 118mm",
        "bolt circle 118 mm",
        "118 mm bolt circle",
        "118 mm circle",
        "circle 118 mm",
        "Lochkreis 118 mm",
        "Lochkreis-Ø 118",
        "Teilkreis 118 mm",
        "bolt circle diameter = 11.8 cm",
        "steekcirkel 118",
        "steek Ø 118 mm",
        "cercle de perçage Ø118",
        "círculo de agujeros 118 mm",
        "cerchio fori 118 mm",
        "okrąg podziałowy 118 mm",
        "LK 118 mm",
        "roztečná kružnice 118 mm",
        "hulcirkel 118 mm",
        "círculo de furos 118 mm",
        "диаметр окружности отверстий 118 mm",
        "Ø perçage 118 mm",
        "分布圆118mm",
        "profundidad 54 mm PCD 118 mm",
        "recoil 168F 3 holes PCD 118 mm, 6.5mm holes",
        "outer 165 mm, PCD 118 mm",
        "flange 165 mm PCD 118 mm",
    ] {
        assert_eq!(meant(text), vec![(Distance::BoltCircle, 118.0)], "{text}");
    }
    assert_eq!(meant("4 1/8\" bolt circle"), vec![(Distance::BoltCircle, 104.8)]);
    assert_eq!(meant("118 mm PCD 165 mm OD"), vec![(Distance::BoltCircle, 118.0)]);
}

#[test]
fn centre_distances_are_chords() {
    for text in [
        "3 holes, 102 mm c-c",
        "3-hole 102mm centre to centre",
        "3 trous entraxe 102 mm",
        "3 fori interasse 102 mm",
        "hartafstand 102 mm 3 gaten",
        "3-Loch Achsabstand 102 mm",
        "3 holes 102 mm c/c",
    ] {
        let reading = only(text);
        assert_eq!(reading.holes, Some(3), "{text}");
        assert_eq!(meant(text), vec![(Distance::Chord, 117.8)], "{text}");
    }
}

#[test]
fn what_is_unsaid_keeps_both_readings() {
    for text in [
        "3 holes, hole distance 102 mm",
        "3-hole 102mm hole spacing",
        "3-Loch Lochabstand 102 mm",
        "3 holes, 102 mm between holes",
        "distance between holes 102 mm, 3 holes",
        "distancia entre agujeros 102 mm, 3 agujeros",
        "3 otwory, rozstaw otworów 102 mm",
        "3 trous, distance entre trous 102 mm",
        "3孔 孔距102mm",
        "3 mounting holes 102 mm apart",
        "mounting holes 102 mm apart, 3-hole",
        "Abstand Bohrungen 102mm, 3-Loch",
        "separación taladros 102 mm, 3 agujeros",
    ] {
        assert_eq!(
            meant(text),
            vec![(Distance::BoltCircle, 102.0), (Distance::Chord, 117.8)],
            "{text}"
        );
    }
    assert_eq!(
        meant("2 holes, hole distance 102 mm"),
        vec![(Distance::BoltCircle, 102.0)]
    );
    let open = meant("hole distance 102 mm");
    assert_eq!(
        open,
        vec![
            (Distance::BoltCircle, 102.0),
            (Distance::Chord, 117.8),
            (Distance::Chord, 144.2)
        ]
    );
}

#[test]
fn a_second_wording_settles_the_first() {
    assert_eq!(
        meant("3 holes, hole distance 102 mm (c-c)"),
        vec![(Distance::Chord, 117.8)]
    );
    assert_eq!(meant("hole distance 118 mm PCD"), vec![(Distance::BoltCircle, 118.0)]);
}

#[test]
fn the_rounding_is_the_width() {
    assert_eq!(only("pcd 118 mm").written_mm, Interval::between(117.5, 118.5));
    assert!((only("pcd 118.0 mm").written_mm.half_width() - 0.05).abs() < 1e-9);
    let inches = only("4 1/8\" bolt circle").written_mm;
    assert!((inches.mid() - 104.775).abs() < 1e-9);
    assert!((inches.half_width() - 25.4 / 32.0).abs() < 1e-9);
}

#[test]
fn edges_need_the_hole() {
    let reading = only("3 holes 6.5 mm, edge to edge 95.5 mm");
    let (distance, circle) = reading.meant[0];
    assert_eq!(distance, Distance::EdgeToEdge);
    assert!(circle.contains(102.0 * 1.154_701));
    assert!(only("3 holes, edge to edge 95.5 mm").meant[0].1.width() > circle.width());
}

#[test]
fn rectangles_and_triangles() {
    for text in [
        "4 holes 70x52",
        "hole spacing 70 x 52 mm",
        "bolt pattern 52×70mm",
        "4-hole 70*52 mm",
    ] {
        let reading = only(text);
        assert_eq!(reading.rectangle, Some((70.0, 52.0)), "{text}");
        assert_eq!(reading.holes, Some(4));
        assert!(reading.meant[0].1.contains(87.201));
    }
    let triangle = only("hole distances 90/100/110 mm".replace("distances", "distance").as_str());
    assert!(triangle.meant[0].1.contains(116.673));
    assert_eq!(triangle.holes, Some(3));
}

#[test]
fn other_numbers_are_no_spacings() {
    for text in [
        "recoil 196cc 6.5hp",
        "180x160x60 mm",
        "outer diameter 165 mm",
        "70x52 mm decal",
        "PCD",
        "KR118 PCD",
        "3 holes 6.5 mm",
        "bolt pattern 168F",
        "hole spacing 3",
    ] {
        assert!(read(text).is_empty(), "{text}: {:?}", read(text));
    }
}

#[test]
fn a_bare_cell_is_read_both_ways() {
    let cell = |text: &str, holes| {
        read_spacing(&fold(text), holes, Context::Column)
            .into_iter()
            .flat_map(|r| r.meant)
            .collect::<Vec<_>>()
    };
    assert_eq!(cell("118", Some(3)).len(), 2);
    assert_eq!(cell("118 mm PCD", None).len(), 1);
    assert!((cell("4 1/8", Some(3))[0].1.mid() - 104.775).abs() < 1e-9);
    assert_eq!(cell("70x52", None)[0].0, Distance::Rectangle);
    assert_eq!(read_spacing("3 x 102 mm", None, Context::Column)[0].holes, Some(3));
    assert_eq!(cell("ø118", None)[0].0, Distance::BoltCircle);
    let doubtful = cell("4.125", Some(3));
    assert!(doubtful.iter().any(|(_, circle)| (circle.mid() - 104.775).abs() < 1e-6));
}

#[test]
fn a_displacement_with_points_is_no_distance_where_the_distance_has_a_figure() {
    for text in [
        "200 c.c. distancia entre agujeros 113,1 mm",
        "200 c.c., 3 agujeros, distancia entre agujeros 113,1 mm",
    ] {
        assert_eq!(only(text).written_mm.mid().round(), 113.0, "{text}");
    }
}

#[test]
fn a_chord_with_a_diameter_sign_may_be_the_circle() {
    let found = meant("entraxe Ø 118 mm");
    assert!(found.contains(&(Distance::BoltCircle, 118.0)), "{found:?}");
    assert!(
        found.iter().any(|(distance, _)| *distance == Distance::Chord),
        "{found:?}"
    );
    assert_eq!(settling_words(&fold("Entraxe Ø mm")), None);
    assert!(
        meant("entre-axe des trous 102 mm")
            .iter()
            .all(|(distance, _)| *distance == Distance::Chord)
    );
}
