//! Rows become lines: claims, numbers, prices and remarks, sentence by sentence. All names and numbers are invented.

use std::sync::OnceLock;

use super::claim::{Attribute, Provenance, Value, cue};
use super::kind::KindId;
use super::normaliser::{Normaliser, Scope};
use super::offer::{Flag, Line, NumberRole, Offer, SetAside};
use super::text::read_text;
use super::vocabulary::Vocabulary;
use crate::intake::field::Field;
use crate::intake::list::ListHead;
use crate::intake::problem::Problem;
use crate::intake::rows::RowBatch;
use crate::trade::interval::Interval;
use crate::trade::numerals::Decimals;
use proptest::prelude::*;

fn vocabulary() -> &'static Vocabulary {
    static VOCABULARY: OnceLock<Vocabulary> = OnceLock::new();
    VOCABULARY.get_or_init(|| Vocabulary::built_in().unwrap())
}

/// A row given as (header, field, cell).
fn line_in(scope: Scope, decimals: Decimals, cells: &[(&str, Field, &str)]) -> Line {
    let headers: Vec<&str> = cells.iter().map(|cell| cell.0).collect();
    let fields: Vec<Field> = cells.iter().map(|cell| cell.1).collect();
    let mut head = ListHead::plain("lists/quillbrook.csv", &headers, &fields);
    head.decimals = decimals;
    let batch = RowBatch::of(&[(7, cells.iter().map(|cell| cell.2).collect())]);
    Normaliser::new(vocabulary(), &head, scope).line(&batch.row(0))
}

fn offer_with(decimals: Decimals, cells: &[(&str, Field, &str)]) -> Offer {
    let mut all = vec![("Title", Field::Title, "Recoil starter")];
    all.extend_from_slice(cells);
    match line_in(Scope::Fit, decimals, &all) {
        Line::Offer(offer) => offer,
        other => panic!("no offer: {other:?}"),
    }
}

fn offer(cells: &[(&str, Field, &str)]) -> Offer {
    offer_with(Decimals::Point, cells)
}

fn titled(title: &str) -> Line {
    line_in(
        Scope::Fit,
        Decimals::Point,
        &[("SKU", Field::Sku, "A-1"), ("Title", Field::Title, title)],
    )
}

fn values(offer: &Offer, attribute: Attribute, field: Field) -> Vec<Value> {
    let of = offer
        .claims
        .iter()
        .filter(|claim| claim.attribute == attribute && claim.field == field);
    of.filter(|claim| claim.provenance == Provenance::Stated)
        .map(|claim| claim.value.clone())
        .collect()
}

fn words(title: &str, attribute: Attribute) -> Vec<String> {
    let reading = read_text(vocabulary(), title);
    let of = reading.claims.iter().filter(|claim| claim.attribute == attribute);
    of.filter_map(|claim| match &claim.value {
        Value::Word(word) | Value::Code(word) => Some(word.to_string()),
        _ => None,
    })
    .collect()
}

fn decimal(text: &str) -> rust_decimal::Decimal {
    text.parse().unwrap()
}

// --- what a row becomes ---

#[test]
fn an_offer_keeps_its_place_and_its_own_words() {
    let Line::Offer(offer) = titled("Recoil starter 168F, &Oslash; 6.5 mm holes <b>new</b>") else {
        panic!()
    };
    assert_eq!(
        (&*offer.file, offer.line, &*offer.supplier),
        ("lists/quillbrook.csv", 7, "quillbrook")
    );
    assert_eq!(offer.sku, "A-1");
    assert_eq!(offer.title, "Recoil starter 168F, Ø 6.5 mm holes  new");
}

#[test]
fn a_rope_is_set_aside_with_its_name() {
    let Line::SetAside(SetAside { what, probability, .. }) = titled("Starterseil 4 mm x 2 m") else {
        panic!()
    };
    assert_eq!(what, "rope");
    assert!(probability > 0.95);
}

