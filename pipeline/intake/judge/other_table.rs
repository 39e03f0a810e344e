//! A further table in the same list: its header has other names, or the same in another order or number. Where its columns
//! are the first table's by name its rows are laid over them; else its lines are rejected, since whose they are is unsaid.

use super::super::cellclass::class_of;
use super::super::header_words::{HeaderWords, normalise};
use super::super::problem::Problem;
use super::super::reader::Use;
use super::{Judge, Line, Seen, Verdict, is_blank};

/// A further table of the list.
#[derive(Clone, Debug)]
pub(super) struct OtherTable {
    width: usize,
    /// For each column of the first table, the column of this one; `None` where the columns do not correspond.
    places: Option<Vec<Option<usize>>>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Whether {
    Header,
    Row,
}

impl Judge {
    /// A header of a further table, or a line under it.
    pub(super) fn line_of_other_table(&mut self, seen: &Seen) -> Option<Verdict> {
        if self.is_other_header(seen) {
            let places = self.places_in(seen.cells);
            self.other = Some(OtherTable {
                width: seen.cells.len(),
                places,
            });
            return Some(self.of_other_table(seen, Whether::Header));
        }
        let other = self.other.as_ref()?;
        // only a sound row of the first table's own look ends the further one; its broken lines are its own
        if seen.cells.len() == self.width
            && other.width != self.width
            && !seen.irregular
            && self.looks_usual(seen.cells)
        {
            self.other = None;
            return None;
        }
        if other.places.is_some() && self.purpose == Use::Build && seen.cells.len() != other.width {
            return None;
        }
        Some(self.of_other_table(seen, Whether::Row))
    }

    fn of_other_table(&self, seen: &Seen, whether: Whether) -> Verdict {
        let places = self.other.as_ref().and_then(|other| other.places.as_ref());
        match (self.purpose, places, whether) {
            (Use::Build, Some(_), Whether::Header) => Verdict::Layout(Line::RepeatedHeader),
            (Use::Build, Some(places), Whether::Row) => {
                let cell =
                    |place: &Option<usize>| place.and_then(|place| seen.cells.get(place)).map_or("", |cell| *cell);
                Verdict::Mended {
                    cells: places.iter().map(|place| cell(place).to_string()).collect(),
                    note: None,
                }
            }
            _ => Verdict::Reject {
                problem: Problem::OtherTable,
                column: None,
                message: format!(
                    "{} cells of a further table; the first one has {}",
                    seen.cells.len(),
                    self.width
                ),
            },
        }
    }

    /// Labels where rows have numbers, under other names or in another number than the first header's.
    fn is_other_header(&self, seen: &Seen) -> bool {
        if seen.cells.len() < 2 || seen.irregular || self.header.is_empty() {
            return false;
        }
        let labels = seen
            .cells
            .iter()
            .all(|cell| cell.len() <= 60 && !class_of(cell).is_typed());
        let filled = seen.cells.iter().filter(|cell| !is_blank(cell)).count();
        if !labels || filled * 10 < seen.cells.len() * 6 {
            return false;
        }
        let known = seen
            .cells
            .iter()
            .filter(|cell| !is_blank(cell) && self.is_known_name(cell))
            .count();
        let other_width = seen.cells.len() != self.width;
        let enough = known * 2 > filled && known >= 2;
        match self.purpose {
            Use::Tidy => other_width && enough,
            Use::Build => enough && (other_width || !self.looks_usual(seen.cells)),
        }
    }

    fn is_known_name(&self, cell: &str) -> bool {
        let name = normalise(cell);
        !name.is_empty() && self.header.contains(&name) || HeaderWords::built_in().is_header(cell)
    }

    /// Where the first table's columns stand in this header, if all of its names are the first table's.
    fn places_in(&self, cells: &[&str]) -> Option<Vec<Option<usize>>> {
        let names = &self.header;
        let here: Vec<String> = cells.iter().map(|cell| normalise(cell)).collect();
        let known = here.iter().filter(|name| names.contains(name)).count();
        if known < 2 || known * 2 < here.len() {
            return None;
        }
        let mut places: Vec<Option<usize>> = names
            .iter()
            .map(|name| here.iter().position(|other| other == name && !name.is_empty()))
            .collect();
        places.resize(self.width, None);
        Some(places)
    }
}
