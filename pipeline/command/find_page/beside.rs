//! What stands beside the equivalents on the page: assemblies that cover the need, a repair instead, and the cautions.

use super::understood::called;
use super::{MOST_COVERING, SHORT_CAUTIONS};
use crate::command::cost_words::cents;
use crate::command::find_typed::FindTyped;
use crate::command::offer_list::{Listing, price, write_offers};
use crate::command::page::{Page, Style};
use crate::normalise::kind::KindId;
use crate::shop::answer::{Answer, Compared, Covering};
use crate::shop::repair::Repair;
use crate::trade::cautions::{BEFORE_ORDERING, LIMIT, SAFETY};
use rust_decimal::Decimal;

pub(super) fn write_covering(page: &mut Page, kind: KindId, covering: &Covering, answer: &Answer, typed: &FindTyped) {
    let part = called(kind);
    let home = &answer.counter.rates.home;
    let heading = match covering.price {
        Compared::Cheaper => format!("An assembly covers the {part} too and costs less"),
        Compared::NothingElse => format!("No sure offer of the {part} alone; an assembly covers it"),
        Compared::NotKnown => format!("An assembly covers the {part} too"),
        Compared::NotCheaper => {
            let best = covering
                .offers
                .shown
                .first()
                .map_or(String::new(), |offered| price(offered, home));
            let groups = covering.groups.join(", ");
            page.gap();
            page.sentence(
                0,
                &format!("An assembly covers the {part} too, from {best}: not cheaper ({groups})"),
            );
            return;
        }
    };
    let listing = Listing {
        limit: usize::from(typed.limit).min(MOST_COVERING),
        counter: &answer.counter,
        quantity: typed.quantity,
        style: Style::Quiet,
    };
    write_offers(page, &heading, &covering.offers, listing);
}

/// Never among the equivalents: a rope is no starter.
pub(super) fn write_repair(page: &mut Page, repair: &Repair, home: &str) {
    page.gap();
    page.style(Style::Heading)
        .sentence(0, "Repair instead, from the lines set aside:");
    page.style(Style::Plain);
    for line in &repair.lines {
        let row = &line.row;
        let saves = match line.saves {
            Some(saves) if saves > Decimal::ZERO => format!(", {} less than the cheapest whole part", cents(saves)),
            Some(saves) => format!(", {} more than the cheapest whole part", cents(-saves)),
            None => String::new(),
        };
        let price = row.landed_price.map_or(String::new(), cents);
        page.item(
            2,
            row.what.as_str(),
            &format!(
                "{price} {home}{saves}; serves this group with a probability of {:.2}, by codes and displacement alone",
                line.probability
            ),
        );
        page.style(Style::Quiet).sentence(
            4,
            &format!("{}, {} {}: {}", row.supplier, row.file, row.line, row.description),
        );
        page.style(Style::Plain);
    }
    if repair.lines.is_empty() {
        page.sentence(2, "no line states that it serves this group");
    }
    if repair.unsaid > 0 {
        let lines = match repair.unsaid {
            1 => "1 line of ropes, springs, pawls and kits says".to_string(),
            count => format!("{count} lines of ropes, springs, pawls and kits say"),
        };
        page.sentence(
            2,
            &format!("{lines} nothing of an engine: go by the size of the old one"),
        );
    }
}

/// What may be wrong besides the starter: shown before anything is ordered.
pub(super) fn before_ordering(page: &mut Page) {
    page.style(Style::Heading)
        .line("Before ordering: a stuck starter may not be the fault");
    page.style(Style::Plain);
    for line in BEFORE_ORDERING {
        page.sentence(2, line);
    }
}

pub(super) fn cautions(page: &mut Page, all: bool) {
    page.style(Style::Caution).line("Safety");
    page.style(Style::Plain);
    for caution in SAFETY
        .iter()
        .filter(|caution| all || SHORT_CAUTIONS.contains(&caution.cue))
    {
        page.sentence(2, &format!("{}: {}", caution.cue, caution.wording));
    }
    page.sentence(0, LIMIT);
    if !all {
        page.style(Style::Quiet).sentence(0, "All cautions: --cautions");
    }
}
