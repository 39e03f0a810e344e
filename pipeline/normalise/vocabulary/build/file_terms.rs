//! The terms of each file of `schemas/`, with what they mean.

use super::kinds::{attribute_named, named};
use super::terms::Terms;
use crate::normalise::claim::Attribute;
use crate::normalise::vocabulary::files::{AttributesFile, FamiliesFile, GrammarFile, KindEntry, NumbersFile, Usage};
use crate::normalise::vocabulary::lexicon::Channel;
use crate::normalise::vocabulary::meaning::{Grammar, Meaning, Role};
use crate::normalise::vocabulary::{KindInfo, VocabularyError};
use crate::trade::folding::fold;
use compact_str::CompactString;

/// Adds the words for kinds, and those that settle between them.
pub(super) fn add_kinds(
    entries: &[(&str, KindEntry)],
    kinds: &[KindInfo],
    terms: &mut Terms<'_>,
) -> Result<(), VocabularyError> {
    for (file, entry) in entries {
        let kind = named(file, &entry.name, kinds)?;
        for group in &entry.terms {
            let weight = group.weight;
            for (language, words) in &group.words {
                let order = terms.order_of(language)?;
                for term in words {
                    let name = |role: Role| Meaning::Kind {
                        kind,
                        weight,
                        role,
                        order,
                    };
                    match group.usage {
                        Usage::Cue => terms.add(Channel::Attribute, term, Meaning::Settles { kind, weight }),
                        Usage::Tail => terms.add_tail(term, name(Role::Name)),
                        Usage::Name => terms.add(Channel::Thing, term, name(Role::Name)),
                        Usage::Kit => terms.add(Channel::Thing, term, name(Role::Kit)),
                        Usage::Feature => terms.add(Channel::Thing, term, name(Role::Feature)),
                        Usage::Along => terms.add(Channel::Thing, term, name(Role::Along)),
                        Usage::Machine => terms.add(Channel::Thing, term, name(Role::Machine)),
                    }
                }
            }
        }
    }
    Ok(())
}

/// Adds the small words, and the endings that mark a bundle.
pub(super) fn add_grammar(grammar: &GrammarFile, terms: &mut Terms<'_>) {
    for ending in &grammar.bundle_endings {
        terms.builder.add_bundle_ending(&fold(ending));
    }
    let lists = [
        (&grammar.for_, Grammar::For),
        (&grammar.of, Grammar::Of),
        (&grammar.with, Grammar::With),
        (&grammar.and, Grammar::And),
        (&grammar.without, Grammar::Without),
        (&grammar.not_included, Grammar::NotIncluded),
        (&grammar.only, Grammar::Only),
        (&grammar.complete, Grammar::Complete),
        (&grammar.parts, Grammar::Parts),
        (&grammar.neutral, Grammar::Neutral),
    ];
    for (words, meaning) in lists {
        terms.add_words(words, Meaning::Grammar(meaning));
    }
}

/// Adds the words for families of engines; hands back the names of these, by their numbers.
pub(super) fn add_families(families: &FamiliesFile, terms: &mut Terms<'_>) -> Vec<CompactString> {
    let mut names = Vec::new();
    for cue in &families.cue {
        let at = names.len() as u8;
        names.push(CompactString::from(cue.name.as_str()));
        for term in cue.words.values().flatten() {
            terms.add(Channel::Attribute, term, Meaning::Family(at));
        }
    }
    names
}

/// Adds the words for colours, sides and the like, and those that count; hands back the values, by their numbers.
pub(super) fn add_attributes(
    file: &AttributesFile,
    terms: &mut Terms<'_>,
) -> Result<Vec<CompactString>, VocabularyError> {
    let mut values = Vec::new();
    for entry in &file.word {
        let attribute = attribute_named("attributes.toml", &entry.attribute)?;
        let value = values.len() as u8;
        values.push(CompactString::from(entry.value.as_str()));
        for term in &entry.words {
            terms.add(Channel::Attribute, term, Meaning::Attribute { attribute, value });
        }
    }
    for term in &file.count.pawls {
        terms.add(Channel::Attribute, term, Meaning::Counts(Attribute::Pawls));
    }
    for (number, words) in (1u8..).zip(&file.numerals.words) {
        for term in words {
            terms.add(Channel::Attribute, term, Meaning::Numeral(number));
        }
    }
    for term in &file.depth.words {
        terms.add(Channel::Attribute, term, Meaning::Depth);
    }
    Ok(values)
}

/// Adds the words around part numbers.
pub(super) fn add_numbers(numbers: &NumbersFile, terms: &mut Terms<'_>) {
    for term in &numbers.replaces {
        terms.add(Channel::Attribute, term, Meaning::Replaces);
    }
    for term in &numbers.maker {
        terms.add(Channel::Attribute, term, Meaning::MakerNumber);
    }
    for word in &numbers.not_brands {
        terms.builder.know(&fold(word));
    }
}
