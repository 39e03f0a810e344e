//! The plan of `samefit plan` as a page for people.

use super::cost_words::cents;
use super::page::{Look, Page, Side, Style, cut};
use super::plan::status_word;
use crate::shop::landed::LineCost;
use crate::shop::plan::choice::counts;
use crate::shop::plan::orders::Order;
use crate::shop::plan::{Plan, Status};
use crate::trade::cautions::{BEFORE_ORDERING, LIMIT};
use rust_decimal::Decimal;
use std::path::Path;

/// Columns of the table of an order that are not its number and wording, with the blanks between.
const FIGURES: usize = 44;

/// Writes the page.
pub fn page(plan: &Plan, written: Option<&Path>, look: Look) -> String {
    let mut page = Page::of(look);
    sum(&mut page, plan);
    for order in &plan.orders {
        page.gap();
        write_order(&mut page, plan, order);
    }
    not_planned(&mut page, plan);
    left_out(&mut page, plan);
    if let Some(folder) = written {
        page.gap();
        page.sentence(0, &format!("Order lists written to {}", folder.display()));
    }
    page.gap();
    page.style(Style::Heading)
        .line("Before ordering: a stuck starter may not be the fault");
    page.style(Style::Plain);
    for line in BEFORE_ORDERING {
        page.sentence(2, line);
    }
    page.sentence(0, LIMIT);
    page.finish()
}

fn sum(page: &mut Page, plan: &Plan) {
    let home = &plan.counter.rates.home;
    let planned = plan.needs.len() - plan.unplanned.len();
    let orders = match plan.orders.len() {
        1 => "1 order".to_string(),
        count => format!("{count} orders"),
    };
    page.style(Style::Heading).sentence(
        0,
        &format!(
            "{planned} of {} needs planned in {orders}: {} {home} delivered",
            plan.needs.len(),
            cents(plan.total)
        ),
    );
    page.style(Style::Plain);
    let ended = match plan.status {
        Status::Optimal => format!(
            "{}, gap {:.2} %: nothing is cheaper",
            status_word(plan.status),
            plan.gap * 100.0
        ),
        Status::TimeUp => format!(
            "{}: something up to {:.2} % cheaper may exist",
            status_word(plan.status),
            plan.gap * 100.0
        ),
        Status::Empty => status_word(plan.status).to_string(),
    };
    page.sentence(2, &ended);
    if let Some(bought) = &plan.line_by_line {
        let saves = bought.total - plan.total;
        let orders = match bought.orders {
            1 => "1 order".to_string(),
            count => format!("{count} orders"),
        };
        page.style(Style::Good).sentence(
            2,
            &format!(
                "cheapest line by line: {} {home} in {orders}; the plan saves {}",
                cents(bought.total),
                cents(saves)
            ),
        );
        page.style(Style::Plain);
    } else if plan.status != Status::Empty {
        page.sentence(2, "line by line the stock runs out");
    }
}

fn write_order(page: &mut Page, plan: &Plan, order: &Order) {
    let home = &plan.counter.rates.home;
    page.style(Style::Heading).sentence(
        0,
        &format!("{}: {} {home}", order.seller.name, cents(order.cost.total())),
    );
    page.style(Style::Plain);
    let headings = [
        ("pieces", Side::Right),
        ("each", Side::Right),
        ("for line", Side::Left),
        ("its number", Side::Left),
        ("part", Side::Left),
    ];
    let width = page.width().saturating_sub(FIGURES).max(24);
    let rows: Vec<Vec<String>> = order
        .lines
        .iter()
        .zip(&order.cost.lines)
        .map(|(line, cost)| {
            let number = if line.row.supplier_sku.is_empty() {
                format!("(line {})", line.row.source_line)
            } else {
                cut(&line.row.supplier_sku, 14)
            };
            vec![
                line.pieces.to_string(),
                format!("{} {}", cents(cost.unit_price), line.row.currency),
                answers_of(plan, line.article).join(", "),
                number,
                cut(&line.row.description, width),
            ]
        })
        .collect();
    page.table(1, &headings, &rows);
    page.style(Style::Quiet).sentence(2, &parts(order, home));
    if order.seller.assumed {
        page.style(Style::Caution).sentence(2, "shipping is assumed, not known");
    }
    if !order.cost.missing.is_empty() {
        page.style(Style::Quiet)
            .sentence(2, &format!("not in the sum: {}", order.cost.missing.join("; ")));
    }
    let beyond: Vec<String> = order
        .lines
        .iter()
        .filter_map(|line| beyond(plan, line.article, line.pieces))
        .collect();
    if !beyond.is_empty() {
        page.style(Style::Quiet).sentence(2, &beyond.join("; "));
    }
    page.style(Style::Plain);
}

