//! What a comparison of two records holds: a level per field, level 0 = nothing to compare.
//!
//! A *level* is a small whole number; what it is worth is learned later (`weights`).

/// The fields of a comparison, in the order of the vector.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
#[repr(usize)]
pub enum Field {
    /// barcodes: 1 equal, 2 different
    Barcode,
    /// part numbers: see [`super::number_levels::number_level`]
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
    /// weighed share of the words that titles and further texts have in common, ten steps; 0 unless both have further text
    Everything,
    /// how rare the rarest word is that both have, on one side at least in its further text
    RareFurther,
}

/// Number of fields.
pub const FIELDS: usize = 17;
/// Levels a field may have, 0 included.
pub const LEVELS: usize = 13;
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
    Field::Everything,
    Field::RareFurther,
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
            Field::Everything => "everything",
            Field::RareFurther => "rare_further",
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
    /// the same over titles and further texts together, where both have further text; else that of the titles
    pub likeness: f32,
    /// how the pair came to be compared
    pub path: Path,
    /// where its records stand
    pub lies: Lies,
    /// whether words found it among the candidates, whatever else did
    pub by_words: bool,
    /// records that carry the equal number, 0 when none is equal: term frequency
    pub number_records: u32,
}

impl Comparison {
    /// The same pair as if no identifier stood on either line.
    pub(super) fn without_identifiers(&self) -> Comparison {
        let mut without = *self;
        without.levels[Field::Barcode as usize] = 0;
        without.levels[Field::Number as usize] = 0;
        without.path = Path::Words;
        without.number_records = 0;
        without
    }

    /// The same pair as if no identifier stood on it, where one agrees; `None` where none does.
    pub fn without_agreeing_identifier(&self) -> Option<Comparison> {
        let level = |f: Field| self.levels[f as usize];
        if level(Field::Barcode) != 1 && !(1..=5).contains(&level(Field::Number)) {
            return None;
        }
        Some(self.without_identifiers())
    }
}

#[cfg(test)]
impl Comparison {
    /// Two lines of two lists that words found and that say nothing of each other but by these levels.
    pub(super) fn showing(levels: &[(Field, u8)]) -> Comparison {
        let mut shown = [0u8; FIELDS];
        levels.iter().for_each(|(field, level)| shown[*field as usize] = *level);
        Comparison {
            levels: shown,
            cosine: 0.5,
            likeness: 0.5,
            path: Path::Words,
            lies: Lies::Between,
            by_words: true,
            number_records: 0,
        }
    }
}
