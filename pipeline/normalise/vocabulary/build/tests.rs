use super::kinds::FIXED;
use super::*;
use crate::normalise::kind::KindId;

#[test]
fn the_files_of_the_house_are_sound() {
    let vocabulary = Vocabulary::built_in();
    assert!(
        vocabulary.is_ok(),
        "{}",
        vocabulary.err().map(|error| error.to_string()).unwrap_or_default()
    );
}

#[test]
fn the_fixed_kinds_have_their_numbers() {
    let vocabulary = Vocabulary::built_in().unwrap();
    for kind in FIXED {
        assert_eq!(Some(vocabulary.kind_name(kind)), kind.fixed_name());
    }
    assert!(vocabulary.kind_named("rope").is_some_and(|rope| rope > KindId::UNCLEAR));
}

#[test]
fn an_unknown_key_is_an_error_that_names_the_file() {
    let mut text = VocabularyText::built_in();
    text.families = "[[cue]]\nname = \"x\"\nwrods = {}\n";
    let error = build(&text).unwrap_err();
    assert_eq!(error.file, "families.toml");
}

#[test]
fn an_unknown_kind_among_the_contents_is_an_error() {
    let mut text = VocabularyText::built_in();
    text.kinds.push((
        "more.toml",
        "[[kind]]\nname='lid'\ncalled='lid'\nscope='out'\nprior=0.0\ncontents=['rpoe']\nterms=[]",
    ));
    let error = build(&text).unwrap_err();
    assert_eq!(
        (error.file.as_str(), error.message.as_str()),
        ("more.toml", "no kind is named `rpoe`")
    );
}
