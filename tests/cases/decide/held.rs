//! What decisions do to a run, and how long they hold.

use super::{NORTH, SOUTH, by_name, cell, count, decided};
use crate::helpers::{bench, column, differences, samefit, text, write};
use crate::nights::{LISTS, Shop};
use std::path::Path;

#[test]
fn a_persons_same_wins_over_two_barcodes_and_that_is_said() {
    let home = bench();
    let (run, ended) = decided(
        home.path(),
        "run",
        "same, north:A-1, south:7, one casting, 2026-11-20\n",
        &[],
    );
    ended
        .with_code(0)
        .saying("against barcodes or maker's numbers that differ");
    assert_eq!(
        cell(&run, "north:A-1", "product_id"),
        cell(&run, "south:7", "product_id")
    );
    assert!(cell(&run, "south:7", "product_confidence").parse::<f64>().unwrap() > 0.97);
    let (plain, _) = decided(home.path(), "plain", "", &[]);
    assert_ne!(
        cell(&plain, "north:A-1", "product_id"),
        cell(&plain, "south:7", "product_id")
    );
}

#[test]
fn a_wrong_claim_is_left_out() {
    let home = bench();
    let (plain, _) = decided(home.path(), "plain", "", &[]);
    assert_eq!(cell(&plain, "north:A-3", "bolt_circle_mm"), "131.00");
    let (run, ended) = decided(home.path(), "run", "wrong claim, north:A-3, bolt-circle\n", &[]);
    ended.with_code(0);
    assert_eq!(cell(&run, "north:A-3", "bolt_circle_mm"), "");
    assert!(cell(&run, "north:A-3", "evidence").contains("decided by a person: wrong claim bolt-circle"));
}

#[test]
fn contradictory_decisions_are_told_with_their_lines_and_none_of_them_is_applied() {
    let home = bench();
    let (plain, ended) = decided(home.path(), "plain", "", &[]);
    ended.with_code(0);
    let answers = "same, north:A-2, south:8\nsame, south:8, south:9\ndifferent, north:A-2, south:9\n\
        fits, north:A-3, south:7\ndoes not fit, north:A-3, south:7\n";
    let (run, ended) = decided(home.path(), "run", answers, &[]);
    let ended = ended
        .with_code(3)
        .saying("contradicts")
        .saying("none of them is applied");
    for line in 1..=5 {
        assert!(
            ended.stderr.contains(&format!("run-answers.csv:{line}: ")),
            "{}",
            ended.stderr
        );
    }
    assert_eq!(
        (count(&run, "decisions_contradictory"), count(&run, "decisions_applied")),
        (5, 0)
    );
    for table in ["crossref.csv", "groups.csv", "products.csv", "review.csv"] {
        let read = |run: &str| std::fs::read(Path::new(run).join(table)).unwrap();
        assert!(read(&plain) == read(&run), "{table}");
    }
}

#[test]
fn a_decision_on_an_offer_that_is_gone_is_kept_and_reported_and_the_run_is_sound() {
    let home = bench();
    let (run, ended) = decided(
        home.path(),
        "run",
        "same, north:A-1, south:777\nsame, north:A-1, west:1\n",
        &[],
    );
    ended
        .with_code(0)
        .saying("no list shows the offer `south:777`")
        .saying("1 more");
    assert_eq!(count(&run, "decisions_of_offers_gone"), 2);
}

#[test]
fn decisions_outlive_a_new_date_in_the_name_of_a_file_and_another_order_of_lines() {
    let home = bench();
    let mut lines: Vec<&str> = NORTH.lines().collect();
    lines[1..].reverse();
    write(home.path(), "lists/north-2026-10.csv", lines.join("\n") + "\n");
    write(home.path(), "lists/south.csv", SOUTH);
    let file = write(home.path(), "answers.csv", "same, north-2026-09:A-2, south:8\n");
    let (lists, out) = (home.path().join("lists"), home.path().join("run"));
    samefit(&["build", text(&lists), "--out", text(&out), "--decisions", text(&file)])
        .with_code(0)
        .saying("`north-2026-09` are taken for `north-2026-10`");
    let run = text(&out);
    assert_eq!(
        cell(run, "north-2026-10:A-2", "product_id"),
        cell(run, "south:8", "product_id")
    );
}

#[test]
fn decisions_give_the_same_bytes_whatever_the_threads_and_the_order_of_their_files() {
    let home = bench();
    let one = write(home.path(), "one.csv", "same,north:A-2,south:8,bench\n");
    let two = write(
        home.path(),
        "two.csv",
        "fits,north:A-3,south:7\nwrong claim,north:A-1,thread\n",
    );
    write(home.path(), "lists/north.csv", NORTH);
    write(home.path(), "lists/south.csv", SOUTH);
    let lists = home.path().join("lists");
    let outs = ["a", "b"].map(|name| home.path().join(name));
    for (out, files, threads) in [(&outs[0], [&one, &two], "1"), (&outs[1], [&two, &one], "4")] {
        let files = files.map(|file| text(file));
        samefit(&[
            "build",
            text(&lists),
            "--out",
            text(out),
            "--threads",
            threads,
            "--decisions",
            files[0],
            "--decisions",
            files[1],
        ])
        .with_code(0);
    }
    assert_eq!(differences(&outs[0], &outs[1]), "");
}

#[test]
fn a_decision_lasts_from_night_to_night_and_waits_for_an_offer_that_is_gone() {
    let shop = Shop::with("decisions = \"answers\"\n[[source]]\nfolder = \"lists\"\n");
    let answers = shop.at("answers");
    write(&answers, "first.csv", "decision,offer_a,offer_b,note\n");
    shop.night("2026-10-01", &[]).with_code(0);
    let (one, two) = {
        let run = shop.run();
        let offers = by_name(text(&run), "crossref.csv", ["supplier", "supplier_sku"]);
        let of = |name: &str| column(text(&run), "crossref.csv", name);
        let key = |row: &csv::StringRecord| (row[of("part_kind")].to_string(), row[of("product_id")].to_string());
        let from = |supplier: &'static str| offers.iter().filter(move |(name, _)| name.starts_with(supplier));
        let (one, first) = from("kettelbarn").next().unwrap();
        let (two, _) = from("zelenohor")
            .find(|(_, row)| key(row).0 == key(first).0 && key(row).1 != key(first).1)
            .unwrap();
        (one.clone(), two.clone())
    };
    let together = |shop: &Shop| {
        let run = shop.run();
        let offers = by_name(text(&run), "crossref.csv", ["supplier", "supplier_sku"]);
        let product = column(text(&run), "crossref.csv", "product_id");
        Some(offers.get(&one)?[product] == offers.get(&two)?[product])
    };
    assert_eq!(together(&shop), Some(false));
    write(
        &answers,
        "second.csv",
        format!("decision,offer_a,offer_b,note\nsame,\"{one}\",\"{two}\",bench\n"),
    );
    shop.night("2026-10-02", &[]).with_code(0).printing("published");
    assert_eq!(together(&shop), Some(true));
    let sku = two.split_once(':').unwrap().1.to_string();
    let mut gone = Vec::new();
    shop.change(LISTS[1], |lines| {
        let at = lines.iter().position(|line| line.contains(&sku)).unwrap();
        gone.push(lines.remove(at));
    });
    shop.night("2026-10-03", &[])
        .with_code(0)
        .saying("no list shows the offer");
    assert_eq!(together(&shop), None);
    shop.change(LISTS[1], |lines| lines.append(&mut gone));
    shop.night("2026-10-04", &[]).with_code(0);
    assert_eq!(together(&shop), Some(true));
}
