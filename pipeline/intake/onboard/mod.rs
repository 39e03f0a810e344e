//! Shows what was guessed of a list, column by column with samples, and writes it down as a profile a person would be
//! glad to keep: every key with the reason for its value, every column with what stands in it, and the keys that no list
//! tells of itself as comments to fill in.
//!
//! Order inside the folder, lowest first: `guesses` (columns with samples), `toml_text` and `file_pattern`, `sections` (of
//! the profile).

mod file_pattern;
mod guesses;
mod sections;
mod toml_text;

pub use guesses::{ColumnGuess, column_guesses};

use super::list::ListHead;
use super::rows::RowBatch;
use file_pattern::pattern_of;
use sections::{write_columns, write_dialect, write_terms};
use std::fmt::Write;
use toml_text::{comment, quoted};

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

#[cfg(test)]
mod tests;
