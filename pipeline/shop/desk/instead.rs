//! What serves instead of the part: an assembly that covers it, or a repair.

use super::at_hand::{Desk, answers};
use crate::normalise::kind::KindId;
use crate::publish::{GroupRow, ReadError};
use crate::shop::answer::{Compared, Covering, LeftOut, Section};
use crate::shop::repair::{Repair, cheapest_repair};
use rust_decimal::Decimal;

impl Desk<'_> {
    /// Assemblies that cover the leading group; without one, assemblies that answer the facts themselves.
    pub(super) fn covering(&self, section: &Section) -> Result<Option<Covering>, ReadError> {
        if section.kind == KindId::ASSEMBLY || !KindId::ASSEMBLY.covers(section.kind) {
            return Ok(None);
        }
        let groups: Vec<&GroupRow> = match &section.lead {
            Some(lead) => covering_groups(self.groups, &self.groups[lead.group].group_id),
            None => self
                .matches_of(KindId::ASSEMBLY)
                .iter()
                .find(|found| answers(found))
                .map(|found| &self.groups[found.group])
                .into_iter()
                .collect(),
        };
        let ids: Vec<&str> = groups.iter().map(|group| group.group_id.as_str()).collect();
        if ids.is_empty() {
            return Ok(None);
        }
        let shelf = self.shelf(&ids)?;
        let mut offers = self.passing(&shelf, &mut LeftOut::default());
        offers.retain(|offer| offer.confidence >= self.limits.min_confidence);
        if offers.is_empty() {
            return Ok(None);
        }
        let [offers] = self.show(&shelf, [self.pick(offers.iter())])?;
        let best = offers.shown.first().and_then(|offered| offered.delivered);
        let price = match (best, section.sure.shown.first().map(|part| part.delivered)) {
            (_, None) => Compared::NothingElse,
            (Some(assembly), Some(Some(part))) if assembly < part => Compared::Cheaper,
            (Some(_), Some(Some(_))) => Compared::NotCheaper,
            _ => Compared::NotKnown,
        };
        Ok(Some(Covering {
            groups: groups.iter().map(|group| group.group_id.clone()).collect(),
            offers,
            price,
        }))
    }

    /// The cheapest repair, where a starter is in question at all.
    pub(super) fn repair(&self, section: &Section) -> Result<Option<Repair>, ReadError> {
        let Some(lead) = section.lead.as_ref().filter(|_| section.kind == KindId::RECOIL_STARTER) else {
            return Ok(None);
        };
        // a repair is held against one whole part, and where nothing is shown nothing is asked
        if lead.judged.is_empty() || self.limits.most == 0 {
            return Ok(None);
        }
        let whole = section.sure.shown.first().and_then(|offered| {
            let pieces = Decimal::from(self.limits.quantity.max(1));
            offered.delivered.and_then(|cost| cost.checked_div(pieces))
        });
        let starters: Vec<(usize, &GroupRow)> = self.of_kind(section.kind).collect();
        cheapest_repair(
            self.run,
            &starters,
            lead.group,
            whole.filter(|price| *price > Decimal::ZERO),
        )
    }
}

/// Assemblies whose parts answer a need for this group.
pub fn covering_groups<'g>(groups: &'g [GroupRow], id: &str) -> Vec<&'g GroupRow> {
    groups
        .iter()
        .filter(|group| group.covers_groups.split(';').any(|covered| covered == id))
        .collect()
}
