use super::fold;
use proptest::prelude::*;
use std::borrow::Cow;

#[test]
fn plain_lower_case_is_borrowed() {
    assert!(matches!(fold("recoil starter 196 cc, 3 holes"), Cow::Borrowed(_)));
    assert!(matches!(fold(""), Cow::Borrowed(_)));
    assert_eq!(fold("  Recoil\t STARTER\r\n"), "recoil starter");
}

#[test]
fn accents_and_joined_letters_become_plain() {
    assert_eq!(fold("Lüftergehäuse für Großmotor"), "luftergehause fur grossmotor");
    assert_eq!(fold("Démarreur à rappel"), "demarreur a rappel");
    assert_eq!(fold("śruba, łeb 10 mm"), "sruba, leb 10 mm");
    assert_eq!(fold("kÆde KØBENHAVN"), "kaede kobenhavn");
    assert_eq!(fold("çıkış œuvre Þór đak"), "cikis oeuvre thor dak");
}

#[test]
fn signs_of_measure_have_one_spelling() {
    assert_eq!(fold("70 × 52 ㎜"), "70 x 52 mm");
    assert_eq!(fold("196 cm³"), "196 cm3");
    assert_eq!(fold("4½″ – 4 1⁄8''"), "4 1/2\" - 4 1/8\"");
    assert_eq!(fold("Ø6,5 ⌀ 7 φ8.5"), "ø6,5 ø 7 ø8.5");
    assert_eq!(fold("9.90¹"), "9.90^1");
}

#[test]
fn invisible_characters_vanish() {
    assert_eq!(fold("\u{feff}re\u{ad}coil\u{a0}star\u{200b}ter"), "recoil starter");
    assert_eq!(fold("１６８Ｆ"), "168f");
    assert_eq!(fold("Rope® 3™ m"), "rope 3 m");
    assert_eq!(fold("für\u{7}Motor\u{2028}φ\u{1f}8"), "fur motor ø 8");
}

#[test]
fn look_alikes_are_read_only_inside_latin_words() {
    // Cyrillic М, о, С beside Latin letters and digits.
    assert_eq!(fold("М6 recоil 196 сC"), "m6 recoil 196 cc");
    // Words that are Cyrillic or Greek throughout stay what they are.
    assert_eq!(fold("стартер"), "стартер");
    assert_eq!(fold("мотор"), "мотор");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_short_way_of_latin_text_leads_where_the_long_way_does(text in "[\u{80}-\u{17f} -~'\u{a0}\t]{0,24}") {
        if let Some(folded) = super::fold_latin(&text) {
            prop_assert_eq!(folded, super::fold_any(&text));
        }
    }

    #[test]
    fn folding_twice_changes_nothing(text in "\\PC*") {
        let once = fold(&text).into_owned();
        prop_assert_eq!(fold(&once).into_owned(), once);
    }

    #[test]
    fn folding_twice_changes_nothing_for_odd_characters(text in "[øØφΦ⌀∅½¼'′″’ ®™²³ǅİıßﬁΣς́̈0-9A-cМоСє\u{200b}\u{a0}-]{0,24}") {
        let once = fold(&text).into_owned();
        prop_assert_eq!(fold(&once).into_owned(), once);
    }
}
