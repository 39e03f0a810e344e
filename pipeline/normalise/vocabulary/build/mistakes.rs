//! What is wrong with a file of `schemas/`, told with the name of the file.

use crate::normalise::vocabulary::VocabularyError;
use serde::de::DeserializeOwned;

/// Reads one file; an unknown key or a missing one is a mistake.
pub(super) fn parse<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, VocabularyError> {
    toml::from_str(text).map_err(|error| mistake(file, &error.to_string()))
}

/// A mistake in a file.
pub(super) fn mistake(file: &str, message: &str) -> VocabularyError {
    VocabularyError {
        file: file.to_string(),
        message: message.to_string(),
    }
}
