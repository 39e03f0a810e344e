//! `samefit plan`: what to order where, for a whole list of needs, at the least cost delivered.

use super::cost_words::cost_json;
use super::find_typed::probability;
use super::machine::json_text;
use super::outcome::{Failure, Outcome};
use super::page::{ColourWhen, Look};
use super::plan_page;
use super::talk::{Talk, print};
use super::today::{Dated, warn_of_age};
use super::{Common, open};
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::column::money;
use crate::publish::plan_folder::write_plan;
use crate::shop::crossref::SURE_ENOUGH;
use crate::shop::plan::needs::{NeedsError, read_needs};
use crate::shop::plan::orders::Order;
use crate::shop::plan::{Plan, PlanError, PlanLimits, Status, plan};
use crate::trade::cautions::{BEFORE_ORDERING, LIMIT};
use clap::Args;
use rust_decimal::Decimal;
use serde_json::{Value, json};
use std::path::PathBuf;
use std::time::Duration;

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(
    after_help = "NEEDS.csv has a heading and one need a line: need,quantity,deliver_within,min_confidence,note; only
need is asked for. A need is said as to `find`: in words, by a part number, or by the id of a fit group.

Examples:
  samefit plan output/demo input-samples/needs.csv
  samefit plan output/demo input-samples/needs.csv --out output/order
  samefit plan output/demo input-samples/needs.csv --deliver-within 7 --assume-shipping 12.50"
)]
pub struct PlanTyped {
    /// Folder of a finished run, as given to `build --out`
    #[arg(value_name = "RUN")]
    pub run: PathBuf,
    /// List of needs, CSV
    #[arg(value_name = "NEEDS.csv")]
    pub needs: PathBuf,
    /// Folder to write one order list per supplier into, with plan.csv and plan.json
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Confidence from which an offer is sure enough, where a line says nothing else
    #[arg(long, value_name = "0-1", default_value_t = SURE_ENOUGH, value_parser = probability)]
    pub min_confidence: f64,
    /// Days until delivery at the latest, where a line says nothing else; offers that promise nothing are left out
    #[arg(long, value_name = "DAYS")]
    pub deliver_within: Option<u16>,
    /// Shipping per order to assume of suppliers whose terms are not known, in the home currency; without it their offers
    /// are left out
    #[arg(long, value_name = "AMOUNT", value_parser = amount)]
    pub assume_shipping: Option<Decimal>,
    /// Seconds that the solver may take
    #[arg(long, value_name = "SECONDS", default_value_t = 60, value_parser = clap::value_parser!(u64).range(1..=86_400))]
    pub time_limit: u64,
    /// Day to count from
    #[command(flatten)]
    pub dated: Dated,
    /// Colour the page
    #[arg(long, value_enum, default_value_t, value_name = "WHEN", alias = "colour")]
    pub color: ColourWhen,
    /// Print the plan as JSON
    #[arg(long)]
    pub json: bool,
}

fn amount(text: &str) -> Result<Decimal, String> {
    text.replace(',', ".")
        .parse::<Decimal>()
        .ok()
        .filter(|amount| !amount.is_sign_negative())
        .ok_or_else(|| "must be an amount such as 12.50".into())
}

/// Runs the plan.
///
/// # Errors
/// The run or the needs cannot be read, the solver fails, or the folder cannot be written.
pub fn run(typed: &PlanTyped, common: &Common) -> Result<Outcome, Failure> {
    let vocabulary = Vocabulary::built_in().map_err(|error| Failure::failed(error.to_string()))?;
    let run = open(&typed.run)?;
    let needs = read_needs(&typed.needs)?;
    let limits = PlanLimits {
        min_confidence: typed.min_confidence,
        deliver_within: typed.deliver_within,
        assume_shipping: typed.assume_shipping,
        time_limit: Duration::from_secs(typed.time_limit),
    };
    let working = Talk::of(common).working("planning");
    let plan = plan(&run, &vocabulary, needs, &limits)?;
    working.finish_and_clear();
    warn_of_age(&plan.counter.rates, &typed.dated, common);
    let written = match &typed.out {
        Some(out) => Some(write_plan(
            out,
            &[typed.run.clone(), typed.needs.clone()],
            plan_json(&plan),
            &files(&plan)?,
        )?),
        None => None,
    };
    if typed.json {
        print(&json_text(&plan_json(&plan)))?;
    } else {
        print(&plan_page::page(
            &plan,
            written.as_deref(),
            Look::of_stdout(typed.color)?,
        ))?;
    }
    Ok(Outcome::Done)
}

/// One order list per supplier, and all lines of all orders.
fn files(plan: &Plan) -> Result<Vec<(String, Vec<u8>)>, Failure> {
    let mut files = Vec::new();
    for order in &plan.orders {
        let mut name = format!("order-{}.csv", plain_name(&order.seller.name));
        let mut count = 1;
        while files.iter().any(|(taken, _)| *taken == name) {
            count += 1;
            name = format!("order-{}-{count}.csv", plain_name(&order.seller.name));
        }
        files.push((name, order_csv(plan, std::slice::from_ref(order))?));
    }
    files.push(("plan.csv".into(), order_csv(plan, &plan.orders)?));
    Ok(files)
}

