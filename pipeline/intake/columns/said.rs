//! The columns a profile names.

use super::super::field::Field;
use super::super::header_words::{HeaderWords, normalise};
use super::super::list::{ColumnMap, MappedBy, Note};
use super::super::profile::{ColumnName, Profile};
use super::Columns;

/// Likeness from which a header is offered as "did you mean".
const ALIKE: f64 = 0.7;

/// Columns named by a profile; `Err` with the message and the hint if one is not in the file.
pub(super) fn columns_said(
    columns: &Columns,
    profile: &Profile,
    notes: &mut Vec<Note>,
) -> Result<Vec<ColumnMap>, (String, String)> {
    let mut mapped = Vec::new();
    for (field, names) in &profile.columns {
        for name in names {
            let index = match name {
                ColumnName::Number(number) => by_number(columns, *field, *number)?,
                ColumnName::Header(text) => by_header(columns, *field, text)?,
            };
            note_disagreement(columns, *field, index, notes);
            mapped.push(columns.named(index, *field, MappedBy::Profile, 1.0));
        }
    }
    Ok(mapped)
}

fn by_number(columns: &Columns, field: Field, number: usize) -> Result<usize, (String, String)> {
    if number <= columns.width {
        return Ok(number - 1);
    }
    let message = format!(
        "the profile takes `{field}` from column {number}, but the list has {} columns",
        columns.width
    );
    Err((
        message,
        "columns count from 1; correct the number in the profile".to_string(),
    ))
}

fn by_header(columns: &Columns, field: Field, text: &str) -> Result<usize, (String, String)> {
    let exact = columns.header.iter().position(|header| header.trim() == text.trim());
    let wanted = normalise(text);
    let found = exact.or_else(|| columns.header.iter().position(|header| normalise(header) == wanted));
    if let Some(index) = found.filter(|index| *index < columns.width) {
        return Ok(index);
    }
    let message = format!(
        "the profile takes `{field}` from a column headed \"{text}\", which the list does not have; it has {}",
        shown(columns.header)
    );
    let near = columns
        .header
        .iter()
        .filter(|header| !header.trim().is_empty())
        .map(|header| (strsim::jaro_winkler(&normalise(header), &wanted), header))
        .filter(|(likeness, _)| *likeness >= ALIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let hint = match near {
        Some((_, header)) => format!("did you mean \"{}\"?", header.trim()),
        None => "correct the profile, or run samefit onboard FILE to write it anew".to_string(),
    };
    Err((message, hint))
}

/// Header texts for a message, the first twenty of them.
fn shown(header: &[String]) -> String {
    if header.is_empty() {
        return "no header".to_string();
    }
    let mut texts: Vec<String> = header
        .iter()
        .take(20)
        .map(|text| format!("\"{}\"", text.trim()))
        .collect();
    if header.len() > 20 {
        texts.push(format!("and {} more", header.len() - 20));
    }
    texts.join(", ")
}

fn note_disagreement(columns: &Columns, field: Field, index: usize, notes: &mut Vec<Note>) {
    let header = columns.header(index);
    if let Some((guess, confidence)) = HeaderWords::built_in().field_of(header)
        && guess != field
        && confidence >= 0.9
        && field != Field::Ignored
    {
        notes.push(Note::new(format!(
            "the profile takes column {} (\"{}\") for `{field}`; its header reads like `{guess}`; the profile was followed",
            index + 1,
            header.trim()
        )));
    }
}
