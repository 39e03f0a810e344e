//! How many cells the rows of a list have. The commonest width counts, weighed by cells; of several tables the first is
//! meant; and where unquoted texts hold delimiters, so that no width is common, the columns are counted from both edges.

use super::super::cellclass::class_of;
use super::super::split::Cut;
use super::sample::Sampled;

pub(super) struct Shape {
    pub(super) width: usize,
    pub(super) realign: Option<Realign>,
}

/// Columns that can be counted from the left and from the right while the text between them holds delimiters.
#[derive(Clone, Copy)]
pub(super) struct Realign {
    pub(super) left: usize,
    pub(super) right: usize,
}

/// The width of the table's rows.
pub(super) fn shape_of(records: &[Sampled], cut: &Cut) -> Option<Shape> {
    let mut counts: Vec<(usize, usize, usize)> = Vec::new(); // width, records, first place
    let mut lines = 0;
    for (place, record) in records.iter().enumerate().filter(|(_, record)| !record.is_blank()) {
        lines += 1;
        let width = record.cells.len();
        match counts.iter_mut().find(|(known, ..)| *known == width) {
            Some((_, count, _)) => *count += 1,
            None => counts.push((width, 1, place)),
        }
    }
    if lines == 0 {
        return None;
    }
    if cut.delimiter.is_none() {
        return Some(Shape {
            width: 1,
            realign: None,
        });
    }
    let weight = |(width, count, _): &(usize, usize, usize)| count * width.saturating_sub(1);
    let most = counts.iter().map(weight).max().unwrap_or(0);
    // of several tables the first is meant; one that weighs little beside the others is a preamble
    let main = counts
        .iter()
        .filter(|count| weight(count) * 10 >= most * 4 && count.1 * 4 >= counts.iter().map(|c| c.1).max().unwrap_or(0))
        .min_by_key(|(width, _, place)| (first_run(records, *width).unwrap_or(*place + records.len()), *place))?;
    let share = main.1 as f32 / lines as f32;
    if share < 0.5
        && lines >= 4
        && let Some((width, realign)) = width_by_edges(records)
    {
        return Some(Shape {
            width,
            realign: Some(realign),
        });
    }
    Some(Shape {
        width: main.0.max(1),
        realign: None,
    })
}

/// Where two records of this width first stand together.
fn first_run(records: &[Sampled], width: usize) -> Option<usize> {
    let lines: Vec<(usize, usize)> = records
        .iter()
        .enumerate()
        .filter(|(_, record)| !record.is_blank())
        .map(|(place, record)| (place, record.cells.len()))
        .collect();
    lines
        .windows(2)
        .find(|pair| pair[0].1 == width && pair[1].1 == width)
        .map(|pair| pair[0].0)
}

/// Where unquoted texts hold delimiters no width is common; then the header's width stands if all columns but one can be
/// counted from the edges.
fn width_by_edges(records: &[Sampled]) -> Option<(usize, Realign)> {
    let lines: Vec<&Sampled> = records.iter().filter(|record| !record.is_blank()).collect();
    let start = lines.iter().position(|record| record.cells.len() >= 3)?;
    let width = lines[start].cells.len();
    if lines[start].cells.iter().any(|(text, _)| class_of(text).is_typed()) {
        return None;
    }
    let body: Vec<&Sampled> = lines[start + 1..]
        .iter()
        .copied()
        .filter(|record| record.cells.len() >= width)
        .collect();
    if body.len() * 10 < (lines.len() - start - 1) * 6 || body.is_empty() {
        return None;
    }
    let look = |cell: &(String, bool)| (class_of(&cell.0).family(), cell.1);
    let steady = |pick: &dyn Fn(&Sampled) -> (u8, bool)| {
        let first = pick(body[0]);
        let alike = body.iter().filter(|record| pick(record) == first).count();
        alike * 10 >= body.len() * 9
    };
    let left = (0..width)
        .take_while(|column| steady(&|record| look(&record.cells[*column])))
        .count();
    let right = (0..width)
        .take_while(|column| steady(&|record| look(&record.cells[record.cells.len() - 1 - *column])))
        .count();
    let left = left.min(width - 1);
    let right = right.min(width - 1 - left);
    (left + right + 1 == width).then_some((width, Realign { left, right }))
}
