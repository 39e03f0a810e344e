//! From the files of `schemas/` to a vocabulary.
//!
//! Order inside the folder, lowest first: `mistakes`, `kinds` (their numbers), `terms` (a term and its spellings);
//! `file_terms` (the terms of each file), `weights` (the model).

mod file_terms;
mod kinds;
mod mistakes;
mod terms;
mod weights;

use super::files::{AttributesFile, FamiliesFile, GrammarFile, KindEntry, KindsFile, ModelFile, NumbersFile};
use super::lexicon::builder::LexiconBuilder;
use super::{Vocabulary, VocabularyError, VocabularyText};
use crate::trade::folding::fold;
use file_terms::{add_attributes, add_families, add_grammar, add_kinds, add_numbers};
use kinds::number_kinds;
use mistakes::parse;
use rayon::prelude::*;
use terms::Terms;
use weights::{kind_model, makings};

/// Compiles the files.
///
/// # Errors
/// A file cannot be read, or names something that no file explains.
pub(super) fn build(text: &VocabularyText<'_>) -> Result<Vocabulary, VocabularyError> {
    // reading these files is most of the work, and who asks one question waits for it
    let files: Vec<(&str, KindsFile)> = text
        .kinds
        .par_iter()
        .map(|(name, toml)| Ok((*name, parse(name, toml)?)))
        .collect::<Result<_, _>>()?;
    let entries: Vec<(&str, KindEntry)> = files
        .into_iter()
        .flat_map(|(name, file)| file.kind.into_iter().map(move |entry| (name, entry)))
        .collect();
    let grammar: GrammarFile = parse("grammar.toml", text.grammar)?;
    let families: FamiliesFile = parse("families.toml", text.families)?;
    let attributes: AttributesFile = parse("attributes.toml", text.attributes)?;
    let numbers: NumbersFile = parse("numbers.toml", text.numbers)?;
    let model: ModelFile = parse("kind-model.toml", text.model)?;

    let kinds = number_kinds(&entries)?;
    let mut terms = Terms {
        builder: LexiconBuilder::default(),
        grammar: &grammar,
    };
    add_kinds(&entries, &kinds, &mut terms)?;
    add_grammar(&grammar, &mut terms);
    let family_names = add_families(&families, &mut terms);
    let values = add_attributes(&attributes, &mut terms)?;
    add_numbers(&numbers, &mut terms);
    Ok(Vocabulary {
        lexicon: terms.builder.build(),
        makings: makings(&entries, &kinds)?,
        model: kind_model(model, &kinds)?,
        kinds,
        families: family_names,
        values,
        placeholders: numbers
            .placeholders
            .iter()
            .map(|word| fold(word).into_owned())
            .collect(),
        not_codes: numbers.not_codes.iter().map(|word| fold(word).into_owned()).collect(),
        not_brands: numbers.not_brands.iter().map(|word| fold(word).into_owned()).collect(),
        order_multiples: folded(&numbers.order_multiples),
        per_pack: folded(&numbers.per_pack),
        per_piece: folded(&numbers.per_piece),
    })
}

fn folded(words: &[String]) -> Vec<String> {
    words.iter().map(|word| fold(word).into_owned()).collect()
}

#[cfg(test)]
mod tests;
