use super::*;
use crate::intake::field::Field;
use crate::intake::list::ListHead;
use crate::intake::rows::RowBatch;
use crate::normalise::offer::{Flag, Offer};
use crate::normalise::{Line, Normaliser, Scope, Vocabulary};
use crate::publish::CrossrefRow;
use crate::shop::terms::Shipping;

const RATES: &str = "home = \"EUR\"\ndate = 2026-09-01\ncountry = \"IT\"\n[rates]\nUSD = 1.25\n\
                     [duty]\nCN = 0.05\ndefault = 0\n";

fn amount(text: &str) -> Decimal {
    text.parse().unwrap()
}

fn read(price: &str, title: &str) -> Offer {
    let vocabulary = Vocabulary::built_in().unwrap();
    let fields = [Field::Sku, Field::Title, Field::Price];
    let head = ListHead::plain("lists/quillbrook.csv", &["SKU", "Title", "Price EUR"], &fields);
    let batch = RowBatch::of(&[(2, vec!["A-1", title, price])]);
    let Line::Offer(offer) = Normaliser::new(&vocabulary, &head, Scope::Fit).line(&batch.row(0)) else {
        panic!()
    };
    offer
}

fn terms_of(offer: &Offer) -> OfferTerms {
    OfferTerms::of_line(
        offer.price.as_ref(),
        offer.pack_qty,
        offer.terms.as_deref(),
        None,
        offer.has(Flag::PackPriceUnsure),
    )
}

fn landed_at(price: &str, title: &str) -> Landed {
    let terms = terms_of(&read(price, title));
    landed(&terms, &SupplierTerms::default(), &Rates::none("EUR"))
}

/// Ten dollars a piece, eight from ten pieces on, half a kilogram.
fn dollars() -> OfferTerms {
    OfferTerms::of_row(&CrossrefRow {
        unit_price: Some(amount("10")),
        currency: "USD".into(),
        price_breaks: "10:8".into(),
        price_basis: "net".into(),
        weight_g: Some(500.0),
        origin: "CN".into(),
        ..CrossrefRow::default()
    })
}

fn supplier() -> SupplierTerms {
    SupplierTerms {
        country: "US".into(),
        shipping: Some(Shipping {
            flat: amount("5"),
            per_kg: Some(amount("2")),
            free_above: Some(amount("100")),
            currency: "USD".into(),
        }),
        tax_rate: Some(amount("0.2")),
    }
}

fn cost(terms: &OfferTerms, pieces: u32, rates: &str) -> OrderCost {
    let rates = Rates::parse(rates).unwrap();
    order_cost(&[OrderLine { terms, pieces }], &supplier(), &rates).unwrap()
}

#[test]
fn a_price_of_zero_is_a_price_that_is_not_known() {
    let zero = landed_at("0.00", "Recoil starter 168F");
    assert_eq!((zero.price, &*zero.note), (None, "no price"));
    assert_eq!(&*landed_at("", "Recoil starter 168F").note, "no price");
}

#[test]
fn a_price_that_may_be_one_of_the_pack_says_so() {
    let pack = landed_at("90.00", "Recoil starter 168F pack of 10");
    assert_eq!(pack.price, Some(Decimal::from(90)));
    assert!(pack.note.contains("the pack of 10"), "{}", pack.note);
}

#[test]
fn every_part_that_is_missing_is_named() {
    let note = landed_at("9.00", "Recoil starter 168F").note;
    assert_eq!(note, "net or gross not known; no duty rate; no shipping terms");
}

#[test]
fn goods_duty_and_shipping_are_converted_and_added_exactly() {
    let of_two = cost(&dollars(), 2, RATES);
    let line = &of_two.lines[0];
    assert_eq!((line.listed, line.goods), (amount("20"), amount("16.0000")));
    assert_eq!(line.duty, amount("0.8"));
    // 5 + 2 x 1 kg dollars
    assert_eq!(of_two.shipping, amount("5.6"));
    assert_eq!(of_two.total(), amount("22.4"));
    assert!(of_two.missing.is_empty(), "{:?}", of_two.missing);
}

#[test]
fn a_break_that_is_reached_is_used_and_the_order_travels_free_from_its_limit_on() {
    let of_ten = cost(&dollars(), 10, RATES);
    assert_eq!(of_ten.lines[0].break_from, Some(10));
    assert_eq!(of_ten.shipping, amount("12"), "80 dollars are below the limit");
    let of_thirteen = cost(&dollars(), 13, RATES);
    assert_eq!(of_thirteen.shipping, Decimal::ZERO, "104 dollars are above it");
}

#[test]
fn tax_is_counted_only_for_who_bears_it() {
    let counted = format!("{RATES}[tax]\ncounted = true\n");
    let net = cost(&dollars(), 2, &counted);
    assert_eq!(net.lines[0].tax, amount("3.36"), "a fifth of goods and duty");
    assert_eq!(net.shipping, amount("6.72"));
    let mut terms = dollars();
    terms.basis = Some(PriceBasis::Gross);
    assert_eq!(
        cost(&terms, 3, RATES).lines[0].tax,
        amount("-4"),
        "24 gross are 20 net at a fifth"
    );
}

#[test]
fn a_weight_that_is_not_known_is_said_where_shipping_goes_by_weight() {
    let mut terms = dollars();
    terms.weight_g = None;
    assert_eq!(cost(&terms, 1, RATES).missing, ["weight not known"]);
}

#[test]
fn a_published_row_costs_what_the_line_it_was_made_of_cost() {
    let offer = read("10.00/3 pcs", "Recoil starter 168F");
    let of_line = terms_of(&offer);
    let of_row = OfferTerms::of_row(&CrossrefRow {
        unit_price: of_line.unit_price.map(|price| price.round_dp(4)),
        currency: of_line.currency.clone(),
        minimum_order: Some(of_line.minimum),
        order_multiple: Some(of_line.multiple),
        price_breaks: of_line.breaks_text(),
        price_basis: of_line.basis_text().into(),
        ..CrossrefRow::default()
    });
    assert_eq!(of_row, of_line);
    let rates = Rates::none("EUR");
    let line = OrderLine {
        terms: &of_row,
        pieces: 3,
    };
    let cost = order_cost(&[line], &SupplierTerms::default(), &rates).unwrap();
    assert_eq!(cost.lines[0].listed, amount("10"), "three pieces cost the pack");
}
