//! What an offer's own line states, as far as its published evidence still says it: the spacings in the words they were
//! read in, and the engine codes.

use super::why::items;
use crate::trade::Context;
use crate::trade::bolt_pattern::{SpacingReading, read_spacing};
use crate::trade::folding::fold;

/// The spacings in an offer's evidence: items `bolt circle WORDS stated +2.3`.
pub(super) fn stated_spacings(evidence: &str, holes: Option<u8>) -> Vec<SpacingReading> {
    items(evidence)
        .into_iter()
        .filter_map(|item| item.words.strip_prefix("bolt circle "))
        .map(|words| words.split(" by ").next().unwrap_or(words).trim_end_matches(" stated"))
        .flat_map(|words| read_spacing(&fold(words), holes, Context::Column))
        .collect()
}

/// The engine codes that the line itself names: items `engine code CODE/CODE stated +2.3`.
pub(super) fn stated_codes(evidence: &str) -> Vec<&str> {
    let named = |words| {
        let codes: &str = str::strip_suffix(str::strip_prefix(words, "engine code ")?, " stated")?;
        Some(codes.split('/').filter(|code| !code.is_empty()))
    };
    items(evidence)
        .iter()
        .filter_map(|item| named(item.words))
        .flatten()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_of_the_line_are_told_from_those_of_the_product() {
        let evidence = "kind \"starter\" in the title 1.00; engine code BZK208/NZB208 stated +4.7; \
                        engine code 168F by 3 other lines of the product +1.3; engine words eje vertical stated +0.5";
        assert_eq!(stated_codes(evidence), ["BZK208", "NZB208"]);
        assert!(stated_codes("").is_empty());
    }

    #[test]
    fn spacings_keep_all_they_may_mean() {
        let found = stated_spacings("holes 3 stated +0.8; bolt circle 102 stated +1.0", Some(3));
        assert_eq!((found.len(), found[0].meant.len()), (1, 2));
    }
}
