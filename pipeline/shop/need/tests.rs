use super::*;

fn need(question: Question) -> Need {
    Need::of(&Vocabulary::built_in().unwrap(), &question).unwrap()
}

fn words(words: &str) -> Need {
    need(Question {
        words: words.into(),
        ..Question::default()
    })
}

#[test]
fn plain_words_become_a_kind_a_displacement_and_holes() {
    let need = words("212cc pull starter 3 hole");
    assert_eq!(need.kind, Some(KindId::RECOIL_STARTER));
    assert!(need.displacement.iter().any(|cc| cc.contains(212.0)));
    assert_eq!(need.holes, Some(3));
    assert!(need.leftover.is_empty(), "{:?}", need.leftover);
}

#[test]
fn the_id_of_a_group_is_no_number_of_a_part() {
    let need = words("rs-zyvcq 212cc");
    assert_eq!(need.groups, ["RS-ZYVCQ"]);
    assert!(need.numbers.is_empty() && need.leftover.is_empty(), "{need:?}");
    assert!(words("RS-28400").groups.is_empty());
}

#[test]
fn a_circle_among_spacings_is_the_bolt_circle() {
    let need = need(Question {
        spacing: Some("118 mm circle".into()),
        holes: Some(3),
        ..Question::default()
    });
    assert_eq!(need.circles_mm.len(), 1);
    assert!(need.circles_mm[0].contains(118.0));
}

#[test]
fn a_bare_length_of_a_person_is_a_spacing_in_both_readings() {
    let need = words("3 hole pull starter 118mm");
    assert!(need.circles_mm.iter().any(|circle| circle.contains(118.0)));
    assert_eq!(need.circles_mm.len(), 2);
    assert!(need.leftover.is_empty());
}

#[test]
fn an_option_wins_over_the_words() {
    let need = need(Question {
        words: "recoil starter 163cc".into(),
        cc: Some("212".into()),
        ..Question::default()
    });
    assert_eq!(need.displacement.len(), 1);
    assert!(need.displacement[0].contains(212.0));
}

#[test]
fn a_spacing_whose_meaning_is_unsaid_keeps_both_readings() {
    let need = need(Question {
        spacing: Some("102 mm".into()),
        holes: Some(3),
        ..Question::default()
    });
    assert_eq!(need.circles_mm.len(), 2);
    assert!(need.circles_mm.iter().any(|circle| circle.contains(102.0)));
    // Chord of three holes to circle, D = s / sin(60 degrees), computed.
    assert!(need.circles_mm.iter().any(|circle| circle.contains(117.78)));
}

#[test]
fn an_engine_code_is_asked_for_by_its_stem() {
    let need = need(Question {
        code: Some("168F-2".into()),
        ..Question::default()
    });
    assert_eq!(need.codes, ["168F"]);
}

#[test]
fn an_option_that_cannot_be_read_is_named_with_an_example() {
    let question = Question {
        cc: Some("blue".into()),
        ..Question::default()
    };
    let error = Need::of(&Vocabulary::built_in().unwrap(), &question).unwrap_err();
    assert_eq!(error.to_string(), "--cc: `blue` could not be read");
    assert!(error.example.starts_with("--cc"));
}

#[test]
fn words_that_say_nothing_make_an_empty_need() {
    let need = words("something blue please");
    assert!(need.is_empty());
}

#[test]
fn a_word_that_may_be_an_article_number_is_kept_to_be_tried() {
    assert_eq!(words("N-006").perhaps_numbers, ["N-006"]);
    assert_eq!(words("ZN 4471").perhaps_numbers, ["4471", "ZN 4471"]);
    assert!(words("212cc pull starter").perhaps_numbers.is_empty());
}

#[test]
fn a_part_out_of_scope_is_named() {
    let need = words("starter rope 3 mm for recoil starter");
    assert_eq!(need.kind, None);
    assert_eq!(need.out_of_scope.as_deref(), Some("rope"));
}
