//! How well one candidate explains a sample: steadiness of widths, looks of cells, places of quotes, number of columns.

use super::super::cellclass::{CellClass, class_of};
use super::super::split::{Cell, Cut, Form, Record, Spaced, Step, next_record};

/// Records looked at per candidate.
const SAMPLE_RECORDS: usize = 300;

/// What the sample shows under one candidate.
#[derive(Default)]
struct Tally {
    widths: Vec<usize>,
    cell_looks: f32,
    rows_looked_at: f32,
    sound_quotes: u32,
    loose_quotes: u32,
    typed_cells: u32,
    strays: u32,
}

pub(super) fn score(text: &[u8], cut: &Cut) -> f32 {
    let tally = tally(text, cut);
    let rows = tally.widths.len();
    if rows == 0 {
        return 0.0;
    }
    let looks = if tally.rows_looked_at > 0.0 {
        tally.cell_looks / tally.rows_looked_at
    } else {
        0.0
    };
    let quotes = quote_factor(&tally);
    if cut.delimiter.is_none() {
        return 0.16 * looks * quotes;
    }
    let wide = tally.widths.iter().filter(|width| **width >= 2).count() as f32 / rows as f32;
    let steady = steadiness(&tally.widths) * wide.sqrt();
    let mut sorted: Vec<usize> = tally.widths.iter().copied().filter(|width| *width >= 2).collect();
    sorted.sort_unstable();
    let middle = sorted.get(sorted.len() / 2).copied().unwrap_or(1) as f32;
    let columns = ((middle - 1.0) / middle).sqrt();
    // rows of free words are cut by spaces as steadily as by chance; a space must earn its place by typed cells or quotes
    let usual = match (cut.delimiter, tally.typed_cells + tally.sound_quotes) {
        (Some(b' '), 0) => 0.15,
        (Some(b' '), _) => 0.75,
        _ => 1.0,
    };
    let spaced = if cut.spaced == Spaced::Yes { 1.02 } else { 1.0 };
    steady * looks * columns * quotes * usual * spaced
}

/// Whether quotes wrap cells of the sample.
pub(super) fn wraps_cells(text: &[u8], cut: &Cut) -> bool {
    tally(text, cut).sound_quotes > 0
}

/// How far the quote characters stand where they should. A few out of place in a long sample are the writers' slips and
/// not a sign of another dialect.
fn quote_factor(tally: &Tally) -> f32 {
    let sound = tally.sound_quotes as f32;
    let amiss = (tally.loose_quotes + tally.strays) as f32;
    let usual = (sound + amiss).max(tally.widths.len() as f32 / 10.0).max(1.0);
    (1.0 - amiss / usual).max(0.05)
}

/// Share of neighbouring rows of equal width, with some credit for widths near the commonest.
fn steadiness(widths: &[usize]) -> f32 {
    if widths.len() < 2 {
        return if widths.first().is_some_and(|width| *width >= 2) {
            1.0
        } else {
            0.0
        };
    }
    let pairs = (widths.len() - 1) as f32;
    let equal = widths
        .windows(2)
        .filter(|pair| pair[0] == pair[1] && pair[0] >= 2)
        .count() as f32;
    let near = widths
        .windows(2)
        .filter(|pair| pair[0].abs_diff(pair[1]) <= 1 && pair[0].min(pair[1]) >= 2)
        .count() as f32;
    let far = widths.windows(2).filter(|pair| pair[0].min(pair[1]) >= 2).count() as f32;
    (0.7 * equal + 0.2 * near + 0.1 * far) / pairs
}

fn tally(text: &[u8], cut: &Cut) -> Tally {
    let mut tally = Tally::default();
    let mut cells: Vec<Cell> = Vec::new();
    let mut from = 0;
    while tally.widths.len() < SAMPLE_RECORDS
        && let Step::Record(record) = next_record(cut, text, from, true, &mut cells)
    {
        let record = one_line_if_torn(cut, text, record, &mut cells);
        from = record.next;
        if cells.iter().all(|cell| is_blank(&text[cell.start..cell.end])) {
            continue;
        }
        tally.strays += u32::from(record.stray || record.unclosed);
        tally.widths.push(cells.len());
        look_at(text, cut, &cells, &mut tally);
    }
    tally
}

/// A record that swallows several lines by a quote that never closes well is looked at as its first line.
fn one_line_if_torn(cut: &Cut, text: &[u8], mut record: Record, cells: &mut Vec<Cell>) -> Record {
    if record.lines == 1 || !(record.unclosed || record.stray) {
        return record;
    }
    let bare = cut.without_quotes();
    if let Step::Record(line) = next_record(&bare, text, record.start, true, cells) {
        record = Record { stray: true, ..line };
    }
    record
}

fn look_at(text: &[u8], cut: &Cut, cells: &[Cell], tally: &mut Tally) {
    let mut looks = 0.0;
    for cell in cells {
        let content = &text[cell.start..cell.end];
        if cell.form != Form::Plain {
            tally.sound_quotes += 2;
            looks += 1.0;
            continue;
        }
        let Ok(content) = std::str::from_utf8(content) else {
            continue;
        };
        if let Some(quote) = cut.quote {
            let loose = content.bytes().filter(|byte| *byte == quote).count() as u32;
            tally.loose_quotes += if quote == b'\'' { loose / 2 } else { loose };
        }
        let class = class_of(content);
        tally.typed_cells += u32::from(class.is_typed());
        looks += look_of(content, class, cut);
    }
    tally.cell_looks += looks / cells.len() as f32;
    tally.rows_looked_at += 1.0;
}

/// How much a cell looks like one cell and not like several.
fn look_of(content: &str, class: CellClass, cut: &Cut) -> f32 {
    let plain = match class {
        CellClass::Empty => 0.5,
        CellClass::Code => 0.9,
        CellClass::Word => 0.85,
        CellClass::Text => 0.75,
        _ => 1.0,
    };
    if matches!(class, CellClass::Empty) || class.is_typed() {
        return plain;
    }
    let delimiter = cut.delimiter.unwrap_or(0);
    let torn = content
        .bytes()
        .filter(|byte| matches!(byte, b';' | b'\t' | b'|') && *byte != delimiter)
        .count();
    let quotes = content.bytes().filter(|byte| *byte == b'"').count();
    let edge_quote = content.starts_with(['"', '\'']) || content.ends_with('"');
    let mut look: f32 = plain;
    if torn > 0 {
        look = look.min(0.3);
    }
    if memchr::memchr(b',', content.as_bytes()).is_some() && delimiter != b',' {
        look = look.min(if class == CellClass::Text { 0.6 } else { 0.35 });
    }
    if quotes % 2 == 1 || edge_quote {
        look = look.min(0.35);
    }
    look
}

fn is_blank(content: &[u8]) -> bool {
    content.iter().all(|byte| byte.is_ascii_whitespace())
}
