//! One pair of records -> one comparison vector: a level per field, level 0 = nothing to compare.
//!
//! A *level* is a small whole number; what it is worth is learned later (`weights`), so that this
//! file holds observation only. Rare words count both ways: the rarest shared word for the pair,
//! the rarest unshared word of either side against it.

use super::opposites::Opposites;
use super::records::{
    HardClaims, KindSure, NO_WORD, NumberId, NumberPlace, Record, Records, WordId, WordShape, WordTraits, same_figure,
};
use crate::trade::identifier::canonical_number;
use strsim::jaro_winkler;

/// The fields of a comparison, in the order of the vector.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
#[repr(usize)]
pub enum Field {
    /// barcodes: 1 equal, 2 different
    Barcode,
    /// part numbers: see [`number_level`]
    Number,
    /// weighed share of common title words, ten steps
    Words,
    /// how rare the rarest common word is
    RareShared,
    /// how rare the rarest word is that only one title has, on the side where it is less rare
    RareMissing,
    /// the same on the side where it is rarer
    RareMissingMost,
    /// code-like words of the titles: 1 equal, 2 near, 3 some equal some not, 4 same shape but different, 5 different
    Codes,
    /// ratio of unit prices
    Price,
    /// brands: 1 equal, 2 different
    Brand,
    /// interface claims: 1 agree, 2 contradict
    Claims,
    /// a rare word of one title in the other's further text
    Extra,
    /// part kinds: 1 equal, 2 different though both beyond doubt, 3 different though both quite certain
    Kind,
    /// ratio of the weights of one piece
    Weight,
    /// what the words tell that only one title has, see [`super::telling`]; 0 before that is learned
    Telling,
    /// short figures (sizes, counts, versions, years): 1 all common, 2 some on one side only, 3 on both sides; 4 words or
    /// measures that oppose each other, see [`super::opposites`]
    Figures,
}

/// Number of fields.
pub const FIELDS: usize = 15;
/// Levels a field may have, 0 included.
pub const LEVELS: usize = 12;
/// All fields in order.
pub const ALL_FIELDS: [Field; FIELDS] = [
    Field::Barcode,
    Field::Number,
    Field::Words,
    Field::RareShared,
    Field::RareMissing,
    Field::RareMissingMost,
    Field::Codes,
    Field::Price,
    Field::Brand,
    Field::Claims,
    Field::Extra,
    Field::Kind,
    Field::Weight,
    Field::Telling,
    Field::Figures,
];

impl Field {
    /// Column name in links.parquet.
    pub fn name(self) -> &'static str {
        match self {
            Field::Barcode => "barcode",
            Field::Number => "number",
            Field::Words => "words",
            Field::RareShared => "rare_shared",
            Field::RareMissing => "rare_missing",
            Field::RareMissingMost => "rare_missing_most",
            Field::Codes => "codes",
            Field::Price => "price",
            Field::Brand => "brand",
            Field::Claims => "claims",
            Field::Extra => "extra",
            Field::Kind => "kind",
            Field::Weight => "weight",
            Field::Telling => "telling",
            Field::Figures => "figures",
        }
    }
}

/// What brought a pair together. Pairs chosen by an identifier share few words and pairs chosen by
/// words share few identifiers; judged by one set of weights, each choice would count as evidence.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Path {
    /// an equal number or barcode
    Identifier,
    /// words of the titles
    Words,
}

/// Whether a pair lies between two lists or inside one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Lies {
    /// in two lists
    Between,
    /// in one list, which repeats a part if the pair is one
    Inside,
}

/// Both paths, in the order of their weights.
pub const PATHS: [Path; 2] = [Path::Identifier, Path::Words];

/// Levels by field, and the plain similarity of the titles for the start of the learning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// by [`Field`]
    pub levels: [u8; FIELDS],
    /// cosine of the titles in idf units, near-equal words counted in part; 0 to 1
    pub cosine: f32,
    /// how the pair came to be compared
    pub path: Path,
    /// where its records stand
    pub lies: Lies,
    /// records that carry the equal number, 0 when none is equal: term frequency
    pub number_records: u32,
}

