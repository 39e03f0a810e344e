//! Twins: two classes that serve the same engines by different interfaces are one class with two variants.
//!
//! An engine is built with one bolt circle for years and then with another, and the original numbers change with it. Such
//! products start as classes of their own, since they replace other numbers and state another circle; but codes,
//! displacement, power and family words do not tell them apart, and as two classes they would compete for every product
//! that states no interface by the chance differences of few claims. They are told by [`ENGINE`] alone: when the products of
//! the smaller class are explained by the larger one as well as by their own, the two are one, and `variants` splits it by
//! the interface.

use super::classes::{Classes, Posterior};
use super::evidence::Evidence;
use super::merge::{fold, root};
use super::scales::Field;
use rayon::prelude::*;

/// Fields that say which engine is served, not how the part sits on it.
const ENGINE: [Field; 4] = [Field::Code, Field::Displacement, Field::Power, Field::Cue];
/// Products of a class that are looked at.
const LOOKED_AT: usize = 100;
/// Nats a product by which its own class may explain its engines better and still be a twin. In ten generated worlds of
/// 2,000 to 100,000 lines twins came to 1.2 at the most and all others to 3.0 at the least, but for classes of two products.
const ALIKE: f64 = 1.5;

/// Folds every class into the one whose engines it serves too; returns how many were folded.
pub(super) fn join_twins(evidence: &[Evidence], classes: &Classes, memberships: &mut [Posterior]) -> usize {
    let mut members: Vec<Vec<u32>> = vec![Vec::new(); classes.list.len()];
    for (i, posterior) in memberships.iter().enumerate() {
        if let Some(best) = posterior.first().filter(|b| b.1 >= 0.5 && !evidence[i].universal) {
            members[best.0 as usize].push(i as u32);
        }
    }
    let twins: Vec<Option<(u32, f64)>> = (0..classes.list.len() as u32)
        .into_par_iter()
        .map(|class| best_other(evidence, classes, memberships, class, &members[class as usize]))
        .collect();
    let mut into: Vec<u32> = (0..classes.list.len() as u32).collect();
    let mut folded = 0;
    for (class, twin) in twins.iter().enumerate() {
        let Some((other, gap)) = *twin else { continue };
        if gap > ALIKE || classes.list[other as usize].weight < classes.list[class].weight {
            continue;
        }
        let (x, y) = (root(&into, class as u32), root(&into, other));
        if x != y {
            into[x as usize] = y;
            folded += 1;
        }
    }
    if folded > 0 {
        memberships.iter_mut().for_each(|posterior| fold(posterior, &into));
    }
    folded
}

/// The class that explains the engines of another's products best, and how much worse than their own it does, nats a product.
fn best_other(
    evidence: &[Evidence],
    classes: &Classes,
    memberships: &[Posterior],
    class: u32,
    members: &[u32],
) -> Option<(u32, f64)> {
    let step = members.len().div_ceil(LOOKED_AT).max(1);
    let looked_at: Vec<u32> = members.iter().copied().step_by(step).collect();
    if looked_at.is_empty() {
        return None;
    }
    let mut gaps = vec![0.0; classes.list.len()];
    // where only few engines are listed no code says much: the other class must show these itself, not merely lack others
    let mut explained = vec![0.0; classes.list.len()];
    for &i in &looked_at {
        let product = &evidence[i as usize];
        let own = memberships[i as usize]
            .iter()
            .find(|m| m.0 == class)
            .map_or(0.0, |m| m.1);
        let here = classes.log_ratio(product, class, own, &ENGINE);
        for (k, gap) in gaps.iter_mut().enumerate() {
            let share = memberships[i as usize]
                .iter()
                .find(|m| m.0 == k as u32)
                .map_or(0.0, |m| m.1);
            let there = classes.log_ratio(product, k as u32, share, &ENGINE);
            *gap += here - there;
            explained[k] += there;
        }
    }
    let best = (0..gaps.len())
        .filter(|k| *k != class as usize && explained[*k] > 0.0)
        .min_by(|x, y| gaps[*x].total_cmp(&gaps[*y]).then(x.cmp(y)))?;
    Some((best as u32, gaps[best] / looked_at.len() as f64))
}

#[cfg(test)]
mod tests {
    use super::super::kernels::Kernels;
    use super::super::learning::Anywhere;
    use super::super::scales;
    use super::super::test_products::stating;
    use super::*;

    /// A product that names an engine code and a bolt circle.
    fn product(code: u32, circle: f64) -> Evidence {
        stating([
            (Field::Code, Some(code)),
            (Field::Circle, scales::circle_bin(circle, 0)),
        ])
    }

    fn joined(large: (u32, f64), small: (u32, f64)) -> usize {
        joined_of(30, large, small)
    }

    /// Joins two classes of forty products, given by code and circle; returns how many were folded.
    fn joined_of(many: u32, large: (u32, f64), small: (u32, f64)) -> usize {
        let evidence: Vec<Evidence> = (0..40)
            .map(|i| if i < many { large } else { small })
            .map(|(code, circle)| product(code, circle))
            .collect();
        let mut memberships: Vec<Posterior> = (0..40).map(|i| vec![(u32::from(i >= many), 1.0)]).collect();
        let anywhere = Anywhere::of(&evidence, Kernels::learn(&[], &[]), (2, 0));
        let classes = Classes::learn(&evidence, &anywhere, &mut memberships, None);
        join_twins(&evidence, &classes, &mut memberships)
    }

    #[test]
    fn one_engine_by_two_bolt_circles_is_one_class() {
        assert_eq!(joined((0, 118.0), (0, 124.5)), 1);
    }

    #[test]
    fn two_engines_by_one_bolt_circle_stay_two_classes() {
        assert_eq!(joined((0, 118.0), (1, 118.0)), 0);
    }

    #[test]
    fn two_engines_listed_equally_often_stay_two_classes_even_where_there_are_no_others() {
        assert_eq!(joined_of(20, (0, 118.0), (1, 118.0)), 0);
        assert_eq!(joined_of(20, (0, 118.0), (1, 124.5)), 0);
    }
}
