//! Where the text of a list comes from: a stream that is decoded as it is read, or a sheet already in memory.

use std::io;

use super::super::decode::{BadByte, TextStream};

/// A source of text.
pub(crate) enum Origin {
    /// A stream that is opened when its first text is asked for: an archive may hold a thousand lists.
    Unopened(Box<dyn FnOnce() -> io::Result<TextStream> + Send>),
    Stream(Box<TextStream>),
    /// A text in memory, and how much of it has been given out.
    Whole(String, usize),
}

impl Origin {
    /// Appends about `wanted` bytes of text, less only at the end. Places of bad bytes are relative to the whole `text`.
    pub(super) fn append(&mut self, text: &mut String, wanted: usize, bad: &mut Vec<BadByte>) -> io::Result<()> {
        if let Origin::Unopened(_) = self
            && let Origin::Unopened(open) = std::mem::replace(self, Origin::Whole(String::new(), 0))
        {
            *self = Origin::Stream(Box::new(open()?));
        }
        match self {
            Origin::Unopened(_) => Ok(()),
            Origin::Stream(stream) => stream.append(text, wanted, bad),
            Origin::Whole(whole, given) => {
                let end = whole.ceil_char_boundary(given.saturating_add(wanted));
                text.push_str(&whole[*given..end]);
                *given = end;
                Ok(())
            }
        }
    }

    /// Whether everything has been given out.
    pub(super) fn is_finished(&self) -> bool {
        match self {
            Origin::Unopened(_) => false,
            Origin::Stream(stream) => stream.is_finished(),
            Origin::Whole(whole, given) => *given >= whole.len(),
        }
    }
}
