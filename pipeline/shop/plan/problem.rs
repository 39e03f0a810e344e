//! The problem that is decided: *articles* (offers that may be ordered), needs, and suppliers with their terms.
//!
//! A piece fills *places*: a starter the starter's, a shroud the shroud's, an assembly both. A need asks for the places
//! of its kind, so that one assembly may answer a need for a starter and another for a shroud, but no piece answers two
//! needs for the same place.

use super::PlanLimits;
use super::choice::Chosen;
use super::needs::NeedLine;
use crate::normalise::kind::KindId;
use crate::publish::CrossrefRow;
use crate::shop::landed::{OrderLine, order_cost};
use crate::shop::rates::Rates;
use crate::shop::shelf::Counter;
use crate::shop::terms::{OfferTerms, Shipping, SupplierTerms};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Most pieces beyond the need that are looked at, to have an order travel free.
const MOST_BEYOND: u32 = 60;

/// A place that a piece fills.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// where the starter goes
    Starter,
    /// where the shroud goes
    Shroud,
}

/// The places that a kind fills.
fn places_of(kind: KindId) -> &'static [Place] {
    match kind {
        KindId::SHROUD => &[Place::Shroud],
        KindId::ASSEMBLY => &[Place::Starter, Place::Shroud],
        _ => &[Place::Starter],
    }
}

/// A need to be met.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// index among the lines asked
    pub line: usize,
    /// pieces
    pub pieces: u32,
    /// places it asks for
    pub places: &'static [Place],
}

/// An offer that may be ordered.
#[derive(Clone, Debug)]
pub struct Article {
    /// index of its supplier
    pub supplier: usize,
    /// its row
    pub row: CrossrefRow,
    /// its terms
    pub terms: OfferTerms,
    /// pieces that can be counted on; `None` when no number is said
    pub stock: Option<u32>,
    /// needs it may answer, by index, rising
    pub serves: Vec<usize>,
}

/// A supplier.
#[derive(Clone, Debug)]
pub struct Seller {
    /// name
    pub name: Arc<str>,
    /// terms
    pub terms: SupplierTerms,
    /// whether its shipping is assumed, not known
    pub assumed: bool,
}

/// An offer by its supplier, its list and its line.
type Line = (Arc<str>, Arc<str>, u32);

/// Everything that is decided on.
#[derive(Clone, Debug)]
pub struct Problem {
    /// needs
    pub needs: Vec<Wanted>,
    /// offers, in a canonical order
    pub articles: Vec<Article>,
    /// suppliers, by name
    pub sellers: Vec<Seller>,
    /// rates
    pub rates: Rates,
}

impl Problem {
    /// Puts the choices for all needs together.
    pub fn of(lines: &[NeedLine], chosen: &[Chosen], counter: &Counter, limits: &PlanLimits) -> Problem {
        let mut problem = Problem {
            needs: Vec::new(),
            articles: Vec::new(),
            sellers: Vec::new(),
            rates: counter.rates.clone(),
        };
        let mut articles: BTreeMap<Line, (CrossrefRow, Vec<usize>)> = BTreeMap::new();
        for (line, (asked, chosen)) in lines.iter().zip(chosen).enumerate() {
            if chosen.reason.is_some() {
                continue;
            }
            let need = problem.needs.len();
            problem.needs.push(Wanted {
                line,
                pieces: asked.quantity,
                places: places_of(chosen.kind),
            });
            for row in &chosen.offers {
                let key = (row.supplier.clone(), row.source_file.clone(), row.source_line);
                let entry = articles.entry(key).or_insert_with(|| (row.clone(), Vec::new()));
                entry.1.push(need);
            }
        }
        for ((name, ..), (row, serves)) in articles {
            let supplier = problem.seller(name, counter, limits);
            let terms = OfferTerms::of_row(&row);
            problem.articles.push(Article {
                supplier,
                stock: terms.stock.and_then(crate::trade::availability::Stock::counted_on),
                terms,
                row,
                serves,
            });
        }
        problem.drop_dominated();
        problem
    }

    fn seller(&mut self, name: Arc<str>, counter: &Counter, limits: &PlanLimits) -> usize {
        if let Some(at) = self.sellers.iter().position(|seller| seller.name == name) {
            return at;
        }
        let mut terms = counter.of_supplier(&name);
        let assumed = terms.shipping.is_none();
        if let (true, Some(flat)) = (assumed, limits.assume_shipping) {
            terms.shipping = Some(Shipping {
                flat,
                currency: self.rates.home.as_str().into(),
                ..Shipping::default()
            });
        }
        self.sellers.push(Seller { name, terms, assumed });
        self.sellers.len() - 1
    }

    /// Pieces of an article that its needs can use: of needs that ask for different places the more, of others the sum.
    fn usable(&self, article: &Article) -> u32 {
        let asking = |place: Place| -> u32 {
            let asked = article.serves.iter().map(|need| &self.needs[*need]);
            asked
                .filter(|need| need.places.contains(&place))
                .map(|need| need.pieces)
                .sum()
        };
        asking(Place::Starter).max(asking(Place::Shroud))
    }

