use super::*;
use crate::normalise::kind::KindId;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::{CrossrefRow, ProductRow, RunFacts, RunTables, SupplierRow, open_run, write_run};
use crate::shop::answer::{Compared, OfferList, Section, StockWanted};
use crate::shop::need::Question;
use rust_decimal::Decimal;

fn group(id: &str, kind: &str, cc: &str, covers: &str) -> GroupRow {
    GroupRow {
        group_id: id.into(),
        name: format!("{kind} {cc}"),
        part_kind: kind.into(),
        family: "industrial horizontal".into(),
        displacement_cc: cc.into(),
        bolt_holes: Some(3),
        engine_codes: if cc.starts_with('1') { "168F;170F" } else { "188F" }.into(),
        offers: 3,
        products: 1,
        currency: "EUR".into(),
        covers_groups: covers.into(),
        ..GroupRow::default()
    }
}

fn offer(line: u32, group: &str, kind: &str, landed: Option<&str>, confidence: f64) -> CrossrefRow {
    CrossrefRow {
        group_id: group.into(),
        product_id: format!("P-{group}").into(),
        part_kind: kind.into(),
        supplier: if line.is_multiple_of(2) { "north" } else { "south" }.into(),
        supplier_sku: format!("N-{line:03}").into(),
        mpn: if line == 2 { "SF-28400-KR2" } else { "" }.into(),
        description: "Starter 168F".into(),
        landed_price: landed.and_then(|price| price.parse().ok()),
        unit_price: "5".parse().ok(),
        currency: "USD".into(),
        confidence,
        product_confidence: 0.9,
        source_file: "lists.csv".into(),
        source_line: line,
        ..CrossrefRow::default()
    }
}

fn tables() -> RunTables {
    let starter = "recoil-starter";
    let crossref = vec![
        offer(2, "RS-A", starter, Some("9.50"), 0.97),
        offer(3, "RS-A", starter, Some("7.25"), 0.95),
        offer(4, "RS-A", starter, Some("4.00"), 0.40),
        offer(5, "RS-A", starter, None, 0.96),
        offer(6, "RS-B", starter, Some("19.00"), 0.95),
        offer(7, "SS-A", "assembly", Some("6.90"), 0.95),
        offer(8, "FS-B", "shroud", Some("12.00"), 0.30),
        offer(9, "SS-B", "assembly", Some("25.00"), 0.95),
    ];
    let products = ["RS-A", "RS-B", "SS-A", "SS-B", "FS-B"].map(|id| ProductRow {
        product_id: format!("P-{id}").into(),
        group_id: id.into(),
        part_kind: starter.into(),
        replaces: if id == "RS-B" { "OLD-777-1;X9" } else { "" }.into(),
        offers: crossref.iter().filter(|row| row.group_id == id).count() as u32,
        suppliers: 1,
        ..ProductRow::default()
    });
    let count = crossref.len() as u64;
    let mut groups = vec![
        group("RS-A", starter, "163-212", ""),
        group("RS-B", starter, "337-420", ""),
        group("SS-A", "assembly", "163-212", "RS-A"),
        group("SS-B", "assembly", "337-420", "RS-B;FS-B"),
        group("FS-B", "shroud", "337-420", ""),
    ];
    for group in &mut groups {
        group.offers = crossref.iter().filter(|row| row.group_id == group.group_id).count() as u32;
    }
    let account = SupplierRow {
        supplier: "north".into(),
        file: "lists.csv".into(),
        read: count,
        offers: count,
        ..SupplierRow::default()
    };
    RunTables {
        crossref,
        groups,
        products: products.into(),
        suppliers: vec![account],
        ..RunTables::default()
    }
}

fn answered(question: Question) -> Answer {
    answer_from(&tables(), question)
}

fn no_limits() -> Limits {
    Limits {
        min_confidence: 0.8,
        supplier: None,
        deliver_within: None,
        stock: StockWanted::Any,
        quantity: 1,
        most: 50,
    }
}

