//! Rows of the links: a pair of offers, what speaks for one product and what became of it.

use super::Stages;
use crate::link::cluster::Parting;
use crate::link::compare::Field as Compared;
use crate::link::{Link, Products};
use crate::publish::LinkRow;

/// One bit in natural logarithms.
pub(super) const BIT: f64 = std::f64::consts::LN_2;

pub(super) fn link_row(stages: Stages<'_>, link: &Link) -> LinkRow {
    let (a, b) = (&stages.offers[link.a as usize], &stages.offers[link.b as usize]);
    let bits = |fields: &[Compared]| Some(fields.iter().map(|f| link.parts[*f as usize]).sum::<f64>() / BIT);
    let same = stages.products.of_offer[link.a as usize] == stages.products.of_offer[link.b as usize];
    let odds = (link.probability / (1.0 - link.probability).max(1e-12)).ln();
    LinkRow {
        supplier_a: a.supplier.clone(),
        supplier_sku_a: a.sku.clone(),
        supplier_b: b.supplier.clone(),
        supplier_sku_b: b.sku.clone(),
        probability: link.probability,
        identifiers_bits: bits(&[Compared::Barcode, Compared::Number]),
        wording_bits: bits(&[
            Compared::Words,
            Compared::RareShared,
            Compared::RareMissing,
            Compared::RareMissingMost,
            Compared::Codes,
            Compared::Brand,
            Compared::Extra,
            Compared::Telling,
            Compared::Figures,
            Compared::Everything,
            Compared::RareFurther,
        ]),
        claims_bits: bits(&[Compared::Claims, Compared::Kind]),
        price_bits: bits(&[Compared::Price, Compared::Weight]),
        rivals_bits: Some((odds - link.alone) / BIT),
        outcome: if same {
            "one product"
        } else {
            parted_words(stages.products, link)
        }
        .into(),
        source_file_a: a.file.clone(),
        source_line_a: a.line,
        source_file_b: b.file.clone(),
        source_line_b: b.line,
    }
}

/// Why a likely pair is two products all the same.
pub(super) fn parted_words(products: &Products, link: &Link) -> &'static str {
    let parted = &products.parted;
    let found = parted.binary_search_by(|p| (p.0, p.1).cmp(&(link.a, link.b)));
    match found.map(|at| parted[at].2) {
        Ok(Parting::Barcodes) => "kept apart: two sound barcodes",
        Ok(Parting::Numbers) => "kept apart: two numbers of one maker",
        Ok(Parting::Brands) => "kept apart: two brands with one bare number",
        Ok(Parting::Person) => "kept apart: a person's word",
        Ok(Parting::WeakChain) => "kept apart: the weak point of a chain",
        Err(_) => "two products",
    }
}
