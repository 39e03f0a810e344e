//! Print-outs: columns that are aligned by spaces and delimited by nothing. Such a list is known by its *gutters*, the
//! columns of blanks that its rows share. They are sought on the rows alone, which begin or end with a figure, since a
//! page's own lines run across the columns. The texts of the header and a row of dashes under it must leave them blank
//! too; a gutter one blank wide needs one of the two to speak for it, since words of a text stand one blank apart as well.

use super::super::list::{Delimiter, Gutters, is_ruler};

/// Rows from which alignment is no chance.
const FEWEST_ROWS: usize = 6;
/// Share of the lines that must be rows.
const ROWS_AMONG_LINES: f32 = 0.6;
/// Share of the rows that may run across a gutter, a slip of the writer.
const ACROSS: f32 = 0.02;
/// Share of the rows with one number of delimiters from which a list is delimited, whatever its alignment.
const STEADY: f32 = 0.8;
/// Lines that are longer are no line of a print-out, letters.
const LONGEST_LINE: usize = 1024;

/// The gutters of a print-out; nothing where a list is none, or has too many columns. `rival` is how it would be cut else.
pub(super) fn gutters_of(text: &str, rival: Delimiter) -> Option<Gutters> {
    let lines: Vec<Vec<char>> = text
        .lines()
        .map(|line| {
            line.trim_start_matches('\u{c}')
                .trim_end()
                .chars()
                .collect::<Vec<char>>()
        })
        .filter(|line| !line.is_empty())
        .collect();
    if lines
        .iter()
        .any(|line| line.len() > LONGEST_LINE || line.contains(&'\t'))
    {
        return None;
    }
    let rows = rows_among(&lines)?;
    if is_delimited(&lines, &rows, rival) {
        return None;
    }
    let mut filled = vec![0usize; LONGEST_LINE + 1];
    for row in &rows {
        for (column, letter) in lines[*row].iter().enumerate() {
            filled[column] += usize::from(!letter.is_whitespace());
        }
    }
    let most = (rows.len() as f32 * ACROSS) as usize;
    let above = Above::of(&lines[..rows[0]]);
    let blank = |column: usize| filled[column] <= most && !above.is_headed(column);
    let first = (0..filled.len()).find(|column| !blank(*column))?;
    let last = (0..filled.len()).rev().find(|column| !blank(*column))?;
    let mut gutters = Gutters::default();
    let mut column = first;
    while column < last {
        let end = (column..).find(|column| !blank(*column))?;
        if end > column && above.speaks_for(column, end) && !gutters.push(column, end) {
            return None;
        }
        column = end + 1;
    }
    (gutters.count() >= 2).then_some(gutters)
}

/// The lines that are rows: most begin with a figure in their first word, or end with one in their last.
fn rows_among(lines: &[Vec<char>]) -> Option<Vec<usize>> {
    let has_figure = |word: &[char]| word.iter().any(char::is_ascii_digit);
    let is_blank = |letter: &char| letter.is_whitespace();
    let first = |line: &[char]| {
        line.split(is_blank)
            .find(|word| !word.is_empty())
            .is_some_and(has_figure)
    };
    let last = |line: &[char]| {
        line.rsplit(is_blank)
            .find(|word| !word.is_empty())
            .is_some_and(has_figure)
    };
    let apart = |line: &[char]| {
        line.windows(2)
            .any(|pair| pair[0].is_whitespace() && pair[1].is_whitespace())
    };
    let chosen = |is_row: &dyn Fn(&[char]) -> bool| -> Option<Vec<usize>> {
        let rows: Vec<usize> = (0..lines.len()).filter(|place| is_row(&lines[*place])).collect();
        let aligned = rows.iter().filter(|place| apart(&lines[**place])).count();
        let enough = rows.len() >= FEWEST_ROWS && rows.len() as f32 >= lines.len() as f32 * ROWS_AMONG_LINES;
        (enough && aligned * 10 >= rows.len() * 9).then_some(rows)
    };
    chosen(&first).or_else(|| chosen(&last))
}

