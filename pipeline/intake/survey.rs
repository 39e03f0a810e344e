//! The survey of a source: one pass over all its bytes before anything is decided, so that the encoding is judged by the
//! whole list and a file cut short is known before its first row is used. Keeps counts and a few kilobytes of evidence,
//! whatever the size.

use std::io::{self, Read};

use encoding_rs::Encoding;

/// Bytes read at a time.
const BLOCK: usize = 512 << 10;
/// Bytes of text around non-ASCII bytes kept for detection.
const EVIDENCE_BYTES: usize = 64 << 10;
/// First bytes kept.
const HEAD_BYTES: usize = 64 << 10;
/// Last bytes kept.
pub(crate) const TAIL_BYTES: usize = 4 << 10;

/// What one pass over the bytes tells.
#[derive(Clone, Debug, Default)]
pub(crate) struct Survey {
    /// Unpacked bytes.
    pub(crate) bytes: u64,
    /// The first of them.
    pub(crate) head: Vec<u8>,
    /// The last of them.
    pub(crate) tail: Vec<u8>,
    /// Lines around bytes that are not ASCII, for the encoding detector.
    pub(crate) evidence: Vec<u8>,
    /// Sound UTF-8 sequences of more than one byte.
    pub(crate) sound_sequences: u64,
    /// Bytes that break UTF-8.
    pub(crate) broken_sequences: u64,
    /// C1 control characters in UTF-8, which are Windows-1252 letters gone through a wrong conversion.
    pub(crate) controls: u64,
    /// NUL bytes at even and at odd places.
    pub(crate) nuls: [u64; 2],
    /// Whether any byte is neither white space nor a delimiter nor a byte order mark.
    pub(crate) has_text: bool,
    /// `\r` that no `\n` follows.
    pub(crate) lone_returns: u64,
}

impl Survey {
    /// Reads everything. `watch` is given each block of unpacked bytes, beside the counting of it.
    pub(crate) fn of(mut source: impl Read, mut watch: impl FnMut(&[u8]) + Send) -> io::Result<Survey> {
        let mut survey = Survey::default();
        let mut block = vec![0; BLOCK];
        let mut kept = 0;
        loop {
            let count = fill(&mut source, &mut block[kept..])?;
            let end = kept + count;
            let last = count == 0;
            if end == 0 {
                break;
            }
            (_, kept) = rayon::join(|| watch(&block[kept..end]), || survey.take(&block[..end], last));
            block.copy_within(end - kept..end, 0);
            if last {
                break;
            }
        }
        Ok(survey)
    }

    /// Whether any byte is beyond ASCII.
    pub(crate) fn has_non_ascii(&self) -> bool {
        !self.evidence.is_empty()
    }

    /// Takes a block; returns how many bytes at its end could not be judged yet and must come again.
    fn take(&mut self, block: &[u8], last: bool) -> usize {
        // a sequence or a line end may be cut; leave up to three bytes for the next block
        let cut = if last { 0 } else { cut_tail(block) };
        let block = &block[..block.len() - cut];
        if self.head.len() < HEAD_BYTES {
            let room = HEAD_BYTES - self.head.len();
            self.head.extend_from_slice(&block[..block.len().min(room)]);
        }
        self.keep_tail(block);
        self.count_nuls(block);
        self.count_returns(block);
        self.has_text = self.has_text || block.iter().any(|byte| !is_filler(*byte));
        if !block.is_ascii() {
            self.count_sequences(block);
            self.keep_evidence(block);
        }
        self.bytes += block.len() as u64;
        cut
    }

    fn keep_tail(&mut self, block: &[u8]) {
        let new = &block[block.len().saturating_sub(TAIL_BYTES)..];
        let kept = self.tail.len().min(TAIL_BYTES - new.len());
        self.tail.drain(..self.tail.len() - kept);
        self.tail.extend_from_slice(new);
    }

    fn count_nuls(&mut self, block: &[u8]) {
        for place in memchr::memchr_iter(0, block) {
            self.nuls[((self.bytes + place as u64) % 2) as usize] += 1;
        }
    }

    fn count_returns(&mut self, block: &[u8]) {
        for place in memchr::memchr_iter(b'\r', block) {
            if block.get(place + 1) != Some(&b'\n') {
                self.lone_returns += 1;
            }
        }
    }

    fn count_sequences(&mut self, block: &[u8]) {
        let mut rest = block;
        loop {
            let (valid, broken) = rest.split_at(Encoding::utf8_valid_up_to(rest));
            self.sound_sequences += first_bytes(valid);
            let leads = memchr::memchr_iter(0xC2, valid);
            self.controls += leads
                .filter(|place| valid.get(place + 1).is_some_and(|next| *next < 0xA0))
                .count() as u64;
            let Some(chunk) = broken.utf8_chunks().next() else {
                return;
            };
            self.broken_sequences += 1;
            rest = &broken[chunk.invalid().len().max(1)..];
        }
    }

    fn keep_evidence(&mut self, block: &[u8]) {
        let mut from = 0;
        while self.evidence.len() < EVIDENCE_BYTES {
            let Some(place) = block[from..].iter().position(|byte| *byte >= 0x80) else {
                break;
            };
            let place = from + place;
            let start = memchr::memrchr(b'\n', &block[from..place]).map_or(from, |found| from + found + 1);
            let end = memchr::memchr(b'\n', &block[place..]).map_or(block.len(), |found| place + found + 1);
            let end = end.min(place + 4096);
            self.evidence
                .extend_from_slice(&block[start.max(place.saturating_sub(512))..end]);
            from = end;
        }
    }
}

/// Bytes at the end that may belong to a cut sequence or a cut line end.
fn cut_tail(block: &[u8]) -> usize {
    if block.last() == Some(&b'\r') {
        return 1;
    }
    for back in 1..=3.min(block.len()) {
        let byte = block[block.len() - back];
        if byte >= 0xC0 {
            return back;
        }
        if byte < 0x80 {
            return 0;
        }
    }
    0
}

/// Bytes that start a sequence of several, counted in small sums, which processors do many at a time.
fn first_bytes(valid: &[u8]) -> u64 {
    let count = |piece: &[u8]| piece.iter().map(|byte| u8::from(*byte >= 0xC0)).sum::<u8>();
    valid.chunks(255).map(|piece| u64::from(count(piece))).sum()
}

/// White space, delimiters, byte order marks and NUL: what a blank list may be made of.
fn is_filler(byte: u8) -> bool {
    matches!(
        byte,
        0 | b' ' | b'\t' | b'\r' | b'\n' | b',' | b';' | b'|' | b'"' | 0xEF | 0xBB | 0xBF | 0xFE | 0xFF
    )
}

/// Reads until the buffer is full or the stream ends.
pub(crate) fn fill(source: &mut impl Read, buffer: &mut [u8]) -> io::Result<usize> {
    let mut filled = 0;
    while filled < buffer.len() {
        match source.read(&mut buffer[filled..]) {
            Ok(0) => break,
            Ok(count) => filled += count,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(filled)
}
