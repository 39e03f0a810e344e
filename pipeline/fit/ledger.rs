//! The evidence behind one offer's place, claim by claim: what spoke for it, what against, how much.
//!
//! The weight of a line is what its place would lose without it: the natural log odds of the offer's class with
//! the line, less those without it, against all other classes still possible. +2.3 makes the odds ten times
//! better, -2.3 ten times worse. So evidence marked as supporting never lowers the confidence by being there.
//! Bolt circle and hole count also say which variant of the class it is; what they move its log odds is added.

use super::classes::{Classes, Posterior};
use super::evidence::{Evidence, FROM_NUMBER, Reading};
use super::groups::FitGroups;
use super::habits::Habit;
use super::scales::{ALL, Field};
use crate::link::Products;
use crate::normalise::claim::Provenance;
use crate::normalise::offer::Offer;
use compact_str::{CompactString, ToCompactString};

/// Where a ledger line's words were read.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// on the offer's own line
    Own(Provenance),
    /// on lines of other offers of the same product
    Product {
        /// how many other lines say something in this field
        lines: usize,
    },
}

/// One line of evidence.
#[derive(Clone, Debug)]
pub struct LedgerLine {
    /// field
    pub field: Field,
    /// the words read
    pub text: CompactString,
    /// where they stood
    pub source: Source,
    /// natural log odds of the place with the line, less those without it
    pub weight: f64,
}

/// The ledger of one offer.
pub fn of_offer(fit: &FitGroups, offers: &[Offer], products: &Products, offer: u32) -> Vec<LedgerLine> {
    let product = products.of_offer[offer as usize] as usize;
    let evidence = &fit.evidence[product];
    if fit.posteriors[product].is_empty() {
        return Vec::new();
    }
    let ledger = Without {
        classes: &fit.classes,
        evidence,
        posterior: &fit.posteriors[product],
        taught: &fit.posteriors[product],
    };
    let mut lines = Vec::new();
    for field in ALL {
        let readings = &evidence.fields[field as usize];
        let of_variant = variant_weight(fit, product, field) / readings.len().max(1) as f64;
        let (mine, others): (Vec<&Reading>, Vec<&Reading>) = readings.iter().partition(|r| r.offer == offer);
        for reading in mine {
            lines.push(LedgerLine {
                field,
                text: words(offers, field, reading, fit),
                source: Source::Own(provenance(offers, reading)),
                weight: ledger.weight(field, 1, |r| !std::ptr::eq(r, reading)) + of_variant,
            });
        }
        if let Some(first) = others.first() {
            lines.push(LedgerLine {
                field,
                text: words(offers, field, first, fit),
                source: Source::Product { lines: others.len() },
                weight: ledger.weight(field, others.len(), |r| r.offer == offer) + of_variant * others.len() as f64,
            });
        }
    }
    lines
}

/// How much a field as a whole moves the log odds of a product's variant.
fn variant_weight(fit: &FitGroups, product: usize, field: Field) -> f64 {
    let [circle, holes] = fit.interface.get(product).copied().unwrap_or_default();
    match field {
        Field::Circle => f64::from(circle),
        Field::Holes => f64::from(holes),
        _ => 0.0,
    }
}

/// What a product's place would be without some readings, by the classes that are still possible.
pub struct Without<'a> {
    /// engine classes
    pub classes: &'a Classes,
    /// the product
    pub evidence: &'a Evidence,
    /// its classes, most probable first
    pub posterior: &'a Posterior,
    /// what the classes learned from the product itself, which does not count for it
    pub taught: &'a Posterior,
}

impl Without<'_> {
    /// How much the readings of a field that are taken away move the log odds of the product's class: log odds with
    /// them less log odds without. `stays` names the readings that stay, `away` counts the others.
    pub fn weight(&self, field: Field, away: usize, stays: impl Fn(&Reading) -> bool + Copy) -> f64 {
        let change = |&(class, _): &(u32, f64)| -> f64 {
            let own = self.taught.iter().find(|t| t.0 == class).map_or(0.0, |t| t.1);
            let with = self.classes.field_ratio(self.evidence, class, field, own);
            let without = self.classes.field_ratio_of(self.evidence, class, field, own, stays);
            let habit = if field == Field::Circle {
                let circles = self.evidence.fields[field as usize].len();
                let habit = |circles: usize| {
                    let habit = Habit {
                        circles,
                        ..Habit::of(self.evidence)
                    };
                    self.classes.habit_ratio(habit, class, own)
                };
                habit(circles) - habit(circles - away)
            } else {
                0.0
            };
            with - without + habit
        };
        let Some(first) = self.posterior.first() else {
            return 0.0;
        };
        let gained = change(first);
        // the rest without the readings: every rival by its own change, what is left of 1 unmoved
        let named: f64 = self.posterior.iter().map(|p| p.1).sum();
        let rest: f64 = self.posterior[1..]
            .iter()
            .map(|p| p.1 * (-change(p)).exp())
            .sum::<f64>()
            + (1.0 - named).max(1e-6);
        let rest_now = (1.0 - first.1).max(1e-6);
        gained + rest.ln() - rest_now.ln()
    }
}

fn provenance(offers: &[Offer], reading: &Reading) -> Provenance {
    offers[reading.offer as usize]
        .claims
        .get(reading.claim as usize)
        .map_or(Provenance::Stated, |c| c.provenance)
}

fn words(offers: &[Offer], field: Field, reading: &Reading, fit: &FitGroups) -> CompactString {
    let named = |texts: &[CompactString]| {
        let mut names: Vec<&str> = reading
            .values
            .iter()
            .map(|v| {
                texts[*v as usize]
                    .split_once(':')
                    .map_or(texts[*v as usize].as_str(), |x| x.1)
            })
            .collect();
        // ids follow the order of the lines; words must not
        names.sort_unstable();
        CompactString::from(names.join("/"))
    };
    let offer = &offers[reading.offer as usize];
    match field {
        Field::Code => named(&fit.keys.codes.texts),
        Field::Number => named(&fit.keys.numbers),
        Field::Weight => offer.terms.as_ref().map(|t| t.weight.clone()).unwrap_or_default(),
        Field::Price => offer
            .price
            .as_ref()
            .map(|p| p.unit_price.to_compact_string())
            .unwrap_or_default(),
        Field::Brand => offer.brand.clone(),
        _ if reading.claim == FROM_NUMBER => CompactString::default(),
        _ => super::evidence::words_of(offers, reading),
    }
}

/// The ledger in one cell: "displacement 196cc stated +2.3; bolt circle 118 mm by 3 other lines +1.1".
pub fn in_words(lines: &[LedgerLine]) -> String {
    let mut parts: Vec<String> = Vec::with_capacity(lines.len());
    for line in lines {
        let source = match &line.source {
            Source::Own(provenance) => provenance.name().to_string(),
            Source::Product { lines: 1 } => "by another line of the product".to_string(),
            Source::Product { lines } => format!("by {lines} other lines of the product"),
        };
        parts.push(format!(
            "{} {} {source} {:+.1}",
            line.field.name(),
            line.text,
            line.weight
        ));
    }
    parts.join("; ")
}
