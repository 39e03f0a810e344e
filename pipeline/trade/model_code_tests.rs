use super::*;
use crate::trade::folding::fold;

fn codes(text: &str) -> Vec<String> {
    read_code_tokens(&fold(text))
        .into_iter()
        .filter(|token| token.letters == Letters::Free)
        .map(|token| token.canonical.to_string())
        .collect()
}

#[test]
fn a_unit_s_letters_may_name_an_engine() {
    let tokens = read_code_tokens("corvale cv130, d170");
    let found: Vec<_> = tokens
        .iter()
        .map(|token| (token.canonical.as_str(), token.letters))
        .collect();
    assert_eq!(found, [("CV130", Letters::Label), ("D170", Letters::Label)]);
    assert!(read_code_tokens("cv13 hp13 m10 d12").is_empty());
}

#[test]
fn letters_and_digits_are_candidates_in_every_spelling() {
    assert_eq!(codes("recoil for KR200"), ["KR200"]);
    assert_eq!(codes("TB-340E starter"), ["TB340E"]);
    assert_eq!(codes("KR 200, TB 340"), ["KR200", "TB340"]);
    assert_eq!(codes("KRB 80/KRB 100"), ["KRB80", "KRB100"]);
    assert_eq!(read_code_tokens("kr 200")[0].spelled, Spelled::Spaced);
}

#[test]
fn some_makers_number_their_engines() {
    let numbers = |text: &str| -> Vec<String> {
        let found = read_number_codes(&fold(text)).into_iter();
        found.map(|token| token.canonical.to_string()).collect()
    };
    assert_eq!(numbers("Corvale 130202, 62330/78136"), ["130202", "62330", "78136"]);
    assert_eq!(numbers("130202-0121"), ["130202"]);
    assert!(numbers("12345,50 28400-KR2-003 kr13020 1302021 12500 mm 2026").is_empty());
}

#[test]
fn letters_behind_the_digits_are_a_build_and_no_unit() {
    assert_eq!(codes("KR388X, KRB18V/20V"), ["KR388X", "KRB18V", "KRB20V"]);
    assert_eq!(codes("KR160UT2 KR53T1"), ["KR160UT2", "KR53T1"]);
    assert!(codes("M6x12 3x8mm").is_empty());
}

#[test]
fn shorthand_is_written_out() {
    assert_eq!(codes("KR160/200"), ["KR160", "KR200"]);
    assert_eq!(codes("A50/65"), ["A50", "A65"]);
    assert_eq!(codes("TB-340E/420E"), ["TB340E", "TB420E"]);
    assert_eq!(codes("KR200/196 cc"), ["KR200"]);
    assert_eq!(codes("KR200/196cc"), ["KR200"]);
}

#[test]
fn measures_standards_and_part_numbers_are_none() {
    for text in [
        "M6",
        "SW10",
        "168F",
        "QM168FD",
        "1P70F",
        "DIN 6921",
        "ISO4014",
        "28400-KR2-003",
        "for 200",
        "set 12",
        "196cc",
        "HP13",
        "PCD118",
        "3x8mm",
        "SF-1023456",
        "KR2-28400",
        "art 1234",
        "M10x1.25",
        "bis 212 cc",
        "zu 182F",
        "KR58 683 354",
        "mit 6,5 PS",
    ] {
        assert!(codes(text).is_empty(), "{text}: {:?}", codes(text));
    }
}

#[test]
fn codes_with_a_gap_and_a_letter_behind_are_candidates() {
    assert_eq!(codes("OHC-102R"), ["OHC102R"]);
    assert_eq!(codes("OHC 187R"), ["OHC187R"]);
    assert_eq!(codes("RK 55X"), ["RK55X"]);
    assert_eq!(codes("AM-90A"), ["AM90A"]);
    assert!(codes("OHV-196, vis 4x 20, RK-5011-27").is_empty());
    let lone = read_code_tokens("corvale b 135");
    assert_eq!((lone[0].canonical.as_str(), lone[0].letters), ("B135", Letters::Label));
}
