//! Encoding and dialect of a text: a person's word where there is one, what the bytes say where there is none, and a note
//! where the two disagree or the call is close.

use std::sync::Arc;

use super::super::decode::TextStream;
use super::super::dialect::{self, CLOSE_CALL};
use super::super::encoding::{self, Chosen};
use super::super::list::{Delimiter, DialectGuess, EncodingSource, Escape, Note};
use super::super::problem::{FileFailure, Problem};
use super::super::survey::Survey;
use super::Opening;

/// Text that dialect and layout are worked out on, bytes.
const SAMPLE_BYTES: usize = 512 << 10;
/// An encoding detected with less confidence than this gets a note.
const UNSURE_ENCODING: f32 = 0.7;

impl Opening<'_> {
    pub(super) fn encoding(
        &self,
        shown: &Arc<str>,
        survey: &Survey,
        notes: &mut Vec<Note>,
    ) -> Result<Chosen, FileFailure> {
        let detected = encoding::detect(survey);
        let Some(label) = self.said.encoding.as_deref() else {
            if detected.guess.confidence < UNSURE_ENCODING {
                let label = detected.guess.label;
                let message = format!("the encoding was taken for {label}, which is not sure; name it in a profile");
                notes.push(Note::new(message));
            }
            return Ok(detected);
        };
        let how = match &self.profile {
            Some(profile) if profile.dialect.encoding.is_some() => EncodingSource::Profile,
            _ => EncodingSource::Metadata,
        };
        let chosen = encoding::by_label(label, how, survey).ok_or_else(|| {
            FileFailure::new(
                shown,
                Problem::UnreadableEncoding,
                format!("the encoding `{label}` is not known"),
            )
        })?;
        if chosen.encoding != detected.encoding && detected.guess.confidence >= 0.9 && survey.has_non_ascii() {
            let (said, seen) = (chosen.guess.label, detected.guess.label);
            notes.push(Note::new(format!(
                "the profile says {said}, the bytes look like {seen}; the profile was followed"
            )));
        }
        Ok(chosen)
    }

    pub(super) fn dialect(&self, sample: &str, sep: Option<Delimiter>, notes: &mut Vec<Note>) -> DialectGuess {
        let keys = &self.said;
        let first = |text: &String| text.bytes().next();
        let said = keys.delimiter.as_ref().and_then(|text| match text.as_bytes() {
            [byte] => Some(Delimiter::Byte(*byte)),
            [byte, b' '] => Some(Delimiter::ByteAndSpace(*byte)),
            _ => None,
        });
        let fixed = dialect::Fixed {
            delimiter: said.or(sep),
            quote: keys.quote_char.as_ref().map(first),
            escape: match (&keys.escape_char, keys.double_quote) {
                (Some(text), _) if !text.is_empty() => first(text).map(Escape::Byte),
                (_, Some(true)) => Some(Escape::Doubled),
                (_, Some(false)) => Some(Escape::None),
                _ => None,
            },
        };
        let guess = dialect::detect(sample, fixed);
        if said.is_some() {
            let free = dialect::detect(sample, dialect::Fixed::default());
            if free.delimiter != guess.delimiter && free.margin > 0.5 {
                notes.push(Note::new(format!(
                    "the profile's delimiter was followed, though the list looks delimited by {}",
                    dialect::shown(free.delimiter)
                )));
            }
        } else if guess.margin < CLOSE_CALL
            && let Some(second) = guess.runner_up
        {
            notes.push(Note::new(format!(
                "the delimiter is a close call: {} was taken, {} is nearly as likely; name it in a profile",
                dialect::shown(guess.delimiter),
                dialect::shown(second)
            )));
        }
        guess
    }
}

/// The first text of a stream, whole lines only, and whether it is all there is.
pub(super) fn sample_of(mut stream: TextStream) -> std::io::Result<(String, bool)> {
    let mut text = String::new();
    stream.append(&mut text, SAMPLE_BYTES, &mut Vec::new())?;
    if !stream.is_finished()
        && let Some(end) = memchr::memrchr2(b'\n', b'\r', text.as_bytes())
    {
        text.truncate(end + 1);
    }
    Ok((text, stream.is_finished()))
}

/// The last text of a stream; its first letter may be cut.
pub(super) fn tail_of(survey: &Survey, chosen: &Chosen) -> String {
    // two-byte encodings keep their step from the start of the file
    let step = usize::from((survey.bytes - survey.tail.len() as u64) % 2 == 1);
    let tail = &survey.tail[step.min(survey.tail.len())..];
    let (text, _) = chosen.encoding.decode_without_bom_handling(tail);
    text.into_owned()
}

/// Control bytes that no text has, in more than one byte of fifty.
pub(super) fn is_binary(survey: &Survey, chosen: &Chosen) -> bool {
    if chosen.encoding == encoding_rs::UTF_16LE || chosen.encoding == encoding_rs::UTF_16BE {
        return false;
    }
    let odd = |byte: &&u8| **byte < 0x20 && !matches!(**byte, b'\t' | b'\n' | b'\r' | 0x0C | 0x1B);
    let controls = survey.head.iter().filter(odd).count();
    controls * 50 > survey.head.len()
}
