//! Which of several possible groups is the likelier by what its offers state.

use super::at_hand::Desk;
use crate::publish::ReadError;
use crate::publish::read::in_groups;
use crate::shop::judge::states;
use crate::shop::matching::{Match, weigh_again};
use crate::trade::interval::Interval;
use rustc_hash::FxHashMap;

/// What is added to the count of lines that state a displacement, so that none at all leaves a little.
const UNSEEN: f64 = 0.1;

impl Desk<'_> {
    /// A band may owe its end to a few lines that are wrong or daring: of the groups still possible, the one whose
    /// offers state the displacement more often is the likelier.
    pub(super) fn weigh_by_what_is_stated(&self, possible: &mut [Match]) -> Result<(), ReadError> {
        if possible.len() < 2 || self.need.displacement.is_empty() {
            return Ok(());
        }
        let ids: Vec<&str> = possible
            .iter()
            .map(|found| self.groups[found.group].group_id.as_str())
            .collect();
        let cells = self
            .run
            .offer_columns(&["group_id", "displacement_cc"], &in_groups(&ids))?;
        let (group_of, wordings) = (cells.texts("group_id"), cells.texts("displacement_cc"));
        // many lines say the same; each wording is read once a group
        let mut stated: FxHashMap<&str, FxHashMap<&str, u32>> = FxHashMap::default();
        for at in 0..cells.height() {
            let wording = wordings.get(at);
            if !wording.is_empty() {
                *stated.entry(group_of.get(at)).or_default().entry(wording).or_default() += 1;
            }
        }
        let none = FxHashMap::default();
        let likelihoods: Vec<f64> = ids
            .iter()
            .map(|id| {
                let stated = stated.get(id).unwrap_or(&none);
                let lines = f64::from(stated.values().sum::<u32>());
                let share = |asked: &Interval| {
                    let stating = stated.iter().filter(|(cell, _)| states(cell, *asked));
                    let count = f64::from(stating.map(|(_, lines)| *lines).sum::<u32>());
                    (count + UNSEEN) / (lines + 1.0)
                };
                self.need.displacement.iter().map(share).product()
            })
            .collect();
        weigh_again(possible, &likelihoods);
        Ok(())
    }
}
