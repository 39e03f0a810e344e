//! The evidence behind one offer's place, claim by claim: what spoke for it, what against, how much.
//!
//! The weight of a line is a log likelihood ratio (natural logarithm) between the offer's class and
//! its strongest rival: +2.3 makes the class ten times more likely against that rival, -2.3 ten times
//! less. Where no class rivals it, the comparison is with the background of all offers.

use super::classes::Classes;
use super::evidence::{Evidence, FROM_NUMBER, Reading};
use super::groups::FitGroups;
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
    /// log likelihood ratio for the group against its strongest rival
    pub weight: f64,
}

/// The ledger of one offer.
pub fn of_offer(fit: &FitGroups, offers: &[Offer], products: &Products, offer: u32) -> Vec<LedgerLine> {
    let product = products.of_offer[offer as usize] as usize;
    let evidence = &fit.evidence[product];
    let posterior = &fit.posteriors[product];
    let Some(&(class, own)) = posterior.first() else {
        return Vec::new();
    };
    let rival = posterior.get(1).copied();
    let against = Against {
        classes: &fit.classes,
        evidence,
        class,
        own,
        rival,
    };
    let mut lines = Vec::new();
    for field in ALL {
        let readings = &evidence.fields[field as usize];
        let (mine, others): (Vec<&Reading>, Vec<&Reading>) = readings.iter().partition(|r| r.offer == offer);
        for reading in mine {
            lines.push(LedgerLine {
                field,
                text: words(offers, field, reading, fit),
                source: Source::Own(provenance(offers, reading)),
                weight: against.weight(field, reading),
            });
        }
        if let Some(first) = others.first() {
            let mean = others.iter().map(|r| against.weight(field, r)).sum::<f64>() / (others.len() as f64).sqrt();
            lines.push(LedgerLine {
                field,
                text: words(offers, field, first, fit),
                source: Source::Product { lines: others.len() },
                weight: mean,
            });
        }
    }
    lines
}

struct Against<'a> {
    classes: &'a Classes,
    evidence: &'a Evidence,
    class: u32,
    own: f64,
    rival: Option<(u32, f64)>,
}

impl Against<'_> {
    fn weight(&self, field: Field, reading: &Reading) -> f64 {
        let here = self
            .classes
            .reading_ratio(self.evidence, self.class, field, reading, self.own);
        let there = self.rival.map_or(0.0, |(k, own)| {
            self.classes.reading_ratio(self.evidence, k, field, reading, own)
        });
        let count = self.evidence.fields[field as usize].len() as f64;
        (here - there) / count.sqrt()
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
