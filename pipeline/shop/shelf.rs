//! The *shelf*: the offers of some fit groups, ranked by what they cost delivered, read in two steps.
//!
//! First the few columns that ranking and filters need, for every offer of the groups, column by column; then the whole
//! rows of the few offers that are shown. A cross-reference of a million offers is never read as a whole: it is sorted by
//! group, and the parts of the file that hold other groups are passed over.
//!
//! The published price of one piece is that of the smallest order, so that it says what every quantity up to that order
//! costs; beyond it each offer is costed anew.

use super::landed::{OrderCost, OrderLine, order_cost};
use super::rates::Rates;
use super::run_tables::rows_of;
use super::terms::{OfferTerms, SupplierTerms};
use crate::publish::read::in_groups;
use crate::publish::read::narrow::{NarrowTable, Numbers, Texts, Wholes};
use crate::publish::tables::source_name;
use crate::publish::{CrossrefRow, FinishedRun, ReadError, SupplierRow};
use rayon::prelude::*;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Columns that ranking needs whatever is asked.
const RANKING: [&str; 4] = ["landed_price", "confidence", "minimum_order", "order_multiple"];
/// Columns that costing an order needs beside them.
const COSTING: [&str; 7] = [
    "source_file",
    "unit_price",
    "currency",
    "price_breaks",
    "price_basis",
    "weight_g",
    "origin",
];

/// Columns that a plan needs beside them.
const PLANNING: [&str; 13] = [
    "source_line",
    "group_id",
    "part_kind",
    "supplier",
    "supplier_sku",
    "brand",
    "mpn",
    "gtin",
    "description",
    "landed_note",
    "pack_qty",
    "stock",
    "lead_time_days",
];

/// On what terms the suppliers of a run deliver, and the run's rates.
#[derive(Clone, Debug)]
pub struct Counter {
    /// exchange rates, duty and tax
    pub rates: Rates,
    /// terms by list, as offers name it in `source_file`
    by_list: BTreeMap<Arc<str>, SupplierTerms>,
    /// terms by supplier: those of its first list that has any
    by_supplier: BTreeMap<Arc<str>, SupplierTerms>,
}

impl Counter {
    /// Reads the terms that a run was made with.
    ///
    /// # Errors
    /// The run cannot be read.
    pub fn of(run: &FinishedRun) -> Result<Counter, ReadError> {
        let (home, settings) = run.settings()?;
        let lists: Vec<SupplierRow> = rows_of(run)?;
        let mut by_list = BTreeMap::new();
        let mut by_supplier: BTreeMap<Arc<str>, SupplierTerms> = BTreeMap::new();
        for list in &lists {
            let terms = SupplierTerms::of_row(list);
            let known = by_supplier
                .entry(list.supplier.clone())
                .or_insert_with(|| terms.clone());
            if known.shipping.is_none() && terms.shipping.is_some() {
                *known = terms.clone();
            }
            by_list.insert(source_name(&list.file, &list.sheet), terms);
        }
        Ok(Counter {
            rates: Rates::of_settings(&home, &settings),
            by_list,
            by_supplier,
        })
    }

    /// The terms of a supplier, whichever of its lists an offer stands in.
    pub fn of_supplier(&self, supplier: &str) -> SupplierTerms {
        self.by_supplier.get(supplier).cloned().unwrap_or_default()
    }

    /// What it costs to have so many pieces of an offer, ordered alone; `None` without a price or a rate.
    pub fn cost(&self, row: &CrossrefRow, wanted: u32) -> Option<OrderCost> {
        self.cost_of(&OfferTerms::of_row(row), &row.source_file, wanted)
    }

    fn cost_of(&self, terms: &OfferTerms, source_file: &str, wanted: u32) -> Option<OrderCost> {
        let line = OrderLine {
            pieces: terms.order_of(wanted),
            terms,
        };
        let unknown = SupplierTerms::default();
        let supplier = self.by_list.get(source_file).unwrap_or(&unknown);
        order_cost(&[line], supplier, &self.rates).ok()
    }
}

/// An offer that is shown.
#[derive(Clone, Debug)]
pub struct Offered {
    /// its row
    pub row: CrossrefRow,
    /// delivered cost of the order for the quantity asked; one of zero is a gap in the list, not a gift
    pub delivered: Option<Decimal>,
}

/// The offers of some groups, as far as ranking them needs.
pub struct Shelf {
    table: NarrowTable,
    quantity: u32,
}

/// An offer on the shelf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// its row on the shelf, in published order
    pub at: usize,
    /// delivered cost of the order for the quantity asked; infinite where it is not known
    pub delivered: f64,
    /// confidence
    pub confidence: f64,
}

impl Candidate {
    /// The delivered cost, where it is known.
    fn is_priced(&self) -> bool {
        self.delivered.is_finite()
    }
}

/// Delivered cost first, offers without one behind; equals as they are published.
pub fn cheapest_first(x: &Candidate, y: &Candidate) -> Ordering {
    x.delivered.total_cmp(&y.delivered).then(x.at.cmp(&y.at))
}

