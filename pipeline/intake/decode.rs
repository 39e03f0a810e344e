//! Bytes to UTF-8 text, block by block. Bytes that are no text in the chosen encoding become U+FFFD, and each is noted
//! with its offset in the unpacked bytes and its place in the text, so that only the line it stands in is rejected.

use std::io::{self, Read};

use encoding_rs::{Decoder, DecoderResult, Encoding};

use super::survey::fill;

/// Bytes read at a time.
const BLOCK: usize = 128 << 10;

/// A byte that is no text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct BadByte {
    /// Place in the text the caller holds.
    pub(crate) place: usize,
    /// Offset in the unpacked file.
    pub(crate) offset: u64,
    /// The byte.
    pub(crate) byte: u8,
}

/// Decodes a stream.
pub(crate) struct TextStream {
    source: Box<dyn Read + Send>,
    decoder: Decoder,
    block: Vec<u8>,
    from: usize,
    to: usize,
    offset: u64,
    at_end: bool,
    finished: bool,
    controls: Controls,
}

/// What to do with C1 control characters (U+0080 to U+009F).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Controls {
    /// Leave them.
    Keep,
    /// Read them as the Windows-1252 letters they were before a wrong conversion.
    AsWindows1252,
}

impl TextStream {
    /// A stream past its byte order mark of `mark_bytes` bytes.
    pub(crate) fn new(
        mut source: Box<dyn Read + Send>,
        encoding: &'static Encoding,
        mark_bytes: usize,
        controls: Controls,
    ) -> io::Result<TextStream> {
        let mut mark = [0; 4];
        let skipped = fill(&mut source, &mut mark[..mark_bytes.min(4)])?;
        Ok(TextStream {
            source,
            decoder: encoding.new_decoder_without_bom_handling(),
            block: vec![0; BLOCK],
            from: 0,
            to: 0,
            offset: skipped as u64,
            at_end: false,
            finished: false,
            controls,
        })
    }

    /// Whether everything has been decoded.
    pub(crate) fn is_finished(&self) -> bool {
        self.finished
    }

    /// Appends about `wanted` bytes of text, less only at the end. Places of bad bytes are relative to the whole `text`.
    pub(crate) fn append(&mut self, text: &mut String, wanted: usize, bad: &mut Vec<BadByte>) -> io::Result<()> {
        let start = text.len();
        let goal = start + wanted;
        while text.len() < goal && !self.finished {
            if self.from == self.to && !self.at_end {
                self.to = fill(&mut self.source, &mut self.block)?;
                self.from = 0;
                self.at_end = self.to < self.block.len();
            }
            self.decode(text, bad, (goal - text.len()).max(16));
        }
        if self.controls == Controls::AsWindows1252 {
            restore_letters(text, start, bad);
        }
        Ok(())
    }

    fn decode(&mut self, text: &mut String, bad: &mut Vec<BadByte>, most: usize) {
        let piece_end = self.to.min(self.from + most);
        let piece = &self.block[self.from..piece_end];
        let last = self.at_end && piece_end == self.to;
        let room = self
            .decoder
            .max_utf8_buffer_length_without_replacement(piece.len())
            .unwrap_or(piece.len() * 3 + 16);
        text.reserve(room);
        let (result, read) = self.decoder.decode_to_string_without_replacement(piece, text, last);
        self.offset += read as u64;
        match result {
            DecoderResult::InputEmpty => {
                self.from = piece_end;
                self.finished = last;
            }
            DecoderResult::OutputFull => self.from += read,
            DecoderResult::Malformed(length, extra) => {
                let back = u64::from(length) + u64::from(extra);
                let offset = self.offset.saturating_sub(back);
                let inside = (self.from + read).checked_sub(back as usize);
                let byte = inside.and_then(|place| self.block.get(place)).copied().unwrap_or(0);
                bad.push(BadByte {
                    place: text.len(),
                    offset,
                    byte,
                });
                text.push('\u{FFFD}');
                self.from += read;
            }
        }
    }
}

/// Puts Windows-1252 letters for the C1 controls from `start` on, and moves the places of bad bytes with them.
fn restore_letters(text: &mut String, start: usize, bad: &mut [BadByte]) {
    let tail = text.split_off(start);
    let mut bad = bad.iter_mut().skip_while(|bad| bad.place < start).peekable();
    for (place, letter) in tail.char_indices() {
        while let Some(byte) = bad.next_if(|bad| bad.place <= start + place) {
            byte.place = text.len();
        }
        match letter {
            '\u{80}'..='\u{9f}' => {
                let byte = [u32::from(letter) as u8];
                text.push_str(&encoding_rs::WINDOWS_1252.decode_without_bom_handling(&byte).0);
            }
            letter => text.push(letter),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decoded(bytes: &'static [u8], encoding: &'static Encoding, mark: usize) -> (String, Vec<BadByte>) {
        let mut stream = TextStream::new(Box::new(bytes), encoding, mark, Controls::AsWindows1252).unwrap();
        let (mut text, mut bad) = (String::new(), Vec::new());
        while !stream.is_finished() {
            stream.append(&mut text, 7, &mut bad).unwrap();
        }
        (text, bad)
    }

    #[test]
    fn a_bad_byte_is_noted_with_its_offset() {
        let (text, bad) = decoded(b"\xEF\xBB\xBFab\n\xC3\xA4\xFFx\n", encoding_rs::UTF_8, 3);
        assert_eq!(text, "ab\nä\u{FFFD}x\n");
        assert_eq!(
            bad,
            vec![BadByte {
                place: 5,
                offset: 8,
                byte: 0xFF
            }]
        );
    }

    #[test]
    fn a_sequence_cut_by_the_end_is_noted() {
        let (text, bad) = decoded(b"ab\xE2\x82", encoding_rs::UTF_8, 0);
        assert_eq!(text, "ab\u{FFFD}");
        assert_eq!(bad[0].offset, 2);
    }

    #[test]
    fn letters_lost_in_a_wrong_conversion_come_back() {
        let (text, bad) = decoded(b"7 \xC2\x96 8 \xFF\xC2\x92\n", encoding_rs::UTF_8, 0);
        assert_eq!(text, "7 – 8 \u{FFFD}’\n");
        assert!(text[bad[0].place..].starts_with('\u{FFFD}'));
    }

    #[test]
    fn utf16_loses_its_mark() {
        let (text, bad) = decoded(b"\xFF\xFEa\0;\0\xFC\0\n\0", encoding_rs::UTF_16LE, 2);
        assert_eq!(text, "a;ü\n");
        assert!(bad.is_empty());
    }
}
