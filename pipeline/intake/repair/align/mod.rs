//! The cheapest way to lay the pieces of a line over the columns. Pieces lie between *boundaries*: the line's ends, every
//! delimiter whether quoted or not, and places where a quote touches another cell's text. A run of pieces is a *segment*;
//! the table of costs is walked forward for the best reading and backward for the next best, which must differ from the
//! best in at least one boundary.

mod cells;

use super::super::cellclass::CellClass;
use super::super::model::{Look, Models};
use super::super::split::Cut;
use super::{Reading, What};
use cells::{cell_text, segment};

pub(super) use cells::boundaries;

/// More delimiters than this in one line are not worth aligning.
const MOST_BOUNDARIES: usize = 320;

/// Delimiters that may lie inside one unquoted cell.
const MOST_MERGED: usize = 40;
const EXTRA_EMPTY: f32 = 2.5;
const MERGED: f32 = 3.0;
const UNFIT_MERGE: f32 = 6.0;
const MERGED_AT_SPACE: f32 = 0.25;
const SPLIT_AT_QUOTE: f32 = 1.5;

/// A place where a cell may end: before `at` ends the text, after `next` the following cell starts.
#[derive(Clone, Copy)]
pub(super) struct Boundary {
    pub(super) at: usize,
    pub(super) next: usize,
    pub(super) cost: f32,
}

/// A text between two boundaries, as a cell.
struct Segment {
    cost: f32,
    look: Look,
    quoted: bool,
    edit: Edit,
}

/// What taking several pieces as one cell does to the delimiters between them.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Edit {
    None,
    /// This many stood beside empty pieces and are dropped.
    Dropped(usize),
    /// This many become part of the text.
    Merged(usize),
}

/// Costs of reaching each boundary with each number of columns behind it, from either end of the line.
struct Table<'t> {
    bounds: &'t [Boundary],
    segments: Vec<(usize, usize, Segment)>,
    /// Cost of each segment in each column.
    fits: Vec<f32>,
    width: usize,
    forward: Vec<f32>,
    came: Vec<usize>,
}

/// Cheapest way to lay the line's pieces over the columns.
pub(super) fn align(line: &str, cut: &Cut, models: &Models) -> Option<Reading> {
    let bounds = boundaries(line, cut);
    let (count, width) = (bounds.len(), models.width());
    if count < width + 1 || count > MOST_BOUNDARIES {
        return None;
    }
    let mut segments = Vec::new();
    // each column takes at least one piece, so no cell can take more than what is left over
    let longest = count - width;
    for from in 0..count - 1 {
        for to in from + 1..count.min(from + longest + 1) {
            if let Some(segment) = segment(line, cut, &bounds, from, to) {
                segments.push((from, to, segment));
            }
        }
    }
    let table = Table::filled(&bounds, segments, models);
    let cost = table.forward[table.place(count - 1, width)];
    if !cost.is_finite() {
        return None;
    }
    let path = table.best_path();
    let fit = path
        .iter()
        .enumerate()
        .map(|(column, index)| table.fits[index * width + column])
        .sum();
    let cells = path.iter().map(|index| {
        let (from, to, segment) = &table.segments[*index];
        cell_text(line, cut, &bounds, *from, *to, segment.quoted)
    });
    let cells = cells.collect();
    Some(Reading {
        cells,
        cost,
        fit,
        margin: if table.is_far_fetched(&path, cut) {
            0.0
        } else {
            table.second_best(&path) - cost
        },
        what: table.what_was_done(&path),
    })
}