fn answer_from(tables: &RunTables, question: Question) -> Answer {
    answer_within(tables, question, &no_limits())
}

fn answer_within(tables: &RunTables, question: Question, limits: &Limits) -> Answer {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("run");
    let facts = RunFacts {
        home_currency: "EUR".into(),
        settings: [("rate_USD".to_string(), "1.25".to_string())].into(),
        ..RunFacts::default()
    };
    write_run(&out, tables, &facts).unwrap();
    let need = Need::of(&Vocabulary::built_in().unwrap(), &question).unwrap();
    find(&open_run(&out).unwrap(), &need, limits).unwrap()
}

fn starters() -> Question {
    Question {
        words: "212cc pull starter".into(),
        ..Question::default()
    }
}

fn words(words: &str) -> Answer {
    answered(Question {
        words: words.into(),
        ..Question::default()
    })
}

fn number(number: &str) -> Answer {
    answered(Question {
        number: Some(number.into()),
        ..Question::default()
    })
}

fn skus(list: &OfferList) -> Vec<&str> {
    list.shown
        .iter()
        .map(|offered| offered.row.supplier_sku.as_str())
        .collect()
}

fn lead<'a>(answer: &'a Answer, section: &Section) -> &'a str {
    section
        .lead
        .as_ref()
        .map_or("", |lead| answer.groups[lead.group].group_id.as_str())
}

#[test]
fn sure_offers_come_cheapest_first_and_doubtful_ones_apart() {
    let answer = words("212cc pull starter 3 hole");
    assert_eq!(answer.sections.len(), 1);
    let section = &answer.sections[0];
    assert_eq!(lead(&answer, section), "RS-A");
    assert_eq!(skus(&section.sure), ["N-003", "N-002", "N-005"]);
    assert_eq!(skus(&section.doubtful), ["N-004"]);
}

#[test]
fn a_band_that_owes_its_end_to_one_line_does_not_lead() {
    let mut tables = tables();
    tables.groups[1].displacement_cc = "200-420".into();
    for (row, cell) in tables
        .crossref
        .iter_mut()
        .zip(["163;212", "196;212", "212", "212", "390"])
    {
        row.displacement_cc = cell.into();
    }
    let answer = answer_from(
        &tables,
        Question {
            words: "212cc pull starter".into(),
            ..Question::default()
        },
    );
    let section = &answer.sections[0];
    assert_eq!(lead(&answer, section), "RS-A");
    assert!(section.lead.as_ref().unwrap().share > 0.9);
}

#[test]
fn a_price_of_zero_is_not_the_cheapest() {
    let mut tables = tables();
    tables.crossref[1].landed_price = Some(Decimal::ZERO);
    let answer = answer_from(
        &tables,
        Question {
            words: "212cc pull starter".into(),
            ..Question::default()
        },
    );
    assert_eq!(skus(&answer.sections[0].sure)[0], "N-002");
}

#[test]
fn an_assembly_that_covers_the_starter_and_costs_less_is_said() {
    let answer = words("212cc pull starter");
    let covering = answer.sections[0].covering.as_ref().unwrap();
    assert_eq!(covering.price, Compared::Cheaper);
    assert_eq!(skus(&covering.offers), ["N-007"]);
}

#[test]
fn a_dearer_assembly_is_said_to_be_no_cheaper() {
    let answer = words("390cc pull starter");
    assert_eq!(
        answer.sections[0].covering.as_ref().unwrap().price,
        Compared::NotCheaper
    );
}

#[test]
fn an_assembly_answers_for_a_shroud_that_nobody_surely_sells() {
    let answer = answered(Question {
        kind: Some(KindId::SHROUD),
        code: Some("188F".into()),
        ..Question::default()
    });
    let section = &answer.sections[0];
    assert_eq!(section.sure.in_all, 0);
    let covering = section.covering.as_ref().unwrap();
    assert_eq!(
        (covering.price, skus(&covering.offers)),
        (Compared::NothingElse, vec!["N-009"])
    );
}

