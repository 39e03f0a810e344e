//! From the files of `schemas/` to a vocabulary.

use compact_str::CompactString;
use rayon::prelude::*;
use serde::de::DeserializeOwned;

use super::files::{
    AttributesFile, FamiliesFile, GrammarFile, KindEntry, KindsFile, ModelFile, NumbersFile, ScopeWord, Usage, Words,
};
use super::lexicon::Channel;
use super::lexicon::builder::LexiconBuilder;
use super::meaning::{Grammar, HeadOrder, Meaning, Role};
use super::{KindInfo, KindModel, Making, Vocabulary, VocabularyError, VocabularyText};
use crate::normalise::claim::Attribute;
use crate::normalise::kind::KindId;
use crate::normalise::tokens::tokenise;
use crate::trade::folding::fold;

/// Shortest word of a name, in bytes, that a misspelling may be taken for.
const SHORTEST_NAME_WORD: usize = 3;

const FIXED: [KindId; 5] = [
    KindId::RECOIL_STARTER,
    KindId::SHROUD,
    KindId::ASSEMBLY,
    KindId::GENERIC,
    KindId::UNCLEAR,
];

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

fn parse<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, VocabularyError> {
    toml::from_str(text).map_err(|error| mistake(file, &error.to_string()))
}

fn mistake(file: &str, message: &str) -> VocabularyError {
    VocabularyError {
        file: file.to_string(),
        message: message.to_string(),
    }
}

fn folded(words: &[String]) -> Vec<String> {
    words.iter().map(|word| fold(word).into_owned()).collect()
}

/// The kinds in the order of their numbers: the fixed ones first, then as the files name them.
fn number_kinds(entries: &[(&str, KindEntry)]) -> Result<Vec<KindInfo>, VocabularyError> {
    let mut names: Vec<CompactString> = FIXED
        .iter()
        .filter_map(|kind| kind.fixed_name())
        .map(CompactString::from)
        .collect();
    for (file, entry) in entries {
        let fixed = names.iter().position(|name| *name == entry.name);
        if fixed.is_some_and(|at| at < 3) != (entry.scope == ScopeWord::In) {
            return Err(mistake(
                file,
                &format!("kind `{}`: the kinds in scope are fixed", entry.name),
            ));
        }
        if fixed.is_none() {
            names.push(CompactString::from(entry.name.as_str()));
        }
    }
    if names.len() > 64 {
        return Err(mistake("kinds", "more than 64 kinds"));
    }
    let mut kinds: Vec<KindInfo> = names
        .into_iter()
        .map(|name| KindInfo {
            called: name.clone(),
            name,
            prior: 0.0,
            contents: Vec::new(),
        })
        .collect();
    for (file, entry) in entries {
        let contents = entry
            .contents
            .iter()
            .map(|name| named(file, name, &kinds))
            .collect::<Result<_, _>>()?;
        let at = named(file, &entry.name, &kinds)?;
        let info = &mut kinds[usize::from(at.0)];
        info.called = CompactString::from(entry.called.as_str());
        info.prior = entry.prior;
        info.contents = contents;
    }
    Ok(kinds)
}

fn named(file: &str, name: &str, kinds: &[KindInfo]) -> Result<KindId, VocabularyError> {
    let position = kinds.iter().position(|info| info.name == name);
    position
        .and_then(|at| u8::try_from(at).ok())
        .map(KindId)
        .ok_or_else(|| mistake(file, &format!("no kind is named `{name}`")))
}

fn attribute_named(file: &str, name: &str) -> Result<Attribute, VocabularyError> {
    let found = Attribute::ALL.into_iter().find(|attribute| attribute.name() == name);
    found.ok_or_else(|| mistake(file, &format!("no attribute is named `{name}`")))
}

/// Adds terms, with their spelling variants.
struct Terms<'g> {
    builder: LexiconBuilder,
    grammar: &'g GrammarFile,
}