/// Whether nearly all rows hold the rival delimiter equally often.
fn is_delimited(lines: &[Vec<char>], rows: &[usize], rival: Delimiter) -> bool {
    let (Delimiter::Byte(byte) | Delimiter::ByteAndSpace(byte)) = rival else {
        return false;
    };
    if byte == b' ' {
        return false;
    }
    let count = |row: &usize| lines[*row].iter().filter(|letter| **letter == char::from(byte)).count();
    let mut counts: Vec<usize> = rows.iter().map(count).collect();
    counts.sort_unstable();
    let middle = counts[counts.len() / 2];
    let same = counts.iter().filter(|count| **count == middle).count();
    middle > 0 && same as f32 >= rows.len() as f32 * STEADY
}

/// What stands over the rows: the texts of the header, and a row of dashes.
struct Above<'l> {
    header: Option<&'l [char]>,
    ruler: Option<&'l [char]>,
}

impl<'l> Above<'l> {
    fn of(before: &'l [Vec<char>]) -> Above<'l> {
        let text: Vec<&[char]> = before.iter().map(Vec::as_slice).collect();
        let is_dashes = |line: &&&[char]| is_ruler(line.iter().collect::<String>().as_bytes());
        let ruler = text.iter().rev().take(2).find(is_dashes).copied();
        let header = text.iter().rev().find(|line| !is_dashes(line)).copied();
        Above { header, ruler }
    }

    fn is_headed(&self, column: usize) -> bool {
        let filled = |line: &[char]| line.get(column).is_some_and(|letter| !letter.is_whitespace());
        self.has_columns() && self.header.is_some_and(filled)
    }

    /// Whether the last line over the rows is a header: words far apart, and no sentence.
    fn has_columns(&self) -> bool {
        self.header.is_some_and(|line| {
            let text: String = line.iter().collect();
            text.split("  ").filter(|part| !part.trim().is_empty()).count() >= 2
        })
    }

    /// Whether a run of blanks is a gutter. One blank in the header may part the words of one heading.
    fn speaks_for(&self, start: usize, end: usize) -> bool {
        if let Some(ruler) = self.ruler {
            return (start..end).any(|column| ruler.get(column).is_some_and(|letter| letter.is_whitespace()));
        }
        let wide = end - start >= 2;
        let beside = self.is_headed(end) || self.is_headed(start - 1);
        let apart = !(self.is_headed(end) && self.is_headed(start - 1));
        wide || beside && apart
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Option<Vec<(usize, usize)>> {
        gutters_of(text, Delimiter::Byte(b',')).map(|gutters| gutters.iter().collect())
    }

    fn print_out(count: usize) -> String {
        let mut text = String::from("ITEM     DESCRIPTION                   PRICE EUR\n");
        for row in 0..count {
            let name = ["Recoil starter 168F, red", "Recoil starter 188F"][row % 2];
            text.push_str(&format!("F{row:03}     {name:<26} {:>12}.50\n", row * 7));
        }
        text
    }

    #[test]
    fn the_blanks_that_all_rows_and_the_header_share_are_the_gutters() {
        assert_eq!(found(&print_out(30)), Some(vec![(4, 9), (33, 39)]));
    }

    #[test]
    fn a_ruler_speaks_for_gutters_of_one_blank() {
        let mut text = String::from("NO    NAME     QTY\n----- -------- ---\n");
        for row in 0..9 {
            let name = ["Starter", "Shroud", "Rope hub"][row % 3];
            text.push_str(&format!("A-{row:03} {name:<8} {:>3}\n", row * 11));
        }
        assert_eq!(found(&text), Some(vec![(5, 6), (14, 15)]));
    }

    #[test]
    fn what_is_delimited_or_prose_has_none() {
        let padded: String = (0..20)
            .map(|row| format!("A-{row:03}  , Starter   , {row:>4}.50\n"))
            .collect();
        assert_eq!(found(&padded), None);
        let prose: String = (0..20)
            .map(|row| format!("{row} recoil starters of the usual kind\n"))
            .collect();
        assert_eq!(found(&prose), None);
        assert_eq!(found("Recoil starter\nFan shroud\nStarter rope\n"), None);
        assert_eq!(found(&print_out(3)), None);
        assert_eq!(found(""), None);
    }
}
