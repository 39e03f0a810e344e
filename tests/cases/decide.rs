//! Deciding doubtful cases: the sheet that asks, decisions read back, and what comes of them.

use crate::helpers::{bench, build_demo, column, demo, demo_lists, differences, rows, samefit, text, write};
use crate::nights::{LISTS, Shop};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

const NORTH: &str = "Article no;Title;Brand;Mfr Part No;EAN;Price EUR\n\
    A-1;Recoil starter 168F 196cc 3 hole 118mm PCD;Brunlo;TV4471A;4006381333931;12,50\n\
    A-2;Recoil starter 188F 389cc 3 hole;Brunlo;TV4982C;;18,90\n\
    A-3;Recoil starter 168F 3 hole 131mm PCD;;;;11,00\n";
const SOUTH: &str = "Article no;Title;Brand;Mfr Part No;EAN;Price EUR\n\
    7;Pull start assembly starter 168F 196cc, 118 mm;Brunlo;TV4471A;9520274002889;9,80\n\
    8;Pull starter 188F 13 HP;Drolik;DR-77;;16,40\n\
    9;Pull starter 168F 5.5 HP;Drolik;DR-55;;8,10\n";

/// Builds two small lists under decisions.
fn decided(home: &Path, name: &str, decisions: &str, further: &[&str]) -> (String, crate::helpers::Ended) {
    write(home, "lists/north.csv", NORTH);
    write(home, "lists/south.csv", SOUTH);
    let lists = home.join("lists");
    let out = home.join(name);
    let mut arguments = vec!["build", text(&lists), "--out", text(&out)];
    let file = write(home, &format!("{name}-answers.csv"), decisions);
    if !decisions.is_empty() {
        arguments.extend(["--decisions", text(&file)]);
    }
    arguments.extend(further);
    let ended = samefit(&arguments);
    (text(&out).to_string(), ended)
}

/// Rows of a table by a name made of two of its columns.
fn by_name(run: &str, table: &str, [one, two]: [&str; 2]) -> BTreeMap<String, csv::StringRecord> {
    let (one, two) = (column(run, table, one), column(run, table, two));
    let rows = rows(run, table).into_iter();
    rows.map(|row| (format!("{}:{}", &row[one], &row[two]), row)).collect()
}

/// A cell of an offer's row.
fn cell(run: &str, offer: &str, name: &str) -> String {
    let offers = by_name(run, "crossref.csv", ["supplier", "supplier_sku"]);
    offers[offer][column(run, "crossref.csv", name)].to_string()
}

fn count(run: &str, name: &str) -> u64 {
    let text = std::fs::read_to_string(Path::new(run).join("run.json")).unwrap();
    let manifest: serde_json::Value = serde_json::from_str(&text).unwrap();
    manifest["counts"][name]
        .as_u64()
        .unwrap_or_else(|| panic!("no count {name} in {}", manifest["counts"]))
}

#[test]
fn the_sheet_asks_in_words_the_question_worth_most_first_and_leaves_room_for_the_answer() {
    let place = |name: &str| column(demo(), "review.csv", name);
    let table = rows(demo(), "review.csv");
    assert!(table.len() > 10, "only {} questions", table.len());
    let worth: Vec<f64> = table.iter().map(|row| row[place("worth")].parse().unwrap()).collect();
    assert!(worth.windows(2).all(|pair| pair[0] >= pair[1]));
    for row in &table {
        assert!(["Are these the very same part?", "Does this part fit this group?"].contains(&&row[place("asked")]));
        for name in ["decision", "note", "decided_on"] {
            assert!(row[place(name)].is_empty());
        }
        for name in ["this_offer", "that", "offer_a", "offer_b"] {
            assert!(!row[place(name)].is_empty(), "{name} in {row:?}");
        }
        let probability: f64 = row[place("probability")].parse().unwrap();
        assert!((0.0..=1.0).contains(&probability));
    }
    let package = std::fs::read_to_string(Path::new(demo()).join("datapackage.json")).unwrap();
    assert!(package.contains("\"review.csv\"") && package.contains("\"track-records.csv\""));
    assert_eq!(count(demo(), "review_questions"), table.len() as u64);
}

#[test]
fn an_unfilled_sheet_given_back_changes_nothing() {
    let home = bench();
    let out = home.path().join("again");
    let sheet = Path::new(demo()).join("review.csv");
    build_demo(&demo_lists(), &out, &["--quiet", "--decisions", text(&sheet)]);
    assert_eq!(differences(Path::new(demo()), &out), "");
}

