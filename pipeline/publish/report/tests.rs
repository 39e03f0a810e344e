//! The page against hostile wording, its own limits and its content policy.

use super::*;
use crate::publish::manifest::settled;
use crate::publish::order::ordered;
use crate::publish::sample::{HOSTILE, small_facts, small_run};
use crate::publish::tables::RunTables;

fn written(tables: &RunTables) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("report.html");
    let facts = small_facts();
    write_report(&path, &ordered(tables), &settled(tables, &facts), &facts).unwrap();
    std::fs::read_to_string(path).unwrap()
}

/// A run whose one group has so many offers.
fn run_with_offers(count: u32) -> RunTables {
    let mut tables = small_run();
    let offer = tables.crossref[0].clone();
    tables.crossref = (2..count + 2)
        .map(|line| {
            let mut offer = offer.clone();
            offer.source_line = line;
            offer.rank_in_group = Some(line);
            offer.supplier_sku = format!("N-{line}").into();
            offer
        })
        .collect();
    tables
}

#[test]
fn hostile_wording_stays_words() {
    let mut tables = small_run();
    tables.groups[0].name = HOSTILE.into();
    tables.crossref[0].evidence = HOSTILE.into();
    tables.crossref[0].supplier_sku = HOSTILE.into();
    tables.suppliers[0].notes = HOSTILE.into();
    let page = written(&tables);
    assert!(!page.contains("<img"), "markup of a supplier got through");
    let blocks = 3;
    assert_eq!(
        page.matches("</script>").count(),
        blocks + 1,
        "only the page's own scripts end"
    );
    assert!(!page.contains('\u{1b}'));
    assert!(page.contains("&lt;img src=x onerror=alert(1)&gt;"));
}

#[test]
fn nothing_is_fetched_and_no_handler_stands_in_markup() {
    let page = written(&small_run());
    for forbidden in ["src=\"", "url(", "@import", "onclick", " style=\"", "<link"] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
    assert!(page.contains("default-src &#39;none&#39;") || page.contains("default-src 'none'"));
}

#[test]
fn a_page_at_its_limit_says_what_it_leaves_to_the_tables() {
    let tables = run_with_offers(100_050);
    let order = ordered(&tables);
    let mut views = group_views(&order);
    assert_eq!(limit::limit(&mut views), LeftOut { groups: 0, offers: 50 });
    let page = written(&tables);
    assert!(page.contains("Not on this page: 0 groups and 50 offers."));
    assert!(page.len() < 30_000_000, "{} bytes", page.len());
}

#[test]
fn the_same_rows_give_the_same_page_whatever_the_threads() {
    let tables = run_with_offers(5000);
    let alone = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    assert_eq!(written(&tables), alone.install(|| written(&tables)));
}

#[test]
fn what_to_do_today_starts_with_the_doubtful_bargain() {
    let mut tables = small_run();
    tables.crossref[0].landed_price = "9.90".parse().ok();
    let page = written(&tables);
    assert!(page.contains("Saves 5.00 EUR"));
    assert!(page.contains("Lists to mend"));
}

#[test]
fn the_groups_with_most_offers_stay_and_the_others_are_counted() {
    let mut tables = small_run();
    for (id, offers) in [("G0", 0u32), ("G2", 3)] {
        let mut group = tables.groups[0].clone();
        group.group_id = id.into();
        tables.groups.push(group);
        for line in 0..offers {
            let mut offer = tables.crossref[0].clone();
            offer.group_id = id.into();
            offer.source_line = 100 + line;
            tables.crossref.push(offer);
        }
    }
    let order = ordered(&tables);
    let mut views = group_views(&order);
    let expected = LeftOut { groups: 2, offers: 2 };
    assert_eq!(limit::keep_largest(&mut views, 1), expected);
    assert_eq!(views[0].group.group_id, "G2");
}

#[test]
fn groups_that_are_placed_come_first_and_keep_their_id_as_their_link() {
    let mut tables = small_run();
    let mut unplaced = tables.groups[0].clone();
    unplaced.group_id = "A \"0\"".into();
    unplaced.displacement_cc = "".into();
    unplaced.bolt_circle_mm = None;
    tables.groups.push(unplaced);
    let order = ordered(&tables);
    let anchors: Vec<_> = group_views(&order).into_iter().map(|view| view.anchor).collect();
    assert_eq!(anchors, ["G1", "A--0-"]);
}
