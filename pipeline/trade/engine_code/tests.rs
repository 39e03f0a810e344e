//! Designations as sellers spell them.

use super::*;
use crate::trade::folding::fold;

fn canonicals(text: &str) -> Vec<String> {
    read_codes(&fold(text))
        .into_iter()
        .map(|code| code.canonical.to_string())
        .collect()
}

fn only(text: &str) -> EngineCode {
    let codes = read_codes(&fold(text));
    assert_eq!(codes.len(), 1, "{text}: {codes:?}");
    codes[0].clone()
}

#[test]
fn the_parts_of_a_designation() {
    let code = only("168F");
    assert_eq!((code.cylinders, code.bore_mm, code.layout), (1, 68, Layout::Inline));
    assert_eq!((code.stroke_cycle, code.fuel), (StrokeCycle::Four, None));
    let mower = only("1P70F");
    assert_eq!(
        (mower.stem.as_str(), mower.bore_mm, mower.layout),
        ("1P70F", 70, Layout::Flat)
    );
    assert!(mower.has_vertical_shaft());
    assert_eq!(only("1E40F-5").stroke_cycle, StrokeCycle::Two);
    assert_eq!(only("1E34F").bore_mm, 34);
    let twin = only("2V77F");
    assert_eq!((twin.cylinders, twin.layout), (2, Layout::V));
    assert_eq!(only("168F/P").fuel, Some(Fuel::Petrol));
    assert!(only("188F(E)").suffix.contains('E'));
}

#[test]
fn spellings_lead_to_one_canonical_form() {
    for text in ["168F", "168 F", "168-F", "168f", "168F/P", "QM168F", "recoil for 168F."] {
        assert_eq!(only(text).stem, "168F", "{text}");
    }
    assert_eq!(canonicals("168-FB"), ["168FB"]);
    assert_eq!(canonicals("168F-2"), ["168F-2"]);
    assert_eq!(canonicals("168F2"), ["168F-2"]);
    assert_eq!(canonicals("188FD"), ["188FD"]);
    assert_eq!(canonicals("1P 70 F"), ["1P70F"]);
    assert_eq!(only("QM168FD").maker_prefix.as_deref(), Some("QM"));
}

#[test]
fn lists_and_shorthand_are_written_out() {
    assert_eq!(canonicals("168F/170F"), ["168F", "170F"]);
    assert_eq!(canonicals("168F, 168F-1 and 170F"), ["168F", "168F-1", "170F"]);
    assert_eq!(canonicals("168F-1/-2"), ["168F-1", "168F-2"]);
    assert_eq!(canonicals("168F-1/2"), ["168F-1", "168F-2"]);
    assert_eq!(canonicals("168FA/FB"), ["168FA", "168FB"]);
    assert_eq!(canonicals("168/170F"), ["168F", "170F"]);
    assert_eq!(canonicals("182/188/190F"), ["182F", "188F", "190F"]);
}

#[test]
fn what_only_looks_like_a_designation_is_left() {
    for text in [
        "100F",
        "120F",
        "168",
        "168 fan",
        "168 for",
        "150ft",
        "A1168F",
        "390F",
        "0168F",
        "168FWXYZ",
        "168cc",
        "12168F",
        "1.168F",
        "168F55",
        "KRXYZ168F",
    ] {
        assert!(canonicals(text).is_empty(), "{text}: {:?}", canonicals(text));
    }
}

#[test]
fn spans_cover_what_was_read() {
    let text = "starter 168F-1/-2 set";
    let folded = fold(text).into_owned();
    let spans: Vec<_> = read_codes(&folded)
        .into_iter()
        .map(|code| folded[code.span].to_owned())
        .collect();
    assert_eq!(spans, ["168f-1", "-2"]);
}