/// Questions of the demo answered: the first pair put together, the next kept apart, one part that fits, one that does not.
fn answered_sheet() -> (String, [csv::StringRecord; 4]) {
    let place = |name: &str| column(demo(), "review.csv", name);
    let table = rows(demo(), "review.csv");
    let offers = by_name(demo(), "crossref.csv", ["supplier", "supplier_sku"]);
    let at = column(demo(), "crossref.csv", "product_id");
    let product = |name: &str| {
        offers
            .get(name.split(" | ").next().unwrap())
            .map(|row| row[at].to_string())
    };
    let apart = |row: &&csv::StringRecord| {
        let (a, b) = (product(&row[place("offer_a")]), product(&row[place("offer_b")]));
        a.is_some() && b.is_some() && a != b
    };
    let mut pairs = table
        .iter()
        .filter(|row| row[place("asked")].starts_with("Are"))
        .filter(apart);
    let mut fits = table
        .iter()
        .filter(|row| row[place("asked")].starts_with("Does"))
        .filter(apart);
    let mut next = || {
        [
            pairs.next().unwrap(),
            pairs.next().unwrap(),
            fits.next().unwrap(),
            fits.next().unwrap(),
        ]
    };
    let asked = next().map(Clone::clone);
    // as a spreadsheet in another country may save it: semicolons, a mark, columns dropped and moved
    let mut sheet = String::from("\u{feff}note;decision;offer_b;offer_a;decided_on;probability\r\n");
    for (row, answer) in asked.iter().zip(["same", "Different", "fits", "does not fit"]) {
        let probability = row[place("probability")].replace('.', ",");
        let _ = write!(
            sheet,
            "\"held side by side; bench 2\";{answer};{};{};2026-11-20;{probability}\r\n",
            &row[place("offer_b")],
            &row[place("offer_a")]
        );
    }
    (sheet, asked)
}

#[test]
fn answers_come_back_win_over_the_model_and_are_not_asked_again() {
    let home = bench();
    let (sheet, asked) = answered_sheet();
    let file = write(home.path(), "answers.csv", sheet);
    let out = home.path().join("run");
    build_demo(&demo_lists(), &out, &["--decisions", text(&file)]).with_code(0);
    let run = text(&out);
    assert_eq!((count(run, "decisions"), count(run, "decisions_applied")), (4, 4));
    let place = |name: &str| column(demo(), "review.csv", name);
    let names = |row: &csv::StringRecord| {
        let other = row[place("offer_b")].split(" | ").next().unwrap().to_string();
        (row[place("offer_a")].to_string(), other)
    };
    let both = |row: &csv::StringRecord, name: &str| {
        let (a, b) = names(row);
        (cell(run, &a, name), cell(run, &b, name))
    };
    let (a, b) = both(&asked[0], "product_id");
    assert_eq!(a, b, "same");
    let (a, b) = both(&asked[1], "product_id");
    assert_ne!(a, b, "different");
    let (a, b) = both(&asked[2], "group_id");
    assert_eq!(a, b, "fits");
    let (a, b) = both(&asked[2], "confidence");
    let (a, b): (f64, f64) = (a.parse().unwrap(), b.parse().unwrap());
    let before: f64 = cell(demo(), &names(&asked[2]).0, "confidence").parse().unwrap();
    assert!(
        a >= 0.98 * b && a > before,
        "confidence {a} beside {b}, {before} before"
    );
    let (a, b) = both(&asked[3], "group_id");
    assert_ne!(a, b, "does not fit");
    for row in &asked {
        let evidence = cell(run, &names(row).0, "evidence");
        assert!(evidence.contains("decided by a person on 2026-11-20: "), "{evidence}");
        assert!(evidence.contains("(held side by side, bench 2)"), "{evidence}");
    }
    let open = rows(run, "review.csv");
    for row in &asked {
        let same = |other: &&csv::StringRecord| {
            ["asked", "offer_a", "offer_b"]
                .iter()
                .all(|name| other[place(name)] == row[place(name)])
        };
        assert!(!open.iter().any(|other| same(&other)), "asked again: {row:?}");
    }
    samefit(&["explain", "--run", run, &names(&asked[0]).0, &names(&asked[0]).1])
        .with_code(0)
        .printing("Together: the very same part")
        .printing("decided by a person on 2026-11-20");
}

