//! Two offers of a finished run side by side: what joins them into one product, or what parts them.
//!
//! From the published links alone. Offers of one product that were not linked to each other are joined by a *chain*: of
//! all ways over other offers of the product the one whose weakest link is strongest. Offers of two products are parted
//! by a constraint, a person's word, the weakness of a chain, or because each has a better partner.

use super::dossier::{Dossier, links_at, links_with, of_product};
use super::why_link::{LinkPart, link_parts};
use crate::publish::read::{in_groups, with_number};
use crate::publish::{CrossrefRow, FinishedRun, GroupRow, LinkRow, ReadError};
use std::collections::BTreeMap;

/// Two offers side by side.
#[derive(Debug)]
pub struct Pair {
    /// the comparison kept of them, the first offer as `a`
    pub link: Option<LinkRow>,
    /// its parts in words, empty without one
    pub parts: Vec<LinkPart>,
    /// how they come to be one product or two
    pub relation: Relation,
    /// groups of both
    pub groups: [Option<GroupRow>; 2],
}

/// How two offers stand to each other.
#[derive(Debug, PartialEq)]
pub enum Relation {
    /// one product, linked to each other
    Joined,
    /// one product, over these offers
    Chained(Vec<Hop>),
    /// two products
    Parted(Box<Parting>),
}

/// One link of a chain.
#[derive(Debug, Clone, PartialEq)]
pub struct Hop {
    /// from this offer
    pub from: CrossrefRow,
    /// to this one
    pub to: CrossrefRow,
    /// probability that both are the same part
    pub probability: f64,
}

/// What parts two offers.
#[derive(Debug, PartialEq)]
pub struct Parting {
    /// outcome of the pair itself, when it was likely and yet did not become one product
    pub outcome: Option<String>,
    /// the link that brings the two products nearest, when it is another pair's
    pub nearest: Option<LinkRow>,
    /// for each offer its likeliest partner elsewhere
    pub partners: [Option<LinkRow>; 2],
}

/// Puts two offers side by side.
///
/// # Errors
/// The run cannot be read.
pub fn side_by_side(run: &FinishedRun, a: &Dossier, b: &Dossier) -> Result<Pair, ReadError> {
    let links = links_with(run, &a.row)?;
    let link = links.iter().find(|link| ends_at(link, &b.row)).cloned();
    let relation = if a.row.product_id == b.row.product_id {
        match link {
            Some(_) => Relation::Joined,
            None => Relation::Chained(chain(run, &a.row, &b.row)?),
        }
    } else {
        Relation::Parted(Box::new(parting(run, a, b, link.as_ref())?))
    };
    Ok(Pair {
        parts: link
            .as_ref()
            .map(|link| link_parts(&a.row, &b.row, link))
            .unwrap_or_default(),
        link,
        relation,
        groups: [a.group.clone(), b.group.clone()],
    })
}

fn ends_at(link: &LinkRow, row: &CrossrefRow) -> bool {
    link.source_file_b == row.source_file && link.source_line_b == row.source_line
}

type Line = (String, u32);

fn line(row: &CrossrefRow) -> Line {
    (row.source_file.to_string(), row.source_line)
}

fn ends(link: &LinkRow) -> [Line; 2] {
    [
        (link.source_file_a.to_string(), link.source_line_a),
        (link.source_file_b.to_string(), link.source_line_b),
    ]
}

/// Links that touch any of these offers.
fn links_of(run: &FinishedRun, rows: &[CrossrefRow]) -> Result<Vec<LinkRow>, ReadError> {
    links_at(
        run,
        &rows.iter().map(|row| (&*row.source_file, row.source_line)).collect(),
    )
}

/// The chain over offers of the product whose weakest link is strongest.
fn chain(run: &FinishedRun, a: &CrossrefRow, b: &CrossrefRow) -> Result<Vec<Hop>, ReadError> {
    let rows = of_product(run, &a.product_id)?;
    let place: BTreeMap<Line, usize> = rows.iter().enumerate().map(|(at, row)| (line(row), at)).collect();
    let edges: Vec<(usize, usize, f64)> = links_of(run, &rows)?
        .iter()
        .filter_map(|link| {
            let [x, y] = ends(link);
            Some((*place.get(&x)?, *place.get(&y)?, link.probability))
        })
        .collect();
    let (Some(from), Some(to)) = (place.get(&line(a)), place.get(&line(b))) else {
        return Ok(Vec::new());
    };
    let hop = |&(x, y, probability): &(usize, usize, f64)| Hop {
        from: rows[x].clone(),
        to: rows[y].clone(),
        probability,
    };
    Ok(widest(rows.len(), &edges, *from, *to).iter().map(hop).collect())
}

