//! A *dossier*: all that a finished run knows of one offer.
//!
//! It is put together from the published tables alone. A line that is no offer is traced too: set aside as
//! what, or rejected for which reason.

use super::find::of_supplier;
use super::run_tables::rows_of;
use crate::publish::read::Condition;
use crate::publish::{CrossrefRow, FinishedRun, GroupRow, LinkRow, ReadError, RejectRow, SetAsideRow};
use compact_str::CompactString;
use std::collections::BTreeSet;

/// Rivals shown.
const MOST_RIVALS: usize = 8;

/// How an offer is named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OfferName {
    /// the supplier and its number
    Sku {
        /// supplier
        supplier: String,
        /// its number
        sku: String,
    },
    /// the list and the line
    Line {
        /// list, with `#` and the sheet
        file: String,
        /// line at which the record starts
        line: u32,
    },
}

/// What a name leads to in a run.
#[derive(Debug)]
pub enum Traced {
    /// offers, more than one when a supplier lists a number twice
    Offers(Vec<Dossier>),
    /// lines set aside
    SetAside(Vec<SetAsideRow>),
    /// lines rejected
    Rejected(Vec<RejectRow>),
    /// nothing in the run is called so
    Nothing,
}

/// All that a run knows of one offer.
#[derive(Debug)]
pub struct Dossier {
    /// the offer
    pub row: CrossrefRow,
    /// its fit group
    pub group: Option<GroupRow>,
    /// other offers of the same product
    pub mates: Vec<CrossrefRow>,
    /// pairs with it that did not become one product, the most probable first
    pub rivals: Vec<LinkRow>,
}

/// Follows a name into a run.
///
/// # Errors
/// The run cannot be read.
pub fn trace(run: &FinishedRun, name: &OfferName) -> Result<Traced, ReadError> {
    let rows = run.offers(&called(name))?;
    if !rows.is_empty() {
        let groups: Vec<GroupRow> = rows_of(run)?;
        let dossiers = rows
            .into_iter()
            .map(|row| dossier(run, row, &groups))
            .collect::<Result<_, _>>()?;
        return Ok(Traced::Offers(dossiers));
    }
    let aside: Vec<SetAsideRow> = rows_of(run)?;
    let aside: Vec<SetAsideRow> = aside
        .into_iter()
        .filter(|row| match name {
            OfferName::Sku { supplier, sku } => *row.supplier == **supplier && row.supplier_sku == *sku,
            OfferName::Line { file, line } => *row.file == **file && row.line == *line,
        })
        .collect();
    if !aside.is_empty() {
        return Ok(Traced::SetAside(aside));
    }
    let rejects: Vec<RejectRow> = rows_of(run)?;
    let rejects: Vec<RejectRow> = rejects
        .into_iter()
        .filter(|row| matches!(name, OfferName::Line { file, line } if *row.file == **file && row.line == Some(*line)))
        .collect();
    Ok(if rejects.is_empty() {
        Traced::Nothing
    } else {
        Traced::Rejected(rejects)
    })
}

fn called(name: &OfferName) -> Condition {
    match name {
        OfferName::Sku { supplier, sku } => of_supplier(supplier, sku),
        OfferName::Line { file, line } => at_lines(["source_file", "source_line"], [(file.as_str(), *line)]),
    }
}

/// Rows whose list and whose line are among these, each for itself: of one line it is that line, of several also lines
/// where another list has the number.
fn at_lines<'l>([file, line]: [&'static str; 2], lines: impl IntoIterator<Item = (&'l str, u32)>) -> Condition {
    let (files, numbers): (Vec<&str>, Vec<u32>) = lines.into_iter().unzip();
    Condition::text(file, files).and(Condition::whole(line, numbers))
}

/// Links that touch any of these lines.
///
/// # Errors
/// The run cannot be read.
pub(super) fn links_at(run: &FinishedRun, lines: &BTreeSet<(&str, u32)>) -> Result<Vec<LinkRow>, ReadError> {
    let side = |columns| at_lines(columns, lines.iter().copied());
    let touching = side(["source_file_a", "source_line_a"]).or(side(["source_file_b", "source_line_b"]));
    let mut links = run.links(&touching)?;
    links.retain(|link| {
        let ends = [
            (&*link.source_file_a, link.source_line_a),
            (&*link.source_file_b, link.source_line_b),
        ];
        ends.iter().any(|end| lines.contains(end))
    });
    Ok(links)
}

