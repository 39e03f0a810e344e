//! `samefit refresh`, night after night: the tables of a build, ids that last, changes told, nothing done for nothing.

use crate::helpers::{column, rows, samefit, text};
use crate::nights::{LISTS, SUPPLIER, Shop, tables_that_differ};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Another price on some lines, one line gone, one new.
fn ordinary_night(shop: &Shop) {
    shop.change(LISTS[0], |lines| {
        for line in lines.iter_mut().skip(1).step_by(9) {
            *line = line.replacen(",KB", "0,KB", 1).replacen(".", ".1", 1);
        }
        lines.remove(40);
        let new = lines[41].replacen(",KB", ",KB9", 1);
        lines.push(new);
    });
}

#[test]
fn the_first_night_gives_the_tables_a_build_gives() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[])
        .with_code(0)
        .printing("published 2026-10-01-1");
    let built = shop.at("built");
    let lists = shop.at("lists");
    samefit(&["build", text(&lists), "--out", text(&built), "--quiet"]).with_code(0);
    assert!(
        tables_that_differ(&built, &shop.run()).is_empty(),
        "{:?}",
        tables_that_differ(&built, &shop.run())
    );
    assert!(shop.told().is_empty());
}

#[test]
fn a_night_on_which_nothing_changed_touches_nothing_and_says_so() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    let pointer = fs::read(shop.at("disk/out/current.json")).unwrap();
    let written = |name: &str| fs::metadata(shop.run().join(name)).unwrap().modified().unwrap();
    let before = written("crossref.csv");
    for (further, locale) in [(vec![], "C"), (vec!["--threads", "1"], "de_DE.UTF-8")] {
        let output = shop
            .command("2026-10-02", &further)
            .env("LC_ALL", locale)
            .env("TZ", "Asia/Tokyo")
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0));
        assert!(String::from_utf8_lossy(&output.stdout).starts_with("nothing changed; 2026-10-01-1 stands"));
    }
    assert_eq!(fs::read(shop.at("disk/out/current.json")).unwrap(), pointer);
    assert_eq!(written("crossref.csv"), before);
    let quiet = shop.night("2026-10-03", &["--quiet"]).with_code(0);
    assert_eq!((quiet.stdout.as_str(), quiet.stderr.as_str()), ("", ""));
}

/// The rows of a run without ids, and which rows share one.
fn rows_and_partition(run: &Path, id: &str) -> (Vec<String>, BTreeSet<BTreeSet<String>>) {
    let run = text(run);
    let ids = ["group_id", "product_id"].map(|name| column(run, "crossref.csv", name));
    let at = column(run, "crossref.csv", id);
    let mut lines = Vec::new();
    let mut together: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for row in rows(run, "crossref.csv") {
        let cells = row.iter().enumerate().filter(|(place, _)| !ids.contains(place));
        let line = cells.map(|(_, cell)| cell).collect::<Vec<_>>().join("\u{1f}");
        together.entry(row[at].to_owned()).or_default().insert(line.clone());
        lines.push(line);
    }
    lines.sort();
    (lines, together.into_values().collect())
}

#[test]
fn a_later_night_gives_what_a_build_gives_but_for_the_ids() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    ordinary_night(&shop);
    shop.night("2026-10-02", &[]).with_code(0);
    let built = shop.at("built");
    let lists = shop.at("lists");
    samefit(&["build", text(&lists), "--out", text(&built), "--quiet"]).with_code(0);
    for id in ["group_id", "product_id"] {
        assert!(
            rows_and_partition(&built, id) == rows_and_partition(&shop.run(), id),
            "{id}"
        );
    }
}

#[test]
fn readings_kept_give_the_same_bytes_as_reading_everything_anew() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    ordinary_night(&shop);
    shop.night("2026-10-02", &[]).with_code(0);
    let kept = shop.run();
    shop.night("2026-10-02", &["--rebuild", "--threads", "1"]).with_code(0);
    assert_ne!(kept, shop.run());
    assert!(tables_that_differ(&kept, &shop.run()).is_empty());
}

