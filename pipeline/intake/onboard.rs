//! Shows what was guessed of a list, column by column with samples, and writes it down as a profile a person would be
//! glad to keep: every key with the reason for its value, every column with what stands in it, and the keys that no list
//! tells of itself as comments to fill in.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::dialect;
use super::field::Field;
use super::list::{Delimiter, Escape, ListHead, MappedBy};
use super::rows::RowBatch;
use crate::trade::numerals::Decimals;

/// Sample values shown per column.
const SAMPLES: usize = 3;
/// Letters shown of a sample value.
const SAMPLE_LETTERS: usize = 32;

/// One column as guessed.
#[derive(Clone, Debug, PartialEq)]
pub struct ColumnGuess {
    /// Position, from 1.
    pub number: usize,
    /// Header text.
    pub header: String,
    /// What it was taken for.
    pub field: Field,
    /// Who says so.
    pub how: MappedBy,
    /// Confidence, 0 to 1.
    pub confidence: f32,
    /// The first different values.
    pub samples: Vec<String>,
}

/// The columns of a list with samples from its first rows.
pub fn column_guesses(head: &ListHead, rows: &RowBatch) -> Vec<ColumnGuess> {
    head.columns
        .iter()
        .map(|column| ColumnGuess {
            number: column.index + 1,
            header: column.header.clone(),
            field: column.field,
            how: column.how,
            confidence: column.confidence,
            samples: samples_of(rows, column.index),
        })
        .collect()
}

fn samples_of(rows: &RowBatch, index: usize) -> Vec<String> {
    let mut samples: Vec<String> = Vec::new();
    for row in rows.iter().take(200) {
        let cell = row.cell(index).trim();
        let mut shown: String = cell
            .chars()
            .take(SAMPLE_LETTERS)
            .map(|letter| if letter.is_control() { ' ' } else { letter })
            .collect();
        if cell.chars().count() > SAMPLE_LETTERS {
            shown.push('…');
        }
        if !shown.is_empty() && !samples.contains(&shown) {
            samples.push(shown);
        }
        if samples.len() == SAMPLES {
            break;
        }
    }
    samples
}

/// The profile as TOML text with comments.
pub fn profile_text(head: &ListHead, rows: &RowBatch) -> String {
    let mut text = String::new();
    let guesses = column_guesses(head, rows);
    // writing to a String cannot fail
    let _ = write_profile(&mut text, head, &guesses);
    text
}

fn write_profile(text: &mut String, head: &ListHead, guesses: &[ColumnGuess]) -> std::fmt::Result {
    writeln!(
        text,
        "# How to read the lists of this supplier, as guessed from {}.",
        comment(&head.shown())
    )?;
    writeln!(
        text,
        "# Correct what is wrong; a key left out is guessed anew for each list.\n"
    )?;
    writeln!(text, "supplier = {}", quoted(&head.supplier))?;
    writeln!(text, "# File names this profile is for; * stands for anything.")?;
    writeln!(text, "files = [{}]", quoted(&pattern_of(&head.file)))?;
    if let Some(sheet) = &head.sheet {
        writeln!(text, "sheet = {}", quoted(sheet))?;
    }
    writeln!(
        text,
        "\n# Words that mean \"no value\", and what separates several numbers in one cell."
    )?;
    writeln!(text, "# nulls = [\"-\", \"n/a\"]\n# list_separators = [\"/\", \";\"]")?;
    writeln!(text, "# Days until delivery, and the country the supplier ships from.")?;
    writeln!(text, "# lead_time_days = 3\n# home_country = \"DE\"")?;
    write_dialect(text, head)?;
    write_columns(text, guesses)?;
    write_terms(text, head, guesses)
}