    /// The most packs of an article that are looked at: those that its needs can use, that its smallest order or its best
    /// price ask for, or that have an order travel free; and what its stock holds.
    pub fn most_packs(&self, article: &Article) -> u32 {
        let terms = &article.terms;
        let best_break = terms.breaks.last().map_or(0, |price_break| price_break.from);
        let wanted = self.usable(article).max(terms.minimum).max(best_break);
        let packs = wanted.div_ceil(terms.multiple) + self.packs_beyond(article);
        match article.stock {
            Some(stock) => packs.min(stock / terms.multiple),
            None => packs,
        }
    }

    fn packs_beyond(&self, article: &Article) -> u32 {
        let seller = &self.sellers[article.supplier].terms;
        let Some(shipping) = &seller.shipping else { return 0 };
        let saves = !shipping.flat.is_zero() || shipping.per_kg.is_some_and(|per_kg| !per_kg.is_zero());
        let (Some(limit), Some(unit), true) = (shipping.free_above, article.terms.unit_price, saves) else {
            return 0;
        };
        let currency = if shipping.currency.is_empty() {
            &article.terms.currency
        } else {
            &shipping.currency
        };
        let home = |amount: Decimal, currency: &str| self.rates.to_home(amount, currency);
        let pieces = home(limit, currency)
            .zip(home(unit, &article.terms.currency))
            .and_then(|(limit, unit)| limit.checked_div(unit))
            .and_then(|pieces| pieces.ceil().to_u32())
            .unwrap_or(0);
        pieces.min(MOST_BEYOND).div_ceil(article.terms.multiple)
    }

    /// Goods, duty and tax of one piece at the price that so many reach, home currency, without shipping.
    pub fn piece_cost(&self, article: &Article, pieces: u32) -> Option<Decimal> {
        let seller = &self.sellers[article.supplier].terms;
        let line = OrderLine {
            terms: &article.terms,
            pieces,
        };
        let cost = order_cost(&[line], seller, &self.rates).ok()?;
        cost.lines.first()?.total().checked_div(Decimal::from(pieces))
    }

    /// Leaves out articles that another of the same supplier beats in everything: they can stand in no better plan.
    fn drop_dominated(&mut self) {
        let mut groups: BTreeMap<(usize, Vec<usize>), Vec<usize>> = BTreeMap::new();
        for (at, article) in self.articles.iter().enumerate() {
            let key = (article.supplier, article.serves.clone());
            groups.entry(key).or_default().push(at);
        }
        let mut keep = vec![true; self.articles.len()];
        for members in groups.values() {
            for at in members {
                keep[*at] = !members
                    .iter()
                    .any(|other| other != at && keep[*other] && self.beats(*other, *at));
            }
        }
        let mut keep = keep.into_iter();
        self.articles.retain(|_| keep.next().unwrap_or(true));
    }

    fn beats(&self, better: usize, worse: usize) -> bool {
        let (x, y) = (&self.articles[better], &self.articles[worse]);
        let plain = |article: &Article| article.terms.breaks.is_empty() && article.terms.multiple == 1;
        let weight = |article: &Article| article.terms.weight_g.unwrap_or_default();
        let unlimited = Article {
            stock: None,
            ..x.clone()
        };
        let enough = x.stock.is_none_or(|stock| stock >= self.most_packs(&unlimited));
        let Some((x_cost, y_cost)) = self.piece_cost(x, 1).zip(self.piece_cost(y, 1)) else {
            return false;
        };
        let cheaper = x_cost < y_cost || (x_cost == y_cost && better < worse);
        plain(x)
            && plain(y)
            && enough
            && cheaper
            && x.terms.minimum <= y.terms.minimum
            && weight(x) <= weight(y)
            && !self.may_fill_up(x, y_cost - x_cost)
    }

    /// Whether a dearer article than this may still pay, as its higher value has the order travel free.
    fn may_fill_up(&self, article: &Article, dearer_by: Decimal) -> bool {
        let Some(shipping) = &self.sellers[article.supplier].terms.shipping else {
            return false;
        };
        if shipping.free_above.is_none() || dearer_by.is_zero() {
            return false;
        }
        let by_weight = shipping.per_kg.is_some_and(|per_kg| !per_kg.is_zero());
        let currency = if shipping.currency.is_empty() {
            &article.terms.currency
        } else {
            &shipping.currency
        };
        // the tax on it is less than once more of it
        let saved = self
            .rates
            .to_home(shipping.flat, currency)
            .map(|flat| flat * Decimal::TWO);
        by_weight || saved.is_none_or(|saved| dearer_by <= saved)
    }

    /// Why a need could not be met beside the others.
    pub fn shortage(&self, need: usize) -> String {
        let wanted = &self.needs[need];
        let serving: Vec<&Article> = self
            .articles
            .iter()
            .filter(|article| article.serves.contains(&need))
            .collect();
        let stock: Option<u32> = serving.iter().map(|article| article.stock).sum();
        match stock {
            Some(stock) if stock < wanted.pieces => format!(
                "{} wanted, and only {stock} in stock of all {} offers that may be ordered",
                wanted.pieces,
                serving.len()
            ),
            _ => "the stock does not suffice beside the other needs, in the packs in which it is sold".into(),
        }
    }
}
