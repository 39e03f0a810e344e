//! Maps the columns a profile leaves open.

use super::super::field::Field;
use super::super::header_words::{HeaderWords, normalise};
use super::super::list::{ColumnMap, MappedBy, Note};
use super::super::profile::Profile;
use super::Columns;
use super::rivals::one_of_each;
use super::said::columns_said;
use super::values::Values;
use crate::trade::fit_mark::is_engine_heading;

/// Confidence from which a look of values names a column.
const VALUES_ENOUGH: f32 = 0.5;

/// Maps every column; those that mean nothing here are `Ignored`. `Err` as for a profile's missing column.
pub(crate) fn map_columns(
    columns: &Columns,
    profile: Option<&Profile>,
    notes: &mut Vec<Note>,
) -> Result<Vec<ColumnMap>, (String, String)> {
    let mut mapped = match profile {
        Some(profile) => columns_said(columns, profile, notes)?,
        None => Vec::new(),
    };
    let said: Vec<Field> = mapped.iter().map(|column| column.field).collect();
    let values: Vec<Values> = (0..columns.width).map(|index| Values::of(columns, index)).collect();
    let mut guesses = by_header(columns, &values, notes);
    guesses.retain(|guess| !taken(&mapped, guess.index) && !said.contains(&guess.field));
    one_of_each(&mut guesses, notes);
    part_numbers_apart(&mut guesses, &said);
    mapped.extend(guesses);
    by_values(columns, &values, &mut mapped);
    for index in 0..columns.width {
        if !taken(&mapped, index) {
            mapped.push(columns.named(index, Field::Ignored, MappedBy::Values, 0.0));
        }
    }
    mapped.sort_by_key(|column| (column.index, column.field));
    Ok(mapped)
}

fn taken(mapped: &[ColumnMap], index: usize) -> bool {
    mapped.iter().any(|column| column.index == index)
}

fn by_header(columns: &Columns, values: &[Values], notes: &mut Vec<Note>) -> Vec<ColumnMap> {
    let words = HeaderWords::built_in();
    let mut guesses = Vec::new();
    // an engine's column that is empty in the sample is one of marks where another has some
    let has_marks = |(index, values): (usize, &Values)| {
        values.filled > 0 && values.are_marks() && is_engine_heading(columns.header(index))
    };
    let marked = values.iter().enumerate().any(has_marks);
    for (index, values) in values.iter().enumerate() {
        let by_title = || {
            let found = words.field_of(columns.title(index));
            found.map(|found| (found, MappedBy::Metadata))
        };
        let found = words
            .field_of(columns.header(index))
            .map(|found| (found, columns.named_by));
        let by_marks = || {
            let is_engine = marked && values.are_marks() && is_engine_heading(columns.header(index));
            is_engine.then_some(((Field::Fits, 0.9), columns.named_by))
        };
        let Some(((field, confidence), how)) = found.or_else(by_title).or_else(by_marks) else {
            continue;
        };
        // "Price per piece" over amounts is the price itself; over "100" and "piece" it is what the price is of
        let field = match field {
            Field::PriceBasis if values.are_amounts() => Field::Price,
            // "Fixings" over "3" and "4" are holes, over "M6" screws; "Bolts" likewise
            Field::Fastener if values.are_hole_counts() => Field::BoltHoles,
            Field::BoltHoles if values.are_threads() => Field::Fastener,
            field => field,
        };
        let is_text = |field| matches!(field, Field::Title | Field::Description) && values.fit(field) >= VALUES_ENOUGH;
        let lower = || lower_heading(columns.header(index), is_text);
        if let Some(field) = Some(field)
            .filter(|field| values.contradict(*field))
            .and_then(|_| lower())
        {
            guesses.push(columns.named(index, field, how, confidence.min(0.7)));
            continue;
        }
        if values.contradict(field) {
            notes.push(Note::new(format!(
                "column {} is headed \"{}\", but its values do not look like `{field}`; it was left aside",
                index + 1,
                columns.header(index).trim()
            )));
            continue;
        }
        guesses.push(columns.named(index, field, how, confidence));
    }
    guesses
}

/// The field of a heading's last words, where the heading is one of two rows, "Artigo" over "Descrição".
fn lower_heading(header: &str, agrees: impl Fn(Field) -> bool) -> Option<Field> {
    let header = normalise(header);
    let mut tails = header
        .match_indices(' ')
        .map(|(place, _)| &header[place + 1..])
        .collect::<Vec<_>>();
    tails.reverse();
    let known = |tail: &str| {
        HeaderWords::built_in()
            .field_of(tail)
            .filter(|(_, confidence)| *confidence >= 0.9)
    };
    tails
        .into_iter()
        .find_map(known)
        .map(|(field, _)| field)
        .filter(|field| agrees(*field))
}