#[test]
fn ids_are_the_same_when_all_is_built_from_nothing_beside_the_store() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    // the first of many offers goes: ids made of members' words would change with it
    shop.change(LISTS[1], |lines| drop(lines.drain(1..40)));
    shop.night("2026-10-02", &[]).with_code(0);
    let before = shop.tables();
    fs::remove_dir_all(shop.at("disk/out")).unwrap();
    fs::remove_dir_all(shop.at("disk/store/read")).unwrap();
    shop.night("2026-10-03", &[]).with_code(0);
    let ids = |tables: &[(String, Vec<u8>)]| {
        let of = |name: &str| tables.iter().find(|table| table.0 == name).unwrap().1.clone();
        (of("crossref.csv"), of("groups.csv"), of("products.csv"))
    };
    assert!(ids(&before) == ids(&shop.tables()));
}

#[test]
fn most_ids_live_through_a_night_and_what_became_of_the_others_is_told() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    let ids = |table: &str, name: &str| -> BTreeSet<String> {
        let run = shop.run();
        let place = column(text(&run), table, name);
        rows(text(&run), table)
            .iter()
            .map(|row| row[place].to_owned())
            .collect()
    };
    let products = ids("products.csv", "product_id");
    let groups = ids("groups.csv", "group_id");
    shop.change(LISTS[1], |lines| drop(lines.drain(1..40)));
    shop.night("2026-10-02", &[]).with_code(0);
    let told: BTreeSet<String> = ids("ids.csv", "id");
    for (before, now) in [
        (products, ids("products.csv", "product_id")),
        (groups, ids("groups.csv", "group_id")),
    ] {
        assert!(
            before.intersection(&now).count() * 5 > now.len() * 4,
            "{before:?} {now:?}"
        );
        let changed: BTreeSet<&String> = before.symmetric_difference(&now).collect();
        assert!(
            !changed.is_empty() && changed.iter().all(|id| told.contains(*id)),
            "{changed:?} {told:?}"
        );
    }
}

#[test]
fn new_gone_back_and_repriced_offers_are_told_in_every_form() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    let mut line = String::new();
    shop.change(LISTS[0], |lines| line = lines.remove(30));
    shop.night("2026-10-02", &[]).with_code(0).printing("1 gone");
    assert_eq!(shop.count_of("gone"), 1);
    shop.change(LISTS[0], |lines| {
        lines.push(line);
        lines[2] = lines[2].replacen("61.37", "60.12", 1);
        let new = lines[5].replacen(",KB", ",KB9", 1);
        lines.push(new);
    });
    shop.night("2026-10-03", &[])
        .with_code(0)
        .printing("1 repriced, 1 new, 1 back");
    let json: serde_json::Value = serde_json::from_slice(&fs::read(shop.run().join("changes.json")).unwrap()).unwrap();
    assert_eq!(json.as_array().unwrap().len(), shop.told().len());
    let words: Vec<String> = shop.told().into_iter().map(|told| told.3).collect();
    assert!(
        words
            .iter()
            .any(|words| words.contains("61.37 EUR -> 60.12 EUR (-2.0 %)")),
        "{words:?}"
    );
    assert!(
        words.iter().any(|words| words.contains("gone since 2026-10-02")),
        "{words:?}"
    );
}

#[test]
fn rows_shuffled_or_files_renamed_change_no_id_and_tell_no_change() {
    let settings = format!(
        "[[source]]\nfiles = \"lists/*kettelbarn*\"\nsupplier = \"{SUPPLIER}\"\n[[source]]\nfiles = \"lists/zelenohor*\"\n"
    );
    let shop = Shop::with(&settings);
    shop.night("2026-10-01", &[]).with_code(0);
    let groups = fs::read(shop.run().join("groups.csv")).unwrap();
    shop.change(LISTS[0], |lines| lines[1..].reverse());
    fs::rename(
        shop.at("lists").join(LISTS[0]),
        shop.at("lists/0-kettelbarn-renamed.csv"),
    )
    .unwrap();
    shop.night("2026-10-02", &[]).with_code(0).printing("no change");
    assert!(shop.told().is_empty(), "{:?}", shop.told());
    assert_eq!(fs::read(shop.run().join("groups.csv")).unwrap(), groups);
}

