//! One row to one line: an offer, set aside with the name of what it is, or rejected.
//!
//! The columns of a list are worked out once; a row is then read cell by cell. Each text is folded and split once.
//! A row that names no part at all is the only one rejected here: a missing price, a damaged number or an unsure kind
//! is a remark on an offer.

mod identity;
mod kind_and_fit;

use super::columns::{ClaimColumn, claim_columns};
use super::kind::{KindId, KindReading};
use super::line_reading::LineReading;
use super::markup::clean;
use super::offer::{Barcode, Flag, Line, Offer, SetAside};
use super::price::{PriceLine, PricePlan};
use super::row_columns::Columns;
use super::scan::Scan;
use super::terms::TermColumns;
use super::vocabulary::Vocabulary;
use crate::intake::list::ListHead;
use crate::intake::problem::{Problem, Reject};
use crate::intake::rows::Row;
use crate::trade::damage::{Damage, spot_damage};
use crate::trade::money::find_pack_quantity;
use compact_str::{CompactString, format_compact};
use kind_and_fit::best_in_scope;
use std::sync::Arc;

/// A description is read for kinds and claims up to this many bytes.
const DESCRIPTION_READ: usize = 600;

/// Below this a kind is remarked upon as uncertain.
const SURE_KIND: f32 = 0.8;

/// What a build is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope {
    /// Starters, shrouds and assemblies, with their claims.
    Fit,
    /// Any products: identifiers, title and price only.
    Generic,
}

/// See the head of the module.
#[derive(Debug)]
pub struct Normaliser<'v> {
    vocabulary: &'v Vocabulary,
    scope: Scope,
    file: Arc<str>,
    supplier: Arc<str>,
    columns: Columns,
    claims: Vec<ClaimColumn>,
    price: PricePlan,
    separators: Vec<String>,
    nulls: Vec<String>,
    terms: TermColumns,
}

/// The texts of a row that are read more than once.
struct Texts<'r> {
    sku: &'r str,
    title: &'r str,
    /// Descriptions, and further titles.
    others: Vec<&'r str>,
}

impl<'v> Normaliser<'v> {
    /// Works out the columns of a list.
    pub fn new(vocabulary: &'v Vocabulary, head: &ListHead, scope: Scope) -> Self {
        let profile = head.profile.as_deref();
        Self {
            vocabulary,
            scope,
            file: Arc::from(head.shown()),
            supplier: head.supplier.clone(),
            columns: Columns::of(head),
            claims: claim_columns(head),
            price: PricePlan::new(vocabulary, head),
            separators: profile
                .map(|profile| profile.list_separators.clone())
                .unwrap_or_default(),
            nulls: profile.map(|profile| profile.nulls.clone()).unwrap_or_default(),
            terms: TermColumns::of(head),
        }
    }

    /// Reads one row.
    pub fn line(&self, row: &Row<'_>) -> Line {
        let texts = self.texts(row);
        if let Some(reject) = self.reject(row, &texts) {
            return Line::Reject(reject);
        }
        let mut reading = LineReading::default();
        let barcode = self.barcode(row, &mut reading);
        self.read_numbers(row, texts.sku, &mut reading);
        let (kind, title_pack) = match self.scope {
            Scope::Generic => self.read_generic(&texts, &mut reading),
            Scope::Fit => self.read_fit(row, &texts, &mut reading),
        };
        let price = self.price.read(self.vocabulary, row, title_pack);
        for flag in &price.flags {
            reading.flag(*flag);
        }
        self.finish(row, &texts, kind, reading, barcode, price)
    }

