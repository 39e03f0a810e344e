//! What of an offer can be compared, interned: words, numbers, barcode, price, hard claims.
//!
//! A *record* is one offer seen by the link stage. Every text is replaced by a small number, so
//! that comparing a pair touches integers only. Interning follows the order of the offers given,
//! which the caller keeps canonical; the result never depends on a hash map's order.
//!
//! Refuses to judge: a spoiled number (spreadsheet damage, a placeholder) is simply absent here.

use super::measures::{Measures, units};
pub use super::record_text::{HardClaims, KindSure, NumberPlace, RecordText};
use super::words::word_of;
pub use super::words::{Word, WordId, WordShape, WordTraits};
use crate::normalise::kind::KindId;
use crate::trade::identifier::canonical_number;
use compact_str::CompactString;
use rustc_hash::{FxHashMap, FxHashSet};

/// Index of an interned part number in canonical spelling.
pub type NumberId = u32;

/// One interned part number.
#[derive(Clone, Debug)]
pub struct Number {
    /// canonical spelling
    pub text: CompactString,
    /// records that carry it, wherever it stands
    pub records: u32,
    /// whether it has a letter; bare digits collide between makers far more often
    pub lettered: bool,
    /// whether a line says that its own number is another: names this one as replaced, or shows it in its title beside a
    /// number of its own
    pub referred_to: bool,
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
    /// words of the title and further ones together, ascending; empty without further words, and in lists of parts, whose
    /// further words are claims
    pub everything: Box<[WordId]>,
    /// Euclidean length of these in idf units of their own
    pub whole_length: f32,
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
    /// by [`WordId`]: the same, counted over titles and further words together; empty where no record has further words
    pub whole_idf: Vec<f32>,
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
            whole_idf: Vec::new(),
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
            let own = |n: NumberId| record.numbers.contains(&(NumberPlace::Own, n));
            let numbered = record.numbers.iter().any(|n| n.0 == NumberPlace::Own);
            for &(place, n) in &record.numbers {
                self.numbers[n as usize].referred_to |=
                    place == NumberPlace::Replaces || place == NumberPlace::Title && numbered && !own(n);
            }
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
            record.length = length(&record.words, &self.idf);
        }
        if self.list.iter().any(|record| !record.everything.is_empty()) {
            self.count_everything();
        }
    }

    /// How rare words are in titles and further texts together.
    fn count_everything(&mut self) {
        let mut counts = vec![0u32; self.words.len()];
        for record in &self.list {
            let all = if record.everything.is_empty() {
                &record.words
            } else {
                &record.everything
            };
            all.iter().for_each(|w| counts[*w as usize] += 1);
        }
        let total = self.list.len() as f32;
        self.whole_idf = counts
            .iter()
            .map(|count| (1.0 + total / (*count).max(1) as f32).ln())
            .collect();
        for record in &mut self.list {
            record.whole_length = length(&record.everything, &self.whole_idf);
        }
    }
}

/// Euclidean length in idf units.
fn length(words: &[WordId], idf: &[f32]) -> f32 {
    words.iter().map(|&w| idf[w as usize].powi(2)).sum::<f32>().sqrt()
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
    let mut everything = Vec::new();
    if !extra.is_empty() && text.kind == KindId::GENERIC.0 {
        everything.extend(title.iter().chain(&extra).copied());
        everything.sort_unstable();
    }
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
        everything: everything.into(),
        whole_length: 0.0,
        numbers: own.into(),
        length: 0.0,
        hard: text.hard,
    }
}

fn first_word(text: &str) -> Option<&str> {
    text.split(|c: char| !c.is_alphanumeric()).find(|w| !w.is_empty())
}

fn number_of(text: CompactString) -> Number {
    let lettered = text.chars().any(char::is_alphabetic);
    Number {
        text,
        records: 0,
        lettered,
        referred_to: false,
    }
}