fn dossier(run: &FinishedRun, row: CrossrefRow, groups: &[GroupRow]) -> Result<Dossier, ReadError> {
    let mut mates = of_product(run, &row.product_id)?;
    mates.retain(|mate| !is_same_line(mate, &row));
    let mut links = links_with(run, &row)?;
    links.retain(|link| !link.outcome.starts_with("one product"));
    links.sort_by(|x, y| {
        y.probability
            .total_cmp(&x.probability)
            .then_with(|| other_line(x).cmp(&other_line(y)))
    });
    links.truncate(MOST_RIVALS);
    let group = groups.iter().find(|group| group.group_id == row.group_id).cloned();
    Ok(Dossier {
        row,
        group,
        mates,
        rivals: links,
    })
}

/// The offers of a product.
///
/// # Errors
/// The run cannot be read.
pub(super) fn of_product(run: &FinishedRun, product: &str) -> Result<Vec<CrossrefRow>, ReadError> {
    run.offers(&Condition::text("product_id", [product]))
}

fn is_same_line(x: &CrossrefRow, y: &CrossrefRow) -> bool {
    x.source_file == y.source_file && x.source_line == y.source_line
}

fn other_line(link: &LinkRow) -> (&str, u32) {
    (&link.source_file_b, link.source_line_b)
}

/// Links of an offer, turned so that it stands on the first side.
pub(super) fn links_with(run: &FinishedRun, row: &CrossrefRow) -> Result<Vec<LinkRow>, ReadError> {
    let links = links_at(run, &BTreeSet::from([(&*row.source_file, row.source_line)]))?;
    Ok(links
        .into_iter()
        .map(|link| {
            if link.source_file_a == row.source_file && link.source_line_a == row.source_line {
                link
            } else {
                turned(link)
            }
        })
        .collect())
}

fn turned(mut link: LinkRow) -> LinkRow {
    std::mem::swap(&mut link.supplier_a, &mut link.supplier_b);
    std::mem::swap(&mut link.supplier_sku_a, &mut link.supplier_sku_b);
    std::mem::swap(&mut link.source_file_a, &mut link.source_file_b);
    std::mem::swap(&mut link.source_line_a, &mut link.source_line_b);
    link
}

/// What two groups say differently, one sentence each.
pub fn differences(a: &GroupRow, b: &GroupRow) -> Vec<String> {
    let number = |value: Option<f64>| value.map(super::matching::figure).unwrap_or_default();
    let count = |value: Option<u8>| value.map(|count| count.to_string()).unwrap_or_default();
    let rows: [(&str, [CompactString; 2]); 6] = [
        ("part kind", [a.part_kind.clone(), b.part_kind.clone()]),
        ("engine family", [a.family.clone(), b.family.clone()]),
        (
            "displacement cc",
            [a.displacement_cc.clone(), b.displacement_cc.clone()],
        ),
        (
            "mounting holes",
            [count(a.bolt_holes).into(), count(b.bolt_holes).into()],
        ),
        (
            "bolt circle mm",
            [number(a.bolt_circle_mm).into(), number(b.bolt_circle_mm).into()],
        ),
        ("thread", [a.thread.clone(), b.thread.clone()]),
    ];
    rows.into_iter()
        .filter(|(_, [a, b])| a != b && !a.is_empty() && !b.is_empty())
        .map(|(what, [a, b])| format!("{what}: {a} against {b}"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_both_groups_state_can_differ() {
        let a = GroupRow {
            displacement_cc: "163-212".into(),
            bolt_holes: Some(3),
            ..GroupRow::default()
        };
        let b = GroupRow {
            displacement_cc: "337-420".into(),
            ..GroupRow::default()
        };
        assert_eq!(differences(&a, &b), ["displacement cc: 163-212 against 337-420"]);
    }

    #[test]
    fn a_turned_link_keeps_its_evidence() {
        let link = LinkRow {
            supplier_a: "x".into(),
            supplier_b: "y".into(),
            probability: 0.4,
            ..LinkRow::default()
        };
        let turned = turned(link);
        assert_eq!((&*turned.supplier_a, turned.probability), ("y", 0.4));
    }
}
