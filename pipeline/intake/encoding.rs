//! Which encoding a list is in. Order of evidence: byte order mark; the NUL pattern of UTF-16; UTF-8, when more of its
//! non-ASCII bytes make sound sequences than not; else the statistical detector over the lines that hold such bytes. The
//! confidence is recorded, and a list is never refused for its encoding alone: bytes that are no text in it are rejected
//! line by line.

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::Encoding;

use super::list::{EncodingGuess, EncodingSource};
use super::survey::Survey;

/// An encoding and the bytes of its mark at the start of the file.
#[derive(Clone, Debug)]
pub(crate) struct Chosen {
    pub(crate) encoding: &'static Encoding,
    pub(crate) mark_bytes: usize,
    pub(crate) guess: EncodingGuess,
}

fn chosen(encoding: &'static Encoding, mark_bytes: usize, how: EncodingSource, confidence: f32) -> Chosen {
    Chosen {
        encoding,
        mark_bytes,
        guess: EncodingGuess {
            label: encoding.name(),
            how,
            confidence,
        },
    }
}

/// Chooses by a label from a profile or from metadata, with the mark skipped if there is one.
pub(crate) fn by_label(label: &str, how: EncodingSource, survey: &Survey) -> Option<Chosen> {
    let encoding = Encoding::for_label(label.as_bytes())?;
    let mark_bytes = match Encoding::for_bom(&survey.head) {
        Some((marked, length)) if marked == encoding => length,
        _ => 0,
    };
    Some(chosen(encoding, mark_bytes, how, 1.0))
}

/// Chooses by what the bytes say.
pub(crate) fn detect(survey: &Survey) -> Chosen {
    if let Some((encoding, length)) = Encoding::for_bom(&survey.head) {
        return chosen(encoding, length, EncodingSource::ByteOrderMark, 1.0);
    }
    if let Some(found) = unmarked_utf16(survey) {
        return found;
    }
    if survey.broken_sequences == 0 {
        return chosen(encoding_rs::UTF_8, 0, EncodingSource::Detected, 1.0);
    }
    let (sound, broken) = (survey.sound_sequences as f32, survey.broken_sequences as f32);
    if sound > broken {
        return chosen(
            encoding_rs::UTF_8,
            0,
            EncodingSource::Detected,
            sound / (sound + broken),
        );
    }
    detect_single_or_double_byte(survey)
}

/// Text of mostly Latin letters in UTF-16 has a NUL in every second byte.
fn unmarked_utf16(survey: &Survey) -> Option<Chosen> {
    let pairs = (survey.bytes / 2).max(1) as f32;
    let even = survey.nuls[0] as f32 / pairs;
    let odd = survey.nuls[1] as f32 / pairs;
    if !survey.bytes.is_multiple_of(2) && even.max(odd) < 0.5 {
        return None;
    }
    // digits, delimiters and line ends are Latin even in a list in Chinese: a fifth is enough, if the other side has none
    if odd > 0.2 && even < odd / 20.0 {
        Some(chosen(
            encoding_rs::UTF_16LE,
            0,
            EncodingSource::Detected,
            (0.5 + odd / 2.0).min(1.0),
        ))
    } else if even > 0.2 && odd < even / 20.0 {
        Some(chosen(
            encoding_rs::UTF_16BE,
            0,
            EncodingSource::Detected,
            (0.5 + even / 2.0).min(1.0),
        ))
    } else {
        None
    }
}

fn detect_single_or_double_byte(survey: &Survey) -> Chosen {
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    detector.feed(&survey.evidence, true);
    let guess = detector.guess(None, Utf8Detection::Deny);
    let usual = USUAL.contains(&guess);
    let guess = if usual {
        guess
    } else {
        likeliest_usual(&survey.evidence)
    };
    let encoding = widened(guess, &survey.evidence);
    let sureness = if usual { 1.0 } else { 0.7 };
    let confidence = confidence_of(encoding, &survey.evidence) * sureness;
    chosen(encoding, 0, EncodingSource::Detected, confidence)
}

/// Encodings in which suppliers' lists come; a few letters can look like any other, which is then the detector's play.
static USUAL: [&Encoding; 10] = [
    encoding_rs::WINDOWS_1252,
    encoding_rs::WINDOWS_1250,
    encoding_rs::WINDOWS_1251,
    encoding_rs::ISO_8859_2,
    encoding_rs::GBK,
    encoding_rs::SHIFT_JIS,
    encoding_rs::EUC_JP,
    encoding_rs::EUC_KR,
    encoding_rs::BIG5,
    encoding_rs::KOI8_R,
];

