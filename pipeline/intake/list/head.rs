//! What is known of a list before its rows are read.

use super::note::Note;
use super::writing::{Delimiter, DialectGuess, EncodingGuess, EncodingSource, Escape, LineEnd};
use crate::intake::field::Field;
use crate::intake::profile::{PricePer, PriceTerms, Profile};
use crate::intake::statements::Statements;
use crate::trade::numerals::Decimals;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// How a column came by its field.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum MappedBy {
    /// The user's profile says so.
    Profile,
    /// Its header says so.
    HeaderWord,
    /// Its values look like it.
    Values,
    /// CSVW metadata beside the file says so.
    Metadata,
}

/// One column and the field it was taken for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ColumnMap {
    /// Position, from 0.
    pub index: usize,
    /// What it is.
    pub field: Field,
    /// Header text, units and currency included; empty without a header.
    pub header: String,
    /// Who says so.
    pub how: MappedBy,
    /// Confidence, 0 to 1.
    pub confidence: f32,
}

/// What is known of a list before its rows are read.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ListHead {
    /// Name shown: relative to the input given, `/` between folders; members of archives follow after `!/`.
    pub file: Arc<str>,
    /// Sheet name, for a workbook.
    pub sheet: Option<String>,
    /// The profile's name for the supplier, else the file's stem.
    pub supplier: Arc<str>,
    /// Hash of the file as it lies on the disk.
    pub sha256: [u8; 32],
    /// Size of the file as it lies on the disk.
    pub bytes: u64,
    /// Text encoding.
    pub encoding: EncodingGuess,
    /// Cell and line delimiters.
    pub dialect: DialectGuess,
    /// Header texts, one per column; empty strings where a column has none. A header over several rows is joined by spaces.
    pub header: Vec<String>,
    /// What each column was taken for, in column order, `Ignored` ones included.
    pub columns: Vec<ColumnMap>,
    /// Which mark stands before decimals in this list.
    pub decimals: Decimals,
    /// What the text around the table says of the prices.
    pub statements: Statements,
    /// The profile that was applied; not kept with a stored list, which is given it anew.
    #[serde(skip)]
    pub profile: Option<Arc<Profile>>,
    /// Close calls and disagreements found so far.
    pub notes: Vec<Note>,
}

impl ListHead {
    /// The first column mapped to a field.
    pub fn column_of(&self, field: Field) -> Option<usize> {
        self.columns
            .iter()
            .find(|column| column.field == field)
            .map(|column| column.index)
    }

    /// Name with the sheet, as in the accounts: `list.xlsx#Sheet1`.
    pub fn shown(&self) -> String {
        match &self.sheet {
            Some(sheet) => format!("{}#{sheet}", self.file),
            None => self.file.to_string(),
        }
    }

    /// What the prices of the list mean: a person's word, and where it is silent what the list states of itself.
    pub fn price_terms(&self) -> PriceTerms {
        let said = self.profile.as_ref().map(|profile| profile.price.clone());
        let mut terms = said.unwrap_or_default();
        let stated = &self.statements;
        terms.basis = terms.basis.or(stated.basis);
        terms.per = terms.per.or(stated.per.map(PricePer::Pieces));
        terms.currency = terms.currency.or(stated.currency.map(|code| code.to_string()));
        terms
    }

    /// The profile with the terms of `price_terms`, for those who ask for both together; none where nothing is known.
    pub fn profile_with_terms(&self) -> Option<Arc<Profile>> {
        let terms = self.price_terms();
        match &self.profile {
            Some(profile) if profile.price == terms => Some(profile.clone()),
            None if terms == PriceTerms::default() => None,
            known => {
                let mut profile = known.as_deref().cloned().unwrap_or_default();
                profile.price = terms;
                Some(Arc::new(profile))
            }
        }
    }

    /// A head for rows made by hand: comma separated UTF-8 with the given header and fields.
    pub fn plain(file: &str, header: &[&str], fields: &[Field]) -> ListHead {
        let columns = fields
            .iter()
            .enumerate()
            .map(|(index, field)| ColumnMap {
                index,
                field: *field,
                header: header.get(index).copied().unwrap_or_default().to_string(),
                how: MappedBy::HeaderWord,
                confidence: 1.0,
            })
            .collect();
        let stem = file.rsplit('/').next().unwrap_or(file);
        ListHead {
            file: Arc::from(file),
            sheet: None,
            supplier: Arc::from(stem.split('.').next().unwrap_or(stem)),
            sha256: [0; 32],
            bytes: 0,
            encoding: EncodingGuess {
                label: "UTF-8",
                how: EncodingSource::Detected,
                confidence: 1.0,
            },
            dialect: DialectGuess {
                delimiter: Delimiter::Byte(b','),
                quote: Some(b'"'),
                escape: Escape::Doubled,
                line_end: LineEnd::Lf,
                runner_up: None,
                margin: 1.0,
            },
            header: header.iter().map(|text| text.to_string()).collect(),
            columns,
            decimals: Decimals::Point,
            statements: Statements::default(),
            profile: None,
            notes: Vec::new(),
        }
    }
}
