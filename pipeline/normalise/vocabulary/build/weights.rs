//! What the words of a kind weigh against each other, and which kinds make up another.

use super::kinds::{attribute_named, named};
use super::mistakes::mistake;
use crate::normalise::vocabulary::files::{KindEntry, ModelFile};
use crate::normalise::vocabulary::{KindInfo, KindModel, Making, VocabularyError};

/// The kinds that two others make together.
pub(super) fn makings(entries: &[(&str, KindEntry)], kinds: &[KindInfo]) -> Result<Vec<Making>, VocabularyError> {
    let mut makings = Vec::new();
    for (file, entry) in entries {
        match entry.made_of.as_slice() {
            [] => {}
            [first, second] => makings.push(Making {
                kind: named(file, &entry.name, kinds)?,
                of: [named(file, first, kinds)?, named(file, second, kinds)?],
                joined: entry.joined,
                beside: entry.beside,
                complete: entry.complete,
            }),
            _ => {
                return Err(mistake(
                    file,
                    &format!("kind `{}` must be made of two kinds", entry.name),
                ));
            }
        }
    }
    Ok(makings)
}

/// The numbers of the model, with its names looked up.
pub(super) fn kind_model(file: ModelFile, kinds: &[KindInfo]) -> Result<KindModel, VocabularyError> {
    let mut settle = Vec::new();
    for entry in &file.settle {
        let attribute = attribute_named("kind-model.toml", &entry.attribute)?;
        let weights = entry
            .weights
            .iter()
            .map(|(name, weight)| Ok((named("kind-model.toml", name, kinds)?, *weight)));
        settle.push((attribute, weights.collect::<Result<_, VocabularyError>>()?));
    }
    Ok(KindModel {
        unclear: file.unclear,
        offer_floor: file.offer_floor,
        field: file.field,
        place: file.place,
        settle,
    })
}
