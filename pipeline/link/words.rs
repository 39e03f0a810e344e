//! The words of titles: how a text falls into words, what a word looks like, how rare it is.

use compact_str::CompactString;

/// Index of an interned word.
pub type WordId = u32;

/// How a word behaves as evidence.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum WordShape {
    /// letters only
    Plain,
    /// a short figure (size, count, year)
    Figure,
    /// letters and digits together, or five digits and more: reads like a model or part code
    Code,
}

/// One interned word with its frequency.
#[derive(Clone, Debug)]
pub struct Word {
    /// the folded spelling
    pub text: CompactString,
    /// records that carry it in the title
    pub records: u32,
    /// what it looks like
    pub shape: WordShape,
}

/// What comparing asks of a word, close together.
#[derive(Clone, Copy, Debug)]
pub struct WordTraits {
    /// ln(1 + N / records carrying it)
    pub idf: f32,
    /// how rare that is: 1 = frequent, 5 = as rare as can be
    pub rarity: u8,
    /// what it looks like
    pub shape: WordShape,
    /// first byte of a plain word that is long enough for slips of spelling, else 0
    pub first: u8,
    /// number of characters, 255 at the most
    pub length: u8,
    /// which characters it has, see [`letters_of`]
    pub letters: u64,
    /// number of the unit behind its figure, see [`super::measures`]; 0 where it is no measure
    pub unit: u32,
}

/// Bytes from which a word is long enough for slips of spelling: short ones differ in meaning by one letter.
const SLIPS_FROM: usize = 5;

impl WordTraits {
    pub(super) fn of(word: &Word, idf: f32, top_idf: f32, unit: u32) -> WordTraits {
        let long = word.shape == WordShape::Plain && word.text.len() >= SLIPS_FROM;
        WordTraits {
            idf,
            rarity: rarity(idf, top_idf),
            shape: word.shape,
            first: if long { word.text.as_bytes()[0] } else { 0 },
            length: word.text.chars().count().min(255) as u8,
            letters: letters_of(&word.text),
            unit,
        }
    }
}

/// How rare a word of this idf is where `top_idf` is the rarest there can be: 1 = frequent or none, 5 = as rare as can be.
pub fn rarity(idf: f32, top_idf: f32) -> u8 {
    let share = idf / top_idf.max(1e-6);
    1 + [0.3, 0.5, 0.7, 0.85].iter().filter(|limit| share > **limit).count() as u8
}

/// The characters of a word as bits: common bits of two words are at least the characters they have in common.
/// Characters share 21 places, each counted up to three; more than that sets all bits.
pub fn letters_of(word: &str) -> u64 {
    let mut letters = 0u64;
    for character in word.chars() {
        let shift = 3 * (u32::from(character) % 21);
        match letters >> shift & 7 {
            7 => return u64::MAX,
            // one bit more
            seen => letters |= (seen << 1 | 1) << shift,
        }
    }
    letters
}

/// Calls `take` for every word of a folded text. A word with inner dashes, dots or slashes is
/// given in its pieces and, when it holds a digit, squeezed together too ("ps-lx350h" also as
/// "pslx350h"), because lists disagree about the dashes.
pub fn each_word(text: &str, mut take: impl FnMut(&str)) {
    let mut squeezed = String::new();
    for chunk in text.split(|c: char| !(c.is_alphanumeric() || matches!(c, '-' | '.' | '/' | '_'))) {
        let mut pieces = 0;
        for piece in chunk.split(['-', '.', '/', '_']).filter(|p| !p.is_empty()) {
            take(piece);
            pieces += 1;
        }
        if pieces > 1 && chunk.len() <= 24 && chunk.bytes().any(|b| b.is_ascii_digit()) {
            squeezed.clear();
            squeezed.extend(chunk.chars().filter(|c| c.is_alphanumeric()));
            take(&squeezed);
        }
    }
}

pub(super) fn word_of(text: CompactString) -> Word {
    let shape = shape_of(&text);
    Word {
        text,
        records: 0,
        shape,
    }
}

/// What a word looks like.
pub fn shape_of(word: &str) -> WordShape {
    let digits = word.chars().filter(|c| c.is_ascii_digit()).count();
    let letters = word.chars().filter(|c| c.is_alphabetic()).count();
    match (letters, digits) {
        (_, 0) => WordShape::Plain,
        (0, d) if d < 5 => WordShape::Figure,
        (l, d) if l + d < 4 => WordShape::Figure,
        _ => WordShape::Code,
    }
}

/// Whether the shorter word may be written for the longer: it begins alike and its letters stand in the longer in order.
pub fn shortened(x: &str, y: &str) -> bool {
    let (short, long) = if x.len() <= y.len() { (x, y) } else { (y, x) };
    if short.len() < 2 || short.as_bytes()[0] != long.as_bytes()[0] {
        return false;
    }
    let mut letters = long.chars();
    short.chars().all(|c| letters.any(|l| l == c))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<String> {
        let mut out = Vec::new();
        each_word(text, |w| out.push(w.to_string()));
        out
    }

    #[test]
    fn a_dashed_code_is_read_in_pieces_and_squeezed() {
        assert_eq!(
            words("starter kr-200x, red"),
            ["starter", "kr", "200x", "kr200x", "red"]
        );
    }

    #[test]
    fn a_dashed_word_without_digits_is_not_squeezed() {
        assert_eq!(words("heavy-duty"), ["heavy", "duty"]);
    }

    #[test]
    fn short_figures_are_no_codes() {
        assert_eq!(shape_of("196"), WordShape::Figure);
        assert_eq!(shape_of("6hp"), WordShape::Figure);
        assert_eq!(shape_of("kr200"), WordShape::Code);
        assert_eq!(shape_of("28400"), WordShape::Code);
        assert_eq!(shape_of("starter"), WordShape::Plain);
    }
}
