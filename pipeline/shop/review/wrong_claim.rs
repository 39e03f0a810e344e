//! A claim that a person calls wrong: which one is meant, and the offer without it.
//!
//! It is named by its attribute and the words it was read from; without words every claim of the attribute is meant. A
//! claim that the supplier has mended since has other words and stays. What was decoded or inferred from the same words
//! falls with it. A barcode and a part number may be wrong as well.

use crate::normalise::claim::{Attribute, Claim, Provenance};
use crate::normalise::offer::Offer;
use crate::trade::folding::fold;
use crate::trade::identifier::canonical_number;
use compact_str::CompactString;

/// What a wrong claim is about.
pub(super) struct Target {
    about: About,
    /// words it was read from, folded; empty for every claim of the attribute
    words: CompactString,
}

enum About {
    Claim(Attribute),
    Barcode,
    Number,
}

impl Target {
    /// Reads a claim as it is named in a decision: an attribute, and the words it was read from.
    pub(super) fn of(claim: &str) -> Option<Target> {
        let claim = fold(claim);
        let (name, words) = claim.split_once([' ', ':']).unwrap_or((&claim, ""));
        let about = match name {
            "barcode" => About::Barcode,
            "number" => About::Number,
            name => About::Claim(Attribute::ALL.into_iter().find(|attribute| attribute.name() == name)?),
        };
        Some(Target {
            about,
            words: words.trim_matches([' ', ':', '"']).into(),
        })
    }

    fn means(&self, claim: &Claim, attribute: Attribute) -> bool {
        claim.attribute == attribute && self.says(&claim.text)
    }

    fn says(&self, text: &str) -> bool {
        self.words.is_empty() || fold(text).trim_matches('"') == self.words.as_str()
    }

    fn is_number(&self, raw: &str) -> bool {
        self.words.is_empty() || canonical_number(raw) == canonical_number(&self.words)
    }

    /// Whether the offer states it.
    pub(super) fn is_stated_by(&self, offer: &Offer) -> bool {
        match self.about {
            About::Claim(attribute) => offer.claims.iter().any(|claim| self.means(claim, attribute)),
            About::Barcode => offer
                .barcode
                .as_ref()
                .is_some_and(|barcode| self.is_number(&barcode.raw)),
            About::Number => offer.numbers.iter().any(|number| self.is_number(&number.raw)),
        }
    }

    /// Leaves the claim out, and what was decoded or inferred from the same words.
    pub(super) fn leave_out(&self, offer: &mut Offer) {
        match self.about {
            About::Claim(attribute) => {
                let wrong: Vec<CompactString> = offer
                    .claims
                    .iter()
                    .filter(|claim| self.means(claim, attribute) && claim.provenance == Provenance::Stated)
                    .map(|claim| claim.text.clone())
                    .collect();
                offer.claims.retain(|claim| {
                    let follows = claim.provenance != Provenance::Stated && wrong.contains(&claim.text);
                    !self.means(claim, attribute) && !follows
                });
            }
            About::Barcode => offer.barcode = None,
            About::Number => offer.numbers.retain(|number| !self.is_number(&number.raw)),
        }
    }
}
