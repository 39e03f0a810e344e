//! The words of a field, from its mentions to scores.

use super::scores::KindScores;
use crate::normalise::kind::KindId;
use crate::normalise::mending::mend;
use crate::normalise::mentions::{MainPhrase, Mention, Mentions, Place, read_mentions};
use crate::normalise::scan::Scan;
use crate::normalise::vocabulary::lexicon::Found;
use crate::normalise::vocabulary::meaning::{Meaning, Role};
use crate::normalise::whole::{Whole, read_whole};

impl KindScores<'_> {
    /// Adds the words of a title, or of a description that stands in for it.
    pub fn title(&mut self, scan: &Scan) {
        let mentions = read_mentions(self.vocabulary, scan, MainPhrase::First);
        if let Some((mended, of_mended)) = self.mended(scan, &mentions) {
            self.scopes_of_title = self.field(&mended, &of_mended, "title", self.vocabulary.model.field.mended);
            return self.cues_in(scan, &Mentions::default());
        }
        self.scopes_of_title = self.field(scan, &mentions, "title", self.vocabulary.model.field.title);
        self.cues_in(scan, &mentions);
    }

    /// The title with its slips mended, unless it names a kind in scope. Where it names something else (what comes along,
    /// a machine, another part), mending must bring a kind in scope to light: a brand one letter from a word brings none.
    fn mended(&self, scan: &Scan, mentions: &Mentions) -> Option<(Scan, Mentions)> {
        let in_scope = |main: &Mention| {
            let kind = self.vocabulary.strongest_kind(&main.found);
            kind.is_some_and(|(kind, _)| kind.is_in_scope())
        };
        if mentions.names_item() && mentions.main().is_some_and(in_scope) {
            return None;
        }
        let mended = mend(self.vocabulary, scan)?;
        let of_mended = read_mentions(self.vocabulary, &mended, MainPhrase::First);
        let better = mentions.main().is_none() || of_mended.main().is_some_and(in_scope);
        better.then_some((mended, of_mended))
    }

    /// Adds the words of a description beside a title.
    pub fn description(&mut self, scan: &Scan) {
        let mentions = read_mentions(self.vocabulary, scan, MainPhrase::First);
        self.field(scan, &mentions, "description", self.vocabulary.model.field.description);
        self.cues_in(scan, &mentions);
    }

    /// Adds the words of a category.
    pub fn category(&mut self, scan: &Scan) {
        let mentions = read_mentions(self.vocabulary, scan, MainPhrase::Last);
        self.scopes_of_category = self.field(scan, &mentions, "category", self.vocabulary.model.field.category);
    }

    /// Whether title and category cannot be about the same thing: one names only kinds in scope, the other none.
    pub fn fields_disagree(&self) -> bool {
        let common = self.scopes_of_title & self.scopes_of_category;
        common == 0 && self.scopes_of_title != 0 && self.scopes_of_category != 0
    }

    /// Adds a field's words; hands back which scopes its item may be of, as bits.
    fn field(&mut self, scan: &Scan, mentions: &Mentions, field: &'static str, factor: f32) -> u8 {
        let Some(main) = mentions.main() else {
            return self.field_without_item(scan, mentions, field, factor);
        };
        let vocabulary = self.vocabulary;
        let main_kind = vocabulary.strongest_kind(&main.found).map(|(kind, _)| kind);
        // "Pull start, reel and spring fitted": what belongs inside the item is no part beside it.
        let inside = |mention: &Mention| {
            let kind = vocabulary.strongest_kind(&mention.found).map(|(kind, _)| kind);
            kind.is_some_and(|kind| self.comes_along(main_kind, kind, mention.place))
        };
        let part_named = mentions.list.iter().any(|mention| {
            mention.role <= Role::Name
                && matches!(mention.place, Place::Head | Place::Later | Place::Joined)
                && !inside(mention)
        });
        let wholes: Vec<Whole> = vocabulary
            .makings
            .iter()
            .map(|making| read_whole(vocabulary, mentions, making))
            .collect();
        let formed = |kind: KindId| {
            wholes
                .iter()
                .zip(&vocabulary.makings)
                .any(|(whole, making)| matches!(whole, Whole::Formed { .. }) && making.of.contains(&kind))
        };
        for mention in &mentions.list {
            let of_place = self.place_factor(mention, mentions, part_named, main.role == Role::Machine);
            let beside = !matches!(mention.place, Place::Head | Place::BehindUnknown | Place::Absent);
            for meaning in vocabulary.lexicon.meanings(&mention.found) {
                // Once two kinds make a whole, naming them again speaks for the whole.
                if let Meaning::Kind { kind, weight, role, .. } = *meaning
                    && role != Role::Along
                    && of_place != 0.0
                    && !(beside && formed(kind))
                    && !self.comes_along(main_kind, kind, mention.place)
                {
                    self.add(kind, weight * of_place * factor, field, scan.text_of(&mention.found));
                }
            }
        }
        for (whole, making) in wholes.iter().zip(&vocabulary.makings) {
            match whole {
                Whole::Formed { weight, found } => self.add(making.kind, weight * factor, field, scan.text_of(found)),
                Whole::Denied => self.add(making.kind, -making.complete * factor, field, ""),
                Whole::Open => {}
            }
        }
        self.scopes_of(main)
    }

    /// A field in which only absent things are named, or none.
    fn field_without_item(&mut self, scan: &Scan, mentions: &Mentions, field: &'static str, factor: f32) -> u8 {
        for mention in &mentions.list {
            let of_place = self.place_factor(mention, mentions, false, false);
            for meaning in self.vocabulary.lexicon.meanings(&mention.found) {
                if let Meaning::Kind { kind, weight, role, .. } = *meaning
                    && role != Role::Along
                {
                    self.add(kind, weight * of_place * factor, field, scan.text_of(&mention.found));
                }
            }
        }
        0
    }

    /// The cues of a text, save those that are the very name of the item ("rope" in "starter rope").
    fn cues_in(&mut self, scan: &Scan, mentions: &Mentions) {
        let names_item = |found: &Found| {
            mentions
                .main()
                .is_some_and(|main| found.first < main.found.end && main.found.first < found.end)
        };
        for found in scan.attributes.iter().filter(|found| !names_item(found)) {
            for meaning in self.vocabulary.lexicon.meanings(found) {
                if let Meaning::Settles { kind, weight } = *meaning {
                    let settled = &mut self.settled[usize::from(kind.0)];
                    *settled = settled.max(weight);
                }
            }
        }
    }
}
