//! One messy list to a plain table: RFC 4180, UTF-8, `\r\n` after each record, quotes only where they must be. The cells
//! stay as they are, only their wrapping changes; a header with fewer names than the rows have cells stays so, since a
//! name must not be invented. What could not be read goes to the rejects.
//!
//! A row with a cell too few or too many is mended where its place is certain. Where it is not, a short row is filled up
//! with empty cells at its end, and a long one is kept as found, wider than the table: to cut it would lose a cell and to
//! join two would make up a text. Either way the line is told of in a note.

use std::io::{self, Write};

use super::list::{ListAccount, ListHead};
use super::problem::Reject;
use super::reader::ListReader;

/// Writes one list, and hands its rejects on as they come; returns its head and what became of its lines.
///
/// # Errors
/// Whatever the output or the taker of rejects says.
pub fn tidy(
    mut list: ListReader,
    out: &mut dyn Write,
    rejected: &mut dyn FnMut(Vec<Reject>) -> io::Result<()>,
) -> io::Result<(ListHead, ListAccount)> {
    let mut line = Vec::with_capacity(64 << 10);
    let head = list.head().clone();
    if !head.header.is_empty() {
        push_record(&mut line, head.header.iter().map(String::as_str));
    }
    while let Some(batch) = list.next_batch() {
        for row in batch.iter() {
            push_record(&mut line, row.iter());
            if line.len() > 60 << 10 {
                out.write_all(&line)?;
                line.clear();
            }
        }
        rejected(list.take_rejects())?;
    }
    out.write_all(&line)?;
    out.flush()?;
    rejected(list.take_rejects())?;
    Ok((head, list.finish()))
}

/// Appends one record.
fn push_record<'c>(line: &mut Vec<u8>, cells: impl Iterator<Item = &'c str>) {
    let start = line.len();
    let mut count = 0;
    for cell in cells {
        if count > 0 {
            line.push(b',');
        }
        count += 1;
        push_cell(line, cell);
    }
    // a record of one empty cell would read as a blank line
    if count == 1 && line.len() == start {
        line.extend_from_slice(b"\"\"");
    }
    line.extend_from_slice(b"\r\n");
}

fn push_cell(line: &mut Vec<u8>, cell: &str) {
    if !cell.bytes().any(|byte| matches!(byte, b'"' | b',' | b'\r' | b'\n')) {
        line.extend_from_slice(cell.as_bytes());
        return;
    }
    line.push(b'"');
    let mut rest = cell.as_bytes();
    while let Some(place) = memchr::memchr(b'"', rest) {
        line.extend_from_slice(&rest[..=place]);
        line.push(b'"');
        rest = &rest[place + 1..];
    }
    line.extend_from_slice(rest);
    line.push(b'"');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_quoted_only_where_they_must_be() {
        let mut line = Vec::new();
        push_record(&mut line, ["a b", "10\" pipe", "x,y", ""].into_iter());
        assert_eq!(line, b"a b,\"10\"\" pipe\",\"x,y\",\r\n");
    }
}