/// A supplier's name as a part of a file name.
fn plain_name(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|sign| {
            if sign.is_alphanumeric() || sign == '_' {
                sign
            } else {
                '-'
            }
        })
        .take(60)
        .collect();
    if plain.chars().any(char::is_alphanumeric) {
        plain
    } else {
        "supplier".into()
    }
}

/// Lines of orders, byte-faithful as all tables for machines.
fn order_csv(plan: &Plan, orders: &[Order]) -> Result<Vec<u8>, Failure> {
    let wrong = |error: csv::Error| Failure::failed(format!("could not write CSV: {error}"));
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let heading = [
        "supplier",
        "supplier_sku",
        "brand",
        "mpn",
        "gtin",
        "description",
        "pieces",
        "unit_price",
        "currency",
        "amount",
        "answers",
        "group_id",
        "confidence",
        "source_file",
        "source_line",
    ];
    writer.write_record(heading).map_err(wrong)?;
    for order in orders {
        for (line, cost) in order.lines.iter().zip(&order.cost.lines) {
            let row = &line.row;
            let record = [
                row.supplier.to_string(),
                row.supplier_sku.to_string(),
                row.brand.to_string(),
                row.mpn.to_string(),
                row.gtin.to_string(),
                row.description.clone(),
                line.pieces.to_string(),
                cost.unit_price.to_string(),
                row.currency.to_string(),
                money(cost.listed),
                plan_page::answers_of(plan, line.article).join("; "),
                row.group_id.to_string(),
                format!("{:.4}", row.confidence),
                row.source_file.to_string(),
                row.source_line.to_string(),
            ];
            writer.write_record(record).map_err(wrong)?;
        }
    }
    writer.into_inner().map_err(|error| Failure::failed(error.to_string()))
}

fn plan_json(plan: &Plan) -> Value {
    let needs: Vec<Value> = plan
        .needs
        .iter()
        .zip(&plan.chosen)
        .enumerate()
        .map(|(at, (need, chosen))| {
            let unplanned = plan.unplanned.iter().find(|unplanned| unplanned.need == at);
            json!({
                "line": need.line, "need": need.words, "quantity": need.quantity, "note": need.note,
                "group": chosen.group_id.as_str(), "name": chosen.name, "offers_that_may_be_ordered": chosen.offers.len(),
                "left_out": chosen.left_out, "not_planned": unplanned.map(|unplanned| unplanned.reason.as_str()),
                "not_understood": chosen.not_understood.iter().map(|word| word.as_str()).collect::<Vec<_>>(),
            })
        })
        .collect();
    let orders: Vec<Value> = plan.orders.iter().map(|order| order_json(plan, order)).collect();
    json!({
        "total": money(plan.total), "home_currency": plan.counter.rates.home, "rates_date": plan.counter.rates.date,
        "status": status_word(plan.status), "gap": plan.gap,
        "line_by_line": plan.line_by_line.as_ref().map(|bought| json!({
            "total": money(bought.total), "orders": bought.orders,
        })),
        "orders": orders, "needs": needs, "before_ordering": BEFORE_ORDERING, "limit": LIMIT,
    })
}

fn order_json(plan: &Plan, order: &Order) -> Value {
    let currency = order.lines.first().map_or("", |line| line.row.currency.as_str());
    let lines: Vec<Value> = order
        .lines
        .iter()
        .map(|line| {
            json!({
                "supplier_sku": line.row.supplier_sku.as_str(), "mpn": line.row.mpn.as_str(),
                "description": line.row.description, "pieces": line.pieces, "group": line.row.group_id.as_str(),
                "confidence": line.row.confidence, "answers": plan_page::answers_of(plan, line.article),
                "source_file": &*line.row.source_file, "source_line": line.row.source_line,
            })
        })
        .collect();
    json!({
        "supplier": &*order.seller.name, "shipping_assumed": order.seller.assumed, "lines": lines,
        "cost": cost_json(&order.cost, currency, &plan.counter.rates),
    })
}

/// How the solver ended, for files.
pub fn status_word(status: Status) -> &'static str {
    match status {
        Status::Optimal => "optimal",
        Status::TimeUp => "time limit reached",
        Status::Empty => "nothing to plan",
    }
}

impl From<NeedsError> for Failure {
    fn from(error: NeedsError) -> Failure {
        Failure::usage(error.to_string()).hint(error.hint)
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Failure {
        match error {
            PlanError::Read(error) => error.into(),
            PlanError::Solver(message) => Failure::failed(message).hint("give the solver more time: --time-limit"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_suppliers_name_leads_out_of_no_folder() {
        assert_eq!(plain_name("../north & sons"), "---north---sons");
        assert_eq!(plain_name("北方"), "北方");
        assert_eq!(plain_name("../.."), "supplier");
    }
}
