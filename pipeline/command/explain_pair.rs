//! Two offers side by side as a page for people: one part or two, why, and whether they interchange.

use super::explain::Told;
use super::explain_page::{heading, named};
use super::page::Page;
use crate::publish::{CrossrefRow, GroupRow, LinkRow};
use crate::shop::claim_pairs::ClaimPair;
use crate::shop::dossier::differences;
use crate::shop::pair::{Hop, Pair, Parting, Relation};
use crate::shop::why;

/// The page.
pub fn of_pair(a: &Told, b: &Told, pair: &Pair, claims: &[ClaimPair]) -> String {
    let mut page = Page::default();
    let (one, two) = (&a.dossier.row, &b.dossier.row);
    for (at, row) in [("first", one), ("second", two)] {
        page.sentence(0, &format!("The {at}: {}", heading(row)));
        page.sentence(2, &row.description);
    }
    page.gap();
    write_relation(&mut page, one, two, pair);
    write_link(&mut page, pair);
    write_decisions(&mut page, one, two);
    page.gap();
    write_groups(&mut page, one, two, pair);
    write_claims(&mut page, claims);
    for (at, row) in [("first", one), ("second", two)] {
        if !row.measure_first.is_empty() {
            page.sentence(0, &format!("Measure first on the {at}: {}", row.measure_first));
        }
    }
    page.finish()
}

fn write_relation(page: &mut Page, one: &CrossrefRow, two: &CrossrefRow, pair: &Pair) {
    match &pair.relation {
        Relation::Joined | Relation::Chained(_) => {
            page.sentence(0, &format!("Together: the very same part, product {}", one.product_id));
        }
        Relation::Parted(_) => {
            page.sentence(0, &format!("Two products: {} and {}", one.product_id, two.product_id));
        }
    }
    match &pair.relation {
        Relation::Joined => {}
        Relation::Chained(hops) => write_chain(page, hops),
        Relation::Parted(parting) => write_parting(page, parting, pair.link.as_ref()),
    }
}

fn write_chain(page: &mut Page, hops: &[Hop]) {
    page.sentence(2, "not linked to each other; other offers of the product join them:");
    for hop in hops {
        let words = format!("{:.2}  {} and {}", hop.probability, offer(&hop.from), offer(&hop.to));
        page.sentence(4, &words);
    }
    if let Some(weakest) = hops.iter().map(|hop| hop.probability).min_by(f64::total_cmp) {
        page.sentence(2, &format!("the chain is as strong as its weakest link, {weakest:.2}"));
    }
}

fn offer(row: &CrossrefRow) -> String {
    named(&row.supplier, &row.supplier_sku, &row.source_file, row.source_line)
}

fn write_parting(page: &mut Page, parting: &Parting, link: Option<&LinkRow>) {
    match (&parting.outcome, link) {
        (Some(outcome), _) => page.sentence(
            2,
            &format!("likely one part by their own comparison, and yet {outcome}"),
        ),
        (None, Some(_)) => page.sentence(2, "more likely two parts than one, by their own comparison"),
        (None, None) => page.sentence(
            2,
            "never compared, as they share no number and no rare words, or less than 0.05 probable to be one part",
        ),
    }
    if let Some(near) = &parting.nearest {
        let (x, y) = both_ends(near);
        let words = format!(
            "the two products come nearest in {x} and {y}, {:.2} probable to be one part: {}",
            near.probability, near.outcome
        );
        page.sentence(2, &words);
    }
    for (at, partner) in ["first", "second"].into_iter().zip(&parting.partners) {
        if let Some(partner) = partner {
            let words = format!(
                "the {at} is taken for one part with {} ({:.2})",
                both_ends(partner).1,
                partner.probability
            );
            page.sentence(2, &words);
        }
    }
}

fn both_ends(link: &LinkRow) -> (String, String) {
    (
        named(
            &link.supplier_a,
            &link.supplier_sku_a,
            &link.source_file_a,
            link.source_line_a,
        ),
        named(
            &link.supplier_b,
            &link.supplier_sku_b,
            &link.source_file_b,
            link.source_line_b,
        ),
    )
}

fn write_link(page: &mut Page, pair: &Pair) {
    let Some(link) = &pair.link else { return };
    page.sentence(
        0,
        &format!(
            "Held against each other, {:.4} probable to be one part:",
            link.probability
        ),
    );
    let width = pair.parts.iter().map(|part| part.compared.len()).max().unwrap_or(0);
    for part in &pair.parts {
        let label = format!("{:<width$}", part.compared);
        page.item(2, &label, &format!("{} ({})", part.words, part.strength()));
    }
}

fn write_decisions(page: &mut Page, one: &CrossrefRow, two: &CrossrefRow) {
    for (at, row) in [("first", one), ("second", two)] {
        for decision in why::decisions(&row.evidence) {
            page.sentence(0, &format!("The {at}: {decision}"));
        }
    }
}

fn write_groups(page: &mut Page, one: &CrossrefRow, two: &CrossrefRow, pair: &Pair) {
    let [Some(first), Some(second)] = &pair.groups else {
        page.line("Fit groups: not both offers stand in one");
        return;
    };
    if first.group_id == second.group_id {
        let words = format!(
            "Interchange: both stand in fit group {}, {}",
            first.group_id, first.name
        );
        page.sentence(0, &words);
        page.sentence(
            2,
            &format!("with confidence {:.2} and {:.2}", one.confidence, two.confidence),
        );
        return;
    }
    page.line("Do not interchange, as far as is known:");
    for (group, row) in [(first, one), (second, two)] {
        let words = format!("{}  {}  (confidence {:.2})", group.group_id, group.name, row.confidence);
        page.sentence(2, &words);
    }
    let differ = differences(first, second);
    let differ = if differ.is_empty() {
        "nothing that both state; their engines are named apart".into()
    } else {
        differ.join("; ")
    };
    page.sentence(2, &format!("the groups differ in: {differ}"));
    for (assembly, covered) in [(first, second), (second, first)] {
        if covers(assembly, covered) {
            let words = format!(
                "{} is an assembly: it answers a need for {} as well, never the other way",
                assembly.group_id, covered.group_id
            );
            page.sentence(2, &words);
        }
    }
}

fn covers(x: &GroupRow, y: &GroupRow) -> bool {
    x.covers_groups.split(';').any(|id| y.group_id == id)
}

fn write_claims(page: &mut Page, claims: &[ClaimPair]) {
    if claims.is_empty() {
        return;
    }
    page.gap();
    page.line("Claim by claim:");
    let width = claims.iter().map(|claim| claim.attribute.len()).max().unwrap_or(0);
    for claim in claims {
        let label = format!("{:<width$}  {:<9}", claim.attribute, claim.verdict.word());
        page.item(2, &label, &claim.words);
    }
}