impl Comparison {
    /// The same pair as if no identifier stood on it, where one agrees; `None` where none does.
    pub fn without_agreeing_identifier(&self) -> Option<Comparison> {
        let level = |f: Field| self.levels[f as usize];
        if level(Field::Barcode) != 1 && !(1..=5).contains(&level(Field::Number)) {
            return None;
        }
        let mut without = *self;
        without.levels[Field::Barcode as usize] = 0;
        without.levels[Field::Number as usize] = 0;
        without.path = Path::Words;
        without.number_records = 0;
        Some(without)
    }
}

/// Room to compare in, to be used again for the next pair.
#[derive(Default)]
pub struct Scratch {
    /// words that only one of both titles has
    alone: [Vec<WordId>; 2],
}

/// Compares two records.
pub fn compare(records: &Records, a: &Record, b: &Record) -> Comparison {
    compare_in(&mut Scratch::default(), records, &Opposites::default(), a, b)
}

/// Compares two records, one pair of many.
pub fn compare_in(
    scratch: &mut Scratch,
    records: &Records,
    opposites: &Opposites,
    a: &Record,
    b: &Record,
) -> Comparison {
    let titles = Titles::of(scratch, records, a, b);
    let (number, mut number_records) = number_level(records, a, b);
    let mut levels = [0u8; FIELDS];
    levels[Field::Barcode as usize] = barcode_level(a, b);
    levels[Field::Number as usize] = number;
    levels[Field::Words as usize] = 1 + (titles.cosine * 10.0).min(9.0) as u8;
    levels[Field::RareShared as usize] = titles.rarest_shared;
    let [x, y] = titles.rarest;
    levels[Field::RareMissing as usize] = x.min(y);
    levels[Field::RareMissingMost as usize] = x.max(y);
    levels[Field::Codes as usize] = code_level(records, &titles);
    levels[Field::Figures as usize] = figure_level(records, opposites, &titles);
    levels[Field::Price as usize] = price_level(a, b);
    levels[Field::Brand as usize] = brand_level(a, b);
    levels[Field::Claims as usize] = claim_level(&a.hard, &b.hard);
    levels[Field::Extra as usize] = extra_level(records, a, b, &titles);
    levels[Field::Kind as usize] = kind_level(a, b);
    levels[Field::Weight as usize] = weight_level(a, b);
    let by_identifier = levels[Field::Barcode as usize] == 1 || shares_number(records, a, b);
    if levels[Field::Barcode as usize] == 1 && matches!(levels[Field::Number as usize], 6 | 7) {
        // that both also replace one number is no news about two lines with one barcode
        levels[Field::Number as usize] = 0;
        number_records = 0;
    }
    if levels[Field::Number as usize] == 5 && !by_identifier && !lettered_in_common(records, a, b) {
        // a common word of both titles is no second piece of evidence for being a number as well
        levels[Field::Number as usize] = 0;
        number_records = 0;
    }
    let path = if by_identifier { Path::Identifier } else { Path::Words };
    Comparison {
        levels,
        cosine: titles.cosine,
        path,
        lies: if a.list == b.list { Lies::Inside } else { Lies::Between },
        number_records,
    }
}

/// Whether a number brought the pair together. A number that is a common word of both titles did not: words find that
/// pair as well, and what such a number is worth is learned among the pairs that words find.
fn shares_number(records: &Records, a: &Record, b: &Record) -> bool {
    let equal = |n: &(NumberPlace, NumberId)| {
        let of_b = b.numbers.iter().filter(|m| m.1 == n.1);
        of_b.map(|m| n.0 == NumberPlace::Title && m.0 == NumberPlace::Title)
            .min()
    };
    a.numbers.iter().any(|n| match equal(n) {
        None => false,
        Some(false) => true,
        Some(true) => !is_common_word(records, a, b, n.1),
    })
}

fn lettered_in_common(records: &Records, a: &Record, b: &Record) -> bool {
    a.numbers
        .iter()
        .any(|n| records.numbers[n.1 as usize].lettered && b.numbers.iter().any(|m| m.1 == n.1))
}

fn is_common_word(records: &Records, a: &Record, b: &Record, number: NumberId) -> bool {
    let number = &records.numbers[number as usize].text;
    let common = a.words.iter().filter(|w| b.words.binary_search(w).is_ok());
    let mut codes = common
        .map(|w| &records.words[*w as usize])
        .filter(|w| w.shape == WordShape::Code);
    codes.any(|word| canonical_number(&word.text) == *number)
}

