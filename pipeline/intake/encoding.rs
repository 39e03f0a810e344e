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
mod tests {
    use super::*;

    fn detected(bytes: &[u8]) -> (&'static str, f32) {
        let survey = Survey::of(bytes, |_| {}).unwrap();
        let chosen = detect(&survey);
        (chosen.guess.label, chosen.guess.confidence)
    }

    fn in_encoding(label: &str, text: &str) -> Vec<u8> {
        let encoding = Encoding::for_label(label.as_bytes()).unwrap();
        encoding.encode(text).0.into_owned()
    }

    fn utf16(text: &str, big_endian: bool) -> Vec<u8> {
        text.encode_utf16()
            .flat_map(|unit| {
                if big_endian {
                    unit.to_be_bytes()
                } else {
                    unit.to_le_bytes()
                }
            })
            .collect()
    }

    const GERMAN: &str =
        "Artikel;Bezeichnung;Preis\n1001;Lüfterhaube für Rasenmäher;12,50\n1002;Rückholfeder, groß;3,90\n";
    const POLISH: &str = "Indeks;Nazwa;Cena\n1001;Rozrusznik ręczny kompletny, żółty;45,00\n1002;Sprężyna zwrotna do szarpaka, mała;9,90\n1003;Osłona wentylatora pomalowana na czarno, późniejsza wersja;30\n";
    const RUSSIAN: &str =
        "Артикул;Наименование;Цена\n1001;Стартер ручной в сборе для двигателя;450,00\n1002;Пружина возвратная;90\n";
    const CHINESE: &str = "货号,品名,单价\n1001,汽油机拉盘 启动器总成,18.50\n1002,风扇罩 适用机型,12.00\n";
    const JAPANESE: &str =
        "品番,品名,価格\n1001,リコイルスターター アッセンブリ,1800\n1002,ファンカバー(黒)です,1200\n";

    #[test]
    fn marks_decide_at_once() {
        assert_eq!(detected("\u{FEFF}sku;price\n".as_bytes()).0, "UTF-8");
        let mut bytes = vec![0xFF, 0xFE];
        bytes.extend(utf16("sku;price\n", false));
        assert_eq!(detected(&bytes), ("UTF-16LE", 1.0));
    }

    #[test]
    fn utf16_is_known_without_its_mark() {
        assert_eq!(detected(&utf16(GERMAN, false)).0, "UTF-16LE");
        assert_eq!(detected(&utf16(GERMAN, true)).0, "UTF-16BE");
        assert_eq!(detected(&utf16(CHINESE, false)).0, "UTF-16LE");
    }

    #[test]
    fn utf8_survives_a_stray_byte() {
        let mut bytes = GERMAN.as_bytes().to_vec();
        bytes.extend(b"1003;Seil 5 \xB0;1,00\n");
        assert_eq!(detected(&bytes).0, "UTF-8");
    }

    #[test]
    fn western_central_and_eastern_lists_are_told_apart() {
        assert_eq!(detected(&in_encoding("windows-1252", GERMAN)).0, "windows-1252");
        assert!(matches!(
            detected(&in_encoding("windows-1250", POLISH)).0,
            "windows-1250"
        ));
        assert!(matches!(detected(&in_encoding("iso-8859-2", POLISH)).0, "ISO-8859-2"));
        assert_eq!(detected(&in_encoding("windows-1251", RUSSIAN)).0, "windows-1251");
        let euro = in_encoding(
            "iso-8859-15",
            "Réf;Prix\n1001;12,50 €\n1002;15,00 €\nDémarreur complété;3 €\n",
        );
        assert_eq!(detected(&euro).0, "ISO-8859-15");
    }

    #[test]
    fn a_euro_sign_by_a_digit_and_the_long_vowels_of_hungarian_are_told() {
        let list: String = (0..15).map(|n| format!("R{n};Lanceur cœur {n};{n},90 €\n")).collect();
        assert_eq!(
            detected(&in_encoding("iso-8859-15", &format!("réf;désignation;prix\n{list}"))).0,
            "ISO-8859-15"
        );
        let list: String = (0..15)
            .map(|n| format!("K{n};Berántó fűkaszához, őrző gyűrű {n};{n},90\n"))
            .collect();
        assert_eq!(detected(&in_encoding("windows-1250", &list)).0, "windows-1250");
        // French has û and German ö, neither has both
        let french: String = (0..15)
            .map(|n| format!("R{n};Coûte la même pièce, août {n};{n},90\n"))
            .collect();
        assert_eq!(detected(&in_encoding("windows-1252", &french)).0, "windows-1252");
    }

    #[test]
    fn chinese_and_japanese_lists_are_told_apart() {
        assert_eq!(detected(&in_encoding("gb18030", CHINESE)).0, "gb18030");
        assert_eq!(detected(&in_encoding("shift_jis", JAPANESE)).0, "Shift_JIS");
    }

    #[test]
    fn one_letter_is_read_as_the_most_usual_encoding_has_it() {
        assert_eq!(detected(b"codice|disponibile\r\n1|s\xEC\r\n2|no\r\n").0, "windows-1252");
    }

    #[test]
    fn few_letters_leave_doubt() {
        let (_, confidence) = detected(b"sku;price\nA\xFC1;2\n");
        assert!(confidence < 0.8, "{confidence}");
        assert_eq!(detected(b"sku;price\n").1, 1.0);
    }
}
