//! What spreadsheets and careless typing do to cells, from the file to the offer: damaged identifiers match nothing,
//! odd characters change nothing, and what was written is kept as it was.

use crate::helpers::{bench, column, demo_lists, rows, samefit, text, write};
use samefit::intake::{InputFile, Limits, Profiles, Use, read_file};
use samefit::normalise::normaliser::{Normaliser, Scope};
use samefit::normalise::offer::{Flag, Line, Offer};
use samefit::normalise::vocabulary::Vocabulary;
use samefit::trade::folding::fold;
use std::fs;

/// The offers of a list.
fn offers(list: &str) -> Vec<Offer> {
    let home = bench();
    let path = write(home.path(), "quillbrook.csv", list);
    let lists = read_file(
        &InputFile::named(&path),
        &Profiles::none(),
        &Limits::default(),
        Use::Build,
    );
    let mut list = lists.into_iter().next().expect("a list").expect("a list that reads");
    let vocabulary = Vocabulary::built_in().expect("a vocabulary");
    let normaliser = Normaliser::new(&vocabulary, list.head(), Scope::Fit);
    let mut found = Vec::new();
    while let Some(batch) = list.next_batch() {
        for row in batch.iter() {
            match normaliser.line(&row) {
                Line::Offer(offer) => found.push(offer),
                other => panic!("no offer: {other:?}"),
            }
        }
    }
    found
}

fn numbered(number: &str, barcode: &str) -> Offer {
    let list = format!(
        "Article no;Title;MPN;EAN;Price EUR\n\
         Q-1;Recoil starter 168F 196cc;{number};{barcode};12,50\n\
         Q-2;Recoil starter 188F 389cc;QB-10422;4006381333931;18,90\n"
    );
    offers(&list).remove(0)
}

#[test]
fn a_damaged_number_is_flagged_matches_nothing_and_keeps_its_text() {
    for damaged in ["1.23E+10", "4.00638E+12", "10-Mar", "Mar-24", "#N/A", "#REF!"] {
        let offer = numbered(damaged, "");
        assert!(offer.maker_number().is_none(), "{damaged}: {:?}", offer.numbers);
        assert!(offer.numbers.iter().all(|number| !number.usable), "{damaged}");
        assert!(offer.has(Flag::IdentifierDamaged), "{damaged}");
        assert!(offer.numbers.iter().any(|number| number.raw == damaged), "{damaged}");
    }
}

#[test]
fn a_text_mark_before_a_number_is_taken_off_and_its_zeros_stay() {
    let offer = numbered("'0012345", "");
    let number = offer.maker_number().expect("a number");
    assert_eq!(
        (number.canonical.as_str(), number.raw.as_str()),
        ("0012345", "'0012345")
    );
}

#[test]
fn a_damaged_bar_code_matches_nothing_and_a_lost_zero_is_put_back() {
    for damaged in ["4.00638E+12", "#N/A"] {
        let offer = numbered("", damaged);
        assert!(offer.gtin().is_none(), "{damaged}");
        assert_eq!(offer.barcode.expect("the text is kept").raw, damaged);
    }
    // UPC-A 036000291452 is the worked example of the GS1 check digit; its zero is lost here
    let restored = numbered("", "36000291452");
    assert_eq!(restored.gtin(), numbered("", "036000291452").gtin());
    assert!(restored.gtin().is_some());
    assert_eq!(restored.barcode.expect("a bar code").raw, "36000291452");
}

#[test]
fn lines_that_share_a_damaged_number_only_are_different_products() {
    let home = bench();
    // the demo's lists stand beside, since what a trait is worth is learned from the market
    for name in ["kettelbarn-genuine-parts.csv", "zelenohor-export.csv"] {
        write(
            home.path(),
            &format!("lists/{name}"),
            fs::read(demo_lists().join(name)).unwrap(),
        );
    }
    let damaged = ["1.23E+10", "10-Mar", "#N/A"];
    for (supplier, engine) in [("one", "168F 196cc"), ("two", "188F 389cc")] {
        let mut list = String::from("Article no;Brand;MPN;Title;Price EUR\n");
        for (place, number) in damaged.iter().enumerate() {
            list.push_str(&format!(
                "{supplier}-{place};Varnello;{number};Recoil starter {engine};12,50\n"
            ));
        }
        write(home.path(), &format!("lists/{supplier}.csv"), list);
    }
    let out = home.path().join("run");
    let lists = home.path().join("lists");
    samefit(&["build", text(&lists), "--out", text(&out), "--quiet"]).with_code(0);
    let out = text(&out);
    let (sku, product) = (
        column(out, "crossref.csv", "supplier_sku"),
        column(out, "crossref.csv", "product_id"),
    );
    let crossref = rows(out, "crossref.csv");
    let product_of = |wanted: String| {
        let row = crossref
            .iter()
            .find(|row| row[sku] == wanted)
            .expect("the line is in the table");
        row[product].to_string()
    };
    for (place, number) in damaged.iter().enumerate() {
        let (one, two) = (product_of(format!("one-{place}")), product_of(format!("two-{place}")));
        assert_ne!(one, two, "{number}");
    }
}

#[test]
fn odd_characters_change_nothing_that_is_read_and_stay_in_what_is_kept() {
    let plain = "Recoil starter 168F 196cc, hole spacing 118 mm";
    let odd = [
        plain.replace(' ', "\u{a0}"),
        plain.replace("168F", "\u{ff11}\u{ff16}\u{ff18}\u{ff26}"),
        plain.replace("starter", "sta\u{200b}rter"),
        plain.replace("starter", "st\u{430}rt\u{435}r"),
        plain.replace("Recoil", "R\u{e9}coil"),
    ];
    let list =
        |title: &str| format!("Article no;Title;Price EUR\nQ-1;\"{title}\";12,50\nQ-2;Recoil starter 188F;9,00\n");
    let expected = offers(&list(plain)).remove(0);
    let summary = |offer: &Offer| {
        let claims: Vec<_> = offer
            .claims
            .iter()
            .map(|claim| (claim.attribute, claim.value.clone()))
            .collect();
        (offer.kind.kind, format!("{claims:?}"))
    };
    for title in odd {
        let offer = offers(&list(&title)).remove(0);
        assert_eq!(summary(&offer), summary(&expected), "{title:?}");
        assert_eq!(offer.title, title, "the text is kept as written");
        let once = fold(&title).into_owned();
        assert_eq!(fold(&once), once, "folding twice changes nothing");
    }
}

#[test]
fn look_alike_letters_and_digits_of_a_number_are_one_and_the_raw_text_is_kept() {
    let plain = numbered("ABC-10422", "");
    let expected = plain.maker_number().expect("a number").canonical.clone();
    for written in [
        "\u{410}\u{412}\u{421}-10422",
        "ABC\u{2011}10422",
        "ABC-\u{ff11}0422",
        "ABC-1O422",
        "ABC\u{a0}10422",
    ] {
        let offer = numbered(written, "");
        let number = offer
            .maker_number()
            .unwrap_or_else(|| panic!("{written:?}: {:?}", offer.numbers));
        assert_eq!(number.canonical, expected, "{written:?}");
        assert_eq!(number.raw, written);
    }
}