fn barcode_level(a: &Record, b: &Record) -> u8 {
    match (a.gtin, b.gtin) {
        (0, _) | (_, 0) => 0,
        (x, y) if x == y => 1,
        // another pack of the same part carries another barcode
        _ if a.pack != b.pack => 0,
        _ => 2,
    }
}

/// Title words of two records, split into common and one-sided ones. Rarities are 1 where there is no word.
struct Titles<'a> {
    cosine: f32,
    rarest_shared: u8,
    rarest: [u8; 2],
    codes_shared: usize,
    figures_shared: usize,
    alone: &'a [Vec<WordId>; 2],
}

impl Titles<'_> {
    fn of<'a>(scratch: &'a mut Scratch, records: &Records, a: &Record, b: &Record) -> Titles<'a> {
        let word = |w: WordId| &records.traits[w as usize];
        let mut dot = 0.0f32;
        let mut rarest_shared = 1;
        let (mut codes_shared, mut figures_shared) = (0, 0);
        let alone = &mut scratch.alone;
        alone.iter_mut().for_each(Vec::clear);
        let (mut i, mut j) = (0, 0);
        while i < a.words.len() && j < b.words.len() {
            let (x, y) = (a.words[i], b.words[j]);
            if x == y {
                let shared = word(x);
                dot += shared.idf.powi(2);
                rarest_shared = rarest_shared.max(shared.rarity);
                codes_shared += usize::from(shared.shape == WordShape::Code);
                figures_shared += usize::from(shared.shape == WordShape::Figure);
                (i, j) = (i + 1, j + 1);
            } else if x < y {
                alone[0].push(x);
                i += 1;
            } else {
                alone[1].push(y);
                j += 1;
            }
        }
        alone[0].extend_from_slice(&a.words[i..]);
        alone[1].extend_from_slice(&b.words[j..]);
        dot += near_words(records, alone);
        let rarest = [0, 1].map(|s: usize| alone[s].iter().map(|w| word(*w).rarity).fold(1, u8::max));
        Titles {
            cosine: (dot / (a.length * b.length).max(1e-6)).min(1.0),
            rarest_shared,
            rarest,
            codes_shared,
            figures_shared,
            alone,
        }
    }
}

/// The words of two titles, sorted into common ones and those that one title alone has. Nearly equal spellings, and words
/// that stand in the other's further text, count as neither.
pub struct Sides {
    /// whether the pair takes part in what is learned of single words: between lists, or in the only list
    pub(super) count: bool,
    pub(super) shared: Vec<WordId>,
    pub(super) alone: [Vec<WordId>; 2],
}

impl Sides {
    /// Sorts the words of two titles.
    pub fn of(records: &Records, a: &Record, b: &Record) -> Sides {
        let shared = a
            .words
            .iter()
            .copied()
            .filter(|w| b.words.binary_search(w).is_ok())
            .collect();
        let only = |x: &Record, y: &Record| -> Vec<WordId> {
            x.words
                .iter()
                .copied()
                .filter(|w| y.words.binary_search(w).is_err())
                .collect()
        };
        let mut alone = [only(a, b), only(b, a)];
        near_words(records, &mut alone);
        alone[0].retain(|w| b.extra.binary_search(w).is_err());
        alone[1].retain(|w| a.extra.binary_search(w).is_err());
        Sides {
            count: a.list != b.list || records.lists == 1,
            shared,
            alone,
        }
    }
}

/// Takes pairs of one-sided words that are nearly the same spelling out of `alone`; returns what
/// they add to the dot product. Only long words: short ones differ in meaning by one letter.
fn near_words(records: &Records, alone: &mut [Vec<WordId>; 2]) -> f32 {
    let mut gain = 0.0;
    let mut k = 0;
    while k < alone[0].len() {
        let x = alone[0][k];
        let traits = &records.traits[x as usize];
        let found = (traits.first != 0 || traits.unit != 0).then(|| alone[1].iter().position(|&y| near(records, x, y)));
        if let Some(at) = found.flatten() {
            let y = alone[1].remove(at);
            alone[0].remove(k);
            gain += 0.8 * traits.idf.min(records.traits[y as usize].idf).powi(2);
        } else {
            k += 1;
        }
    }
    gain
}

/// Jaro-Winkler similarity from which two long words are one word spelled twice.
const NEAR: f64 = 0.93;

