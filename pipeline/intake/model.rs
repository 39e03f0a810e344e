//! What each column of a list usually holds, learned from the sample's regular rows: looks, letter shapes, lengths. A
//! *fit* is the cost, in nats, of finding a text in a column; low where the column is full of such texts. Used to put a
//! ragged row's cells in their places, and only where the costs leave no doubt.

use std::hash::Hasher;

use rustc_hash::{FxHashMap, FxHasher};

use super::cellclass::{CellClass, class_of};

/// Texts longer than this have no letter shape.
const LONGEST_SHAPE: usize = 32;

/// The features of a text that fits are made of.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Look {
    pub(crate) class: CellClass,
    exact: u64,
    coarse: u64,
    log_length: f32,
    quoted: bool,
}

impl Look {
    /// The look of an unquoted text; `quoted` says whether it stood in quotes.
    pub(crate) fn of(text: &str, quoted: bool) -> Look {
        let text = text.trim();
        let (exact, coarse) = if text.len() <= LONGEST_SHAPE {
            shapes(text)
        } else {
            (0, 0)
        };
        Look {
            class: class_of(text),
            exact,
            coarse,
            log_length: ((text.len() + 1) as f32).ln(),
            quoted,
        }
    }
}

/// Hashes of the shape letter by letter and of the shape with runs drawn together. Digits after a mark stay counted:
/// decimals, minutes and years have their number, whole parts do not.
fn shapes(text: &str) -> (u64, u64) {
    let (mut exact, mut coarse) = (FxHasher::default(), FxHasher::default());
    let (mut last, mut counted) = ('\0', false);
    for letter in text.chars() {
        let mark = match letter {
            '0'..='9' => '9',
            letter if letter.is_uppercase() => 'A',
            letter if letter.is_alphabetic() => 'a',
            letter if letter.is_whitespace() => ' ',
            letter => letter,
        };
        exact.write_u32(mark as u32);
        if mark != last && mark != '9' {
            counted = matches!(mark, '.' | ',' | ':' | '/');
        }
        if mark != last || mark == '9' && counted {
            coarse.write_u32(mark as u32);
        }
        last = mark;
    }
    (exact.finish() | 1, coarse.finish() | 1)
}

/// One column.
#[derive(Clone, Debug, Default)]
pub(crate) struct ColumnModel {
    cells: f32,
    classes: [f32; CellClass::COUNT],
    exact: FxHashMap<u64, f32>,
    coarse: FxHashMap<u64, f32>,
    lengths: f32,
    length_sum: f32,
    length_squares: f32,
    quoted: f32,
    /// Shares of the commonest exact and of the commonest coarse shape.
    steady: (f32, f32),
}

impl ColumnModel {
    fn add(&mut self, look: Look) {
        self.cells += 1.0;
        self.classes[look.class as usize] += 1.0;
        if look.exact != 0 {
            *self.exact.entry(look.exact).or_default() += 1.0;
            *self.coarse.entry(look.coarse).or_default() += 1.0;
        }
        if look.class != CellClass::Empty {
            self.lengths += 1.0;
            self.length_sum += look.log_length;
            self.length_squares += look.log_length * look.log_length;
            self.quoted += f32::from(u8::from(look.quoted));
        }
    }

    /// Cost of finding this look in the column.
    pub(crate) fn fit(&self, look: Look) -> f32 {
        let share = |count: Option<&f32>| count.copied().unwrap_or(0.0) / (self.cells + 1.0);
        let (exact, coarse) = match look.exact {
            0 => (0.0, 0.0),
            _ => (share(self.exact.get(&look.exact)), share(self.coarse.get(&look.coarse))),
        };
        let class = (self.classes[look.class as usize] + 0.1) / (self.cells + 1.2);
        // where nearly all cells have one shape, another shape of the same class says little
        let (steady, steady_coarse) = self.steady;
        let likeness = (0.3 + 0.25 * steady) * exact
            + 0.3 * (1.0 - 0.8 * steady) * coarse
            + 0.4 * (1.0 - 0.8 * steady_coarse) * class;
        let mut cost = -likeness.max(1e-6).ln();
        if look.class != CellClass::Empty && self.lengths >= 3.0 {
            let mean = self.length_sum / self.lengths;
            let spread = (self.length_squares / self.lengths - mean * mean)
                .max(0.0)
                .sqrt()
                .max(0.25);
            let distance = (look.log_length - mean) / spread;
            cost += 0.2 * (distance * distance).min(20.0);
            let quoted = self.quoted / self.lengths;
            if quoted > 0.95 && !look.quoted || quoted < 0.02 && look.quoted {
                cost += 1.0;
            }
        }
        cost
    }