/// A list without a column for its own numbers gives them under "part no", when it either names no
/// brand or has another column for the maker's numbers.
fn part_numbers_apart(guesses: &mut [ColumnMap], said: &[Field]) {
    let has = |field: Field| said.contains(&field) || guesses.iter().any(|guess| guess.field == field);
    if has(Field::Sku) {
        return;
    }
    let generic = [
        "part no",
        "part number",
        "part nr",
        "partno",
        "partnumber",
        "part",
        "teilenummer",
        "teilenr",
        "teile nr",
    ];
    let numbers: Vec<usize> = (0..guesses.len())
        .filter(|place| guesses[*place].field == Field::Mpn)
        .collect();
    let plain = |place: &usize| generic.contains(&normalise(&guesses[*place].header).as_str());
    let (plain, others): (Vec<usize>, Vec<usize>) = numbers.into_iter().partition(plain);
    if let [place] = plain[..]
        && (!others.is_empty() || !has(Field::Brand))
    {
        guesses[place].field = Field::Sku;
        guesses[place].confidence *= 0.85;
    }
}

/// Fields without which a list says little, filled from the looks of columns nobody has named.
fn by_values(columns: &Columns, values: &[Values], mapped: &mut Vec<ColumnMap>) {
    let headed = !columns.header.is_empty();
    let order = [
        Field::Gtin,
        Field::Currency,
        Field::EngineCode,
        Field::Price,
        Field::Sku,
        Field::Title,
        Field::Description,
    ];
    for field in order {
        let known = mapped.iter().any(|column| column.field == field);
        let text_known = field == Field::Description && mapped.iter().any(|column| column.field == Field::Title);
        if known || field == Field::Description && headed && text_known {
            continue;
        }
        if headed && field == Field::Title && mapped.iter().any(|column| column.field == Field::Description) {
            continue;
        }
        let open: Vec<usize> = (0..columns.width).filter(|index| !taken(mapped, *index)).collect();
        let Some(index) = best_for(field, &open, values) else {
            continue;
        };
        let fit = values[index].fit(field);
        let sure = if headed { 0.6 } else { 0.8 };
        mapped.push(columns.named(index, field, MappedBy::Values, fit * sure));
    }
    if !headed {
        let open: Vec<usize> = (0..columns.width).filter(|index| !taken(mapped, *index)).collect();
        if let Some(index) = best_for(Field::Mpn, &open, values) {
            mapped.push(columns.named(index, Field::Mpn, MappedBy::Values, values[index].fit(Field::Mpn) * 0.5));
        }
    }
}

/// The open column whose values fit best: number columns from the left, titles by length.
fn best_for(field: Field, open: &[usize], values: &[Values]) -> Option<usize> {
    let mut best: Option<(f32, usize)> = None;
    for index in open {
        let fit = values[*index].fit(field);
        if fit < VALUES_ENOUGH {
            continue;
        }
        let score = match field {
            // the shorter of two long texts is the name
            Field::Title => fit - values[*index].mean_length() / 1000.0,
            _ => fit,
        };
        if best.is_none_or(|(known, _)| score > known + 0.05) {
            best = Some((score, *index));
        }
    }
    best.map(|(_, index)| index)
}

/// Where a header that is one name short lacks it: the place at which names and values agree best, else the end.
pub(crate) fn gap_in_header(names: &[String], sample: &[Vec<String>], width: usize) -> usize {
    let columns = Columns {
        header: &[],
        named_by: MappedBy::HeaderWord,
        titles: &[],
        sample,
        width,
    };
    let values: Vec<Values> = (0..width).map(|index| Values::of(&columns, index)).collect();
    let fields: Vec<Option<Field>> = names
        .iter()
        .map(|name| HeaderWords::built_in().field_of(name).map(|(field, _)| field))
        .collect();
    let agreement = |gap: usize| -> f32 {
        let fit = |(place, field): (usize, &Option<Field>)| {
            let index = if place < gap { place } else { place + 1 };
            field.map_or(0.0, |field| match values.get(index) {
                Some(values) if values.contradict(field) => -1.0,
                Some(values) => values.fit(field),
                None => 0.0,
            })
        };
        fields.iter().enumerate().map(fit).sum()
    };
    let mut best = width - 1;
    for gap in (0..width - 1).rev() {
        if agreement(gap) > agreement(best) + 0.3 {
            best = gap;
        }
    }
    best
}

#[cfg(test)]
#[path = "guess_tests.rs"]
mod tests;