fn near(records: &Records, x: WordId, y: WordId) -> bool {
    let (p, q) = (&records.traits[x as usize], &records.traits[y as usize]);
    if p.unit != 0 && p.unit == q.unit {
        return same_figure(&records.words[x as usize].text, &records.words[y as usize].text);
    }
    may_be_near(p, q) && jaro_winkler(&records.words[x as usize].text, &records.words[y as usize].text) >= NEAR
}

/// Whether two words that begin with one byte have letters enough in common to be near. A common beginning adds at most
/// 0.4 of what is missing, so Jaro's similarity must be (0.93 - 0.4) / 0.6 = 0.883 at the least, and the shares of the
/// letters in common, which are two of the three parts of it, 3 x 0.883 - 1 = 1.65 together.
fn may_be_near(x: &WordTraits, y: &WordTraits) -> bool {
    let common = (x.letters & y.letters).count_ones() as f32;
    let share = |word: &WordTraits| common / f32::from(word.length).max(1.0);
    x.first == y.first && x.first != 0 && (x.length == 255 || y.length == 255 || share(x) + share(y) >= 1.649)
}

fn code_level(records: &Records, titles: &Titles) -> u8 {
    let codes = |s: usize| {
        let codes = titles.alone[s]
            .iter()
            .filter(|w| records.traits[**w as usize].shape == WordShape::Code);
        codes.map(|w| &records.words[*w as usize])
    };
    let (left, right) = (codes(0).count(), codes(1).count());
    match (titles.codes_shared, left, right) {
        (0, 0, _) | (0, _, 0) => 0,
        (0, ..) => {
            let pairs = || codes(0).flat_map(|x| codes(1).map(move |y| (&x.text, &y.text)));
            if pairs().any(|(x, y)| near_codes(x, y)) {
                2
            } else if pairs().any(|(x, y)| same_shape(x, y)) {
                4
            } else {
                5
            }
        }
        (_, 0, _) | (_, _, 0) => 1,
        _ => 3,
    }
}

fn figure_level(records: &Records, opposites: &Opposites, titles: &Titles<'_>) -> u8 {
    if opposites.oppose(records, titles.alone) {
        return 4;
    }
    let alone = |s: usize| {
        titles.alone[s]
            .iter()
            .any(|w| records.traits[*w as usize].shape == WordShape::Figure)
    };
    match (alone(0), alone(1)) {
        (true, true) => 3,
        (false, false) => u8::from(titles.figures_shared > 0),
        _ => 2,
    }
}

/// One code holds the other ("kr200x" and "kr200"), or one slip apart where it cannot be another model.
fn near_codes(x: &str, y: &str) -> bool {
    let (short, long) = if x.len() <= y.len() { (x, y) } else { (y, x) };
    short.len() >= 4 && (long.starts_with(short) || long.ends_with(short))
}

fn same_shape(x: &str, y: &str) -> bool {
    x.len() == y.len()
        && x.bytes()
            .zip(y.bytes())
            .all(|(p, q)| p.is_ascii_digit() == q.is_ascii_digit())
}

/// Levels of [`Field::Number`]:
///
/// | level | meaning |
/// |---|---|
/// | 1, 2 | own number = own number: with a letter, in bare digits |
/// | 3, 4 | own number = a number in the other's title: with a letter, in bare digits |
/// | 5 | a number in both titles |
/// | 6 | own number among those the other replaces |
/// | 7 | a number that both replace, or one replaces and the other's title shows |
/// | 8 | own numbers with two neighbouring signs swapped |
/// | 9 | own numbers different |
/// | 10 | own numbers different, but one stands in the other's title |
/// | 11 | own number among those the other replaces, both of one maker by their letters: superseded |
/// | 0 | nothing to compare |
///
/// Beside the level, the number of records that carry the equal number.
pub fn number_level(records: &Records, a: &Record, b: &Record) -> (u8, u32) {
    let mut level = 0u8;
    let mut count = 0u32;
    for &(place_a, n) in &a.numbers {
        for &(place_b, m) in &b.numbers {
            if n != m {
                continue;
            }
            let number = &records.numbers[n as usize];
            let found = shared_number(place_a, place_b, number.lettered);
            if level == 0 || found < level {
                (level, count) = (found, number.records);
            }
        }
    }
    let own = |r: &Record| r.numbers.iter().find(|n| n.0 == NumberPlace::Own).map(|n| n.1);
    if let (Some(x), Some(y)) = (own(a), own(b))
        && (level == 0 || level >= 3)
    {
        return match level {
            3 | 4 => (10, count),
            6 if one_maker(records, x, y) => (11, count),
            _ if one_slip(records, x, y) => (8, 0),
            _ => (9, 0),
        };
    }
    (level, count)
}