impl Shelf {
    /// Reads the shelf of some groups, with further columns for filters.
    ///
    /// # Errors
    /// The run cannot be read.
    pub fn read(run: &FinishedRun, groups: &[&str], quantity: u32, further: &[&str]) -> Result<Shelf, ReadError> {
        let costing: &[&str] = if quantity > 1 { &COSTING } else { &[] };
        let columns: Vec<&str> = RANKING.iter().chain(costing).chain(further).copied().collect();
        Ok(Shelf {
            table: run.offer_columns(&columns, &in_groups(groups))?,
            quantity,
        })
    }

    /// The texts of a column, for a look at many offers.
    pub fn texts(&self, name: &str) -> Texts<'_> {
        self.table.texts(name)
    }

    /// The whole numbers of a column.
    pub fn wholes(&self, name: &str) -> Wholes<'_> {
        self.table.wholes(name)
    }

    /// Rows of offers, in published order.
    pub fn offers(&self) -> std::ops::Range<usize> {
        0..self.table.height()
    }

    /// Some offers with their cost.
    pub fn candidates(&self, counter: &Counter, offers: Vec<usize>) -> Vec<Candidate> {
        let landed = self.table.numbers("landed_price");
        let confidence = self.table.numbers("confidence");
        let minimum = self.table.wholes("minimum_order");
        let multiple = self.table.wholes("order_multiple");
        let costing = CostingColumns::of(&self.table);
        offers
            .into_par_iter()
            .with_min_len(4096)
            .map(|at| {
                let order = |wanted: u32| {
                    let multiple = multiple.get(at).unwrap_or(1).max(1);
                    let least = minimum.get(at).unwrap_or(1).max(1);
                    wanted.max(least).div_ceil(multiple).saturating_mul(multiple)
                };
                let smallest = order(1);
                let delivered = match landed.get(at).filter(|price| *price > 0.0) {
                    None => f64::INFINITY,
                    Some(price) if order(self.quantity) == smallest => price * f64::from(smallest),
                    Some(_) => costing.cost(counter, self.quantity, at).unwrap_or(f64::INFINITY),
                };
                Candidate {
                    at,
                    delivered,
                    confidence: confidence.get(at).unwrap_or(0.0),
                }
            })
            .collect()
    }

    /// The whole rows of some offers, ascending, by their rows on the shelf.
    ///
    /// # Errors
    /// The run cannot be read.
    pub fn whole_rows(
        &self,
        run: &FinishedRun,
        counter: &Counter,
        offers: &[Candidate],
    ) -> Result<BTreeMap<usize, Offered>, ReadError> {
        let places: Vec<usize> = offers.iter().map(|offer| self.table.place(offer.at)).collect();
        let rows = run.offers_at(&places)?.into_iter().zip(offers);
        let shown = rows.map(|(row, offer)| {
            let delivered = self.delivered(counter, &row).filter(|_| offer.is_priced());
            (offer.at, Offered { row, delivered })
        });
        Ok(shown.collect())
    }

    /// The exact cost behind a candidate's: the published price of one where one is ordered, else the order's.
    fn delivered(&self, counter: &Counter, row: &CrossrefRow) -> Option<Decimal> {
        if OfferTerms::of_row(row).order_of(self.quantity) == 1 {
            return row.landed_price;
        }
        counter.cost(row, self.quantity).map(|cost| cost.total())
    }
}

/// The columns an order is costed from.
struct CostingColumns<'a> {
    unit_price: Numbers<'a>,
    currency: Texts<'a>,
    minimum_order: Wholes<'a>,
    order_multiple: Wholes<'a>,
    price_breaks: Texts<'a>,
    price_basis: Texts<'a>,
    weight_g: Numbers<'a>,
    origin: Texts<'a>,
    source_file: Texts<'a>,
}

impl<'a> CostingColumns<'a> {
    fn of(table: &'a NarrowTable) -> CostingColumns<'a> {
        CostingColumns {
            unit_price: table.numbers("unit_price"),
            currency: table.texts("currency"),
            minimum_order: table.wholes("minimum_order"),
            order_multiple: table.wholes("order_multiple"),
            price_breaks: table.texts("price_breaks"),
            price_basis: table.texts("price_basis"),
            weight_g: table.numbers("weight_g"),
            origin: table.texts("origin"),
            source_file: table.texts("source_file"),
        }
    }

    /// What an order of so many pieces of an offer costs delivered.
    fn cost(&self, counter: &Counter, wanted: u32, at: usize) -> Option<f64> {
        let row = CrossrefRow {
            unit_price: self.unit_price.money(at),
            currency: self.currency.get(at).into(),
            minimum_order: self.minimum_order.get(at),
            order_multiple: self.order_multiple.get(at),
            price_breaks: self.price_breaks.get(at).into(),
            price_basis: self.price_basis.get(at).into(),
            weight_g: self.weight_g.get(at),
            origin: self.origin.get(at).into(),
            ..CrossrefRow::default()
        };
        let terms = OfferTerms::of_row(&row);
        let cost = counter.cost_of(&terms, self.source_file.get(at), wanted)?;
        cost.total().to_f64().filter(|total| *total > 0.0)
    }
}

/// Every offer of some groups with what a plan needs to know of it.
///
/// # Errors
/// The run cannot be read.
pub fn rows_in(run: &FinishedRun, groups: &[&str]) -> Result<Vec<CrossrefRow>, ReadError> {
    let columns: Vec<&str> = RANKING.iter().chain(&COSTING).chain(&PLANNING).copied().collect();
    run.offers_in_part(&columns, &in_groups(groups))
}
