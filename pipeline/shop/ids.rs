//! Names of groups and products that depend on their members alone: not on the order of the files,
//! nor on the folders they lie in, nor on the threads.
//!
//! An id is a few characters of the SHA-256 of its first member's own words (supplier, number, title, pack),
//! in an alphabet without letters that are easily misread. Groups carry a prefix for their kind: `RS`
//! recoil starter, `FS` fan shroud, `SS` shroud with starter, `PT` any other part.

use crate::normalise::kind::KindId;
use crate::normalise::offer::Offer;
use compact_str::{CompactString, format_compact};
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;

/// 32 signs: digits and capitals without I, L, O and U.
const SIGNS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Ids that are distinct by construction: a clash takes more characters of its own hash.
#[derive(Debug, Default)]
pub struct Ids {
    given: BTreeSet<CompactString>,
}

impl Ids {
    /// An id for a thing with this key.
    pub fn give(&mut self, prefix: &str, key: &str, length: usize) -> CompactString {
        let digest = Sha256::digest(key.as_bytes());
        let signs: Vec<char> = signs_of(&digest);
        for length in length..=signs.len() {
            let id = format_compact!("{prefix}-{}", signs[..length].iter().collect::<String>());
            if self.given.insert(id.clone()) {
                return id;
            }
        }
        // the same key twice: count on
        let mut n = 2;
        loop {
            let id = format_compact!("{prefix}-{}.{n}", signs[..length].iter().collect::<String>());
            if self.given.insert(id.clone()) {
                return id;
            }
            n += 1;
        }
    }
}

/// So many signs of a key's digest.
pub fn digest(key: &str, signs: usize) -> String {
    signs_of(&Sha256::digest(key.as_bytes()))
        .into_iter()
        .take(signs)
        .collect()
}

fn signs_of(digest: &[u8]) -> Vec<char> {
    let mut bits = 0u32;
    let mut held = 0;
    let mut signs = Vec::new();
    for byte in digest {
        bits = (bits << 8) | u32::from(*byte);
        held += 8;
        while held >= 5 {
            held -= 5;
            signs.push(char::from(SIGNS[(bits >> held) as usize & 31]));
        }
        bits &= (1 << held) - 1;
    }
    signs
}

/// The words of an offer that name it wherever its file lies.
pub fn offer_key(offer: &Offer) -> String {
    format!(
        "{}\u{1f}{}\u{1f}{}\u{1f}{}",
        offer.supplier, offer.sku, offer.title, offer.pack_qty
    )
}

/// Prefix of a group's id.
pub fn group_prefix(kind: KindId) -> &'static str {
    match kind {
        KindId::RECOIL_STARTER => "RS",
        KindId::SHROUD => "FS",
        KindId::ASSEMBLY => "SS",
        _ => "PT",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_key_gives_the_same_id_in_every_run() {
        assert_eq!(
            Ids::default().give("P", "zaunholt\u{1f}81908", 8),
            Ids::default().give("P", "zaunholt\u{1f}81908", 8)
        );
    }

    #[test]
    fn no_two_things_share_an_id() {
        let mut ids = Ids::default();
        let first = ids.give("P", "a", 8);
        let second = ids.give("P", "a", 8);
        assert_ne!(first, second);
    }

    #[test]
    fn ids_use_signs_that_are_not_misread() {
        let id = Ids::default().give("RS", "any", 6);
        assert_eq!(id.len(), 9);
        assert!(!id[3..].contains(['I', 'L', 'O', 'U']));
    }
}
