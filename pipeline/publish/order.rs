//! The order of the rows in the published files.
//!
//! Rows arrive in whatever order threads and files brought them. They leave sorted by keys that depend
//! only on the lists: the table's own subject first, then supplier, supplier's number, file and line.
//! A pair of offers has no first and second, so links are also turned to a fixed direction.

use std::borrow::Cow;
use std::cmp::Ordering;

use rayon::prelude::*;

use super::nightly_tables::{ChangeRow, IdRow, PriceRow};
use super::tables::{
    CrossrefRow, GroupRow, LinkRow, ProductRow, RejectRow, ReviewRow, RunTables, SetAsideRow, SupplierRow,
    TrackRecordRow,
};

/// The tables by reference, each in its published order.
#[derive(Debug)]
pub struct Ordered<'a> {
    pub crossref: Vec<&'a CrossrefRow>,
    pub links: Vec<Cow<'a, LinkRow>>,
    pub groups: Vec<&'a GroupRow>,
    pub products: Vec<&'a ProductRow>,
    pub set_aside: Vec<&'a SetAsideRow>,
    pub rejects: Vec<&'a RejectRow>,
    pub suppliers: Vec<&'a SupplierRow>,
    pub changes: Vec<&'a ChangeRow>,
    pub prices: Vec<&'a PriceRow>,
    pub ids: Vec<&'a IdRow>,
    pub track_records: Vec<&'a TrackRecordRow>,
    pub review: Vec<&'a ReviewRow>,
}

/// Sorts every table.
pub fn ordered(tables: &RunTables) -> Ordered<'_> {
    Ordered {
        crossref: sorted(&tables.crossref, by_group_and_rank),
        links: sorted_links(&tables.links),
        groups: sorted(&tables.groups, |a, b| a.group_id.cmp(&b.group_id)),
        products: sorted(&tables.products, |a, b| a.product_id.cmp(&b.product_id)),
        set_aside: sorted(&tables.set_aside, |a, b| {
            (&a.file, a.line, &a.supplier_sku).cmp(&(&b.file, b.line, &b.supplier_sku))
        }),
        rejects: sorted(&tables.rejects, |a, b| {
            (&a.file, a.line, a.column, &a.code, &a.message, &a.raw)
                .cmp(&(&b.file, b.line, b.column, &b.code, &b.message, &b.raw))
        }),
        suppliers: sorted(&tables.suppliers, |a, b| {
            (&a.supplier, &a.file, &a.sheet).cmp(&(&b.supplier, &b.file, &b.sheet))
        }),
        changes: sorted(&tables.changes, by_worth),
        prices: sorted(&tables.prices, |a, b| {
            (&a.supplier, &a.supplier_sku, &a.offer, &a.since).cmp(&(&b.supplier, &b.supplier_sku, &b.offer, &b.since))
        }),
        ids: sorted(&tables.ids, |a, b| {
            (&a.date, &a.names, &a.event, &a.id, &a.other_id).cmp(&(&b.date, &b.names, &b.event, &b.id, &b.other_id))
        }),
        // within a supplier the attributes stand as they came: all together, then one by one
        track_records: sorted(&tables.track_records, |a, b| a.supplier.cmp(&b.supplier)),
        review: sorted(&tables.review, |a, b| {
            b.worth
                .total_cmp(&a.worth)
                .then_with(|| (&a.asked, &a.offer_a, &a.offer_b).cmp(&(&b.asked, &b.offer_a, &b.offer_b)))
                .then_with(|| (&a.source_file, a.source_line).cmp(&(&b.source_file, b.source_line)))
        }),
    }
}

fn sorted<R: Sync>(rows: &[R], compare: impl Fn(&R, &R) -> Ordering + Sync) -> Vec<&R> {
    let mut rows: Vec<&R> = rows.iter().collect();
    rows.par_sort_by(|a, b| compare(a, b));
    rows
}

/// What concerns whole lists first, then by what it is worth, saving or loss alike, then by its own words.
fn by_worth(a: &ChangeRow, b: &ChangeRow) -> Ordering {
    let of_a_list = |row: &ChangeRow| !matches!(row.change.as_str(), "held" | "accepted");
    let worth = |row: &ChangeRow| row.worth.map(|amount| amount.abs());
    of_a_list(a)
        .cmp(&of_a_list(b))
        .then_with(|| worth(b).cmp(&worth(a)))
        .then_with(|| {
            (
                &a.change,
                &a.group_id,
                &a.supplier,
                &a.supplier_sku,
                &a.product_id,
                &a.words,
            )
                .cmp(&(
                    &b.change,
                    &b.group_id,
                    &b.supplier,
                    &b.supplier_sku,
                    &b.product_id,
                    &b.words,
                ))
        })
}