#[test]
fn grade_tells_how_true_the_probabilities_were_that_a_person_decided_on() {
    let home = bench();
    let file = write(home.path(), "answers.csv", answered_sheet().0);
    let told = samefit(&["grade", "--decisions", text(&file), demo(), "--json"])
        .with_code(0)
        .json();
    let told = &told["decisions"];
    assert_eq!((&told["judged"], &told["in_the_run"]), (&4.into(), &4.into()));
    assert!(
        told["followed"].as_u64().unwrap() < 4,
        "the demo was built without these decisions"
    );
    assert_eq!(told["decisions"]["does not fit"], 1);
    samefit(&["grade", "--decisions", text(&file), demo()])
        .with_code(0)
        .printing("The probability before the decision")
        .printing("Brier score");
    samefit(&["grade", demo()]).with_code(2).saying("--truth");
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
fn a_sheet_that_was_filled_in_is_never_written_over() {
    let home = bench();
    let (run, ended) = decided(home.path(), "run", "", &[]);
    ended.with_code(0);
    let sheet = Path::new(&run).join("review.csv");
    std::fs::write(&sheet, "decision,offer_a,offer_b\nsame,north:A-2,south:8\n").unwrap();
    let (_, ended) = decided(home.path(), "run", "", &[]);
    ended.with_code(2).saying("was filled in").saying("--decisions");
    assert!(std::fs::read_to_string(&sheet).unwrap().contains("south:8"));
    let lists = home.path().join("lists");
    samefit(&["build", text(&lists), "--out", &run, "--decisions", text(&sheet)])
        .with_code(2)
        .saying("move it out");
}

#[test]
fn a_workbook_that_was_filled_in_is_never_written_over_either() {
    let home = bench();
    let (run, ended) = decided(home.path(), "run", "", &[]);
    ended.with_code(0);
    decided(home.path(), "run", "", &[]).1.with_code(0);
    workbook(&Path::new(&run).join("crossref.xlsx"));
    let (_, ended) = decided(home.path(), "run", "", &[]);
    ended.with_code(2).saying("crossref.xlsx was filled in");
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
fn answering_the_sheet_truthfully_makes_the_whole_run_better() {
    let home = bench();
    let truth = truth_of_offers();
    let place = |name: &str| column(demo(), "review.csv", name);
    let mut sheet = String::from("decision,offer_a,offer_b\n");
    for row in rows(demo(), "review.csv").iter().take(60) {
        let other = row[place("offer_b")].split(" | ").next().unwrap().to_string();
        let (Some(a), Some(b)) = (truth.get(&row[place("offer_a")]), truth.get(&other)) else {
            continue;
        };
        let answer = match (row[place("asked")].starts_with("Are"), a.0 == b.0, a.1 == b.1) {
            (true, true, _) => "same",
            (true, false, _) => "different",
            (false, _, true) => "fits",
            (false, _, false) => "does not fit",
        };
        let _ = writeln!(sheet, "{answer},\"{}\",\"{other}\"", &row[place("offer_a")]);
    }
    let file = write(home.path(), "answers.csv", sheet);
    let out = home.path().join("run");
    build_demo(&demo_lists(), &out, &["--quiet", "--decisions", text(&file)]).with_code(0);
    let figures = |run: &str| {
        let known = "input-samples/known-answers.csv";
        let grade = samefit(&["grade", "--truth", known, run, "--json"]).with_code(0).json();
        [
            "/products/b_cubed/f1",
            "/groups/pairwise/f1",
            "/groups/b_cubed/f1",
            "/plain/brier",
        ]
        .map(|path| grade.pointer(path).and_then(serde_json::Value::as_f64).unwrap())
    };
    let (before, after) = (figures(demo()), figures(text(&out)));
    for figure in 0..3 {
        assert!(after[figure] >= before[figure], "{before:?} became {after:?}");
    }
    // squared errors stay where they were: a few dozen answers also move what the model learns of other lines
    assert!(after[3] < before[3] * 1.02, "{before:?} became {after:?}");
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

/// True product and fit group of the demo's offers that are named by supplier and number alone.
fn truth_of_offers() -> BTreeMap<String, (String, String)> {
    let mut reader = csv::Reader::from_path("input-samples/known-answers.csv").unwrap();
    let known: BTreeMap<(String, String), (String, String)> = reader
        .records()
        .map(|row| row.unwrap())
        .map(|row| {
            (
                (row[0].to_string(), row[1].to_string()),
                (row[4].to_string(), row[5].to_string()),
            )
        })
        .collect();
    let place = |name: &str| column(demo(), "crossref.csv", name);
    let offers = by_name(demo(), "crossref.csv", ["supplier", "supplier_sku"]);
    let of = |row: &csv::StringRecord| {
        (
            row[place("source_file")].to_string(),
            row[place("source_line")].to_string(),
        )
    };
    offers
        .into_iter()
        .filter_map(|(name, row)| Some((name, known.get(&of(&row))?.clone())))
        .collect()
}

/// A workbook with a cover sheet and a filled-in sheet of questions.
fn workbook(path: &Path) {
    let mut workbook = rust_xlsxwriter::Workbook::new();
    workbook
        .add_worksheet()
        .set_name("Read first")
        .unwrap()
        .write(0, 0, "a cover sheet")
        .unwrap();
    let sheet = workbook.add_worksheet().set_name("Review").unwrap();
    for (at, cell) in ["decision", "offer_a", "offer_b", "note"].iter().enumerate() {
        sheet.write(0, at as u16, *cell).unwrap();
    }
    for (at, cell) in ["same", "north:A-2", "south:8", "bench"].iter().enumerate() {
        sheet.write(1, at as u16, *cell).unwrap();
    }
    workbook.save(path).unwrap();
}

#[test]
fn what_cannot_be_read_of_decisions_is_told_and_what_is_no_decisions_file_is_refused() {
    let home = bench();
    let (_, ended) = decided(
        home.path(),
        "run",
        "same, north:A-2, south:8\nmaybe, north:A-1, south:7\n",
        &[],
    );
    ended
        .with_code(3)
        .saying("run-answers.csv:2: `maybe` is no decision")
        .saying("hint:");
    let (_, ended) = decided(home.path(), "none", "Article,Price\nA-1,2.50\n", &[]);
    ended.with_code(2).saying("no table of decisions");
}

#[test]
fn a_filled_in_sheet_of_the_workbook_is_taken_as_well() {
    let home = bench();
    let book = home.path().join("answers.xlsx");
    workbook(&book);
    decided(home.path(), "plain", "", &[]).1.with_code(0);
    let (lists, out) = (home.path().join("lists"), home.path().join("run"));
    samefit(&["build", text(&lists), "--out", text(&out), "--decisions", text(&book)]).with_code(0);
    let run = text(&out);
    assert_eq!(cell(run, "north:A-2", "product_id"), cell(run, "south:8", "product_id"));
}

#[test]
fn the_unsound_supplier_of_the_demo_stands_out_in_the_track_records_attribute_by_attribute() {
    let place = |name: &str| column(demo(), "track-records.csv", name);
    let table = rows(demo(), "track-records.csv");
    let share = |row: &csv::StringRecord, name: &str| row[place(name)].parse::<f64>().unwrap_or(0.0);
    let of = |supplier: &str, attribute: &str| {
        let found = table
            .iter()
            .find(|row| &row[place("supplier")] == supplier && &row[place("attribute")] == attribute);
        found.unwrap_or_else(|| panic!("no record of {supplier} in {attribute}"))
    };
    // 12 in a hundred claims of this one about engine and circle are wrong by construction, 1 to 3 of the others'; a
    // wrong power is often one that the right engine has too
    for attribute in ["engine code", "displacement", "bolt circle"] {
        let unsound = of("steppenbrook_feed", attribute);
        let (low, high) = (share(unsound, "share_low"), share(unsound, "share_high"));
        assert!(low <= 0.12 && 0.12 <= high, "{attribute}: {low} to {high}");
        let others = table.iter().filter(|row| &row[place("attribute")] == attribute);
        for row in others.filter(|row| &row[place("supplier")] != "steppenbrook_feed") {
            assert!(share(row, "share") < low, "{attribute}: {row:?} beside {unsound:?}");
        }
    }
    for row in &table {
        let (low, share_of, high) = (share(row, "share_low"), share(row, "share"), share(row, "share_high"));
        assert!(low <= share_of + 1e-4 && share_of <= high + 1e-4, "{row:?}");
        assert!(row[place("contradicted")].parse::<u64>().unwrap() <= row[place("checked")].parse::<u64>().unwrap());
    }
}
