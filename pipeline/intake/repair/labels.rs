//! A header line that did not come out at the list's width: labels have no types to go by, but they are short and hold no
//! delimiters.

use super::super::split::Cut;
use super::align::{Boundary, boundaries};
use super::quoting::{plain, quoted_inside};

/// The cells of a header line that did not come out at the list's width: labels are short words without delimiters, and
/// any delimiter may have been used. `None` if no reading gives the width.
pub(crate) fn read_labels(line: &str, cut: &Cut, width: usize) -> Option<Vec<String>> {
    let mut delimiters: Vec<u8> = cut.delimiter.into_iter().collect();
    delimiters.extend([b' ', b';', b',', b'\t', b'|']);
    for delimiter in delimiters {
        let cut = if Some(delimiter) == cut.delimiter {
            *cut
        } else {
            cut.with_delimiter(delimiter)
        };
        let bounds = boundaries(line, &cut);
        let hard = bounds.iter().filter(|bound| bound.cost == 0.0).count() - 1;
        let pieces: Vec<&Boundary> = if hard >= width {
            bounds.iter().filter(|bound| bound.cost == 0.0).collect()
        } else {
            at_quote_junctions(line, &cut, &bounds)
        };
        let cells: Vec<String> = pieces
            .windows(2)
            .map(|pair| {
                let raw = line.get(pair[0].next..pair[1].at).unwrap_or_default();
                quoted_inside(raw, &cut).map_or_else(|| raw.to_string(), |inner| plain(inner, &cut))
            })
            .collect();
        if cells.len() == width && cells.iter().all(|cell| cell.len() <= 60) {
            return Some(cells);
        }
    }
    None
}

/// Delimiters, and the places where a quoted label touches its neighbour.
fn at_quote_junctions<'b>(line: &str, cut: &Cut, bounds: &'b [Boundary]) -> Vec<&'b Boundary> {
    let bytes = line.as_bytes();
    let quote = cut.quote.unwrap_or(0);
    let mut open = false;
    let mut at = 0;
    bounds
        .iter()
        .filter(|bound| {
            for byte in &bytes[at..bound.at.max(at)] {
                open ^= *byte == quote;
            }
            at = bound.at.max(at);
            bound.cost == 0.0 || !open && (bytes[bound.at] == quote || bound.at > 0 && bytes[bound.at - 1] == quote)
        })
        .collect()
}
