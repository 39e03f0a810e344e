//! The keys of a profile, as they stand in the TOML file.

use std::collections::BTreeMap;
use std::str::FromStr;

use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer, Serialize, de};

use super::super::field::Field;

/// One supplier's profile.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Profile {
    /// Name of the supplier as it shall stand in the outputs. Default: the profile's file stem.
    #[serde(default)]
    pub supplier: String,
    /// File names this profile is for, with `*` and `?`. Default: files whose stem is the profile's.
    #[serde(default)]
    pub files: Vec<String>,
    /// The sheet of a workbook that is the list. Default: every sheet that reads as one.
    pub sheet: Option<String>,
    /// How the text is cut into cells.
    #[serde(default)]
    pub dialect: Dialect,
    /// Field to column: by header text, by number from 1, or several of them.
    #[serde(default, deserialize_with = "columns")]
    pub columns: BTreeMap<Field, Vec<ColumnName>>,
    /// Field to the unit its numbers are in, where neither header nor cell says: `bolt_spacing = "mm"`.
    #[serde(default, deserialize_with = "units")]
    pub units: BTreeMap<Field, String>,
    /// What the prices mean.
    #[serde(default)]
    pub price: PriceTerms,
    /// Words that stand for "no value", such as `-` or `n/a`.
    #[serde(default)]
    pub nulls: Vec<String>,
    /// What stands between the entries of a list in one cell, such as `/` in "replaces" columns.
    #[serde(default)]
    pub list_separators: Vec<String>,
    /// What delivery costs.
    #[serde(default)]
    pub shipping: Option<ShippingTerms>,
    /// Usual days until delivery.
    pub lead_time_days: Option<u16>,
    /// The supplier's country, ISO 3166-1 alpha-2.
    pub home_country: Option<String>,
}

/// Dialect keys, named as in CSVW and Frictionless.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "camelCase", default)]
pub struct Dialect {
    /// One character, `, ` (comma and space) included.
    pub delimiter: Option<String>,
    /// One character, or empty for no quoting.
    pub quote_char: Option<String>,
    /// Whether a quote inside a quoted cell is written twice.
    pub double_quote: Option<bool>,
    /// The character before a quote inside a quoted cell.
    pub escape_char: Option<String>,
    /// Rows of the header; 0 for none.
    pub header_row_count: Option<u8>,
    /// Physical lines before the header.
    pub skip_rows: Option<u32>,
    /// Mark before decimals, `,` or `.`.
    pub decimal_char: Option<String>,
    /// Mark between thousands.
    pub group_char: Option<String>,
    /// WHATWG label of the encoding.
    pub encoding: Option<String>,
    /// Lines that start with this are comments.
    pub comment_prefix: Option<String>,
}

/// How a profile names a column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ColumnName {
    /// By its header text.
    Header(String),
    /// By its number, from 1.
    Number(usize),
}

/// What the prices of a list mean.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PriceTerms {
    /// ISO 4217 code of the prices.
    pub currency: Option<String>,
    /// Net or gross.
    pub basis: Option<PriceBasis>,
    /// What one price buys. Default: what the list says.
    pub per: Option<PricePer>,
    /// Tax rate as a fraction, 0.19 for 19 %.
    pub tax_rate: Option<Money>,
}

/// Whether tax is in the price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum PriceBasis {
    /// Without tax.
    Net,
    /// With tax.
    Gross,
}

/// What one price buys. In the TOML file a number of pieces or a word: `100`, `"piece"`, `"hundred"`, `"thousand"`, `"pack"`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PricePer {
    /// This many pieces, whatever the pack.
    Pieces(u32),
    /// One pack, of as many pieces as the line says.
    Pack,
}

/// Most pieces that a price may be for.
const MOST_PIECES: i64 = 1_000_000;

impl<'de> Deserialize<'de> for PricePer {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Number(i64),
            Word(String),
        }
        match Written::deserialize(deserializer)? {
            Written::Number(pieces @ 1..=MOST_PIECES) => Ok(PricePer::Pieces(pieces as u32)),
            Written::Number(pieces) => Err(de::Error::custom(format!(
                "`per` is {pieces}, expected 1 to {MOST_PIECES} pieces"
            ))),
            Written::Word(word) => match word.as_str() {
                "piece" => Ok(PricePer::Pieces(1)),
                "hundred" => Ok(PricePer::Pieces(100)),
                "thousand" => Ok(PricePer::Pieces(1000)),
                "pack" => Ok(PricePer::Pack),
                _ => Err(de::Error::custom(format!(
                    "`per` is \"{word}\", expected a number of pieces, \"piece\", \"hundred\", \"thousand\" or \"pack\""
                ))),
            },
        }
    }
}

/// What delivery costs.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ShippingTerms {
    /// Per order, whatever is in it.
    pub flat: Option<Money>,
    /// Per kilogram.
    pub per_kg: Option<Money>,
    /// Orders from this value on travel free.
    pub free_above: Option<Money>,
    /// ISO 4217 code of these amounts. Default: the currency of the prices.
    pub currency: Option<String>,
}

/// An exact amount. In the TOML file a number or a text: `6.90` or `"6.90"`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Money(pub Decimal);

impl<'de> Deserialize<'de> for Money {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Whole(i64),
            Fraction(f64),
            Text(String),
        }
        let text = match Written::deserialize(deserializer)? {
            Written::Whole(number) => number.to_string(),
            Written::Fraction(number) => number.to_string(),
            Written::Text(text) => text,
        };
        let amount = Decimal::from_str(text.trim()).map_err(|_| de::Error::custom(format!("`{text}` is no amount")))?;
        if amount.is_sign_negative() {
            return Err(de::Error::custom(format!("`{text}` is negative")));
        }
        Ok(Money(amount))
    }
}

impl<'de> Deserialize<'de> for ColumnName {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Number(i64),
            Header(String),
        }
        match Written::deserialize(deserializer)? {
            Written::Header(text) => Ok(ColumnName::Header(text)),
            Written::Number(number) => match usize::try_from(number) {
                Ok(number) if number > 0 => Ok(ColumnName::Number(number)),
                _ => Err(de::Error::custom(format!(
                    "column number {number} is out of range, columns count from 1"
                ))),
            },
        }
    }
}

fn field_named<E: de::Error>(name: &str) -> Result<Field, E> {
    Field::from_name(name).ok_or_else(|| {
        let hint = Field::nearest_name(name).map_or(String::new(), |near| format!(", did you mean `{near}`?"));
        E::custom(format!("unknown column `{name}`{hint}"))
    })
}

fn columns<'de, D: Deserializer<'de>>(deserializer: D) -> Result<BTreeMap<Field, Vec<ColumnName>>, D::Error> {
    #[derive(Deserialize)]
    #[serde(untagged)]
    enum OneOrMore {
        One(ColumnName),
        More(Vec<ColumnName>),
    }
    let written = BTreeMap::<String, OneOrMore>::deserialize(deserializer)?;
    let mut columns = BTreeMap::new();
    for (name, names) in written {
        let names = match names {
            OneOrMore::One(name) => vec![name],
            OneOrMore::More(names) => names,
        };
        columns.insert(field_named(&name)?, names);
    }
    Ok(columns)
}

fn units<'de, D: Deserializer<'de>>(deserializer: D) -> Result<BTreeMap<Field, String>, D::Error> {
    let written = BTreeMap::<String, String>::deserialize(deserializer)?;
    written
        .into_iter()
        .map(|(name, unit)| Ok((field_named(&name)?, unit)))
        .collect()
}
