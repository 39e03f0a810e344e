//! What of an offer can be compared, interned: words, numbers, barcode, price, hard claims.
//!
//! A *record* is one offer seen by the link stage. Every text is replaced by a small number, so
//! that comparing a pair touches integers only. Interning follows the order of the offers given,
//! which the caller keeps canonical; the result never depends on a hash map's order.
//!
//! Refuses to judge: a spoiled number (spreadsheet damage, a placeholder) is simply absent here.

use crate::trade::identifier::canonical_number;
use compact_str::{CompactString, format_compact};
use rustc_hash::{FxHashMap, FxHashSet};

/// Index of an interned word.
pub type WordId = u32;
/// Index of an interned part number in canonical spelling.
pub type NumberId = u32;

/// Where a part number stands on the line; a number of the part itself says more than one it replaces.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum NumberPlace {
    /// the maker's own number of this part
    Own,
    /// a token of the title that looks like a part number
    Title,
    /// a number this part replaces or answers to
    Replaces,
}

/// How sure the part kind of an offer is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum KindSure {
    /// another kind is possible
    InDoubt,
    /// probability 0.97 and above
    BeyondDoubt,
    /// probability 0.995 and above
    QuiteCertain,
}

/// What the caller knows of one offer, borrowed.
#[derive(Clone, Debug)]
pub struct RecordText<'a> {
    /// index of the supplier (list) the offer stands in
    pub list: u32,
    /// part kind as read
    pub kind: u8,
    /// how sure that reading is; offers of kinds beyond doubt that differ are hardly one product
    pub kind_sure: KindSure,
    /// folded title
    pub title: &'a str,
    /// folded further description, weaker evidence
    pub extra: &'a str,
    /// folded brand, empty when unknown
    pub brand: &'a str,
    /// canonical numbers with their place
    pub numbers: Vec<(NumberPlace, &'a str)>,
    /// sound barcode as a number, 0 when none
    pub gtin: u64,
    /// pieces in the pack
    pub pack: u32,
    /// price of one piece, not a number when unknown
    pub price: f64,
    /// ln of that price over the median of its list and kind, not a number when unknown
    pub relative_price: f64,
    /// weight of one piece in grams, not a number when unknown
    pub weight_g: f64,
    /// index of the price's currency; prices compare only inside one currency
    pub currency: u16,
    /// claims that cannot differ between two offers of one product
    pub hard: HardClaims,
}

/// Interface claims that a made part has once: a contradiction forbids a merge.
#[derive(Clone, Copy, Default, Debug)]
pub struct HardClaims {
    /// displacement band served in cc: low, high (0, 0 when unknown)
    pub displacement: (f32, f32),
    /// number of mounting holes, 0 when unknown
    pub holes: u8,
    /// bolt circle readings in mm, as the hull of all readings (0, 0 when unknown)
    pub circle: (f32, f32),
    /// bit set of possible threads, 0 when unknown
    pub threads: u64,
}

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
    /// number of the unit behind its figure, see [`units`]; 0 where it is no measure
    pub unit: u32,
}

/// Bytes from which a word is long enough for slips of spelling: short ones differ in meaning by one letter.
const SLIPS_FROM: usize = 5;