impl Table<'_> {
    fn filled<'t>(bounds: &'t [Boundary], segments: Vec<(usize, usize, Segment)>, models: &Models) -> Table<'t> {
        let width = models.width();
        let states = bounds.len() * (width + 1);
        let mut table = Table {
            bounds,
            fits: Vec::with_capacity(segments.len() * width),
            segments,
            width,
            forward: vec![f32::INFINITY; states],
            came: vec![usize::MAX; states],
        };
        table.forward[0] = 0.0;
        let last = bounds.len() - 1;
        for (index, (from, to, segment)) in table.segments.iter().enumerate() {
            for column in 0..width {
                let reached = table.forward[from * (width + 1) + column].is_finite();
                if !reached || last - to < width - column - 1 {
                    table.fits.push(f32::INFINITY);
                    continue;
                }
                let fit = models.fit(column, segment.look) + unfit_merge(segment, column, models);
                table.fits.push(fit);
                let cost = table.forward[from * (width + 1) + column] + fit + segment.cost + bounds[*to].cost;
                let reached = to * (width + 1) + column + 1;
                if cost < table.forward[reached] {
                    table.forward[reached] = cost;
                    table.came[reached] = index;
                }
            }
        }
        table
    }

    /// Whether the edits of a reading are more than a slip or two: one text with delimiters in it is one slip, whatever
    /// their number.
    fn is_far_fetched(&self, path: &[usize], cut: &Cut) -> bool {
        let (mut slips, mut texts) = (0, 0);
        for index in path {
            match self.segments[*index].2.edit {
                Edit::None => {}
                Edit::Dropped(count) => slips += count,
                Edit::Merged(_) => texts += 1,
            }
        }
        cut.delimiter != Some(b' ') && slips + texts > 2
    }

    fn place(&self, bound: usize, column: usize) -> usize {
        bound * (self.width + 1) + column
    }

    /// The segments of the best reading, one per column.
    fn best_path(&self) -> Vec<usize> {
        let mut path = Vec::with_capacity(self.width);
        let mut bound = self.bounds.len() - 1;
        for column in (1..=self.width).rev() {
            let index = self.came[self.place(bound, column)];
            path.push(index);
            bound = self.segments[index].0;
        }
        path.reverse();
        path
    }

    /// Cost of the best reading that goes through a state the best one does not.
    fn second_best(&self, path: &[usize]) -> f32 {
        let mut backward = vec![f32::INFINITY; self.forward.len()];
        backward[self.place(self.bounds.len() - 1, self.width)] = 0.0;
        for (index, (from, to, segment)) in self.segments.iter().enumerate().rev() {
            for column in 0..self.width {
                let cost = backward[self.place(*to, column + 1)]
                    + self.fits[index * self.width + column]
                    + segment.cost
                    + self.bounds[*to].cost;
                let known = &mut backward[self.place(*from, column)];
                *known = known.min(cost);
            }
        }
        let mut on_path = vec![false; self.forward.len()];
        on_path[0] = true;
        for (column, index) in path.iter().enumerate() {
            on_path[self.place(self.segments[*index].1, column + 1)] = true;
        }
        let off_path = (0..on_path.len()).filter(|state| !on_path[*state]);
        off_path
            .map(|state| self.forward[state] + backward[state])
            .fold(f32::INFINITY, f32::min)
    }

    fn what_was_done(&self, path: &[usize]) -> What {
        let merged = |index: &usize| {
            let (from, to, segment) = &self.segments[*index];
            to - from > 1 && !segment.quoted
        };
        let put_in = |index: &usize| self.bounds[self.segments[*index].1].cost > 0.0;
        match (path.iter().any(put_in), path.iter().any(merged)) {
            (true, _) => What::MissingDelimiter,
            (false, true) => What::ExtraDelimiter,
            (false, false) => What::Quotes,
        }
    }
}

/// Delimiters stand inside prose, and a comma inside a number; elsewhere a merge is hard to believe.
fn unfit_merge(segment: &Segment, column: usize, models: &Models) -> f32 {
    let Edit::Merged(count) = segment.edit else { return 0.0 };
    let family = models.columns.get(column).map_or(0, |model| model.family().0);
    let prose = family == CellClass::Text.family() || family == 0;
    let number = count == 1 && segment.look.class.is_number();
    if prose || number { 0.0 } else { UNFIT_MERGE }
}
