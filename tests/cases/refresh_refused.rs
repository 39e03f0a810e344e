//! Configurations of `samefit refresh` that cannot be meant: exit code 2, the key named, nothing written.

use crate::helpers::write;
use crate::nights::Shop;

#[track_caller]
fn refused(settings: &str, words: &[&str]) {
    let shop = Shop::with(settings);
    let mut ended = shop.night("2026-10-01", &[]).with_code(2);
    for word in words {
        ended = ended.saying(word);
    }
    assert!(!shop.at("disk").exists());
}

#[test]
fn an_unknown_key_is_refused_with_the_likeliest_one() {
    refused(
        "[[source]]\nfoldr = \"lists\"\n",
        &["foldr", "did you mean `folder`?", "samefit.toml"],
    );
    refused(
        "[[source]]\nfolder = \"lists\"\n[gates]\nshrinks = 0.1\n",
        &["shrinks", "did you mean `shrink`?"],
    );
}

#[test]
fn a_path_out_of_the_folder_is_refused() {
    refused(
        "[[source]]\nfolder = \"../elsewhere\"\n",
        &["`source[1].folder`", "roots"],
    );
    refused(
        "rates = \"/etc/passwd\"\n[[source]]\nfolder = \"lists\"\n",
        &["`rates`"],
    );
}

#[test]
fn a_source_without_lists_is_refused_on_the_first_night() {
    let shop = Shop::with("[[source]]\nfiles = \"lists/*.none\"\n");
    shop.night("2026-10-01", &[]).with_code(2).saying("`source`");
    assert!(!shop.at("disk/out/current.json").exists());
}

#[test]
fn an_output_of_someone_else_is_refused_untouched() {
    let shop = Shop::plain();
    write(&shop.at("disk/out"), "letters.txt", "dear");
    shop.night("2026-10-01", &[]).with_code(2).saying("letters.txt");
    assert_eq!(crate::helpers::names_in(&shop.at("disk/out")), ["letters.txt"]);
}

#[test]
fn a_configuration_that_is_not_there_is_refused() {
    crate::helpers::samefit(&["refresh", "--config", "no-such.toml"])
        .with_code(2)
        .saying("no-such.toml");
}