    /// A cell, empty where the profile calls it so.
    fn cell<'r>(&self, row: &Row<'r>, index: usize) -> &'r str {
        let cell = trimmed(row.cell(index));
        if self.nulls.iter().any(|null| null == cell) {
            ""
        } else {
            cell
        }
    }

    fn first<'r>(&self, row: &Row<'r>, indexes: &[usize]) -> &'r str {
        indexes
            .iter()
            .map(|index| self.cell(row, *index))
            .find(|cell| !cell.is_empty())
            .unwrap_or_default()
    }

    fn texts<'r>(&self, row: &Row<'r>) -> Texts<'r> {
        let mut others = Vec::new();
        let mut title = "";
        for index in self.columns.titles.iter().chain(&self.columns.descriptions) {
            let cell = self.cell(row, *index);
            if cell.is_empty() || is_error_value(cell) {
                continue;
            }
            if title.is_empty() {
                title = cell;
            } else if cell != title {
                others.push(cell);
            }
        }
        Texts {
            sku: self.columns.sku.map_or("", |index| self.cell(row, index)),
            title,
            others,
        }
    }

    /// A row without any text or number of a part.
    fn reject(&self, row: &Row<'_>, texts: &Texts<'_>) -> Option<Reject> {
        if !texts.title.is_empty() {
            return None;
        }
        let columns = &self.columns;
        let numbers = columns
            .makers
            .iter()
            .chain(&columns.replaces)
            .chain(&columns.gtins)
            .chain(&columns.engines);
        let mut damaged: Option<(usize, &str)> = None;
        for index in numbers.chain(&columns.sku).chain(&columns.titles) {
            let cell = self.cell(row, *index);
            if is_error_value(cell) {
                damaged = damaged.or(Some((*index, cell)));
            } else if !cell.is_empty() && !self.vocabulary.is_placeholder(cell) {
                return None;
            }
        }
        let (problem, column, message) = match damaged {
            Some((index, cell)) => (
                Problem::SpreadsheetDamage,
                u32::try_from(index + 1).ok(),
                format!("found {cell} and nothing else that tells the part"),
            ),
            None => (Problem::NoPartNamed, None, Problem::NoPartNamed.explain().to_string()),
        };
        Some(Reject {
            file: self.file.clone(),
            line: row.line(),
            column,
            problem,
            message,
            hint: problem.hint().to_string(),
            raw: row.raw().into_owned(),
        })
    }

    fn finish(
        &self,
        row: &Row<'_>,
        texts: &Texts<'_>,
        kind: KindReading,
        mut reading: LineReading,
        barcode: Option<Barcode>,
        price: PriceLine,
    ) -> Line {
        reading.shrink();
        let title = shown(texts.title);
        let sku = CompactString::from(texts.sku);
        let in_scope = in_scope(&kind);
        if in_scope < self.vocabulary.model.offer_floor {
            return Line::SetAside(SetAside {
                file: self.file.clone(),
                line: row.line(),
                supplier: self.supplier.clone(),
                sku,
                title,
                what: CompactString::from(self.vocabulary.kind_name(kind.kind)),
                why: format_compact!("{} ({:.2})", kind.why, kind.probability),
                probability: 1.0 - in_scope,
                pack_price_unsure: price.flags.contains(&Flag::PackPriceUnsure),
                price: price.price,
                pack_qty: price.pack_qty,
                terms: self.terms.read(|index| shown(self.cell(row, index))),
                claims: reading.claims,
                numbers: reading.numbers,
            });
        }
        let kind = best_in_scope(kind);
        if kind.probability < SURE_KIND {
            reading.flag(Flag::KindUncertain);
        }
        reading.flags.sort_unstable();
        Line::Offer(Offer {
            file: self.file.clone(),
            line: row.line(),
            supplier: self.supplier.clone(),
            sku,
            brand: self
                .columns
                .brand
                .map(|index| self.brand(row, index))
                .unwrap_or_default(),
            title,
            description: texts.others.first().map(|text| shown(text)).unwrap_or_default(),
            kind,
            claims: reading.claims,
            numbers: reading.numbers,
            barcode,
            price: price.price,
            pack_qty: price.pack_qty,
            terms: self.terms.read(|index| shown(self.cell(row, index))),
            flags: reading.flags,
        })
    }
}

/// The probability that a line sells what the cross-reference holds.
fn in_scope(kind: &KindReading) -> f32 {
    let held = [
        KindId::RECOIL_STARTER,
        KindId::SHROUD,
        KindId::ASSEMBLY,
        KindId::GENERIC,
    ];
    held.iter().map(|id| kind.probability_of(*id)).sum()
}

/// A cell without white space around it: most have none, and show it by their first and last byte.
fn trimmed(cell: &str) -> &str {
    match cell.as_bytes() {
        [] | [b'!'..=b'~'] | [b'!'..=b'~', .., b'!'..=b'~'] => cell,
        _ => cell.trim(),
    }
}

fn pack_in(scan: &Scan) -> Option<u32> {
    if scan.has_digits {
        find_pack_quantity(&scan.folded)
    } else {
        None
    }
}

/// Whether a cell is what a spreadsheet writes over a failed formula.
fn is_error_value(cell: &str) -> bool {
    cell.starts_with('#') && spot_damage(cell) == Some(Damage::ErrorValue)
}

/// The text as a person sees it.
fn shown(cell: &str) -> CompactString {
    CompactString::from(clean(cell).trim())
}

#[cfg(test)]
mod tests {
    use super::trimmed;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_cell_is_trimmed_as_text_is(cell in "[ \\ta\\u{a0}é~!-]{0,5}|\\\\PC{0,6}") {
            prop_assert_eq!(trimmed(&cell), cell.trim());
        }
    }
}
