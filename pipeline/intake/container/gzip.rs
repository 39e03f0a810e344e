//! All members of a gzip file, one after the other. Bytes behind the last member that start no further one (padding,
//! junk from a transfer) end the stream; a member cut short is an error, since half a list must not pass for a list.

use std::io::{self, BufRead, Read};

use flate2::bufread::GzDecoder;

/// Reads member after member.
pub(super) struct Members<R: BufRead> {
    state: State<R>,
}

enum State<R: BufRead> {
    Member(Box<GzDecoder<R>>),
    Done,
}

impl<R: BufRead> Members<R> {
    pub(super) fn new(packed: R) -> Members<R> {
        Members {
            state: State::Member(Box::new(GzDecoder::new(packed))),
        }
    }
}

impl<R: BufRead> Read for Members<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if buffer.is_empty() {
            return Ok(0);
        }
        loop {
            match std::mem::replace(&mut self.state, State::Done) {
                State::Done => return Ok(0),
                State::Member(mut member) => {
                    let count = member.read(buffer)?;
                    if count > 0 {
                        self.state = State::Member(member);
                        return Ok(count);
                    }
                    let mut rest = member.into_inner();
                    let next = rest.fill_buf()?;
                    if next.first() == Some(&0x1F) {
                        self.state = State::Member(Box::new(GzDecoder::new(rest)));
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use flate2::{Compression, write::GzEncoder};
    use std::io::Write;

    fn packed(text: &str) -> Vec<u8> {
        let mut encoder = GzEncoder::new(Vec::new(), Compression::fast());
        encoder.write_all(text.as_bytes()).unwrap();
        encoder.finish().unwrap()
    }

    fn unpacked(bytes: &[u8]) -> io::Result<String> {
        let mut text = String::new();
        Members::new(bytes).read_to_string(&mut text)?;
        Ok(text)
    }

    #[test]
    fn all_members_are_read() {
        let mut bytes = packed("sku;price\n");
        bytes.extend(packed("A1;2\n"));
        assert_eq!(unpacked(&bytes).unwrap(), "sku;price\nA1;2\n");
    }

    #[test]
    fn junk_after_the_last_member_is_left_alone() {
        let mut bytes = packed("sku;price\n");
        bytes.extend([0; 512]);
        assert_eq!(unpacked(&bytes).unwrap(), "sku;price\n");
    }

    #[test]
    fn a_truncated_member_is_an_error() {
        let mut bytes = packed(&"sku;price\n".repeat(1000));
        bytes.truncate(bytes.len() - 6);
        assert!(unpacked(&bytes).is_err());
    }
}
