//! The decoded text of a list in stretches: one stretch is split into records at a time, and what is left of it, the
//! start of a record, goes to the front of the next. Knows where bad bytes lie.

use std::collections::VecDeque;
use std::io;

use super::decode::{BadByte, TextStream};

/// Bytes of text in one stretch.
const STRETCH: usize = 1 << 20;

/// The text, stretch by stretch.
pub(crate) struct Text {
    stream: Option<TextStream>,
    buffer: String,
    /// Places are relative to the stretch.
    bad: VecDeque<BadByte>,
    quote: Option<u8>,
    has_quotes: bool,
    stretch: usize,
}

impl Text {
    /// Text from a stream.
    pub(crate) fn new(stream: TextStream, quote: Option<u8>) -> Text {
        Text {
            stream: Some(stream),
            buffer: String::new(),
            bad: VecDeque::new(),
            quote,
            has_quotes: false,
            stretch: STRETCH,
        }
    }

    /// Text already in memory.
    pub(crate) fn whole(text: String) -> Text {
        Text {
            stream: None,
            buffer: text,
            bad: VecDeque::new(),
            quote: None,
            has_quotes: false,
            stretch: STRETCH,
        }
    }

    /// The same with another stretch, for tests of independence from it.
    #[cfg(test)]
    pub(crate) fn with_stretch(mut self, stretch: usize) -> Text {
        self.stretch = stretch;
        self
    }

    /// Reads on until the buffer holds a stretch more than it did.
    pub(crate) fn fill(&mut self) -> io::Result<()> {
        if let Some(stream) = &mut self.stream {
            let mut bad = Vec::new();
            stream.append(&mut self.buffer, self.stretch, &mut bad)?;
            self.bad.extend(bad);
        }
        self.has_quotes = self
            .quote
            .is_some_and(|quote| memchr::memchr(quote, self.buffer.as_bytes()).is_some());
        Ok(())
    }

    /// Whether nothing comes after the buffer.
    pub(crate) fn is_finished(&self) -> bool {
        self.stream.as_ref().is_none_or(TextStream::is_finished)
    }

    /// Whether the stretch holds a quote at all.
    pub(crate) fn has_quotes(&self) -> bool {
        self.has_quotes
    }

    /// Takes the stretch out.
    pub(crate) fn take(&mut self) -> String {
        std::mem::take(&mut self.buffer)
    }

    /// Puts it back without its first `used` bytes.
    pub(crate) fn give_back(&mut self, mut text: String, used: usize) {
        text.drain(..used);
        self.buffer = text;
        self.move_bad(used);
    }

    /// Starts the next stretch with what follows `used`.
    pub(crate) fn keep_tail(&mut self, text: &str, used: usize) {
        self.buffer = String::with_capacity(self.stretch + (text.len() - used) + 4096);
        self.buffer.push_str(&text[used..]);
        self.move_bad(used);
    }

    fn move_bad(&mut self, used: usize) {
        for bad in &mut self.bad {
            bad.place = bad.place.saturating_sub(used);
        }
    }

    /// The first bad byte before a place, taken off together with the others before it.
    pub(crate) fn bad_byte_before(&mut self, place: usize) -> Option<BadByte> {
        if self.bad.front().is_none_or(|bad| bad.place >= place) {
            return None;
        }
        let first = self.bad.pop_front();
        while self.bad.front().is_some_and(|bad| bad.place < place) {
            self.bad.pop_front();
        }
        first
    }
}