#[test]
fn a_starter_never_answers_for_a_shroud() {
    let answer = answered(Question {
        kind: Some(KindId::SHROUD),
        cc: Some("196".into()),
        ..Question::default()
    });
    let section = &answer.sections[0];
    assert!(section.lead.is_none());
    let offered = section
        .sure
        .shown
        .iter()
        .chain(section.covering.iter().flat_map(|covering| &covering.offers.shown));
    assert!(
        offered
            .map(|offered| offered.row.part_kind.as_str())
            .all(|kind| kind != "recoil-starter")
    );
    assert!(section.nearest.is_some());
}

#[test]
fn a_number_is_found_whatever_its_spelling() {
    for spelled in ["SF-28400-KR2", "sf28400kr2", "SF 284OO KR2"] {
        let answer = number(spelled);
        assert_eq!(
            answer.numbers[0].place,
            Some(super::super::numbers::Place::Number),
            "{spelled}"
        );
        assert_eq!(lead(&answer, &answer.sections[0]), "RS-A");
        assert_eq!(skus(&answer.sections[0].sure).len(), 3);
    }
}

#[test]
fn a_suppliers_own_number_is_found_among_the_words() {
    let answer = words("N-006");
    assert_eq!(lead(&answer, &answer.sections[0]), "RS-B");
}

#[test]
fn a_replaced_number_leads_to_the_part_that_replaces_it() {
    let answer = number("old 7771");
    assert_eq!(answer.numbers[0].place, Some(super::super::numbers::Place::Replaced));
    assert_eq!(lead(&answer, &answer.sections[0]), "RS-B");
}

#[test]
fn a_number_that_stands_nowhere_is_answered_with_the_nearest() {
    let answer = number("SF-28400-KR9");
    assert_eq!(answer.numbers[0].place, None);
    assert_eq!(answer.numbers[0].nearest, ["SF-28400-KR2"]);
    assert!(answer.sections.is_empty());
}

#[test]
fn an_engine_that_no_group_serves_is_answered_with_the_nearest_band() {
    let answer = words("pull starter 260cc");
    let section = &answer.sections[0];
    assert!(section.lead.is_none() && section.sure.in_all == 0);
    assert_eq!(answer.groups[section.nearest.as_ref().unwrap().group].group_id, "RS-A");
}

#[test]
fn without_a_kind_every_kind_of_the_run_is_answered_for() {
    let answer = words("for engine 188F");
    let kinds: Vec<KindId> = answer.sections.iter().map(|section| section.kind).collect();
    assert_eq!(kinds, [KindId::RECOIL_STARTER, KindId::SHROUD, KindId::ASSEMBLY]);
}

#[test]
fn only_offers_of_the_supplier_asked_for_are_shown() {
    let limits = Limits {
        supplier: Some("NOR".into()),
        ..no_limits()
    };
    let answer = answer_within(&tables(), starters(), &limits);
    assert_eq!(skus(&answer.sections[0].sure), ["N-002"]);
    assert_eq!(answer.sections[0].left_out.supplier, 2);
}

#[test]
fn what_a_list_does_not_say_passes_no_filter_and_is_counted() {
    let mut tables = tables();
    tables.crossref[0].lead_time_days = Some(3);
    tables.crossref[1].lead_time_days = Some(9);
    tables.crossref[0].stock = "yes".into();
    tables.crossref[1].stock = "4".into();
    let within = Limits {
        deliver_within: Some(5),
        ..no_limits()
    };
    let section = &answer_within(&tables, starters(), &within).sections[0];
    assert_eq!(skus(&section.sure), ["N-002"]);
    assert_eq!((section.left_out.late, section.left_out.time_unknown), (1, 2));
    let five_in_stock = Limits {
        stock: StockWanted::InStock,
        quantity: 5,
        ..no_limits()
    };
    let section = &answer_within(&tables, starters(), &five_in_stock).sections[0];
    assert_eq!(
        skus(&section.sure),
        ["N-002"],
        "some is taken for enough, four is not five"
    );
    assert_eq!((section.left_out.not_there, section.left_out.stock_unknown), (1, 2));
}