    /// Share of cells that are not empty.
    pub(crate) fn filled(&self) -> f32 {
        if self.cells == 0.0 {
            0.0
        } else {
            1.0 - self.classes[CellClass::Empty as usize] / self.cells
        }
    }

    /// The commonest family among filled cells and its share.
    pub(crate) fn family(&self) -> (u8, f32) {
        let mut families = [0.0f32; 6];
        for (class, family) in FAMILY_OF {
            families[family as usize] += self.classes[class];
        }
        families[0] = 0.0;
        let filled: f32 = families.iter().sum();
        let mut best = 0;
        for (family, count) in families.iter().enumerate() {
            if *count > families[best] {
                best = family;
            }
        }
        (best as u8, if filled > 0.0 { families[best] / filled } else { 0.0 })
    }
}

const FAMILY_OF: [(usize, u8); CellClass::COUNT] = [
    (0, 0),
    (1, 1),
    (2, 1),
    (3, 1),
    (4, 1),
    (5, 2),
    (6, 2),
    (7, 2),
    (8, 3),
    (9, 4),
    (10, 5),
    (11, 5),
];

/// All columns of a list.
#[derive(Clone, Debug, Default)]
pub(crate) struct Models {
    pub(crate) columns: Vec<ColumnModel>,
    /// Cost that 95 of 100 regular rows stay under.
    pub(crate) usual_cost: f32,
}

impl Models {
    /// Learns from rows of `width` cells, each a text and whether it was quoted.
    pub(crate) fn learn<'r>(width: usize, rows: impl Iterator<Item = Vec<(&'r str, bool)>>) -> Models {
        let mut models = Models {
            columns: vec![ColumnModel::default(); width],
            usual_cost: 0.0,
        };
        let mut seen: Vec<Vec<Look>> = Vec::new();
        for row in rows {
            let looks: Vec<Look> = row.iter().map(|(text, quoted)| Look::of(text, *quoted)).collect();
            for (column, look) in models.columns.iter_mut().zip(&looks) {
                column.add(*look);
            }
            seen.push(looks);
        }
        for column in &mut models.columns {
            let most = |shapes: &FxHashMap<u64, f32>| shapes.values().copied().fold(0.0, f32::max);
            let cells = column.cells.max(1.0);
            column.steady = (most(&column.exact) / cells, most(&column.coarse) / cells);
        }
        let mut costs: Vec<f32> = seen
            .iter()
            .map(|looks| {
                looks
                    .iter()
                    .zip(&models.columns)
                    .map(|(look, column)| column.fit(*look))
                    .sum()
            })
            .collect();
        costs.sort_by(f32::total_cmp);
        models.usual_cost = costs
            .get(costs.len().saturating_sub(1) * 95 / 100)
            .copied()
            .unwrap_or(0.0);
        models
    }

    /// Number of columns.
    pub(crate) fn width(&self) -> usize {
        self.columns.len()
    }

    /// Cost of a text in a column.
    pub(crate) fn fit(&self, column: usize, look: Look) -> f32 {
        self.columns.get(column).map_or(8.0, |model| model.fit(look))
    }

    /// Whether a row of this cost looks like the others.
    pub(crate) fn is_usual(&self, cost: f32) -> bool {
        cost <= self.usual_cost * 1.25 + 3.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn price_list() -> Models {
        let rows = [
            ["RS-1001", "Recoil starter", "12.50"],
            ["RS-1002", "Recoil starter long", "14.00"],
            ["FS-2001", "Fan shroud", "9.90"],
        ];
        Models::learn(
            3,
            rows.iter().map(|row| row.iter().map(|cell| (*cell, false)).collect()),
        )
    }

    #[test]
    fn a_text_costs_least_in_its_own_column() {
        let models = price_list();
        let number = Look::of("10.40", false);
        assert!(models.fit(2, number) < models.fit(0, number));
        assert!(models.fit(2, number) < models.fit(1, number));
        let code = Look::of("RS-1007", false);
        assert!(models.fit(0, code) < models.fit(1, code));
    }

    #[test]
    fn families_are_counted_over_filled_cells() {
        let models = price_list();
        assert_eq!(models.columns[2].family(), (CellClass::Decimal.family(), 1.0));
        assert_eq!(models.columns[0].filled(), 1.0);
    }
}