/// Of the usual single-byte encodings the one in which most of the evidence is letters, the most usual where they tie.
fn likeliest_usual(evidence: &[u8]) -> &'static Encoding {
    let mut best = (f32::MIN, USUAL[0]);
    for encoding in USUAL.into_iter().filter(|encoding| encoding.is_single_byte()) {
        let confidence = confidence_of(encoding, evidence);
        if confidence > best.0 {
            best = (confidence, encoding);
        }
    }
    best.1
}

/// ISO-8859-15 is Windows-1252 but for eight letters; the euro sign before or after a digit tells it, where the other
/// encodings have a currency sign that nobody writes.
fn is_latin_with_euro(evidence: &[u8]) -> bool {
    let control_range = evidence.iter().any(|byte| (0x80..0xA0).contains(byte));
    let euro_by_digit = memchr::memchr_iter(0xA4, evidence).any(|place| {
        let before = evidence[..place].iter().rev().find(|byte| **byte != b' ');
        let after = evidence[place + 1..].iter().find(|byte| **byte != b' ');
        before.is_some_and(u8::is_ascii_digit) || after.is_some_and(u8::is_ascii_digit)
    });
    euro_by_digit && !control_range
}

/// Hungarian in Windows-1250 differs from Windows-1252 in two letters. No language has the õ or û of Windows-1252 beside
/// ö or ü, or both of them, and none but the vowels of Hungarian.
fn is_hungarian(evidence: &[u8]) -> bool {
    let letters = || evidence.iter().copied().filter(|byte| *byte >= 0xC0);
    // á é í ó ö ő ú ü ű, small and capital
    let vowels = *b"\xE1\xE9\xED\xF3\xF6\xF5\xFA\xFC\xFB\xC1\xC9\xCD\xD3\xD6\xD5\xDA\xDC\xDB";
    let has = |small: u8| letters().any(|byte| byte == small || byte == small - 0x20);
    let (long_o, long_u) = (has(0xF5), has(0xFB));
    letters().all(|byte| vowels.contains(&byte)) && (long_o && long_u || (long_o || long_u) && (has(0xF6) || has(0xFC)))
}

/// GB18030 reads everything GBK does and more.
fn widened(guess: &'static Encoding, evidence: &[u8]) -> &'static Encoding {
    if guess == encoding_rs::GBK {
        return encoding_rs::GB18030;
    }
    let western = encoding_rs::WINDOWS_1252;
    let latin = [western, encoding_rs::WINDOWS_1250, encoding_rs::ISO_8859_2];
    if latin.contains(&guess) && is_latin_with_euro(evidence) {
        return encoding_rs::ISO_8859_15;
    }
    if latin.contains(&guess) && is_hungarian(evidence) {
        return encoding_rs::WINDOWS_1250;
    }
    if western.decode_without_bom_handling(evidence).0 == guess.decode_without_bom_handling(evidence).0 {
        // where both read the same letters, the commonest is named
        return western;
    }
    guess
}

/// How much of the evidence reads as letters, digits and the marks that lists use.
fn confidence_of(encoding: &'static Encoding, evidence: &[u8]) -> f32 {
    let (text, _) = encoding.decode_without_bom_handling(evidence);
    let (mut plain, mut odd) = (0u32, 0u32);
    for letter in text.chars().filter(|letter| !letter.is_ascii()) {
        let usual = letter.is_alphabetic()
            || "°²³½¼¾µ·×÷±€£¥§©®™–—…‘’“”„‚«»‹›•¿¡ªº´¨\u{a0}".contains(letter)
            || ('\u{3000}'..='\u{303F}').contains(&letter)
            || ('\u{FF00}'..='\u{FFEF}').contains(&letter);
        if usual { plain += 1 } else { odd += 1 }
    }
    let share = plain as f32 / (plain + odd).max(1) as f32;
    // few letters prove little: two of them leave a third of the doubt that none would
    let weight = 1.0 - 1.0 / (1.0 + plain as f32);
    (0.5 + 0.45 * share * weight).clamp(0.3, 0.95) * share.max(0.5)
}

#[cfg(test)]
#[path = "encoding_tests.rs"]
mod tests;
