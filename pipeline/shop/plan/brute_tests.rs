//! The plan against brute force: every combination of orders of small random problems.

use super::Status;
use super::model::solve;
use super::orders::{compared, orders_of};
use super::problem::{Article, Place, Problem, Seller, Wanted};
use crate::publish::CrossrefRow;
use crate::shop::rates::Rates;
use crate::shop::terms::{OfferTerms, Shipping, SupplierTerms};
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::time::Duration;

const RATES: &str = "home = \"EUR\"\ndate = 2026-09-01\n[rates]\nUSD = 1.0820\n[duty]\nCN = 0.027\ndefault = 0\n";

#[derive(Clone, Debug)]
struct Made {
    supplier: usize,
    cents: i64,
    multiple: u32,
    minimum: u32,
    price_break: Option<(u32, i64)>,
    stock: Option<u32>,
    assembly: bool,
    grams: i64,
    serves: u8,
}

fn made() -> impl Strategy<Value = Made> {
    let price_break = proptest::option::of((2u32..4, 40i64..100));
    let stock = proptest::option::of(0u32..5);
    let sizes = (1u32..3, 1u32..4);
    (
        0usize..2,
        100i64..2000,
        sizes,
        price_break,
        stock,
        any::<bool>(),
        100i64..900,
        1u8..8,
    )
        .prop_map(
            |(supplier, cents, (multiple, minimum), price_break, stock, assembly, grams, serves)| Made {
                supplier,
                cents,
                multiple,
                minimum,
                price_break: price_break.map(|(from, percent)| (from, cents * percent / 100)),
                stock,
                assembly,
                grams,
                serves,
            },
        )
}

fn seller() -> impl Strategy<Value = (i64, Option<i64>, Option<i64>)> {
    (
        0i64..900,
        proptest::option::of(50i64..400),
        proptest::option::of(500i64..3000),
    )
}

fn money(cents: i64) -> Decimal {
    Decimal::new(cents, 2)
}

