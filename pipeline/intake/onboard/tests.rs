use super::file_pattern::pattern_of;
use super::*;
use crate::intake::field::Field;
use crate::intake::profile::Profiles;
use crate::trade::numerals::Decimals;
use std::path::Path;

#[test]
fn the_profile_written_is_one_that_can_be_read() {
    let mut head = ListHead::plain(
        "lists/North \"Field\" 2026-03.csv",
        &["Art.-Nr.", "Text", "Text", "Preis\nEUR"],
        &[Field::Sku, Field::Title, Field::Description, Field::Price],
    );
    head.decimals = Decimals::Comma;
    let rows = RowBatch::of(&[(2, vec!["1001", "Starter", "65 mm\nred", "12,50"])]);
    let text = profile_text(&head, &rows);
    let mut profiles = Profiles::none();
    profiles
        .add(Path::new("north.toml"), &text)
        .unwrap_or_else(|error| panic!("{error}\n{text}"));
    let profile = profiles
        .for_file(Path::new("lists/North \"Field\" 2027-01.csv"))
        .unwrap();
    assert_eq!(profile.columns.len(), 4);
    assert_eq!(profile.dialect.decimal_char.as_deref(), Some(","));
}

#[test]
fn a_pattern_outlives_the_date_in_a_name() {
    assert_eq!(pattern_of("nf_pricelist_2026-03.csv.gz"), "nf_pricelist_*.csv.gz");
    assert_eq!(pattern_of("2026.csv"), "2026.csv");
    assert_eq!(pattern_of("a/b/list.csv"), "list.csv");
}