#[test]
fn a_quantity_is_ranked_by_what_ordering_it_costs() {
    let mut tables = tables();
    // 5 USD a piece everywhere; one comes in tens, one has a break
    tables.crossref[1].order_multiple = Some(10);
    tables.crossref[1].landed_price = "4".parse().ok();
    tables.crossref[3].price_breaks = "3:2.00".into();
    tables.crossref[3].landed_price = "4".parse().ok();
    let limits = Limits {
        quantity: 3,
        ..no_limits()
    };
    let section = &answer_within(&tables, starters(), &limits).sections[0];
    assert_eq!(skus(&section.sure), ["N-005", "N-002", "N-003"]);
    let costs: Vec<String> = section
        .sure
        .shown
        .iter()
        .map(|offered| offered.delivered.unwrap().normalize().to_string())
        .collect();
    assert_eq!(costs, ["4.8", "12", "40"]);
}

#[test]
fn a_group_is_found_by_its_id() {
    let mut tables = tables();
    for group in &mut tables.groups {
        group.group_id = format!("{}BCDE", group.group_id).into();
        group.covers_groups = String::new();
    }
    for row in &mut tables.crossref {
        row.group_id = format!("{}BCDE", row.group_id).into();
    }
    for row in &mut tables.products {
        row.group_id = format!("{}BCDE", row.group_id).into();
    }
    let question = Question {
        words: "rs-bbcde".into(),
        ..Question::default()
    };
    let answer = answer_from(&tables, question);
    assert_eq!(lead(&answer, &answer.sections[0]), "RS-BBCDE");
}

#[test]
fn only_as_many_as_are_shown_are_read_in_full() {
    let limits = Limits { most: 1, ..no_limits() };
    let section = &answer_within(&tables(), starters(), &limits).sections[0];
    assert_eq!((section.sure.shown.len(), section.sure.in_all), (1, 3));
    assert_eq!(section.sure.shown[0].row.description, "Starter 168F");
}

/// A need for each kind, by the facts of some group or by words.
fn any_need() -> impl proptest::strategy::Strategy<Value = Question> {
    use proptest::prelude::*;
    let kind = proptest::sample::select(KindId::IN_SCOPE.to_vec());
    let cc = proptest::option::of(proptest::sample::select(vec![
        "163", "196cc", "212", "389", "420", "250",
    ]));
    let code = proptest::option::of(proptest::sample::select(vec!["168F", "188F", "170F-2"]));
    let holes = proptest::option::of(proptest::sample::select(vec![3u8, 4]));
    (kind, cc, code, holes).prop_map(|(kind, cc, code, holes)| Question {
        kind: Some(kind),
        cc: cc.map(str::to_string),
        code: code.map(str::to_string),
        holes,
        ..Question::default()
    })
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
    #[test]
    fn an_assembly_answers_for_starter_and_shroud_and_never_the_other_way(question in any_need()) {
        let kind = question.kind;
        let answer = answered(question);
        for section in &answer.sections {
            proptest::prop_assert_eq!(Some(section.kind), kind);
            let asked = section.kind.fixed_name();
            for offered in section.sure.shown.iter().chain(&section.doubtful.shown) {
                proptest::prop_assert_eq!(Some(offered.row.part_kind.as_str()), asked);
            }
            let covering = section.covering.iter().flat_map(|covering| &covering.offers.shown);
            for offered in covering {
                proptest::prop_assert_eq!(offered.row.part_kind.as_str(), "assembly");
                proptest::prop_assert!(section.kind != KindId::ASSEMBLY);
            }
        }
    }
}