/// Needs of a starter, a shroud and a starter again; one supplier lists in euros, the other in dollars.
fn problem(articles: &[Made], sellers: &[(i64, Option<i64>, Option<i64>)], pieces: [u32; 3]) -> Problem {
    let places: [&'static [Place]; 3] = [&[Place::Starter], &[Place::Shroud], &[Place::Starter]];
    let needs = (0..3).map(|at| Wanted {
        line: at,
        pieces: pieces[at],
        places: places[at],
    });
    let sellers = sellers
        .iter()
        .enumerate()
        .map(|(at, (flat, per_kg, free_above))| Seller {
            name: format!("seller {at}").into(),
            terms: SupplierTerms {
                shipping: Some(Shipping {
                    flat: money(*flat),
                    per_kg: per_kg.map(money),
                    free_above: free_above.map(money),
                    currency: Default::default(),
                }),
                ..SupplierTerms::default()
            },
            assumed: false,
        });
    let articles = articles.iter().enumerate().map(|(line, made)| {
        let row = CrossrefRow {
            unit_price: Some(money(made.cents)),
            currency: ["EUR", "USD"][made.supplier].into(),
            minimum_order: Some(made.minimum),
            order_multiple: Some(made.multiple),
            price_breaks: made
                .price_break
                .map_or(String::new(), |(from, cents)| format!("{from}:{}", money(cents)))
                .into(),
            price_basis: "net".into(),
            weight_g: Some(made.grams as f64),
            origin: "CN".into(),
            source_line: line as u32,
            ..CrossrefRow::default()
        };
        // an assembly may answer each of the needs, a part those of its own place
        let own: u8 = if made.serves & 1 == 0 { 0b101 } else { 0b010 };
        let serves = if made.assembly { made.serves } else { made.serves & own };
        Article {
            supplier: made.supplier,
            terms: OfferTerms::of_row(&row),
            row,
            stock: made.stock,
            serves: (0..3).filter(|need| serves & (1 << need) != 0).collect(),
        }
    });
    Problem {
        needs: needs.collect(),
        articles: articles.collect(),
        sellers: sellers.collect(),
        rates: Rates::parse(RATES).unwrap(),
    }
}

/// Pieces of an article that may be ordered, none among them.
fn quantities(problem: &Problem, article: &Article) -> Vec<u32> {
    let terms = &article.terms;
    let most = problem.most_packs(article).min(9);
    let packs = (terms.order_of(1) / terms.multiple)..=most;
    std::iter::once(0)
        .chain(packs.map(|packs| packs * terms.multiple))
        .collect()
}

/// Whether so many pieces meet the needs in `met`: by trying every way to hand them out.
fn meets(problem: &Problem, pieces: &[u32], met: &[usize]) -> bool {
    fn hand_out(problem: &Problem, room: &mut Vec<[u32; 2]>, met: &[usize], left: u32) -> bool {
        let Some((need, others)) = met.split_first() else {
            return true;
        };
        if left == 0 {
            let next = others.first().map_or(0, |next| problem.needs[*next].pieces);
            return others.is_empty() || hand_out(problem, room, others, next);
        }
        let place = usize::from(problem.needs[*need].places[0] == Place::Shroud);
        for at in 0..room.len() {
            if problem.articles[at].serves.contains(need) && room[at][place] > 0 {
                room[at][place] -= 1;
                if hand_out(problem, room, met, left - 1) {
                    return true;
                }
                room[at][place] += 1;
            }
        }
        false
    }
    let mut room: Vec<[u32; 2]> = pieces.iter().map(|pieces| [*pieces, *pieces]).collect();
    met.is_empty() || hand_out(problem, &mut room, met, problem.needs[met[0]].pieces)
}

/// The least cost at which the needs in `met` can be met, by trying every order.
fn brute_force(problem: &Problem, met: &[usize]) -> Option<Decimal> {
    let choices: Vec<Vec<u32>> = problem
        .articles
        .iter()
        .map(|article| quantities(problem, article))
        .collect();
    let mut best: Option<Decimal> = None;
    let mut at = vec![0usize; choices.len()];
    loop {
        let pieces: Vec<u32> = at.iter().zip(&choices).map(|(at, choices)| choices[*at]).collect();
        if meets(problem, &pieces, met) {
            let cost: Decimal = orders_of(problem, &pieces).iter().map(|order| order.cost.total()).sum();
            best = Some(best.map_or(cost, |best| best.min(cost)));
        }
        let Some(next) = (0..at.len()).find(|place| at[*place] + 1 < choices[*place].len()) else {
            return best;
        };
        at[next] += 1;
        at[..next].fill(0);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_other_order_meets_as_many_needs_for_less(
        articles in proptest::collection::vec(made(), 1..5),
        sellers in proptest::collection::vec(seller(), 2),
        pieces in [1u32..3, 1u32..3, 1u32..3],
    ) {
        let problem = problem(&articles, &sellers, pieces);
        prop_assume!(problem.articles.iter().all(|article| problem.most_packs(article) <= 9));
        let decision = solve(&problem, Duration::from_secs(60)).unwrap();
        prop_assert_eq!(decision.status, Status::Optimal);
        let met: Vec<usize> = (0..3).filter(|need| !decision.unmet.contains(need)).collect();
        prop_assert!(meets(&problem, &decision.pieces, &met), "the plan does not meet what it says");
        let total: Decimal = orders_of(&problem, &decision.pieces).iter().map(|order| order.cost.total()).sum();
        let best = brute_force(&problem, &met).unwrap();
        prop_assert!((total - best).abs() <= Decimal::new(1, 3), "planned {total}, possible {best}");
        for more in subsets().filter(|more| more.len() > met.len()) {
            prop_assert!(brute_force(&problem, &more).is_none(), "{more:?} could be met, and {met:?} are");
        }
        if let Some(bought) = compared(&problem, &decision.unmet) {
            prop_assert!(bought.total + Decimal::new(1, 3) >= total, "line by line {} is cheaper", bought.total);
        }
        let again = solve(&problem, Duration::from_secs(60)).unwrap();
        prop_assert_eq!(decision.pieces, again.pieces);
    }
}

fn subsets() -> impl Iterator<Item = Vec<usize>> {
    (0u8..8).map(|set| (0..3).filter(|need| set & (1 << need) != 0).collect())
}
