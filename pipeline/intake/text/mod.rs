//! The decoded text of a list in *stretches*, small enough to stay near the processor, read in rounds of some per thread. While one
//! round is cut into records side by side (`ahead`), the next is read and decoded, so a single big list keeps every
//! processor busy and no more than two rounds of it are in memory. What a stretch leaves over, the start of a record,
//! goes to the front of the next one. Knows where bad bytes lie.

mod ahead;
mod origin;

use std::collections::VecDeque;
use std::io;

use rayon::prelude::*;

use super::decode::BadByte;
pub(crate) use ahead::{Ahead, Ready, ReadyRecord};
pub(crate) use origin::Origin;

/// Bytes of text in one stretch.
const STRETCH: usize = 128 << 10;
/// Stretches of one round for each thread, so that all have work to the end of it.
const PER_THREAD: usize = 8;

/// A stretch of text, and the records in it that could be cut ahead.
pub(crate) struct Stretch {
    pub(crate) text: String,
    /// Whether no text follows.
    pub(crate) at_end: bool,
    /// Whether it holds a quote at all.
    pub(crate) has_quotes: bool,
    /// What was cut ahead; the reader takes the cells out and asks for the records by their place.
    pub(crate) ready: Ready,
    /// Places are relative to the text.
    bad: VecDeque<BadByte>,
}

impl Stretch {
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

/// The text, stretch by stretch.
pub(crate) struct Text {
    origin: Origin,
    stretch: usize,
    /// Bytes at the start that are left out.
    skipped: usize,
    /// The line that the last stretch read was cut off before.
    carried: String,
    carried_bad: VecDeque<BadByte>,
    /// Read and not yet cut.
    read: Vec<Stretch>,
    /// Cut ahead, in order.
    ready: VecDeque<Stretch>,
    /// What the reader left of the last stretch.
    rest: String,
    rest_bad: VecDeque<BadByte>,
    ended: bool,
    failed: Option<io::Error>,
}

impl Text {
    /// Text from a stream or from memory.
    pub(crate) fn new(origin: Origin) -> Text {
        Text {
            origin,
            stretch: STRETCH,
            skipped: 0,
            carried: String::new(),
            carried_bad: VecDeque::new(),
            read: Vec::new(),
            ready: VecDeque::new(),
            rest: String::new(),
            rest_bad: VecDeque::new(),
            ended: false,
            failed: None,
        }
    }

    /// The same with another stretch, for tests of independence from it.
    #[cfg(test)]
    pub(crate) fn with_stretch(mut self, stretch: usize) -> Text {
        self.stretch = stretch;
        self
    }

    /// The same without its first `bytes`, a line that was understood already.
    pub(crate) fn without(self, bytes: usize) -> Text {
        Text { skipped: bytes, ..self }
    }

    /// The next stretch, with what was left of the one before at its front. After the one that is `at_end` there is none,
    /// which is an error as a broken stream is.
    pub(crate) fn next(&mut self, ahead: &Ahead) -> io::Result<Stretch> {
        if self.ready.is_empty() {
            self.advance(ahead);
        }
        match (self.ready.pop_front(), self.failed.take()) {
            (Some(stretch), failed) => {
                self.failed = failed;
                Ok(self.after_rest(stretch))
            }
            (None, Some(error)) => Err(error),
            (None, None) => Err(io::ErrorKind::UnexpectedEof.into()),
        }
    }

    /// Keeps what follows `used` for the front of the next stretch.
    pub(crate) fn keep_rest(&mut self, stretch: &mut Stretch, used: usize) {
        self.rest.push_str(&stretch.text[used..]);
        let left = stretch.bad.drain(..).filter(|bad| bad.place >= used);
        self.rest_bad = moved_back(left, used).collect();
    }

    /// Cuts one round and reads the next.
    fn advance(&mut self, ahead: &Ahead) {
        if self.read.is_empty() {
            self.read = self.round(ahead);
        }
        let mut read = std::mem::take(&mut self.read);
        if self.ended {
            read.par_iter_mut().for_each(|stretch| ahead.cut(stretch));
        } else {
            let (_, next) = rayon::join(
                || read.par_iter_mut().for_each(|stretch| ahead.cut(stretch)),
                || self.round(ahead),
            );
            self.read = next;
        }
        self.ready.extend(read);
    }

    fn round(&mut self, ahead: &Ahead) -> Vec<Stretch> {
        let mut read = Vec::new();
        while read.len() < PER_THREAD * rayon::current_num_threads() && !self.ended {
            match self.read_stretch(ahead) {
                Ok(stretch) => {
                    self.ended = stretch.at_end;
                    read.push(stretch);
                }
                Err(error) => {
                    self.ended = true;
                    self.failed = Some(error);
                }
            }
        }
        read
    }

    fn read_stretch(&mut self, ahead: &Ahead) -> io::Result<Stretch> {
        let mut text = String::with_capacity(self.stretch + self.carried.len() + 4096);
        text.push_str(&self.carried);
        self.carried.clear();
        let mut bad = Vec::new();
        let skipped = std::mem::take(&mut self.skipped);
        self.origin.append(&mut text, self.stretch.max(skipped), &mut bad)?;
        text.drain(..skipped);
        bad.retain(|bad| bad.place >= skipped);
        let bad = moved_back(bad, skipped);
        let mut bad: VecDeque<BadByte> = self.carried_bad.drain(..).chain(bad).collect();
        let at_end = self.origin.is_finished();
        let has_quotes = ahead.has_quotes(&text);
        if !at_end {
            let end = ahead.boundary(&text, has_quotes);
            self.carried.push_str(&text[end..]);
            let place = bad.partition_point(|bad| bad.place < end);
            self.carried_bad = moved_back(bad.split_off(place), end).collect();
            text.truncate(end);
        }
        Ok(Stretch {
            text,
            at_end,
            has_quotes,
            ready: Ready::default(),
            bad,
        })
    }

    /// Puts the rest before a stretch; what was cut ahead in it lies elsewhere now and is cut again.
    fn after_rest(&mut self, mut stretch: Stretch) -> Stretch {
        if self.rest.is_empty() {
            return stretch;
        }
        let moved = self.rest.len();
        self.rest.push_str(&stretch.text);
        stretch.text = std::mem::take(&mut self.rest);
        // a quote in the rest is one that was met before
        stretch.has_quotes = true;
        stretch.ready = Ready::default();
        for bad in &mut stretch.bad {
            bad.place += moved;
        }
        let later = std::mem::take(&mut stretch.bad);
        stretch.bad = self.rest_bad.drain(..).chain(later).collect();
        stretch
    }
}

fn moved_back(bad: impl IntoIterator<Item = BadByte>, bytes: usize) -> impl Iterator<Item = BadByte> {
    bad.into_iter().map(move |bad| BadByte {
        place: bad.place - bytes,
        ..bad
    })
}
