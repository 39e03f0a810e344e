//! The sections of a profile: dialect, columns, and the terms that no list tells of itself.

use super::guesses::ColumnGuess;
use super::toml_text::{comment, quoted};
use crate::intake::dialect;
use crate::intake::field::Field;
use crate::intake::list::{Delimiter, DialectGuess, Escape, ListHead, MappedBy};
use crate::trade::numerals::Decimals;
use std::collections::BTreeMap;
use std::fmt::Write;

/// `[dialect]`: encoding, delimiters and the decimal mark.
pub(super) fn write_dialect(text: &mut String, head: &ListHead) -> std::fmt::Result {
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
        write_cut(text, dialect)?;
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

/// Delimiter, quote and escape; the columns of a print-out are found anew, since they move with its widest text.
fn write_cut(text: &mut String, dialect: &DialectGuess) -> std::fmt::Result {
    match dialect.delimiter {
        Delimiter::Byte(byte) => writeln!(text, "delimiter = {}", quoted(&char::from(byte).to_string()))?,
        Delimiter::ByteAndSpace(byte) => writeln!(text, "delimiter = {}", quoted(&format!("{} ", char::from(byte))))?,
        Delimiter::Columns(_) => {
            return writeln!(
                text,
                "# The columns are aligned by spaces, and cut where the rows share a blank."
            );
        }
        Delimiter::None | Delimiter::Workbook => {}
    }
    let quote = dialect
        .quote
        .map_or(String::new(), |quote| char::from(quote).to_string());
    writeln!(text, "quoteChar = {}", quoted(&quote))?;
    match dialect.escape {
        Escape::Doubled => writeln!(text, "doubleQuote = true"),
        Escape::Byte(byte) => writeln!(text, "escapeChar = {}", quoted(&char::from(byte).to_string())),
        Escape::None => writeln!(text, "doubleQuote = false"),
    }
}

/// `[columns]`: each field, with who says so and samples.
pub(super) fn write_columns(text: &mut String, guesses: &[ColumnGuess]) -> std::fmt::Result {
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

/// `[units]`, `[price]` and `[shipping]`, as comments to fill in.
pub(super) fn write_terms(text: &mut String, head: &ListHead, guesses: &[ColumnGuess]) -> std::fmt::Result {
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
