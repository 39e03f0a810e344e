use super::*;
use crate::trade::folding::fold;

fn count(text: &str) -> Option<u8> {
    only_count(&counts(&pieces(&fold(text))))
}

#[test]
fn counts_are_read_in_every_language() {
    for text in [
        "3-hole recoil",
        "3 holes",
        "3 Loch",
        "3-Loch Flansch",
        "3 Löcher",
        "3 trous",
        "3 agujeros",
        "3 taladros",
        "3 fori",
        "3 gaten",
        "3 otwory",
        "3 otworów",
        "3 śruby",
        "three bolt",
        "drei Bohrungen",
        "3孔",
        "3穴",
        "三孔",
        "柴油三孔",
        "水泵/3孔",
        "3 hål",
        "3 huller",
        "3 furos",
        "3 otvory",
        "3 отверстия",
        "3 mounting holes",
        "3 bolt holes",
        "3x bolts",
        "holes: 3",
        "No. of holes 3",
        "Anzahl Löcher 3",
        "holes 3x8mm",
        "3 vis de fixation",
        "starter (3 bolts)",
    ] {
        assert_eq!(count(text), Some(3), "{text}");
    }
}

#[test]
fn what_counts_no_holes_is_left() {
    for text in [
        "KR3 hole",
        "6.5 mm holes",
        "8 mm bolt",
        "12 bolts",
        "1 hole",
        "168F-3 hole",
        "rope 3 mm",
        "incl. 3 bolts",
        "mit 3 Schrauben",
        "avec 3 vis",
        "con 3 tornillos",
        "met 3 bouten",
        "3 screws included",
        "holes 6.5 mm",
        "set of 3",
        "6.5/4 bolt",
        "168-2 holes",
    ] {
        assert_eq!(count(text), None, "{text}");
    }
}

#[test]
fn a_cell_may_hold_the_bare_count() {
    assert_eq!(read_hole_count("3"), Some(3));
    assert_eq!(read_hole_count("3x"), Some(3));
    assert_eq!(read_hole_count("drei"), Some(3));
    assert_eq!(read_hole_count("4-hole"), Some(4));
    assert_eq!(read_hole_count("3 holes, 4 holes"), None);
    assert_eq!(read_hole_count("4 holes, incl. 3 bolts"), Some(4));
    assert_eq!(read_hole_count("with 3-bolt mounting"), Some(3));
    assert_eq!(read_hole_count("118 mm"), None);
}

#[test]
fn fixings_are_counted_as_holes() {
    for text in [
        "3 fixings",
        "three fixings",
        "3 fixing points",
        "3 fijaciones",
        "3 Befestigungen",
    ] {
        assert_eq!(count(text), Some(3), "{text}");
    }
}