/// Lines set aside as they are looked through: by what they are, the cheapest first, those without a price last.
pub fn by_what_and_price<'a>(rows: &[&'a SetAsideRow]) -> Vec<&'a SetAsideRow> {
    let mut rows = rows.to_vec();
    rows.sort_by(|a, b| {
        let price = |row: &SetAsideRow| (row.landed_price.is_none(), row.landed_price);
        (&a.what, price(a), &a.supplier, &a.file, a.line).cmp(&(&b.what, price(b), &b.supplier, &b.file, b.line))
    });
    rows
}

/// By group, offers without one last; inside it by rank, unranked last.
fn by_group_and_rank(a: &CrossrefRow, b: &CrossrefRow) -> Ordering {
    let key = |row: &CrossrefRow| (row.group_id.is_empty(), row.rank_in_group.unwrap_or(u32::MAX));
    let (a_has_none, a_rank) = key(a);
    let (b_has_none, b_rank) = key(b);
    (
        a_has_none,
        &a.group_id,
        a_rank,
        &a.product_id,
        &a.supplier,
        &a.supplier_sku,
        &a.source_file,
        a.source_line,
    )
        .cmp(&(
            b_has_none,
            &b.group_id,
            b_rank,
            &b.product_id,
            &b.supplier,
            &b.supplier_sku,
            &b.source_file,
            b.source_line,
        ))
}

fn sorted_links(links: &[LinkRow]) -> Vec<Cow<'_, LinkRow>> {
    let mut links: Vec<Cow<'_, LinkRow>> = links.iter().map(turned).collect();
    links.sort_by(|a, b| ends(a).cmp(&ends(b)).then(a.probability.total_cmp(&b.probability)));
    links
}

type End<'a> = (&'a str, &'a str, &'a str, u32);

fn ends(link: &LinkRow) -> (End<'_>, End<'_>) {
    let a = (
        &*link.supplier_a,
        &*link.supplier_sku_a,
        &*link.source_file_a,
        link.source_line_a,
    );
    let b = (
        &*link.supplier_b,
        &*link.supplier_sku_b,
        &*link.source_file_b,
        link.source_line_b,
    );
    (a, b)
}

/// The link with the lesser of its two offers first.
fn turned(link: &LinkRow) -> Cow<'_, LinkRow> {
    let (a, b) = ends(link);
    if a <= b {
        return Cow::Borrowed(link);
    }
    let mut turned = link.clone();
    std::mem::swap(&mut turned.supplier_a, &mut turned.supplier_b);
    std::mem::swap(&mut turned.supplier_sku_a, &mut turned.supplier_sku_b);
    std::mem::swap(&mut turned.source_file_a, &mut turned.source_file_b);
    std::mem::swap(&mut turned.source_line_a, &mut turned.source_line_b);
    Cow::Owned(turned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pair_reads_the_same_from_either_end() {
        let one = LinkRow {
            supplier_a: "north".into(),
            supplier_b: "east".into(),
            ..LinkRow::default()
        };
        let other = LinkRow {
            supplier_a: "east".into(),
            supplier_b: "north".into(),
            ..LinkRow::default()
        };
        assert_eq!(turned(&one), turned(&other));
    }

    #[test]
    fn offers_without_a_group_or_a_rank_come_last() {
        let row = |group: &str, rank| CrossrefRow {
            group_id: group.into(),
            rank_in_group: rank,
            ..CrossrefRow::default()
        };
        let tables = RunTables {
            crossref: vec![row("", Some(1)), row("B", Some(1)), row("A", None), row("A", Some(2))],
            ..RunTables::default()
        };
        let order: Vec<_> = ordered(&tables)
            .crossref
            .iter()
            .map(|row| (row.group_id.to_string(), row.rank_in_group))
            .collect();
        let expected = [("A", Some(2)), ("A", None), ("B", Some(1)), ("", Some(1))];
        assert_eq!(order, expected.map(|(group, rank)| (group.to_owned(), rank)));
    }
}
