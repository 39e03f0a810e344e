//! What has been read from a line so far: claims and numbers, each once.

use compact_str::CompactString;

use super::claim::{Attribute, Claim, Provenance, Value};
use super::offer::{Flag, NumberRole, PartNumber};
use crate::intake::field::Field;

/// Collects what one line or one free text says.
#[derive(Clone, Debug, Default)]
pub struct LineReading {
    /// Claims in the order in which they were read.
    pub claims: Vec<Claim>,
    /// Part numbers in the order in which they were read.
    pub numbers: Vec<PartNumber>,
    /// Remarks.
    pub flags: Vec<Flag>,
}

impl LineReading {
    /// Gives back the room that was kept for more: lines are held by the million.
    pub fn shrink(&mut self) {
        self.claims.shrink_to_fit();
        self.numbers.shrink_to_fit();
        self.flags.shrink_to_fit();
    }

    /// Adds a claim unless the same field already makes it.
    pub fn claim(&mut self, attribute: Attribute, value: Value, provenance: Provenance, field: Field, text: &str) {
        let known = self.claims.iter().any(|claim| {
            claim.attribute == attribute
                && claim.field == field
                && claim.provenance == provenance
                && claim.value == value
        });
        if !known {
            self.claims.push(Claim {
                attribute,
                value,
                provenance,
                field,
                text: CompactString::from(text),
            });
        }
    }

    /// Adds a stated claim.
    pub fn state(&mut self, attribute: Attribute, value: Value, field: Field, text: &str) {
        self.claim(attribute, value, Provenance::Stated, field, text);
    }

    /// Adds a number unless the same role already has its canonical form.
    pub fn number(&mut self, number: PartNumber) {
        let known = self.numbers.iter().any(|other| {
            other.role == number.role && other.canonical == number.canonical && (other.usable || !number.usable)
        });
        if !known {
            self.numbers.push(number);
        }
    }

    /// Whether a number with this canonical form is there in a stronger role than a mere title token.
    pub fn has_number(&self, canonical: &str) -> bool {
        self.numbers
            .iter()
            .any(|number| number.role != NumberRole::InTitle && number.canonical == canonical)
    }

    /// Adds a remark once.
    pub fn flag(&mut self, flag: Flag) {
        if !self.flags.contains(&flag) {
            self.flags.push(flag);
        }
    }

    /// Values of the first claim about an attribute that was stated as a count.
    pub fn count_of(&self, attribute: Attribute) -> Option<u8> {
        self.claims.iter().find_map(|claim| match claim.value {
            Value::Count(count) if claim.attribute == attribute && claim.provenance == Provenance::Stated => {
                Some(count)
            }
            _ => None,
        })
    }
}
