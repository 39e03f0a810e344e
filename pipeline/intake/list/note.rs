//! What the user should know of a list.

use serde::{Deserialize, Serialize};

/// Something the user should know though nothing failed: a close call, a disagreement with the profile.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// Physical line it is about, if any.
    pub line: Option<u32>,
    /// The sentence to show.
    pub message: String,
}

impl Note {
    /// A note about the list as a whole.
    pub fn new(message: impl Into<String>) -> Note {
        Note {
            line: None,
            message: message.into(),
        }
    }

    /// A note about one line.
    pub fn at(line: u32, message: impl Into<String>) -> Note {
        Note {
            line: Some(line),
            message: message.into(),
        }
    }
}