impl Terms<'_> {
    fn order_of(&self, language: &str) -> Result<HeadOrder, VocabularyError> {
        if self.grammar.head_first.iter().any(|known| known == language) {
            Ok(HeadOrder::First)
        } else if self.grammar.head_last.iter().any(|known| known == language) {
            Ok(HeadOrder::Last)
        } else {
            Err(mistake(
                "grammar.toml",
                &format!("language `{language}` is in neither list of head orders"),
            ))
        }
    }

    fn add(&mut self, channel: Channel, term: &str, meaning: Meaning) {
        let names = matches!(
            meaning,
            Meaning::Kind {
                role: Role::Kit | Role::Name | Role::Feature,
                ..
            }
        );
        for spelling in spellings(term) {
            let folded = fold(&spelling);
            let mut tokens = Vec::new();
            tokenise(&folded, &mut tokens);
            let words = || tokens.iter().map(|token| token.text(&folded));
            self.builder.add(channel, words(), meaning);
            if names {
                self.builder
                    .add_name_words(words().filter(|word| word.len() >= SHORTEST_NAME_WORD));
            }
        }
    }

    fn add_tail(&mut self, term: &str, meaning: Meaning) {
        for spelling in spellings(term) {
            self.builder.add_tail(&fold(&spelling), meaning);
        }
    }

    fn add_words(&mut self, words: &Words, meaning: Meaning) {
        for term in words.values().flatten() {
            self.add(Channel::Thing, term, meaning);
        }
    }
}

/// The spellings of a term: as listed, and with ae, oe, ue for the letters that keyboards lack.
fn spellings(term: &str) -> Vec<String> {
    let mut spellings = vec![term.to_string()];
    if term.contains(['ä', 'ö', 'ü', 'Ä', 'Ö', 'Ü']) {
        let lower = term.to_lowercase();
        spellings.push(lower.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue"));
    }
    spellings
}

fn add_kinds(entries: &[(&str, KindEntry)], kinds: &[KindInfo], terms: &mut Terms<'_>) -> Result<(), VocabularyError> {
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
                        Usage::Machine => terms.add(Channel::Thing, term, name(Role::Machine)),
                    }
                }
            }
        }
    }
    Ok(())
}

fn add_grammar(grammar: &GrammarFile, terms: &mut Terms<'_>) {
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

fn add_families(families: &FamiliesFile, terms: &mut Terms<'_>) -> Vec<CompactString> {
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

fn add_attributes(file: &AttributesFile, terms: &mut Terms<'_>) -> Result<Vec<CompactString>, VocabularyError> {
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

fn add_numbers(numbers: &NumbersFile, terms: &mut Terms<'_>) {
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

fn makings(entries: &[(&str, KindEntry)], kinds: &[KindInfo]) -> Result<Vec<Making>, VocabularyError> {
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

fn kind_model(file: ModelFile, kinds: &[KindInfo]) -> Result<KindModel, VocabularyError> {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_files_of_the_house_are_sound() {
        let vocabulary = Vocabulary::built_in();
        assert!(
            vocabulary.is_ok(),
            "{}",
            vocabulary.err().map(|error| error.to_string()).unwrap_or_default()
        );
    }

    #[test]
    fn the_fixed_kinds_have_their_numbers() {
        let vocabulary = Vocabulary::built_in().unwrap();
        for kind in FIXED {
            assert_eq!(Some(vocabulary.kind_name(kind)), kind.fixed_name());
        }
        assert!(vocabulary.kind_named("rope").is_some_and(|rope| rope > KindId::UNCLEAR));
    }

    #[test]
    fn an_unknown_key_is_an_error_that_names_the_file() {
        let mut text = VocabularyText::built_in();
        text.families = "[[cue]]\nname = \"x\"\nwrods = {}\n";
        let error = Vocabulary::from_toml(&text).unwrap_err();
        assert_eq!(error.file, "families.toml");
    }

    #[test]
    fn an_unknown_kind_among_the_contents_is_an_error() {
        let mut text = VocabularyText::built_in();
        text.kinds.push((
            "more.toml",
            "[[kind]]\nname='lid'\ncalled='lid'\nscope='out'\nprior=0.0\ncontents=['rpoe']\nterms=[]",
        ));
        let error = Vocabulary::from_toml(&text).unwrap_err();
        assert_eq!(
            (error.file.as_str(), error.message.as_str()),
            ("more.toml", "no kind is named `rpoe`")
        );
    }
}