fn write_dialect(text: &mut String, head: &ListHead) -> std::fmt::Result {
    writeln!(text, "\n[dialect]")?;
    let dialect = &head.dialect;
    if dialect.delimiter != Delimiter::Workbook {
        writeln!(text, "# Detected with confidence {:.2}.", head.encoding.confidence)?;
        writeln!(text, "encoding = {}", quoted(&head.encoding.label.to_lowercase()))?;
        if let Some(second) = dialect.runner_up {
            writeln!(
                text,
                "# Next best: {}, by a margin of {:.2}.",
                dialect::shown(second),
                dialect.margin
            )?;
        }
        match dialect.delimiter {
            Delimiter::Byte(byte) => writeln!(text, "delimiter = {}", quoted(&char::from(byte).to_string()))?,
            Delimiter::ByteAndSpace(byte) => {
                writeln!(text, "delimiter = {}", quoted(&format!("{} ", char::from(byte))))?
            }
            Delimiter::None | Delimiter::Workbook => {}
        }
        let quote = dialect
            .quote
            .map_or(String::new(), |quote| char::from(quote).to_string());
        writeln!(text, "quoteChar = {}", quoted(&quote))?;
        match dialect.escape {
            Escape::Doubled => writeln!(text, "doubleQuote = true")?,
            Escape::Byte(byte) => writeln!(text, "escapeChar = {}", quoted(&char::from(byte).to_string()))?,
            Escape::None => writeln!(text, "doubleQuote = false")?,
        }
    }
    if head.header.is_empty() {
        writeln!(
            text,
            "# The list has no header, so columns are named by their numbers.\nheaderRowCount = 0"
        )?;
    }
    match head.decimals {
        Decimals::Comma => writeln!(text, "decimalChar = \",\""),
        Decimals::Point => writeln!(text, "decimalChar = \".\""),
        Decimals::Unsure => writeln!(
            text,
            "# The numbers do not tell their decimal mark.\n# decimalChar = \",\""
        ),
    }
}

fn write_columns(text: &mut String, guesses: &[ColumnGuess]) -> std::fmt::Result {
    writeln!(
        text,
        "\n# Each field by the header of its column, or by the column's number.\n[columns]"
    )?;
    let mut by_field: BTreeMap<Field, Vec<&ColumnGuess>> = BTreeMap::new();
    for guess in guesses {
        by_field.entry(guess.field).or_default().push(guess);
    }
    for (field, columns) in by_field.iter().filter(|(field, _)| **field != Field::Ignored) {
        for column in columns {
            let why = match column.how {
                MappedBy::Profile => "named by a profile",
                MappedBy::HeaderWord => "by its header",
                MappedBy::Values => "by its values, please check",
                MappedBy::Metadata => "by metadata beside the file",
            };
            writeln!(
                text,
                "# {why} ({:.2}): {}",
                column.confidence,
                comment(&column.samples.join(" | "))
            )?;
        }
        let names: Vec<String> = columns.iter().map(|column| name_of(column, guesses)).collect();
        match names.as_slice() {
            [name] => writeln!(text, "{field} = {name}")?,
            names => writeln!(text, "{field} = [{}]", names.join(", "))?,
        }
    }
    if let Some(unused) = by_field.get(&Field::Ignored) {
        writeln!(text, "# Not used:")?;
        for column in unused {
            let samples = comment(&column.samples.join(" | "));
            writeln!(
                text,
                "#   column {} {}: {samples}",
                column.number,
                comment(&quoted(column.header.trim()))
            )?;
        }
    }
    Ok(())
}

/// A column's header, or its number where the header is empty or not its own.
fn name_of(column: &ColumnGuess, guesses: &[ColumnGuess]) -> String {
    let header = column.header.trim();
    let alone = guesses.iter().filter(|other| other.header.trim() == header).count() == 1;
    if header.is_empty() || !alone {
        column.number.to_string()
    } else {
        quoted(header)
    }
}