#[test]
fn a_row_that_names_nothing_is_rejected_with_its_raw_text() {
    let row = [
        ("SKU", Field::Sku, "-"),
        ("Title", Field::Title, ""),
        ("Price", Field::Price, "9.90"),
    ];
    let Line::Reject(reject) = line_in(Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!((reject.problem, reject.line), (Problem::NoPartNamed, 7));
    assert_eq!(reject.raw, "-\t\t9.90");
}

#[test]
fn a_row_overwritten_by_a_spreadsheet_is_rejected_by_column() {
    let row = [("SKU", Field::Sku, "#REF!"), ("Title", Field::Title, "#N/A")];
    let Line::Reject(reject) = line_in(Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!((reject.problem, reject.column), (Problem::SpreadsheetDamage, Some(1)));
}

#[test]
fn a_row_with_a_number_alone_is_kept_but_unclear() {
    let row = [("SKU", Field::Sku, "QB-1042"), ("Price", Field::Price, "9.90")];
    let Line::SetAside(aside) = line_in(Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!(aside.what, "unclear");
}

#[test]
fn in_a_generic_build_every_sound_row_is_an_offer() {
    let row = [
        ("SKU", Field::Sku, "7"),
        ("Title", Field::Title, "Starterseil TX-40012B 2 pcs"),
        ("Price", Field::Price, "$9.90"),
    ];
    let Line::Offer(offer) = line_in(Scope::Generic, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!(offer.kind.kind, KindId::GENERIC);
    assert!(offer.claims.is_empty());
    assert!(
        offer
            .numbers
            .iter()
            .any(|number| number.role == NumberRole::InTitle && number.canonical == "TX40012B")
    );
}

#[test]
fn category_and_title_are_both_evidence() {
    let of = |category: &str, title: &str| {
        line_in(
            Scope::Fit,
            Decimals::Point,
            &[("Group", Field::Category, category), ("Title", Field::Title, title)],
        )
    };
    let Line::Offer(sure) = of("Recoil starters", "Starter 168F") else {
        panic!()
    };
    assert!(sure.kind.probability > 0.9, "{:?}", sure.kind);
    let Line::SetAside(motor) = of("Electric starter motors", "Starter 168F") else {
        panic!()
    };
    assert_eq!(motor.what, "starter-motor");
    let Line::SetAside(rope) = of("Recoil starters", "Starter rope 4 mm") else {
        panic!()
    };
    assert_eq!(rope.what, "rope");
    let Line::Offer(doubtful) = of("Electric starter motors", "Recoil starter 168F") else {
        panic!()
    };
    assert!(doubtful.has(Flag::KindsDisagree));
    assert!(doubtful.kind.probability < 0.99, "{:?}", doubtful.kind);
}

// --- claims from columns ---

#[test]
fn the_unit_of_a_column_comes_from_its_heading() {
    let offer = offer_with(
        Decimals::Comma,
        &[
            ("Hubraum (ccm)", Field::Displacement, "163/196"),
            ("Leistung [PS]", Field::Power, "6,5"),
            ("Lochzahl", Field::BoltHoles, "3"),
            ("Lochkreis mm", Field::BoltSpacing, "118"),
            ("Tiefe mm", Field::Depth, "45"),
        ],
    );
    let volumes = vec![Interval::around(163.0, 0.5), Interval::around(196.0, 0.5)];
    assert_eq!(
        values(&offer, Attribute::Displacement, Field::Displacement),
        [Value::Served(volumes)]
    );
    assert_eq!(
        values(&offer, Attribute::BoltHoles, Field::BoltHoles),
        [Value::Count(3)]
    );
    assert_eq!(
        values(&offer, Attribute::Depth, Field::Depth),
        [Value::OneOf(vec![Interval::around(45.0, 0.5)])]
    );
    let [Value::Served(powers)] = &values(&offer, Attribute::Power, Field::Power)[..] else {
        panic!()
    };
    // 6.5 PS = 4.7807 kW (1 PS = 735.49875 W exactly).
    assert!((powers[0].mid() - 4.7807).abs() < 0.0001, "{powers:?}");
}

#[test]
fn a_spacing_that_does_not_say_which_distance_keeps_all_its_readings() {
    let offer = offer(&[
        ("Holes", Field::BoltHoles, "3"),
        ("Hole distance mm", Field::BoltSpacing, "102"),
    ]);
    let [Value::OneOf(circles)] = &values(&offer, Attribute::BoltCircle, Field::BoltSpacing)[..] else {
        panic!()
    };
    // Chord 102 of three holes: circle 102 x 1.154701 = 117.8.
    assert!(circles.iter().any(|circle| circle.contains(102.0)), "{circles:?}");
    assert!(circles.iter().any(|circle| circle.contains(117.78)), "{circles:?}");
}

#[test]
fn an_ambiguous_fastener_stays_a_set() {
    let offer = offer(&[("Bolt", Field::Fastener, "8mm")]);
    let [Value::Threads(threads)] = values(&offer, Attribute::Thread, Field::Fastener)[..] else {
        panic!()
    };
    assert!(threads.len() > 1, "{threads}");
}

#[test]
fn a_stated_column_beats_nothing_and_both_are_kept() {
    let offer = offer(&[
        ("cc", Field::Displacement, "196"),
        ("Text", Field::Description, "fits 163cc engines"),
    ]);
    assert_eq!(values(&offer, Attribute::Displacement, Field::Displacement).len(), 1);
    assert_eq!(values(&offer, Attribute::Displacement, Field::Description).len(), 1);
}

#[test]
fn a_column_of_engines_gives_codes_with_their_brands() {
    let offer = offer(&[("Fits", Field::Fits, "Kestrel KR200, KR240/270; Borealis B65; 168F-2")]);
    let codes: Vec<String> = offer
        .claims
        .iter()
        .filter(|claim| claim.attribute == Attribute::EngineCode)
        .map(|claim| match &claim.value {
            Value::Code(code) => code.to_string(),
            other => panic!("{other:?}"),
        })
        .collect();
    for code in [
        "kestrel:KR200",
        "kestrel:KR240",
        "kestrel:KR270",
        "borealis:B65",
        "168F-2",
    ] {
        assert!(codes.iter().any(|known| known == code), "{code} in {codes:?}");
    }
    let decoded = offer
        .claims
        .iter()
        .find(|claim| claim.provenance == Provenance::Decoded)
        .unwrap();
    assert_eq!(decoded.attribute, Attribute::Displacement);
}

// --- claims from titles ---

#[test]
fn power_is_its_own_claim_and_implies_a_displacement() {
    let reading = read_text(vocabulary(), "Recoil starter 6.5HP");
    let inferred = reading
        .claims
        .iter()
        .find(|claim| claim.provenance == Provenance::Inferred)
        .unwrap();
    let Value::Served(volumes) = &inferred.value else {
        panic!()
    };
    assert!(volumes[0].contains(196.0), "{volumes:?}");
    assert!(reading.claims.iter().any(|claim| claim.attribute == Attribute::Power));
}

#[test]
fn a_generator_s_output_is_no_engine_power() {
    let reading = read_text(vocabulary(), "Recoil starter for 5 kW generator");
    assert!(
        reading.claims.iter().all(|claim| claim.attribute != Attribute::Power),
        "{:?}",
        reading.claims
    );
}

#[test]
fn the_family_is_told_by_words_and_by_codes() {
    for (title, family) in [
        ("Recoil starter 163cc vertical shaft", cue::VERTICAL_SHAFT),
        ("Seilzugstarter Rasenmäher 163ccm", cue::MOWER),
        ("Recoil starter 160cc OHC", cue::OVERHEAD_CAM),
        ("Lanceur soupapes latérales 148cc", cue::SIDE_VALVE),
        ("Recoil starter V-twin 690cc", cue::TWIN),
        ("Recoil starter 2V78F", cue::TWIN),
        ("Reversierstarter 186F Dieselmotor diesel", cue::DIESEL),
        ("Arranque retráctil 1E40F-5, 2 tiempos", cue::TWO_STROKE),
        ("Recoil starter 1P70F", cue::VERTICAL_SHAFT),
        ("Recoil starter inverter generator", cue::INVERTER),
        ("Recoil starter snow blower 208cc", cue::SNOW),
        ("Szarpak do silnika dwucylindrowego", cue::TWIN),
        ("柴油机 手拉启动器 186F", cue::DIESEL),
    ] {
        let found = words(title, Attribute::FamilyCue);
        assert!(found.iter().any(|word| word == family), "{title}: {found:?}");
    }
}

#[test]
fn titles_that_embrace_several_classes_are_universal() {
    for title in [
        "Recoil starter 168F-190F",
        "Recoil starter universal",
        "Pull starter 8 9 11 13 HP",
        "Lanceur 163-389cc",
    ] {
        assert!(
            read_text(vocabulary(), title).flags.contains(&Flag::Universal),
            "{title}"
        );
    }
    for title in [
        "Recoil starter 163/196/212cc 5.5/6.5/7HP",
        "Recoil starter 168F 170F",
        "Szarpak 6/7,5 kW",
        "Lanceur 211/296cc diesel",
    ] {
        assert!(
            !read_text(vocabulary(), title).flags.contains(&Flag::Universal),
            "{title}"
        );
    }
}

#[test]
fn power_and_displacement_that_do_not_go_together_are_remarked_upon() {
    let flags = |title: &str| read_text(vocabulary(), title).flags;
    assert!(flags("Recoil starter 163cc 13HP").contains(&Flag::PowerAgainstDisplacement));
    assert!(!flags("Recoil starter 212cc 6.5HP").contains(&Flag::PowerAgainstDisplacement));
}

#[test]
fn a_diesel_is_not_decoded_as_a_petrol_engine() {
    let reading = read_text(vocabulary(), "Recoil starter 188F diesel 456cc");
    assert!(
        reading
            .claims
            .iter()
            .all(|claim| claim.provenance != Provenance::Decoded || claim.attribute != Attribute::Displacement)
    );
}

#[test]
fn plain_attributes_are_read_in_several_languages() {
    assert_eq!(words("Recoil starter red, left pull", Attribute::PullSide), ["left"]);
    assert_eq!(words("Seilzugstarter blau", Attribute::Colour), ["blue"]);
    assert_eq!(
        words("Lüfterhaube mit Aussparung, für E-Start", Attribute::ElectricStart),
        ["cut-out"]
    );
    assert_eq!(
        words("Fan shroud without electric start", Attribute::ElectricStart),
        ["none"]
    );
    assert_eq!(words("Lanceur, cliquets acier", Attribute::Pawls), ["steel"]);
    let reading = read_text(vocabulary(), "Recoil starter 2 steel pawls 3 holes depth 45 mm");
    let counts: Vec<_> = reading
        .claims
        .iter()
        .filter(|c| matches!(c.value, Value::Count(_)))
        .map(|c| c.attribute)
        .collect();
    assert!(
        counts.contains(&Attribute::Pawls) && counts.contains(&Attribute::BoltHoles),
        "{:?}",
        reading.claims
    );
    assert!(reading.claims.iter().any(|claim| claim.attribute == Attribute::Depth));
}

#[test]
fn words_that_were_not_understood_are_left_over() {
    let reading = read_text(vocabulary(), "Recoil starter 168F zumbletop 5.5HP");
    assert_eq!(reading.leftover_words, ["zumbletop"]);
}

// --- numbers ---

#[test]
fn numbers_replaced_are_split_and_labelled() {
    let offer = offer(&[
        ("MPN", Field::Mpn, "QB-1042 A"),
        (
            "Replaces",
            Field::Replaces,
            "OEM TV49-417-459, 0K77-123; B-1077/B-1078 | N/A",
        ),
    ]);
    let of = |role: NumberRole| -> Vec<&str> {
        offer
            .numbers
            .iter()
            .filter(|n| n.role == role && n.usable)
            .map(|n| n.canonical.as_str())
            .collect()
    };
    assert_eq!(of(NumberRole::Maker), ["QB1042A"]);
    assert_eq!(of(NumberRole::Replaces).len(), 4, "{:?}", offer.numbers);
    assert!(of(NumberRole::Replaces).contains(&"TV49417459"));
}

#[test]
fn fillers_and_damaged_numbers_are_kept_but_not_usable() {
    for filler in [
        "N/A",
        "-",
        "0",
        "none",
        "0000000000",
        "see notes",
        "keine",
        "brak",
        "无",
        "x",
    ] {
        let offer = offer(&[("MPN", Field::Mpn, filler)]);
        assert!(offer.maker_number().is_none(), "{filler}: {:?}", offer.numbers);
        assert_eq!(offer.numbers[0].raw, filler);
    }
    let damaged = offer(&[("MPN", Field::Mpn, "4.00638E+12")]);
    assert!(damaged.maker_number().is_none());
    assert!(damaged.has(Flag::IdentifierDamaged));
    let quoted = offer(&[("MPN", Field::Mpn, "'0012345")]);
    assert_eq!(
        quoted.maker_number().map(|number| number.canonical.as_str()),
        Some("0012345")
    );
}

#[test]
fn a_barcode_counts_only_with_its_check_digit() {
    // 4006381333931 is valid, 4006381333930 is not (PyPI python-stdnum 2.2 stdnum.ean).
    assert!(offer(&[("EAN", Field::Gtin, "4006381333931")]).gtin().is_some());
    let unsound = offer(&[("EAN", Field::Gtin, "4006381333930")]);
    assert!(unsound.gtin().is_none() && unsound.has(Flag::BarcodeUnsound));
    assert!(offer(&[("EAN", Field::Gtin, "4.00638E+12")]).has(Flag::IdentifierDamaged));
    assert!(offer(&[("EAN", Field::Gtin, "0000000000000")]).gtin().is_none());
}

#[test]
fn numbers_in_titles_are_found_and_labels_give_them_their_role() {
    let numbers = |title: &str| {
        let reading = read_text(vocabulary(), title);
        reading
            .numbers
            .into_iter()
            .map(|n| (n.role, n.canonical.to_string()))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        numbers("Recoil starter 168F RVN-33154"),
        [(NumberRole::InTitle, "RVN33154".to_string())]
    );
    for label in [
        "replaces",
        "OEM",
        "OE ref",
        "ersetzt",
        "remplace",
        "sustituye a",
        "vervangt",
        "zamiennik",
        "sostituisce",
    ] {
        let title = format!("Recoil starter 168F, {label} TV49-417-459");
        assert_eq!(
            numbers(&title),
            [(NumberRole::Replaces, "TV49417459".to_string())],
            "{title}"
        );
    }
    assert!(numbers("Recoil starter 168F-2 163cc 5.5HP M6x12 102mm").is_empty());
}

// --- price ---

#[test]
fn a_price_is_exact_and_knows_its_currency() {
    let comma = offer_with(Decimals::Comma, &[("VK netto EUR", Field::Price, "1.234,56")]);
    let price = comma.price.unwrap();
    assert_eq!(price.amount, decimal("1234.56"));
    assert_eq!(
        price.currency.map(|currency| currency.to_string()).as_deref(),
        Some("EUR")
    );
    let pounds = offer(&[("Price", Field::Price, "£15.15")]).price.unwrap();
    assert_eq!(
        pounds.currency.map(|currency| currency.to_string()).as_deref(),
        Some("GBP")
    );
    let column = offer(&[("Price", Field::Price, "12.00"), ("Currency", Field::Currency, "PLN")])
        .price
        .unwrap();
    assert_eq!(
        column.currency.map(|currency| currency.to_string()).as_deref(),
        Some("PLN")
    );
    assert!(offer(&[("Price", Field::Price, "12.00")]).has(Flag::CurrencyUnknown));
}

#[test]
fn a_pack_price_is_divided() {
    let of_column = offer(&[
        ("Price USD", Field::Price, "21.00"),
        ("Pack qty", Field::PackQuantity, "2"),
    ]);
    assert_eq!(of_column.price.unwrap().unit_price, decimal("10.5"));
    let mut row = vec![
        ("Title", Field::Title, "Recoil starter 168F pack of 10"),
        ("Price USD", Field::Price, "100.00"),
    ];
    let Line::Offer(of_title) = line_in(Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!(
        (of_title.pack_qty, of_title.price.unwrap().unit_price),
        (10, decimal("10"))
    );
    row[1] = ("Unit price USD each", Field::Price, "10.00");
    let Line::Offer(each) = line_in(Scope::Fit, Decimals::Point, &row) else {
        panic!()
    };
    assert_eq!((each.pack_qty, each.price.unwrap().unit_price), (10, decimal("10")));
}

#[test]
fn an_order_multiple_is_no_pack_unless_the_price_is_one_per_multiple() {
    let multiple = offer_with(
        Decimals::Comma,
        &[("VK EUR", Field::Price, "7,52"), ("VPE", Field::PackQuantity, "5")],
    );
    assert_eq!(multiple.pack_qty, 1);
    let price = multiple.price.unwrap();
    assert_eq!((price.unit_price, price.minimum_order), (decimal("7.52"), Some(5)));
    let pack = offer_with(
        Decimals::Comma,
        &[
            ("Preis pro VPE EUR", Field::Price, "7,50"),
            ("VPE", Field::PackQuantity, "5"),
        ],
    );
    assert_eq!(pack.price.unwrap().unit_price, decimal("1.5"));
}

#[test]
fn quantity_prices_become_breaks() {
    let tiers = offer(&[
        ("Price USD", Field::Price, "9.90"),
        ("Price USD 10+", Field::Price, "8.40"),
        ("Price from 50", Field::QuantityBreak, "7.90"),
    ]);
    let price = tiers.price.unwrap();
    let breaks: Vec<_> = price
        .breaks
        .iter()
        .map(|price_break| (price_break.from, price_break.unit_price))
        .collect();
    assert_eq!(breaks, [(10, decimal("8.40")), (50, decimal("7.90"))]);
}

#[test]
fn a_price_that_cannot_be_read_is_a_remark() {
    assert!(offer(&[("Price", Field::Price, "")]).has(Flag::PriceMissing));
    assert!(offer(&[("Price", Field::Price, "call us maybe?!")]).price.is_none());
    assert!(offer(&[("Price", Field::Price, "on request")]).has(Flag::PriceOnRequest));
    assert!(offer(&[("Price USD", Field::Price, "0.00")]).has(Flag::PriceZero));
}

#[test]
fn a_weight_is_read_in_grams() {
    let offer = offer_with(Decimals::Comma, &[("Gewicht kg", Field::Weight, "0,67")]);
    assert_eq!(offer.terms.unwrap().weight_g, Some(decimal("670")));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn any_row_becomes_exactly_one_line(cells in proptest::collection::vec("\\PC{0,40}", 9)) {
        let fields = [Field::Sku, Field::Title, Field::Mpn, Field::Replaces, Field::Gtin, Field::Fits, Field::BoltSpacing, Field::Fastener, Field::Price];
        let row: Vec<(&str, Field, &str)> = fields.iter().zip(&cells).map(|(field, cell)| ("", *field, cell.as_str())).collect();
        for scope in [Scope::Fit, Scope::Generic] {
            match line_in(scope, Decimals::Unsure, &row) {
                Line::Offer(offer) => prop_assert!(offer.kind.kind.is_in_scope()),
                Line::SetAside(aside) => prop_assert!((0.0..=1.0).contains(&aside.probability)),
                Line::Reject(reject) => prop_assert_eq!(reject.line, 7),
            }
        }
    }
}
