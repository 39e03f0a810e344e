//! The kinds of the files with their numbers, and the attributes by their names.

use super::mistakes::mistake;
use crate::normalise::claim::Attribute;
use crate::normalise::kind::KindId;
use crate::normalise::vocabulary::files::{KindEntry, ScopeWord};
use crate::normalise::vocabulary::{KindInfo, VocabularyError};
use compact_str::CompactString;

/// Kinds whose numbers the code knows, in the order of these.
pub(super) const FIXED: [KindId; 5] = [
    KindId::RECOIL_STARTER,
    KindId::SHROUD,
    KindId::ASSEMBLY,
    KindId::GENERIC,
    KindId::UNCLEAR,
];

/// The kinds in the order of their numbers: the fixed ones first, then as the files name them.
pub(super) fn number_kinds(entries: &[(&str, KindEntry)]) -> Result<Vec<KindInfo>, VocabularyError> {
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

/// The kind of a name.
pub(super) fn named(file: &str, name: &str, kinds: &[KindInfo]) -> Result<KindId, VocabularyError> {
    let position = kinds.iter().position(|info| info.name == name);
    position
        .and_then(|at| u8::try_from(at).ok())
        .map(KindId)
        .ok_or_else(|| mistake(file, &format!("no kind is named `{name}`")))
}

/// The attribute of a name.
pub(super) fn attribute_named(file: &str, name: &str) -> Result<Attribute, VocabularyError> {
    let found = Attribute::ALL.into_iter().find(|attribute| attribute.name() == name);
    found.ok_or_else(|| mistake(file, &format!("no attribute is named `{name}`")))
}
