//! What a row says its part is, and what it fits.

use super::{DESCRIPTION_READ, Normaliser, Texts, pack_in};
use crate::intake::field::Field;
use crate::intake::rows::Row;
use crate::normalise::columns::read_claim_cell;
use crate::normalise::engine_claims::About;
use crate::normalise::kind::{KindId, KindReading};
use crate::normalise::kind_model::KindScores;
use crate::normalise::line_reading::LineReading;
use crate::normalise::numbers::read_title_numbers;
use crate::normalise::offer::Flag;
use crate::normalise::scan::Scan;
use crate::normalise::sizes::{
    embraces_several_sizes, forget_bare_sizes, forget_petrol_builds, power_against_displacement,
};
use crate::normalise::text_claims::read_text_claims;

impl<'v> Normaliser<'v> {
    pub(super) fn read_generic(&self, texts: &Texts<'_>, reading: &mut LineReading) -> (KindReading, Option<u32>) {
        let scan = Scan::of_words(self.vocabulary, texts.title);
        read_title_numbers(self.vocabulary, &scan, &[], reading);
        (KindReading::certain(KindId::GENERIC, "generic build"), pack_in(&scan))
    }

    pub(super) fn read_fit(
        &self,
        row: &Row<'_>,
        texts: &Texts<'_>,
        reading: &mut LineReading,
    ) -> (KindReading, Option<u32>) {
        let vocabulary = self.vocabulary;
        let mut scores = KindScores::new(vocabulary);
        let mut title_pack = None;
        for column in &self.claims {
            read_claim_cell(vocabulary, column, self.cell(row, column.index), reading);
        }
        if !texts.title.is_empty() {
            let scan = Scan::of(vocabulary, texts.title);
            scores.title(&scan);
            let used = read_text_claims(vocabulary, &scan, About::Part, Field::Title, reading);
            read_title_numbers(vocabulary, &scan, &used, reading);
            title_pack = pack_in(&scan);
        }
        for other in &texts.others {
            let scan = Scan::of(vocabulary, head_of(other));
            scores.description(&scan);
            let used = read_text_claims(vocabulary, &scan, About::Part, Field::Description, reading);
            read_title_numbers(vocabulary, &scan, &used, reading);
            title_pack = title_pack.or_else(|| pack_in(&scan));
        }
        for index in &self.columns.remarks {
            let scan = Scan::of(vocabulary, head_of(self.cell(row, *index)));
            read_text_claims(vocabulary, &scan, About::Part, Field::Remark, reading);
        }
        for index in &self.columns.categories {
            let scan = Scan::of(vocabulary, head_of(self.cell(row, *index)));
            scores.category(&scan);
        }
        forget_petrol_builds(&mut reading.claims);
        forget_bare_sizes(&mut reading.claims);
        if embraces_several_sizes(reading) {
            reading.flag(Flag::Universal);
        }
        if power_against_displacement(&reading.claims) {
            reading.flag(Flag::PowerAgainstDisplacement);
        }
        if scores.fields_disagree() {
            reading.flag(Flag::KindsDisagree);
        }
        (scores.settle(&reading.claims), title_pack)
    }
}

/// The beginning of a long text, cut at a character.
pub(super) fn head_of(text: &str) -> &str {
    &text[..text.floor_char_boundary(DESCRIPTION_READ)]
}

/// The reading with the most probable kind in scope in front.
pub(super) fn best_in_scope(mut kind: KindReading) -> KindReading {
    if kind.kind.is_in_scope() {
        return kind;
    }
    let Some(at) = kind.alternatives.iter().position(|(other, _)| other.is_in_scope()) else {
        return kind;
    };
    let (best, probability) = kind.alternatives.remove(at);
    kind.alternatives.insert(0, (kind.kind, kind.probability));
    kind.kind = best;
    kind.probability = probability;
    kind
}