fn parts(order: &Order, home: &str) -> String {
    let sum = |of: fn(&LineCost) -> Decimal| order.cost.lines.iter().map(of).sum::<Decimal>();
    let mut parts = vec![format!("goods {}", cents(sum(|line| line.goods)))];
    for (amount, what) in [
        (order.cost.shipping, "shipping"),
        (sum(|line| line.duty), "duty"),
        (sum(|line| line.tax), "tax"),
    ] {
        if !amount.is_zero() {
            parts.push(format!("{what} {}", cents(amount)));
        }
    }
    if order.cost.shipping.is_zero() && order.seller.terms.shipping.is_some() {
        parts.push("travels free".into());
    }
    format!("{} {home}", parts.join(", "))
}

/// What is ordered beyond the need, which packs, smallest orders, breaks or free shipping make cheaper.
fn beyond(plan: &Plan, article: usize, pieces: u32) -> Option<String> {
    let answering = plan.used.iter().filter(|used| used.article == article);
    let most = answering.map(|used| used.pieces).sum::<u32>();
    (pieces > most).then(|| {
        format!(
            "{} of {pieces} beyond the need, as so many cost less in all",
            pieces - most
        )
    })
}

/// The lines of needs that an article answers, with the pieces where they are not all.
pub fn answers_of(plan: &Plan, article: usize) -> Vec<String> {
    let answering = plan.used.iter().filter(|used| used.article == article);
    answering
        .map(|used| {
            let need = &plan.needs[used.need];
            if used.pieces == need.quantity {
                need.line.to_string()
            } else {
                format!("{} ({})", need.line, used.pieces)
            }
        })
        .collect()
}

fn not_planned(page: &mut Page, plan: &Plan) {
    if plan.unplanned.is_empty() {
        return;
    }
    page.gap();
    page.style(Style::Caution).line("Not planned:");
    page.style(Style::Plain);
    for unplanned in &plan.unplanned {
        let need = &plan.needs[unplanned.need];
        page.item(
            2,
            &format!("line {}", need.line),
            &format!("{}: {}", need.words, unplanned.reason),
        );
    }
}

fn left_out(page: &mut Page, plan: &Plan) {
    let planned = plan
        .chosen
        .iter()
        .zip(&plan.needs)
        .filter(|(chosen, _)| chosen.reason.is_none());
    let said: Vec<(u64, String)> = planned
        .filter_map(|(chosen, need)| {
            let mut words = Vec::new();
            if !chosen.not_understood.is_empty() {
                words.push(format!("not understood: {}", chosen.not_understood.join(" ")));
            }
            if !chosen.left_out.is_empty() {
                words.push(format!("left out: {}", counts(&chosen.left_out)));
            }
            words.insert(0, format!("{} {}", chosen.group_id, chosen.name));
            Some((need.line, words.join("; "))).filter(|_| words.len() > 1)
        })
        .collect();
    if said.is_empty() {
        return;
    }
    page.gap();
    page.style(Style::Heading)
        .line("What each need was taken to be, and which of its offers were left out:");
    page.style(Style::Plain);
    for (line, words) in said {
        page.item(2, &format!("line {line}"), &words);
    }
}