fn shared_number(a: NumberPlace, b: NumberPlace, lettered: bool) -> u8 {
    let digits = u8::from(!lettered);
    match (a.min(b), a.max(b)) {
        (NumberPlace::Own, NumberPlace::Own) => 1 + digits,
        (NumberPlace::Own, NumberPlace::Title) => 3 + digits,
        (NumberPlace::Title, NumberPlace::Title) => 5,
        (NumberPlace::Own, NumberPlace::Replaces) => 6,
        _ => 7,
    }
}

/// Whether two own numbers differ by two neighbouring signs in the wrong order. Anything more is
/// another number: makers number their variants side by side.
fn one_slip(records: &Records, x: NumberId, y: NumberId) -> bool {
    swapped_pair(&records.numbers[x as usize].text, &records.numbers[y as usize].text)
}

/// Whether two numbers begin with the same letters and are as long as each other: one maker's style.
fn one_maker(records: &Records, x: NumberId, y: NumberId) -> bool {
    let (x, y) = (&records.numbers[x as usize].text, &records.numbers[y as usize].text);
    let letters = |n: &str| n.bytes().take_while(u8::is_ascii_alphabetic).count();
    let head = letters(x);
    head >= 2 && head == letters(y) && x.len() == y.len() && x[..head] == y[..head]
}

/// Two neighbouring signs in the wrong order, everything else equal.
pub fn swapped_pair(x: &str, y: &str) -> bool {
    let (x, y) = (x.as_bytes(), y.as_bytes());
    if x.len() != y.len() || x.len() < 7 {
        return false;
    }
    let Some(i) = (0..x.len() - 1).find(|i| x[*i] != y[*i]) else {
        return false;
    };
    x[i] == y[i + 1] && x[i + 1] == y[i] && x[i + 2..] == y[i + 2..]
}

/// Levels 1-6 compare prices of one currency; 7-11 compare what each price is beside its own list's median,
/// which survives other currencies and price levels but is rougher.
fn price_level(a: &Record, b: &Record) -> u8 {
    let ratio = (a.log_price - b.log_price).abs();
    if a.currency == b.currency && !ratio.is_nan() {
        return 1 + steps(ratio, &[0.005, 0.06, 0.2, 0.5, 1.1]);
    }
    match (a.relative_price - b.relative_price).abs() {
        apart if apart.is_nan() => 0,
        apart => 7 + steps(apart, &[0.15, 0.3, 0.6, 1.2]),
    }
}

fn weight_level(a: &Record, b: &Record) -> u8 {
    match (a.log_weight - b.log_weight).abs() {
        ratio if ratio.is_nan() => 0,
        ratio => 1 + steps(ratio, &[0.012, 0.04, 0.1, 0.25, 0.6]),
    }
}

/// How many limits a value exceeds.
fn steps(value: f32, limits: &[f32]) -> u8 {
    limits.iter().filter(|limit| value > **limit).count() as u8
}

fn kind_level(a: &Record, b: &Record) -> u8 {
    if a.kind == b.kind {
        return 1;
    }
    match a.kind_sure.min(b.kind_sure) {
        KindSure::InDoubt => 0,
        KindSure::BeyondDoubt => 2,
        KindSure::QuiteCertain => 3,
    }
}

fn brand_level(a: &Record, b: &Record) -> u8 {
    match (a.brand, b.brand) {
        (NO_WORD, _) | (_, NO_WORD) => 0,
        (x, y) if x == y => 1,
        _ => 2,
    }
}

/// 1 at least one interface claim agrees and none contradicts, 2 one contradicts, 0 nothing in common.
pub fn claim_level(a: &HardClaims, b: &HardClaims) -> u8 {
    let mut agree = false;
    let mut judge = |both: bool, same: bool| -> bool {
        agree |= both && same;
        both && !same
    };
    let apart = |x: (f32, f32), y: (f32, f32), slack: f32| x.1 * (1.0 + slack) < y.0 || y.1 * (1.0 + slack) < x.0;
    let against = judge(a.holes > 0 && b.holes > 0, a.holes == b.holes)
        | judge(
            a.displacement.1 > 0.0 && b.displacement.1 > 0.0,
            !apart(a.displacement, b.displacement, 0.06),
        )
        | judge(a.circle.1 > 0.0 && b.circle.1 > 0.0, !apart(a.circle, b.circle, 0.02))
        | judge(a.threads != 0 && b.threads != 0, a.threads & b.threads != 0);
    if against { 2 } else { u8::from(agree) }
}

