//! `samefit onboard`: how a list would be read, and a profile to correct where the guess is wrong.

use super::Common;
use super::limits_file::LimitsFile;
use super::machine::json_text;
use super::one_list::open_list;
use super::outcome::{Failure, Outcome};
use super::page::{Page, Side, cut};
use super::talk::{Talk, print};
use crate::intake::onboard::{ColumnGuess, column_guesses, profile_text};
use crate::intake::{Delimiter, Field, ListHead, MappedBy, Profiles, RowBatch};
use crate::publish::single::{SingleFile, Standing};
use crate::trade::numerals::Decimals;
use clap::Args;
use serde_json::{Value, json};
use std::io::Write;
use std::path::{Path, PathBuf};

/// The name that stands for standard output.
const STDOUT: &str = "-";

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:
  samefit onboard new-vendor.csv
  samefit onboard new-vendor.csv --write schemas/suppliers
  samefit onboard new-vendor.csv --write - > new-vendor.toml")]
pub struct OnboardTyped {
    /// A list of the supplier
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Folder to write the profile into; - prints it on standard output instead of the guess
    #[arg(long, value_name = "DIR")]
    pub write: Option<PathBuf>,
    /// Write the profile over one that stands there
    #[arg(long, requires = "write")]
    pub replace: bool,
    /// Sheet of a workbook, or member of an archive, when it holds several lists
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// Limits on what the list may ask for
    #[command(flatten)]
    pub limits: LimitsFile,
    /// Print the guess as JSON
    #[arg(long)]
    pub json: bool,
}

/// Runs the onboarding.
///
/// # Errors
/// The list cannot be read, or a profile stands where the new one would be written.
pub fn run(typed: &OnboardTyped, common: &Common) -> Result<Outcome, Failure> {
    let talk = Talk::of(common);
    // what a profile says would hide what is guessed
    let limits = typed.limits.load()?;
    let mut list = open_list(&typed.file, &Profiles::none(), &limits, typed.sheet.as_deref())?;
    let head = list.head().clone();
    let rows = list.next_batch().unwrap_or_default();
    let profile = profile_text(&head, &rows);
    if typed.write.as_deref().is_some_and(|place| place.as_os_str() == STDOUT) {
        print(&profile)?;
        return Ok(Outcome::Done);
    }
    let guesses = column_guesses(&head, &rows);
    let written = match &typed.write {
        Some(folder) => Some(write_profile(folder, &head, &profile, typed)?),
        None => None,
    };
    print(&if typed.json {
        json_text(&guess_json(&head, &guesses))
    } else {
        page(&head, &guesses, &rows)
    })?;
    match written {
        Some(path) => talk.say(&format!(
            "the profile stands in {}; correct it where the guess is wrong",
            path.display()
        )),
        None => talk.say("nothing was written; --write DIR writes the profile, --write - prints it"),
    }
    Ok(Outcome::Done)
}

fn write_profile(folder: &Path, head: &ListHead, profile: &str, typed: &OnboardTyped) -> Result<PathBuf, Failure> {
    if !folder.is_dir() {
        return Err(
            Failure::usage(format!("the folder {} does not exist", folder.display()))
                .hint("make it first, or name the folder that build reads profiles from: schemas/suppliers"),
        );
    }
    let path = folder.join(format!("{}.toml", file_stem(&head.supplier)));
    if path.exists() && !typed.replace {
        return Err(Failure::usage(format!("a profile stands in {}", path.display()))
            .hint("--replace writes over it; what was corrected in it would be lost"));
    }
    let standing = if typed.replace {
        Standing::Replace
    } else {
        Standing::Keep
    };
    let mut file = SingleFile::beside(&path)?;
    file.write_all(profile.as_bytes())
        .map_err(|error| Failure::failed(format!("could not write {}: {error}", path.display())))?;
    file.put(standing)?;
    Ok(path)
}

/// The supplier's name as the stem of a file: nothing in it can lead out of the folder.
fn file_stem(supplier: &str) -> String {
    let stem: String = supplier
        .chars()
        .map(|sign| {
            if sign.is_alphanumeric() || matches!(sign, '-' | '_') {
                sign
            } else {
                '-'
            }
        })
        .collect();
    if stem.chars().any(char::is_alphanumeric) {
        stem
    } else {
        "supplier".into()
    }
}

