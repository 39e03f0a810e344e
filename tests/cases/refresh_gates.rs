//! The gates of `samefit refresh`: what looks like an accident is held back, the last good list stands in, and the change
//! report names figure and limit.

use crate::helpers::text;
use crate::nights::{LISTS, SUPPLIER, Shop};
use std::fs;

/// A shop after a good night.
fn after_a_good_night(settings: &str) -> Shop {
    let shop = Shop::with(settings);
    shop.night("2026-10-01", &[]).with_code(0);
    shop
}

const PLAIN: &str = "[[source]]\nfolder = \"lists\"\n";

/// Plays a second night: the list must be held for this reason, all its offers still there; then it is accepted by name,
/// and that is recorded.
#[track_caller]
fn held_then_accepted(shop: &Shop, reason: &str) {
    let offers = shop.offers_of(SUPPLIER);
    shop.night("2026-10-02", &["--quiet"]).with_code(3).saying(reason);
    assert_eq!(shop.offers_of(SUPPLIER), offers);
    let told = shop.told();
    assert!(
        told.iter()
            .any(|told| told.0 == "held" && told.1 == SUPPLIER && told.3.contains(reason)),
        "{told:?}"
    );
    assert_eq!(told.len(), 1, "a stand-in changes nothing else: {told:?}");
    // the same again: nothing to do, and still worth hearing
    shop.night("2026-10-03", &[])
        .with_code(3)
        .printing("nothing changed")
        .saying(reason);
    let accepted = shop.night("2026-10-04", &["--accept", SUPPLIER]);
    assert!(matches!(accepted.code, 0 | 3), "{}", accepted.stderr);
    assert_eq!(shop.count_of("accepted"), 1, "{:?}", shop.told());
    assert!(
        fs::read_to_string(shop.at("disk/store/nights.jsonl"))
            .unwrap()
            .contains(SUPPLIER)
    );
    // accepted once is accepted: the next night holds nothing
    let next = shop.night("2026-10-05", &[]).printing("nothing changed");
    assert!(!next.stderr.contains("held back"), "{}", next.stderr);
}

#[test]
fn a_list_that_shrank_by_ninety_percent_is_held() {
    let shop = after_a_good_night(PLAIN);
    shop.change(LISTS[0], |lines| lines.truncate(10));
    held_then_accepted(&shop, "it shrank from 92 lines to 9; the limit is 30 % less");
}

#[test]
fn a_list_that_grew_past_all_measure_is_held() {
    let shop = after_a_good_night("[gates]\ngrowth = 1.5\n[[source]]\nfolder = \"lists\"\n");
    shop.change(LISTS[0], |lines| {
        let again: Vec<String> = lines[1..].iter().map(|line| line.replacen(",KB", ",KX", 1)).collect();
        lines.extend(again);
    });
    held_then_accepted(&shop, "the limit is 1.5 times as many");
}

#[test]
fn a_list_that_is_missing_is_held() {
    let shop = after_a_good_night(PLAIN);
    fs::remove_file(shop.at("lists").join(LISTS[0])).unwrap();
    held_then_accepted(&shop, "its list is missing");
    assert_eq!(shop.offers_of(SUPPLIER), 0, "accepted as missing, it is gone");
}

#[test]
fn a_list_that_cannot_be_read_is_held() {
    let shop = after_a_good_night(PLAIN);
    fs::write(shop.at("lists").join(LISTS[0]), "").unwrap();
    let offers = shop.offers_of(SUPPLIER);
    shop.night("2026-10-02", &[]).with_code(3).saying("it cannot be read");
    assert_eq!(shop.offers_of(SUPPLIER), offers);
    let rejects = fs::read_to_string(shop.run().join("rejects.csv")).unwrap();
    assert!(rejects.contains("empty-file"), "{rejects}");
}

#[test]
fn a_list_in_another_currency_is_held() {
    let shop = after_a_good_night(PLAIN);
    shop.change(LISTS[0], |lines| lines[0] = lines[0].replacen("EUR", "USD", 1));
    held_then_accepted(
        &shop,
        "prices compared are in another currency (100 %); the limit is 5 %",
    );
}

#[test]
fn a_list_whose_prices_moved_as_a_whole_is_held() {
    let shop = after_a_good_night(PLAIN);
    shop.change(LISTS[0], |lines| {
        for line in &mut lines[1..] {
            let mut cells: Vec<String> = line.rsplitn(4, ',').map(str::to_owned).collect();
            if let Ok(price) = cells[2].parse::<f64>() {
                cells[2] = format!("{:.2}", price * 2.0);
            }
            cells.reverse();
            *line = cells.join(",");
        }
    });
    held_then_accepted(&shop, "2.00 times as high; the limit is 25 % up or down");
}

#[test]
fn a_list_whose_column_was_renamed_is_held() {
    let shop = after_a_good_night(PLAIN);
    shop.change(LISTS[0], |lines| {
        lines[0] = lines[0].replacen("Part Number", "Part No", 1)
    });
    held_then_accepted(&shop, "was renamed");
}

#[test]
fn a_list_dated_in_the_future_is_held_until_that_day() {
    let shop = after_a_good_night(&format!(
        "[[source]]\nfiles = \"lists/kettelbarn*\"\nsupplier = \"{SUPPLIER}\"\n[[source]]\nfiles = \"lists/zelenohor*\"\n"
    ));
    shop.change(LISTS[0], |lines| drop(lines.remove(20)));
    fs::rename(
        shop.at("lists").join(LISTS[0]),
        shop.at("lists/kettelbarn-2026-11-01.csv"),
    )
    .unwrap();
    shop.night("2026-10-02", &[])
        .with_code(3)
        .saying("dated 2026-11-01, which is still to come");
    shop.night("2026-10-20", &[]).with_code(3).printing("nothing changed");
    shop.night("2026-11-01", &[]).with_code(0).printing("1 gone");
}

#[test]
fn the_same_list_again_is_told_when_a_new_one_was_promised() {
    let settings = format!(
        "[[source]]\nfiles = \"lists/kettelbarn*\"\nsupplier = \"{SUPPLIER}\"\nfresh_every_days = 7\n\
         [[source]]\nfiles = \"lists/zelenohor*\"\n"
    );
    let shop = after_a_good_night(&settings);
    shop.night("2026-10-08", &[]).with_code(0).printing("nothing changed");
    shop.night("2026-10-09", &[])
        .with_code(3)
        .saying("sent the same list again");
    assert_eq!(shop.count_of("held"), 1);
    shop.night("2026-10-10", &[])
        .with_code(3)
        .printing("nothing changed")
        .saying("the limit is 7 days");
}

#[test]
fn too_much_held_and_nothing_is_published() {
    let shop = after_a_good_night(PLAIN);
    let before = shop.tables();
    let pointer = fs::read(shop.at("disk/out/current.json")).unwrap();
    shop.change(LISTS[1], |lines| lines.truncate(3));
    shop.night("2026-10-02", &[])
        .with_code(4)
        .saying("the limit is 50 %")
        .saying("zelenohor-export");
    assert_eq!(fs::read(shop.at("disk/out/current.json")).unwrap(), pointer);
    assert!(shop.tables() == before);
    // the operator decides
    shop.night("2026-10-02", &["--accept", "zelenohor-export"]).with_code(0);
}

#[test]
fn a_name_that_no_supplier_has_cannot_be_accepted() {
    let shop = after_a_good_night(PLAIN);
    shop.night("2026-10-02", &["--accept", "nobody"])
        .with_code(2)
        .saying("`nobody`")
        .saying(SUPPLIER);
    assert!(text(&shop.run()).ends_with("2026-10-01-1"));
}