impl WordTraits {
    fn of(word: &Word, idf: f32, top_idf: f32, unit: u32) -> WordTraits {
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

/// One interned part number.
#[derive(Clone, Debug)]
pub struct Number {
    /// canonical spelling
    pub text: CompactString,
    /// records that carry it, wherever it stands
    pub records: u32,
    /// whether it has a letter; bare digits collide between makers far more often
    pub lettered: bool,
}

/// One offer, ready to compare.
#[derive(Clone, Debug)]
pub struct Record {
    /// see [`RecordText::list`]
    pub list: u32,
    /// see [`RecordText::kind`]
    pub kind: u8,
    /// see [`RecordText::kind_sure`]
    pub kind_sure: KindSure,
    /// see [`RecordText::currency`]
    pub currency: u16,
    /// pieces in the pack
    pub pack: u32,
    /// sound barcode, 0 when none
    pub gtin: u64,
    /// natural logarithm of the unit price, NaN when unknown
    pub log_price: f32,
    /// see [`RecordText::relative_price`]
    pub relative_price: f32,
    /// natural logarithm of the weight in grams, NaN when unknown
    pub log_weight: f32,
    /// interned brand, `u32::MAX` when unknown
    pub brand: WordId,
    /// distinct title words, ascending
    pub words: Box<[WordId]>,
    /// distinct further words that are not in the title, ascending
    pub extra: Box<[WordId]>,
    /// numbers by place, ascending
    pub numbers: Box<[(NumberPlace, NumberId)]>,
    /// Euclidean length of the title in idf units
    pub length: f32,
    /// claims a product has only once
    pub hard: HardClaims,
}

/// All records of a run with their vocabularies.
#[derive(Debug, Default)]
pub struct Records {
    /// in the order of the offers
    pub list: Vec<Record>,
    /// by [`WordId`]
    pub words: Vec<Word>,
    /// by [`NumberId`]
    pub numbers: Vec<Number>,
    /// by [`WordId`]: ln(1 + N / records carrying it)
    pub idf: Vec<f32>,
    /// by [`WordId`]
    pub traits: Vec<WordTraits>,
    /// number of lists
    pub lists: u32,
}

/// No brand.
pub const NO_WORD: WordId = u32::MAX;

impl Records {
    /// Interns the texts, in their order.
    pub fn of(texts: &[RecordText<'_>]) -> Records {
        let mut words = Interner::default();
        let mut numbers = Interner::default();
        let mut list = Vec::with_capacity(texts.len());
        let measures = Measures::of(texts);
        for text in texts {
            list.push(record_of(text, &measures, &mut words, &mut numbers));
        }
        let mut records = Records {
            lists: texts.iter().map(|t| t.list + 1).max().unwrap_or(0),
            words: words.texts.into_iter().map(word_of).collect(),
            numbers: numbers.texts.into_iter().map(number_of).collect(),
            idf: Vec::new(),
            traits: Vec::new(),
            list,
        };
        let units = units(&records.words);
        records.leave_measures_out(&units);
        records.count(&units);
        records
    }

    /// Number of records.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Whether there is no record.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// A figure with its unit in a title ("128gb") is a measure and no number of a part.
    fn leave_measures_out(&mut self, units: &[u32]) {
        let measures: FxHashSet<CompactString> = units
            .iter()
            .zip(&self.words)
            .filter(|(unit, _)| **unit != 0)
            .map(|(_, word)| canonical_number(&word.text))
            .collect();
        let measure: Vec<bool> = self.numbers.iter().map(|n| measures.contains(&n.text)).collect();
        for record in &mut self.list {
            let kept = |n: &&(NumberPlace, NumberId)| n.0 != NumberPlace::Title || !measure[n.1 as usize];
            if !record.numbers.iter().all(|n| kept(&n)) {
                record.numbers = record.numbers.iter().filter(kept).copied().collect();
            }
        }
    }

    fn count(&mut self, units: &[u32]) {
        for record in &self.list {
            for &w in &record.words {
                self.words[w as usize].records += 1;
            }
            let mut last = u32::MAX;
            let mut seen: Vec<NumberId> = record.numbers.iter().map(|n| n.1).collect();
            seen.sort_unstable();
            for n in seen {
                if n != last {
                    self.numbers[n as usize].records += 1;
                }
                last = n;
            }
        }
        let total = self.list.len() as f32;
        self.idf = self
            .words
            .iter()
            .map(|w| (1.0 + total / w.records.max(1) as f32).ln())
            .collect();
        let top_idf = (1.0 + total).ln();
        let words = self.words.iter().zip(&self.idf).zip(units);
        self.traits = words
            .map(|((word, idf), unit)| WordTraits::of(word, *idf, top_idf, *unit))
            .collect();
        for record in &mut self.list {
            let square: f32 = record.words.iter().map(|&w| self.idf[w as usize].powi(2)).sum();
            record.length = square.sqrt();
        }
    }
}

#[derive(Default)]
struct Interner {
    by_text: FxHashMap<CompactString, u32>,
    texts: Vec<CompactString>,
}

impl Interner {
    fn id(&mut self, text: &str) -> u32 {
        if let Some(&id) = self.by_text.get(text) {
            return id;
        }
        let id = self.texts.len() as u32;
        self.by_text.insert(text.into(), id);
        self.texts.push(text.into());
        id
    }
}

/// Figures written together with their unit somewhere ("8gb"): where they are written apart ("8 gb"), they are the same
/// word, and neither the bare figure nor the bare unit is one. So are figures before the full name of such a unit.
#[derive(Default)]
struct Measures {
    known: FxHashSet<CompactString>,
    /// units of several figures, in the order of their letters
    units: Vec<CompactString>,
}

/// Longest figure and longest unit of a measure, in characters.
const MEASURE: (usize, usize) = (5, 4);
/// Shortest full name of a unit, in characters.
const FULL_NAME: usize = 3;

impl Measures {
    fn of(texts: &[RecordText<'_>]) -> Measures {
        let mut known = FxHashSet::default();
        let mut figures: FxHashMap<CompactString, u32> = FxHashMap::default();
        for text in texts {
            each_word(text.title, |word| {
                if let Some((_, unit)) = measure(word)
                    && !known.contains(word)
                {
                    known.insert(word.into());
                    *figures.entry(unit.into()).or_default() += 1;
                }
            });
        }
        let several = figures.into_iter().filter(|(_, count)| *count >= FIGURES_OF_A_UNIT);
        let mut units: Vec<CompactString> = several.map(|(unit, _)| unit).collect();
        units.sort_unstable();
        Measures { known, units }
    }

    /// Whether a figure and a unit that stand apart are one measure.
    fn is_one(&self, both: &str, unit: &str) -> bool {
        self.known.contains(both) || self.units.iter().any(|short| is_full_name(unit, short))
    }

    /// Calls `take` for the words of a title, measures put together.
    fn each_word(&self, title: &str, mut take: impl FnMut(&str)) {
        let mut before = CompactString::default();
        each_word(title, |word| {
            if is_unit(word) && !before.is_empty() {
                let both = format_compact!("{before}{word}");
                if self.is_one(&both, word) {
                    before.clear();
                    return take(&both);
                }
            }
            if !before.is_empty() {
                take(&before);
                before.clear();
            }
            if is_figure(word) {
                before.push_str(word);
            } else {
                take(word);
            }
        });
        if !before.is_empty() {
            take(&before);
        }
    }
}

fn is_figure(word: &str) -> bool {
    (1..=MEASURE.0).contains(&word.len()) && word.bytes().all(|b| b.is_ascii_digit())
}

fn is_unit(word: &str) -> bool {
    (1..=MEASURE.1).contains(&word.len()) && word.bytes().all(|b| b.is_ascii_alphabetic())
}

fn record_of(text: &RecordText<'_>, measures: &Measures, words: &mut Interner, numbers: &mut Interner) -> Record {
    let mut title = Vec::new();
    measures.each_word(text.title, |w| title.push(words.id(w)));
    let brand = first_word(text.brand).map_or(NO_WORD, |w| words.id(w));
    if brand != NO_WORD {
        title.push(brand);
    }
    title.sort_unstable();
    title.dedup();
    let mut extra = Vec::new();
    measures.each_word(text.extra, |w| extra.push(words.id(w)));
    extra.sort_unstable();
    extra.dedup();
    extra.retain(|w| title.binary_search(w).is_err());
    let mut own: Vec<(NumberPlace, NumberId)> = text.numbers.iter().map(|(place, n)| (*place, numbers.id(n))).collect();
    own.sort_unstable();
    own.dedup();
    Record {
        list: text.list,
        kind: text.kind,
        kind_sure: text.kind_sure,
        currency: text.currency,
        pack: text.pack,
        gtin: text.gtin,
        log_price: if text.price > 0.0 {
            text.price.ln() as f32
        } else {
            f32::NAN
        },
        relative_price: text.relative_price as f32,
        log_weight: if text.weight_g > 0.0 {
            text.weight_g.ln() as f32
        } else {
            f32::NAN
        },
        brand,
        words: title.into(),
        extra: extra.into(),
        numbers: own.into(),
        length: 0.0,
        hard: text.hard,
    }
}

fn first_word(text: &str) -> Option<&str> {
    text.split(|c: char| !c.is_alphanumeric()).find(|w| !w.is_empty())
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

/// By word, the unit that stands behind its figure, as a number from 1; 0 where there is none. A *unit* are letters that
/// stand behind several different figures; one that shortens another ("in", "inch") is the same unit.
fn units(words: &[Word]) -> Vec<u32> {
    let mut figures: FxHashMap<&str, u32> = FxHashMap::default();
    for (_, unit) in words.iter().filter_map(|word| measure(&word.text)) {
        *figures.entry(unit).or_default() += 1;
    }
    let several = figures.into_iter().filter(|(_, count)| *count >= FIGURES_OF_A_UNIT);
    let mut units: Vec<&str> = several.map(|(unit, _)| unit).collect();
    // the shortest first, and those alike in the order of their letters
    units.sort_unstable_by(|x, y| x.len().cmp(&y.len()).then(x.cmp(y)));
    let of = |word: &Word| {
        let (_, unit) = measure(&word.text)?;
        let is_unit = |known: &&str| *known == unit || is_full_name(unit, known);
        units.iter().position(is_unit).map(|at| at as u32 + 1)
    };
    words.iter().map(|word| of(word).unwrap_or(0)).collect()
}

/// Whether a unit is the full name of a shorter one.
fn is_full_name(unit: &str, short: &str) -> bool {
    unit.len() >= FULL_NAME && unit.len() > short.len() && shortened(short, unit)
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

/// Whether two measures of one unit say the same figure.
pub fn same_figure(x: &str, y: &str) -> bool {
    let figure = |word: &str| word.bytes().take_while(u8::is_ascii_digit).count();
    x[..figure(x)] == y[..figure(y)]
}

/// Different figures that letters must stand behind to be a unit.
const FIGURES_OF_A_UNIT: u32 = 3;

fn word_of(text: CompactString) -> Word {
    let shape = shape_of(&text);
    Word {
        text,
        records: 0,
        shape,
    }
}

/// A word that may be a figure with its unit.
fn measure(word: &str) -> Option<(&str, &str)> {
    let (figure, unit) = word.split_at(word.bytes().take_while(u8::is_ascii_digit).count());
    (is_figure(figure) && is_unit(unit)).then_some((figure, unit))
}

fn number_of(text: CompactString) -> Number {
    let lettered = text.chars().any(char::is_alphabetic);
    Number {
        text,
        records: 0,
        lettered,
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

#[cfg(test)]
impl<'a> RecordText<'a> {
    /// A line of a list that says nothing but its title.
    pub(super) fn titled(list: u32, title: &'a str) -> RecordText<'a> {
        RecordText {
            list,
            kind: 0,
            kind_sure: KindSure::QuiteCertain,
            title,
            extra: "",
            brand: "",
            numbers: Vec::new(),
            gtin: 0,
            pack: 1,
            price: f64::NAN,
            relative_price: f64::NAN,
            weight_g: f64::NAN,
            currency: 0,
            hard: HardClaims::default(),
        }
    }
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
    fn a_measure_is_one_word_however_it_is_spaced() {
        let known = Measures {
            known: FxHashSet::from_iter(["8gb".into()]),
            units: vec!["gb".into(), "in".into()],
        };
        let words = |title: &str| {
            let mut out = Vec::new();
            known.each_word(title, |w| out.push(w.to_string()));
            out
        };
        assert_eq!(words("camera 8 gb, 3 lamps"), ["camera", "8gb", "3", "lamps"]);
        assert_eq!(words("camera 8gb"), ["camera", "8gb"]);
        assert_eq!(words("15 in"), ["15", "in"], "nobody writes it together");
        assert_eq!(words("15 inch"), ["15inch"], "the full name of a unit");
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
