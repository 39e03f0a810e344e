//! Which delimiter and quote a list uses, by how consistent the whole sample becomes under each candidate. A candidate's
//! score is the product of what it explains: neighbouring rows of the same width (so preambles, footnotes and several
//! tables cost little), cells that look like something, quotes that stand where quotes may stand, and more than one
//! column. The runner-up and the margin are kept, since a close call must be said.
//!
//! What is tried stands in `candidates`, how it is judged in `score`. Excel's `sep=` line decides the delimiter outright.
//! Columns that are aligned by spaces (`gutters`) go before a delimiter that their rows do not hold equally often.

mod candidates;
mod gutters;
mod score;

use super::list::{Delimiter, DialectGuess, Escape, LineEnd};
use super::split::{Cut, Spaced};
use candidates::{delimiters, escapes, quotes};
use gutters::gutters_of;
use score::{score, wraps_cells};

/// Bytes of the sample looked at per candidate.
const SAMPLE_BYTES: usize = 128 << 10;

/// A margin below this is a close call.
pub(crate) const CLOSE_CALL: f32 = 0.1;

/// What a person has said about the dialect.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Fixed {
    pub(crate) delimiter: Option<Delimiter>,
    pub(crate) quote: Option<Option<u8>>,
    pub(crate) escape: Option<Escape>,
}

/// Detects the dialect of a sample of text that ends with a whole line.
pub(crate) fn detect(sample: &str, fixed: Fixed) -> DialectGuess {
    let line_end = line_end_of(sample.as_bytes());
    let text = &sample.as_bytes()[..cut_at_line(sample.as_bytes(), SAMPLE_BYTES)];
    let mut tried: Vec<(f32, Cut)> = Vec::new();
    for delimiter in delimiters(text, fixed) {
        for quote in quotes(text, fixed) {
            let (score, cut) = score_with_escape(text, delimiter, quote, fixed);
            // where cells are wrapped in quotes, quotes as mere letters must explain clearly more
            let wrapped = quote.is_none() && fixed.quote.is_none() && wraps_cells(text, &cut.with_quote(b'"'));
            tried.push((if wrapped { score * 0.8 } else { score }, cut));
        }
    }
    // candidates stand in the order of how usual they are, and only a better score displaces an earlier one
    let mut best = 0;
    for (index, (score, _)) in tried.iter().enumerate() {
        if *score > tried[best].0 {
            best = index;
        }
    }
    let (score, cut) = tried[best];
    let delimiter = as_delimiter(&cut);
    let free = fixed.delimiter.is_none() && fixed.quote.flatten().is_none();
    if let Some(gutters) = gutters_of(&sample[..text.len()], delimiter).filter(|_| free) {
        return DialectGuess {
            delimiter: Delimiter::Columns(gutters),
            quote: None,
            escape: Escape::None,
            line_end,
            runner_up: Some(delimiter),
            margin: 1.0,
        };
    }
    let second = tried
        .iter()
        .filter(|(_, other)| byte_of(as_delimiter(other)) != byte_of(delimiter))
        .fold(None, |second: Option<&(f32, Cut)>, other| match second {
            Some(known) if known.0 >= other.0 => Some(known),
            _ => Some(other),
        });
    DialectGuess {
        delimiter,
        quote: cut.quote,
        escape: cut.escape,
        line_end,
        runner_up: second.map(|(_, other)| as_delimiter(other)),
        margin: second.map_or(1.0, |(other, _)| ((score - other) / score.max(1e-6)).clamp(0.0, 1.0)),
    }
}

/// The delimiter named by Excel's `sep=` line, and the bytes of that line.
pub(crate) fn sep_line(text: &str) -> Option<(Delimiter, usize)> {
    let end = text.find(['\n', '\r'])?;
    let line = text[..end].trim_matches('"');
    let value = line
        .get(..4)
        .filter(|start| start.eq_ignore_ascii_case("sep="))
        .map(|_| &line[4..])?;
    let byte = match value.as_bytes() {
        [byte] => *byte,
        b"\\t" => b'\t',
        _ => return None,
    };
    let next = if text[end..].starts_with("\r\n") {
        end + 2
    } else {
        end + 1
    };
    Some((Delimiter::Byte(byte), next))
}

/// A delimiter in words.
pub(crate) fn shown(delimiter: Delimiter) -> String {
    let named = |byte: u8| match byte {
        b'\t' => "tab".to_string(),
        b' ' => "space".to_string(),
        byte => format!("`{}`", char::from(byte)),
    };
    match delimiter {
        Delimiter::Byte(byte) => named(byte),
        Delimiter::ByteAndSpace(byte) => format!("{} and a space", named(byte)),
        Delimiter::Columns(_) => "aligned columns".to_string(),
        Delimiter::None => "nothing".to_string(),
        Delimiter::Workbook => "the workbook's cells".to_string(),
    }
}

