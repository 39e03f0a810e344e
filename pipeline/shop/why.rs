//! The published evidence of an offer, taken apart into its items again.
//!
//! An item is `field words source +weight`; the weight is what the log odds of the group would lose without
//! it, as a natural logarithm, so +2.3 made the odds ten times better. Items without a weight (how the kind was read, what the
//! group adds) are kept as they are.

/// Weight below which an item is not worth a buyer's time.
const WORTH_SAYING: f64 = 0.3;

/// One item of evidence.
#[derive(Clone, Debug, PartialEq)]
pub struct Item<'a> {
    /// the words
    pub words: &'a str,
    /// for (above zero) or against (below), where the item carries a weight
    pub weight: Option<f64>,
}

/// The items of a cell of the `evidence` column.
pub fn items(evidence: &str) -> Vec<Item<'_>> {
    evidence.split("; ").filter(|part| !part.is_empty()).map(item).collect()
}

fn item(part: &str) -> Item<'_> {
    let weighed = part.rsplit_once(' ').filter(|(_, last)| last.starts_with(['+', '-']));
    match weighed.and_then(|(words, last)| Some((words, last.parse::<f64>().ok()?))) {
        Some((words, weight)) => Item {
            words,
            weight: Some(weight),
        },
        None => Item {
            words: part,
            weight: None,
        },
    }
}

/// What a person decided about the offer, as it stands in its evidence.
pub fn decisions(evidence: &str) -> Vec<&str> {
    let parts = evidence.split("; ");
    parts.filter(|part| part.starts_with("decided by a person")).collect()
}

/// The strongest items in one line: what spoke for the offer, and what against it.
pub fn in_short(evidence: &str, most: usize) -> String {
    let mut weighed: Vec<(f64, &str)> = items(evidence)
        .iter()
        .filter_map(|item| Some((item.weight?, item.words)))
        .collect();
    weighed.sort_by(|x, y| y.0.abs().total_cmp(&x.0.abs()));
    let side = |keep: fn(f64) -> bool| -> Vec<String> {
        let kept = weighed
            .iter()
            .filter(|(weight, _)| keep(*weight) && weight.abs() >= WORTH_SAYING);
        kept.take(most)
            .map(|(weight, words)| format!("{words} {weight:+.1}"))
            .collect()
    };
    let (pro, contra) = (side(|weight| weight > 0.0), side(|weight| weight < 0.0));
    match (pro.is_empty(), contra.is_empty()) {
        (true, true) => String::new(),
        (false, true) => pro.join("; "),
        (true, false) => format!("against: {}", contra.join("; ")),
        (false, false) => format!("{}; against: {}", pro.join("; "), contra.join("; ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CELL: &str = "kind recoil starter 0.98; displacement 196cc stated +2.3; engine code 168F stated +0.1; \
                        bolt circle 130 mm stated -1.2; from the group, not stated here: 3 holes";

    #[test]
    fn items_come_apart_with_their_weights() {
        let found = items(CELL);
        assert_eq!(found.len(), 5);
        assert_eq!(
            found[1],
            Item {
                words: "displacement 196cc stated",
                weight: Some(2.3)
            }
        );
        assert_eq!(found[4].weight, None);
    }

    #[test]
    fn the_short_form_says_what_spoke_for_and_against_and_leaves_trifles_out() {
        assert_eq!(
            in_short(CELL, 3),
            "displacement 196cc stated +2.3; against: bolt circle 130 mm stated -1.2"
        );
        assert_eq!(in_short("", 3), "");
    }
}
