//! The small vocabulary of the fit stage's tests: products and what they state.

use super::evidence::{Evidence, Meant, Reading};
use super::scales::Field;
use crate::normalise::kind::KindId;

/// A starter of one offer that says nothing.
pub fn silent() -> Evidence {
    Evidence {
        kind: KindId::RECOIL_STARTER,
        kind_probability: 1.0,
        fields: Default::default(),
        universal: false,
        offers: 1,
    }
}

/// A reading of one value by one offer.
pub fn reading(offer: u32, bin: u32) -> Reading {
    Reading {
        offer,
        claim: 0,
        meant: Meant::One,
        values: vec![bin].into(),
    }
}

/// A starter of one offer that states one value in each of these fields, where there is a bin for it.
pub fn stating(claims: impl IntoIterator<Item = (Field, Option<u32>)>) -> Evidence {
    let mut product = silent();
    for (field, bin) in claims {
        product.fields[field as usize].extend(bin.map(|bin| reading(0, bin)));
    }
    product
}