/// How a node was reached: weakest edge so far, edges so far, and the node and edge before, none at the start.
type Reached = (f64, usize, Option<(usize, f64)>);

/// The way whose weakest edge is strongest, as directed edges; shorter ways first among equals; empty without a way.
fn widest(nodes: usize, edges: &[(usize, usize, f64)], from: usize, to: usize) -> Vec<(usize, usize, f64)> {
    let mut reached: Vec<Option<Reached>> = vec![None; nodes];
    let mut done = vec![false; nodes];
    reached[from] = Some((1.0, 0, None));
    loop {
        let next = (0..nodes)
            .filter(|node| !done[*node])
            .filter_map(|node| Some((node, reached[node]?)));
        let best = next.max_by(|x, y| x.1.0.total_cmp(&y.1.0).then(y.1.1.cmp(&x.1.1)).then(y.0.cmp(&x.0)));
        let Some((node, (weakest, length, _))) = best else {
            break;
        };
        done[node] = true;
        for &(x, y, p) in edges {
            let other = match node {
                here if here == x => y,
                here if here == y => x,
                _ => continue,
            };
            let offered = (weakest.min(p), length + 1);
            let better = reached[other].is_none_or(|(w, l, _)| offered.0 > w || (offered.0 == w && offered.1 < l));
            if !done[other] && better {
                reached[other] = Some((offered.0, offered.1, Some((node, p))));
            }
        }
    }
    let mut way = Vec::new();
    let mut here = to;
    while let Some((_, _, Some((before, p)))) = reached[here] {
        way.push((before, here, p));
        here = before;
    }
    way.reverse();
    way
}

fn parting(run: &FinishedRun, a: &Dossier, b: &Dossier, link: Option<&LinkRow>) -> Result<Parting, ReadError> {
    let own = link
        .map(|link| link.outcome.to_string())
        .filter(|outcome| outcome != "two products");
    let (first, second) = (of_product(run, &a.row.product_id)?, of_product(run, &b.row.product_id)?);
    let belongs = |rows: &[CrossrefRow], end: &Line| rows.iter().any(|row| line(row) == *end);
    let mut between = links_of(run, &first)?;
    between.retain(|link| {
        let [x, y] = ends(link);
        (belongs(&first, &x) && belongs(&second, &y)) || (belongs(&first, &y) && belongs(&second, &x))
    });
    let nearest = between
        .into_iter()
        .max_by(|x, y| x.probability.total_cmp(&y.probability).then(ends(y).cmp(&ends(x))));
    let is_other = |near: &LinkRow| link.is_none_or(|link| near.probability > link.probability);
    let partner = |dossier: &Dossier| -> Result<Option<LinkRow>, ReadError> {
        let links = links_with(run, &dossier.row)?;
        let partners = links.into_iter().filter(|link| link.outcome.starts_with("one product"));
        Ok(partners.max_by(|x, y| x.probability.total_cmp(&y.probability).then(ends(y).cmp(&ends(x)))))
    };
    Ok(Parting {
        outcome: own,
        nearest: nearest.filter(is_other),
        partners: [partner(a)?, partner(b)?],
    })
}

/// The offers of a number of a maker or supplier: one product's, or a choice.
///
/// # Errors
/// The run cannot be read.
pub fn numbered(run: &FinishedRun, number: &str) -> Result<Vec<CrossrefRow>, ReadError> {
    let found = super::numbers::look_up(run, number, super::numbers::Reach::NumbersOnly)?;
    if found.spelled.is_empty() {
        return Ok(Vec::new());
    }
    let mut carries = with_number(&found.spelled);
    if !found.groups.contains("") {
        // only their parts of the file need be read
        carries = in_groups(&found.groups).and(carries);
    }
    run.offers(&carries)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chain_taken_is_the_one_whose_weakest_link_is_strongest() {
        let edges = [(0, 1, 0.6), (1, 3, 0.99), (0, 2, 0.9), (2, 3, 0.8), (0, 3, 0.3)];
        assert_eq!(widest(4, &edges, 0, 3), [(0, 2, 0.9), (2, 3, 0.8)]);
        assert_eq!(widest(4, &edges, 3, 0), [(3, 2, 0.8), (2, 0, 0.9)]);
    }

    #[test]
    fn of_equal_chains_the_shorter_is_taken_and_without_one_there_is_none() {
        let edges = [(0, 1, 0.7), (1, 2, 0.7), (0, 2, 0.7)];
        assert_eq!(widest(4, &edges, 0, 2), [(0, 2, 0.7)]);
        assert!(widest(4, &edges, 0, 3).is_empty());
    }
}
