//! The columns of a list as guessed, with samples of what stands in them.

use crate::intake::field::Field;
use crate::intake::list::{ListHead, MappedBy};
use crate::intake::rows::RowBatch;

/// Sample values shown per column.
const SAMPLES: usize = 3;
/// Letters shown of a sample value.
const SAMPLE_LETTERS: usize = 32;

/// One column as guessed.
#[derive(Clone, Debug, PartialEq)]
pub struct ColumnGuess {
    /// Position, from 1.
    pub number: usize,
    /// Header text.
    pub header: String,
    /// What it was taken for.
    pub field: Field,
    /// Who says so.
    pub how: MappedBy,
    /// Confidence, 0 to 1.
    pub confidence: f32,
    /// The first different values.
    pub samples: Vec<String>,
}

/// The columns of a list with samples from its first rows.
pub fn column_guesses(head: &ListHead, rows: &RowBatch) -> Vec<ColumnGuess> {
    head.columns
        .iter()
        .map(|column| ColumnGuess {
            number: column.index + 1,
            header: column.header.clone(),
            field: column.field,
            how: column.how,
            confidence: column.confidence,
            samples: samples_of(rows, column.index),
        })
        .collect()
}

/// The first different values of a column, shortened, without control characters.
fn samples_of(rows: &RowBatch, index: usize) -> Vec<String> {
    let mut samples: Vec<String> = Vec::new();
    for row in rows.iter().take(200) {
        let cell = row.cell(index).trim();
        let mut shown: String = cell
            .chars()
            .take(SAMPLE_LETTERS)
            .map(|letter| if letter.is_control() { ' ' } else { letter })
            .collect();
        if cell.chars().count() > SAMPLE_LETTERS {
            shown.push('…');
        }
        if !shown.is_empty() && !samples.contains(&shown) {
            samples.push(shown);
        }
        if samples.len() == SAMPLES {
            break;
        }
    }
    samples
}
