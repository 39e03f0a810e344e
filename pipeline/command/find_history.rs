//! `samefit find --history`: what the offers that carry a number cost, and since when.

use super::machine::{json_text, row_json, rows_csv};
use super::outcome::{Failure, Outcome};
use super::page::{Page, Side};
use super::talk::print;
use crate::publish::column::money;
use crate::publish::{FinishedRun, PriceRow};
use crate::shop::history::price_history;
use serde_json::{Value, json};

/// How the answer is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HistoryForm {
    /// a page for people
    Page,
    /// JSON
    Json,
    /// CSV
    Csv,
}

/// Prints the prices of the offers that carry a number.
///
/// # Errors
/// The run keeps no prices, or no offer was ever known under the number.
pub fn show(run: &FinishedRun, number: &str, form: HistoryForm) -> Result<Outcome, Failure> {
    if number.trim().is_empty() {
        return Err(Failure::usage("--history needs a number").hint("for example --number TVI49-417-459"));
    }
    if !run.folder().join("prices.parquet").exists() {
        return Err(
            Failure::usage("this run keeps no prices").hint("runs of `samefit refresh` do; `build` stands alone")
        );
    }
    let prices = price_history(run, number)?;
    if prices.is_empty() {
        return Err(Failure::failed(format!("no offer was ever known under {number}")));
    }
    print(&match form {
        HistoryForm::Page => page(&prices),
        HistoryForm::Json => {
            let rows: Vec<Value> = prices.iter().map(row_json).collect();
            json_text(&json!({ "asked": number, "prices": rows }))
        }
        HistoryForm::Csv => rows_csv(&[], prices.iter().map(|row| (Vec::new(), row)))?,
    })?;
    Ok(Outcome::Done)
}

fn page(prices: &[PriceRow]) -> String {
    let headings = [
        ("supplier", Side::Left),
        ("its number", Side::Left),
        ("since", Side::Left),
        ("price", Side::Right),
        ("", Side::Left),
    ];
    let cells = prices.iter().map(|row| {
        let price = row
            .unit_price
            .map_or_else(|| "-".to_owned(), |price| format!("{} {}", money(price), row.currency));
        let remark = match (row.state.as_str(), row.offer.as_str()) {
            ("gone", _) => "no longer listed",
            (_, offer) => offer,
        };
        vec![
            row.supplier.to_string(),
            row.supplier_sku.to_string(),
            row.since.to_string(),
            price,
            remark.to_owned(),
        ]
    });
    let mut page = Page::default();
    page.table(0, &headings, &cells.collect::<Vec<_>>());
    page.finish()
}