fn page(head: &ListHead, guesses: &[ColumnGuess], rows: &RowBatch) -> String {
    let mut page = Page::default();
    page.sentence(0, &format!("{}: supplier {}", head.shown(), head.supplier));
    page.sentence(
        2,
        &format!("encoding {} ({:.2})", head.encoding.label, head.encoding.confidence),
    );
    page.sentence(
        2,
        &format!(
            "cells delimited by {}; decimals with {}",
            delimiter_words(head),
            decimals_words(head.decimals)
        ),
    );
    let header = if head.header.is_empty() {
        "no header"
    } else {
        "a header"
    };
    page.sentence(
        2,
        &format!("{header}, {} columns, {} of them used", guesses.len(), used(guesses)),
    );
    for note in &head.notes {
        page.sentence(2, &note.message);
    }
    page.gap();
    let headings = [
        ("no", Side::Right),
        ("header", Side::Left),
        ("taken for", Side::Left),
        ("sure", Side::Right),
        ("because of", Side::Left),
        ("samples", Side::Left),
    ];
    let cells: Vec<Vec<String>> = guesses.iter().map(cells).collect();
    page.table(0, &headings, &cells);
    if rows.is_empty() {
        page.gap();
        page.line("No row was found below the header");
    }
    page.finish()
}

fn cells(guess: &ColumnGuess) -> Vec<String> {
    let used = guess.field != Field::Ignored;
    vec![
        guess.number.to_string(),
        cut(guess.header.trim(), 22),
        if used { guess.field.to_string() } else { "-".into() },
        if used {
            format!("{:.2}", guess.confidence)
        } else {
            String::new()
        },
        if used {
            how_words(guess.how).into()
        } else {
            String::new()
        },
        cut(&guess.samples.join(" | "), 44),
    ]
}

fn used(guesses: &[ColumnGuess]) -> usize {
    guesses.iter().filter(|guess| guess.field != Field::Ignored).count()
}

fn how_words(how: MappedBy) -> &'static str {
    match how {
        MappedBy::Profile => "profile",
        MappedBy::HeaderWord => "header",
        MappedBy::Values => "values",
        MappedBy::Metadata => "metadata",
    }
}

fn delimiter_words(head: &ListHead) -> String {
    match head.dialect.delimiter {
        Delimiter::Byte(b'\t') => "tab".into(),
        Delimiter::Byte(byte) => format!("`{}`", char::from(byte)),
        Delimiter::ByteAndSpace(byte) => format!("`{} `", char::from(byte)),
        Delimiter::Columns(_) => "aligned columns".into(),
        Delimiter::None => "nothing".into(),
        Delimiter::Workbook => "the workbook".into(),
    }
}

fn decimals_words(decimals: Decimals) -> &'static str {
    match decimals {
        Decimals::Comma => "a comma",
        Decimals::Point => "a point",
        Decimals::Unsure => "a mark that the numbers do not tell",
    }
}

fn guess_json(head: &ListHead, guesses: &[ColumnGuess]) -> Value {
    let columns: Vec<Value> = guesses
        .iter()
        .map(|guess| {
            json!({
                "number": guess.number, "header": guess.header, "field": guess.field.to_string(),
                "confidence": (f64::from(guess.confidence) * 1e4).round() / 1e4, "because_of": how_words(guess.how),
                "samples": guess.samples,
            })
        })
        .collect();
    json!({
        "list": head.shown(), "supplier": head.supplier.as_ref(), "encoding": head.encoding.label,
        "delimiter": delimiter_words(head), "decimals": decimals_words(head.decimals), "columns": columns,
        "notes": head.notes.iter().map(|note| note.message.as_str()).collect::<Vec<_>>(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_supplier_name_leads_out_of_the_folder() {
        assert_eq!(file_stem("../../etc/passwd"), "------etc-passwd");
        assert_eq!(file_stem("north_field-2026"), "north_field-2026");
        assert_eq!(file_stem("../.."), "supplier");
    }
}