/// The delimiter's own byte, with or without its space.
fn byte_of(delimiter: Delimiter) -> Option<u8> {
    match delimiter {
        Delimiter::Byte(byte) | Delimiter::ByteAndSpace(byte) => Some(byte),
        Delimiter::Columns(_) | Delimiter::None | Delimiter::Workbook => None,
    }
}

fn as_delimiter(cut: &Cut) -> Delimiter {
    match (cut.delimiter, cut.spaced) {
        (None, _) => Delimiter::None,
        (Some(byte), Spaced::No) => Delimiter::Byte(byte),
        (Some(byte), Spaced::Yes) => Delimiter::ByteAndSpace(byte),
    }
}

fn cut_of(delimiter: Delimiter, quote: Option<u8>, escape: Escape) -> Cut {
    Cut::of(&DialectGuess {
        delimiter,
        quote,
        escape,
        line_end: LineEnd::Lf,
        runner_up: None,
        margin: 0.0,
    })
}

fn score_with_escape(text: &[u8], delimiter: Delimiter, quote: Option<u8>, fixed: Fixed) -> (f32, Cut) {
    let mut best: Option<(f32, Cut)> = None;
    for escape in escapes(text, quote, fixed) {
        let cut = cut_of(delimiter, quote, escape);
        let score = score(text, &cut);
        // a rarer escape must explain clearly more than a more usual one
        if best.is_none_or(|(known, _)| score > known * 1.001 + 1e-6) {
            best = Some((score, cut));
        }
    }
    best.unwrap_or((0.0, cut_of(delimiter, quote, Escape::Doubled)))
}

/// End of the last whole line within `most` bytes.
fn cut_at_line(text: &[u8], most: usize) -> usize {
    if text.len() <= most {
        return text.len();
    }
    memchr::memrchr2(b'\n', b'\r', &text[..most]).map_or(most, |place| place + 1)
}

fn line_end_of(text: &[u8]) -> LineEnd {
    let feeds = memchr::memchr_iter(b'\n', text).count();
    let returns = memchr::memchr_iter(b'\r', text).count();
    let pairs = memchr::memmem::find_iter(text, b"\r\n").count();
    match (feeds - pairs, returns - pairs, pairs) {
        (_, 0, 0) => LineEnd::Lf,
        (0, _, 0) => LineEnd::Cr,
        (0, 0, _) => LineEnd::CrLf,
        _ => LineEnd::Mixed,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(sample: &str) -> DialectGuess {
        detect(sample, Fixed::default())
    }

    #[test]
    fn a_decimal_comma_does_not_pass_for_a_delimiter() {
        let guess = found("nr;preis;netto\n1;12,50;10,50\n2;3,90;3,28\n3;4,00;3,36\n");
        assert_eq!(guess.delimiter, Delimiter::Byte(b';'));
        assert!(guess.margin > CLOSE_CALL, "{guess:?}");
    }

    #[test]
    fn tab_pipe_and_comma_space_are_found() {
        assert_eq!(
            found("a\tb c\td\n1\tx y\t2\n3\tz, q\t4\n").delimiter,
            Delimiter::Byte(b'\t')
        );
        assert_eq!(found("a|b c|d\n1|x y|2\n3|z, q|4\n").delimiter, Delimiter::Byte(b'|'));
        assert_eq!(
            found("a, b, c\n1, \"x, y\", 2\n3, z, 4\n").delimiter,
            Delimiter::ByteAndSpace(b',')
        );
    }

    #[test]
    fn an_apostrophe_in_a_word_is_no_quote() {
        let guess = found("n,text\n1,men's boots\n2,women's boots\n");
        assert_eq!(guess.quote, Some(b'"'));
        let guess = found("n,text\n1,'men''s boots, brown'\n2,'boots'\n");
        assert_eq!((guess.quote, guess.escape), (Some(b'\''), Escape::Doubled));
    }

    #[test]
    fn escapes_are_told_apart() {
        assert_eq!(
            found("n,t\n1,\"10\\\" pipe, red\"\n2,\"x\"\n").escape,
            Escape::Byte(b'\\')
        );
        assert_eq!(found("n,t\n1,\"10\"\" pipe, red\"\n2,\"x\"\n").escape, Escape::Doubled);
    }

    #[test]
    fn prose_in_one_column_is_not_cut_at_spaces() {
        assert_eq!(
            found("Recoil starter\nFan shroud\nStarter rope\nReturn spring\n").delimiter,
            Delimiter::None
        );
    }

    #[test]
    fn a_sep_line_names_its_delimiter() {
        assert_eq!(sep_line("sep=;\r\na;b\n"), Some((Delimiter::Byte(b';'), 7)));
        assert_eq!(sep_line("separator\n"), None);
    }

    #[test]
    fn line_ends_are_told_apart() {
        assert_eq!(found("a,b\r\n1,2\r\n").line_end, LineEnd::CrLf);
        assert_eq!(found("a,b\r1,2\r").line_end, LineEnd::Cr);
        assert_eq!(found("a,b\r\n1,2\n").line_end, LineEnd::Mixed);
    }
}