fn write_terms(text: &mut String, head: &ListHead, guesses: &[ColumnGuess]) -> std::fmt::Result {
    writeln!(
        text,
        "\n# Units of columns whose header and cells do not say theirs.\n[units]"
    )?;
    for guess in guesses {
        let unit = match guess.field {
            Field::BoltSpacing | Field::HoleDiameter | Field::Depth => "mm",
            Field::Displacement => "cc",
            Field::Power => "hp",
            Field::Weight => "kg",
            _ => continue,
        };
        writeln!(text, "# {} = \"{unit}\"", guess.field)?;
    }
    let header = guesses
        .iter()
        .find(|guess| guess.field == Field::Price)
        .map_or("", |guess| guess.header.trim());
    writeln!(text, "\n[price]")?;
    writeln!(text, "# The price column is headed {}.", comment(&quoted(header)))?;
    let currency = head.column_of(Field::Currency).is_none();
    writeln!(
        text,
        "{}",
        if currency {
            "# currency = \"EUR\""
        } else {
            "# the list has a column for the currency"
        }
    )?;
    writeln!(
        text,
        "# basis = \"net\"      # or \"gross\"\n# per = \"piece\"      # or \"hundred\", \"thousand\", \"pack\", or a number of pieces\n# tax_rate = 0.19"
    )?;
    writeln!(
        text,
        "\n# What delivery costs; without it the landed price says that it is missing."
    )?;
    writeln!(
        text,
        "# [shipping]\n# flat = 6.90\n# per_kg = 0.50\n# free_above = 150\n# currency = \"EUR\""
    )
}

/// A TOML basic string.
fn quoted(text: &str) -> String {
    let mut own = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => own.push_str("\\\""),
            '\\' => own.push_str("\\\\"),
            '\t' => own.push_str("\\t"),
            '\n' => own.push_str("\\n"),
            '\r' => own.push_str("\\r"),
            letter if letter.is_control() => {
                let _ = write!(own, "\\u{:04X}", u32::from(letter));
            }
            letter => own.push(letter),
        }
    }
    own.push('"');
    own
}

/// Text fit for a comment: no line end can leave it.
fn comment(text: &str) -> String {
    text.chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect()
}

/// The file's name with its runs of digits, and what stands between them, as `*`.
fn pattern_of(file: &str) -> String {
    let name = file.split("!/").next().unwrap_or(file);
    let name = name.rsplit('/').next().unwrap_or(name);
    let (stem, extension) = match name.find('.') {
        Some(place) if place > 0 => name.split_at(place),
        _ => (name, ""),
    };
    let mut pattern = String::new();
    for letter in stem.chars() {
        let gap = letter.is_ascii_digit() || matches!(letter, '*' | '?');
        let joins = matches!(letter, '-' | '_' | '.' | ' ') && pattern.ends_with('*');
        if !(gap || joins) {
            pattern.push(letter);
        } else if !pattern.ends_with('*') {
            pattern.push('*');
        }
    }
    if pattern.trim_matches(['*', '-', '_', ' ']).is_empty() {
        name.to_string()
    } else {
        format!("{pattern}{extension}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::profile::Profiles;
    use std::path::Path;

    #[test]
    fn the_profile_written_is_one_that_can_be_read() {
        let mut head = ListHead::plain(
            "lists/North \"Field\" 2026-03.csv",
            &["Art.-Nr.", "Text", "Text", "Preis\nEUR"],
            &[Field::Sku, Field::Title, Field::Description, Field::Price],
        );
        head.decimals = Decimals::Comma;
        let rows = RowBatch::of(&[(2, vec!["1001", "Starter", "65 mm\nred", "12,50"])]);
        let text = profile_text(&head, &rows);
        let mut profiles = Profiles::none();
        profiles
            .add(Path::new("north.toml"), &text)
            .unwrap_or_else(|error| panic!("{error}\n{text}"));
        let profile = profiles
            .for_file(Path::new("lists/North \"Field\" 2027-01.csv"))
            .unwrap();
        assert_eq!(profile.columns.len(), 4);
        assert_eq!(profile.dialect.decimal_char.as_deref(), Some(","));
    }

    #[test]
    fn a_pattern_outlives_the_date_in_a_name() {
        assert_eq!(pattern_of("nf_pricelist_2026-03.csv.gz"), "nf_pricelist_*.csv.gz");
        assert_eq!(pattern_of("2026.csv"), "2026.csv");
        assert_eq!(pattern_of("a/b/list.csv"), "list.csv");
    }
}
