use super::*;
use proptest::prelude::*;

#[test]
fn spellings_of_one_number_meet() {
    for raw in [
        "SF-28400-KR2",
        "sf 28400 kr2",
        "SF28400KR2",
        "SF.28400.KR2",
        "P/N: SF-284OO-KR2",
        "Art.-Nr. SF 28400-KR2",
        "ＳＦ－28400－KR2",
    ] {
        assert_eq!(canonical_number(raw), "SF28400KR2", "{raw}");
    }
}

#[test]
fn letters_are_read_as_digits_only_among_digits() {
    assert_eq!(canonical_number("28400-ZO1-003"), "28400Z01003");
    assert_eq!(canonical_number("28l00"), "28100");
    assert_eq!(canonical_number("KR200L"), "KR200L");
    assert_eq!(canonical_number("OIL"), "OIL");
    assert_eq!(canonical_number("LOOP"), "LOOP");
    assert_eq!(canonical_number("00123"), "00123");
    assert_eq!(canonical_number("oem"), "OEM");
}

#[test]
fn shapes_and_placeholders() {
    assert_eq!(shape("KR-28400"), "A2-95");
    assert_eq!(shape(""), "");
    for raw in ["", "N/A", "-", "0", "000000", "none", "xxx", "TBD", "n.a.", "k.A."] {
        assert!(is_placeholder(raw), "{raw}");
    }
    assert!(!is_placeholder("SF28400"));
    assert!(!is_placeholder("12"));
    assert!(!is_placeholder("9"), "a short number of a shop's own");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn canonical_form_applied_twice_changes_nothing(raw in "\\PC{0,24}") {
        let once = canonical_number(&raw);
        prop_assert_eq!(canonical_number(&once), once);
    }

    #[test]
    fn the_short_way_of_plain_numbers_leads_where_the_long_way_does(raw in "(art|Part ?No|P/N|ref|oe|OEM no)?[ .:#=/-]{0,2}[ -~\t]{0,24}|[oOiIlL01aA -:.]{0,14}") {
        prop_assert_eq!(canonical_number(&raw), of_any_script(&raw));
    }

    #[test]
    fn canonical_form_is_stable_for_look_alikes(raw in "[oOiIlL01 -:#.aзОо½ß]{0,12}") {
        let once = canonical_number(&raw);
        prop_assert_eq!(canonical_number(&once), once);
    }
}
