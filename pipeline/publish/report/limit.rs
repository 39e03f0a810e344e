//! What the page carries, and what it leaves to the tables.
//!
//! The groups with most offers stay, and of each group its cheapest offers, the same count for all groups
//! that have more. What is cut is counted, and the page says so.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::view::GroupView;
use super::{MOST_GROUPS, MOST_OFFERS};

/// What the page does not carry.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct LeftOut {
    pub groups: usize,
    pub offers: usize,
}

/// Cuts the views to what the page carries: the groups with most offers stay, and of each group its
/// cheapest.
pub fn limit(views: &mut Vec<GroupView<'_>>) -> LeftOut {
    let mut left_out = keep_largest(views, MOST_GROUPS);
    let total: usize = views.iter().map(|view| view.offers.len()).sum();
    let share = per_group_share(views, total);
    for view in views.iter_mut() {
        view.carried = view.offers.len().min(share);
        left_out.offers += view.offers.len() - view.carried;
    }
    left_out
}

/// Keeps so many groups, those with most offers, in their order.
pub(super) fn keep_largest(views: &mut Vec<GroupView<'_>>, most: usize) -> LeftOut {
    let mut by_size: Vec<usize> = (0..views.len()).collect();
    by_size.sort_by_key(|at| (Reverse(views[*at].offers.len()), *at));
    let cut: BTreeSet<usize> = by_size.into_iter().skip(most).collect();
    let offers = cut.iter().map(|at| views[*at].offers.len()).sum();
    let mut at = 0..;
    views.retain(|_| at.next().is_none_or(|at| !cut.contains(&at)));
    LeftOut {
        groups: cut.len(),
        offers,
    }
}

/// The greatest count of offers per group that keeps the page within [`MOST_OFFERS`].
fn per_group_share(views: &[GroupView<'_>], total: usize) -> usize {
    if total <= MOST_OFFERS {
        return usize::MAX;
    }
    let mut share = MOST_OFFERS / views.len().max(1);
    let carried = |share: usize| views.iter().map(|view| view.offers.len().min(share)).sum::<usize>();
    while carried(share + 1) <= MOST_OFFERS {
        share += 1;
    }
    share
}
