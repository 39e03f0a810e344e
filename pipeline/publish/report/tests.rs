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
    let page = written(&tables);
    assert!(!page.contains("<img"), "markup of a supplier got through");
    assert_eq!(
        page.matches("</script>").count(),
        2,
        "only the page's own two scripts end"
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
fn a_long_group_shows_some_offers_and_carries_the_rest_as_data() {
    let page = written(&run_with_offers(40));
    assert_eq!(page.matches("<summary>Why</summary>").count(), SHOWN_PER_GROUP);
    assert!(page.contains("Show 28 more offers"));
    assert!(page.contains("N-41"));
}

#[test]
fn a_page_at_its_limit_says_what_it_leaves_to_the_tables() {
    let tables = run_with_offers(20_050);
    let order = ordered(&tables);
    let mut views = group_views(&order);
    assert_eq!(limit(&mut views), LeftOut { groups: 0, offers: 50 });
    let page = written(&tables);
    assert!(page.contains("The rest, 50 offers, is in crossref.csv."));
    assert!(page.len() < 12_000_000, "{} bytes", page.len());
}

#[test]
fn what_to_do_today_starts_with_the_doubtful_bargain() {
    let mut tables = small_run();
    tables.crossref[0].landed_price = "9.90".parse().ok();
    let page = written(&tables);
    assert!(page.contains("would save 5.00 EUR"));
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
    assert_eq!(keep_largest(&mut views, 1), expected);
    assert_eq!(views[0].group.group_id, "G2");
}

#[test]
fn an_assembly_and_the_needs_it_covers_point_at_each_other() {
    let mut tables = small_run();
    let mut assembly = tables.groups[0].clone();
    assembly.group_id = "G9".into();
    assembly.covers_groups = "G1;elsewhere".into();
    tables.groups.push(assembly);
    let page = written(&tables);
    assert_eq!(page.matches("Also answers: ").count(), 1);
    assert_eq!(page.matches("Also answered by: ").count(), 1);
}
