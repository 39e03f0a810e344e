//! Invented offers for the tests of this folder.

use crate::intake::field::Field;
use crate::normalise::claim::{Attribute, Claim, Provenance, Value};
use crate::normalise::kind::{KindId, KindReading};
use crate::normalise::offer::{Barcode, NumberRole, Offer, PartNumber, Price};
use crate::trade::gtin::read_gtin;
use crate::trade::identifier::canonical_number;
use crate::trade::interval::Interval;
use crate::trade::money::Currency;

/// One invented line.
#[derive(Clone)]
pub struct Line(Offer);

impl Line {
    /// A recoil starter of a supplier under its number.
    pub fn of(supplier: &str, sku: &str) -> Line {
        Line(Offer {
            file: format!("{supplier}.csv").into(),
            line: 0,
            supplier: supplier.into(),
            sku: sku.into(),
            brand: "".into(),
            title: "Recoil starter".into(),
            description: "".into(),
            kind: KindReading::certain(KindId::RECOIL_STARTER, "test"),
            claims: Vec::new(),
            numbers: Vec::new(),
            barcode: None,
            price: None,
            pack_qty: 1,
            terms: None,
            flags: Vec::new(),
        })
    }

    pub fn title(mut self, title: &str) -> Line {
        self.0.title = title.into();
        self
    }

    pub fn kind(mut self, kind: KindId, probability: f32) -> Line {
        self.0.kind.kind = kind;
        self.0.kind.probability = probability;
        self
    }

    pub fn mpn(mut self, number: &str) -> Line {
        self.0.numbers.push(PartNumber {
            role: NumberRole::Maker,
            canonical: canonical_number(number),
            raw: number.into(),
            usable: true,
        });
        self
    }

    pub fn barcode(mut self, digits: &str) -> Line {
        self.0.barcode = Some(Barcode {
            reading: read_gtin(digits),
            raw: digits.into(),
        });
        self
    }

    pub fn price(mut self, amount: &str) -> Line {
        let amount = amount.parse().unwrap();
        self.0.price = Some(Price {
            amount,
            currency: Currency::from_code("EUR"),
            pack_qty: 1,
            unit_price: amount,
            minimum_order: None,
            order_multiple: 1,
            basis: None,
            breaks: Vec::new(),
        });
        self
    }

    pub fn circle(self, mm: f64, words: &str) -> Line {
        let value = Value::OneOf(vec![Interval::around(mm, 0.5)]);
        self.claim(Attribute::BoltCircle, value, Provenance::Stated, words)
    }

    pub fn claim(mut self, attribute: Attribute, value: Value, provenance: Provenance, words: &str) -> Line {
        self.0.claims.push(Claim {
            attribute,
            value,
            provenance,
            field: Field::Title,
            text: words.into(),
        });
        self
    }
}

/// The lines as offers, numbered from 1 in their files.
pub fn offers(lines: &[Line]) -> Vec<Offer> {
    let mut offers: Vec<Offer> = lines.iter().map(|line| line.0.clone()).collect();
    for (line, offer) in (1u32..).zip(&mut offers) {
        offer.line = line;
    }
    offers
}