fn extra_level(records: &Records, a: &Record, b: &Record, titles: &Titles) -> u8 {
    if a.extra.is_empty() && b.extra.is_empty() {
        return 0;
    }
    let found = |alone: &[WordId], other: &Record| {
        alone
            .iter()
            .filter(|w| other.extra.binary_search(w).is_ok())
            .map(|w| records.traits[*w as usize].rarity)
            .fold(1, u8::max)
    };
    found(&titles.alone[0], b).max(found(&titles.alone[1], a))
}

#[cfg(test)]
mod tests {
    use super::super::records::letters_of;
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_quick_look_at_two_words_never_turns_near_ones_away(
            word in "[a-dä]{4,12}",
            slips in prop::collection::vec((0..12usize, "[a-dä]?"), 0..3),
        ) {
            let mut other: Vec<char> = word.chars().collect();
            for (at, put) in slips {
                let at = at % other.len();
                other.splice(at..=at, put.chars().chain(other.get(at + 1).copied().filter(|_| put.is_empty())));
            }
            let other: String = other.into_iter().collect();
            let traits = |word: &str| WordTraits {
                idf: 1.0,
                rarity: 1,
                shape: WordShape::Plain,
                first: word.bytes().next().unwrap_or(0),
                length: word.chars().count() as u8,
                letters: letters_of(word),
                unit: 0,
            };
            if word.bytes().next() == other.bytes().next() && jaro_winkler(&word, &other) >= NEAR {
                prop_assert!(may_be_near(&traits(&word), &traits(&other)), "{word} {other}");
            }
        }
    }

    #[test]
    fn only_a_swapped_pair_is_a_slip() {
        assert!(swapped_pair("PWT71143", "PWT71413"));
        assert!(
            !swapped_pair("PWT71143", "PWT71146"),
            "makers number their variants side by side"
        );
        assert!(!swapped_pair("12", "21"), "too short to tell");
    }

    #[test]
    fn a_number_of_the_part_itself_says_more_than_one_it_replaces() {
        use NumberPlace::{Own, Replaces, Title};
        assert!(shared_number(Own, Own, true) < shared_number(Own, Title, true));
        assert!(shared_number(Title, Title, true) < shared_number(Replaces, Own, true));
        assert_eq!(
            shared_number(Replaces, Replaces, true),
            shared_number(Title, Replaces, true)
        );
    }

    #[test]
    fn figures_on_both_sides_oppose_each_other_and_a_number_that_is_a_common_word_brings_no_pair_together() {
        use crate::link::records::RecordText;
        let text = |list: u32, title: &'static str, number: &'static str| RecordText {
            numbers: vec![(NumberPlace::Title, number)],
            ..RecordText::titled(list, title)
        };
        let texts = [
            text(0, "lamp brunlo 8in 19900412", "19900412"),
            text(1, "lamp drolik 9in 19900412", "19900412"),
        ];
        let records = Records::of(&texts);
        let pair = compare(&records, &records.list[0], &records.list[1]);
        assert_eq!(pair.levels[Field::Figures as usize], 3);
        assert_eq!((pair.path, pair.levels[Field::Number as usize]), (Path::Words, 0));
    }

    #[test]
    fn claims_contradict_only_when_both_sides_claim() {
        let three = HardClaims {
            holes: 3,
            ..HardClaims::default()
        };
        let four = HardClaims {
            holes: 4,
            ..HardClaims::default()
        };
        assert_eq!(claim_level(&three, &HardClaims::default()), 0);
        assert_eq!(claim_level(&three, &three), 1);
        assert_eq!(claim_level(&three, &four), 2);
    }

    #[test]
    fn the_nominal_displacement_agrees_with_the_swept_one() {
        let nominal = HardClaims {
            displacement: (200.0, 200.0),
            ..HardClaims::default()
        };
        let swept = HardClaims {
            displacement: (196.0, 196.0),
            ..HardClaims::default()
        };
        assert_eq!(claim_level(&nominal, &swept), 1);
    }
}