#[test]
fn so_many_runs_are_kept_and_the_one_that_stands_is_among_them() {
    let shop = Shop::with("keep = 2\n[[source]]\nfolder = \"lists\"\n");
    for (day, price) in [(1, "61.10"), (2, "61.20"), (3, "61.30")] {
        shop.change(LISTS[0], |lines| {
            let at = lines[2].find("61.").unwrap();
            lines[2].replace_range(at..at + 5, price);
        });
        shop.night(&format!("2026-10-0{day}"), &[]).with_code(0);
    }
    let runs = crate::helpers::names_in(&shop.at("disk/out/runs"));
    assert_eq!(runs, ["2026-10-02-1", "2026-10-03-1"]);
    let states = crate::helpers::names_in(&shop.at("disk/store/state"));
    assert_eq!(
        states.len(),
        5,
        "two runs, two files each, and the name of the last: {states:?}"
    );
}

#[test]
fn the_number_of_a_run_that_was_cleared_away_is_not_given_again() {
    let shop = Shop::with("keep = 2\n[[source]]\nfolder = \"lists\"\n");
    for number in 1..=4 {
        shop.night("2026-10-01", &["--rebuild"]).with_code(0);
        assert_eq!(shop.standing(), format!("2026-10-01-{number}"));
    }
}

#[test]
fn rates_that_grow_old_are_warned_of_from_their_day_on_although_no_list_changed() {
    let shop = Shop::with("rates = \"exchange-rates.toml\"\n[[source]]\nfolder = \"lists\"\n");
    let rates = Path::new(env!("CARGO_MANIFEST_DIR")).join("input-samples/exchange-rates.toml");
    fs::copy(rates, shop.at("exchange-rates.toml")).unwrap();
    // the rates are of 2026-09-01, and 45 days later they are not yet stale
    shop.night("2026-10-01", &[]).with_code(0);
    shop.night("2026-10-16", &[]).with_code(0).printing("nothing changed");
    shop.night("2026-10-17", &["--quiet"])
        .with_code(3)
        .saying("the exchange rates of 2026-09-01 are more than 45 days old");
    shop.night("2026-10-18", &[]).with_code(3).printing("nothing changed");
}

#[test]
fn readers_take_the_output_of_nights_as_they_take_a_run() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    let out = shop.at("disk/out");
    samefit(&["find", text(&out), "pull starter 168F"])
        .with_code(0)
        .printing("RECOIL STARTER");
}

#[test]
fn what_an_offer_cost_when_can_be_asked() {
    let shop = Shop::plain();
    for (day, price) in [(1, "61.37"), (2, "60.12"), (4, "")] {
        shop.change(LISTS[0], |lines| {
            let at = lines.iter().position(|line| line.contains("KB758617")).unwrap();
            let mut cells: Vec<String> = lines[at].split(',').map(str::to_owned).collect();
            let place = cells.len() - 3;
            cells[place] = price.to_owned();
            if price.is_empty() {
                lines.remove(at);
            } else {
                lines[at] = cells.join(",");
            }
        });
        shop.night(&format!("2026-10-0{day}"), &[]).with_code(0);
        // a night on which nothing changed leaves no trace
        shop.night("2026-10-03", &[]).with_code(0);
    }
    let out = shop.at("disk/out");
    let asked = samefit(&["find", text(&out), "--number", "kb 758617", "--history", "--csv"]).with_code(0);
    let mut reader = csv::Reader::from_reader(asked.stdout.as_bytes());
    let told: Vec<String> = reader
        .records()
        .map(|row| row.unwrap().iter().skip(3).collect::<Vec<_>>().join(" "))
        .collect();
    assert_eq!(
        told,
        [
            "2026-10-01 61.37 EUR listed",
            "2026-10-02 60.12 EUR listed",
            "2026-10-04   gone"
        ]
    );
    samefit(&["find", text(&out), "--number", "kb758617", "--history"])
        .with_code(0)
        .printing("no longer listed");
}
