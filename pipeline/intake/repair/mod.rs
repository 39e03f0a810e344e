//! Puts the cells of a ragged line in their places. A delimiter too many, one missing, a quote too many or too few, or a
//! line that uses another delimiter than its list: each is an *edit* with a cost, each cell has a fit in its column, and
//! the cheapest reading is taken only if it looks like the other rows and the next best one is clearly dearer. Otherwise
//! there is no repair, and the caller rejects the line; nothing is guessed.

mod align;
mod labels;
mod missing;
mod quoting;

pub(crate) use labels::read_labels;

use super::model::Models;
use super::split::Cut;
use align::align;
use missing::split_one;

/// Nats between the best and the second best reading that make the best certain.
const CERTAIN: f32 = 2.0;
/// Longest line that is aligned, bytes.
const LONGEST_LINE: usize = 16 << 10;
const OTHER_DELIMITER: f32 = 4.0;
/// Work on one line beyond which it is not aligned: pieces times pieces times columns, some milliseconds.
const MOST_WORK: u64 = 6_000_000;

/// A reading of a line.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Reading {
    pub(crate) cells: Vec<String>,
    /// Edits and fits together.
    pub(crate) cost: f32,
    /// Fits alone.
    pub(crate) fit: f32,
    /// How much dearer the next best reading is.
    pub(crate) margin: f32,
    /// What was done, for the note.
    pub(crate) what: What,
}

/// What a repair did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum What {
    Quotes,
    ExtraDelimiter,
    MissingDelimiter,
    OtherDelimiter(u8),
    MissingEmptyCell,
}

impl What {
    /// The repair in words.
    pub(crate) fn words(self) -> String {
        match self {
            What::Quotes => "a stray or unclosed quote was taken as a letter".to_string(),
            What::ExtraDelimiter => "a delimiter too many was taken out".to_string(),
            What::MissingDelimiter => "a missing delimiter was put in".to_string(),
            What::OtherDelimiter(b' ') => "the line is delimited by spaces, unlike its list".to_string(),
            What::OtherDelimiter(byte) => format!("the line is delimited by {:?}, unlike its list", char::from(byte)),
            What::MissingEmptyCell => "a missing empty cell was put in".to_string(),
        }
    }
}

impl Reading {
    /// Whether the reading is beyond doubt.
    pub(crate) fn is_certain(&self, models: &Models) -> bool {
        self.margin >= CERTAIN && models.is_usual(self.fit)
    }
}

/// The best reading of a line that did not come out at the list's width, or whose quotes are amiss.
pub(crate) fn read_ragged(line: &str, cut: &Cut, models: &Models, cells_found: usize) -> Option<Reading> {
    // a line across the gutters of a print-out tells nothing of where its cells end
    if line.len() > LONGEST_LINE || models.width() < 2 || cut.gutters.is_some() {
        return None;
    }
    if work_on(line, cut, models) > MOST_WORK {
        return None;
    }
    let mut best = align(line, cut, models);
    if cells_found < models.width() {
        prefer(&mut best, split_one(line, cut, models));
        if best.as_ref().is_none_or(|reading| !reading.is_certain(models)) {
            for delimiter in [b' ', b';', b',', b'\t', b'|'] {
                let enough = memchr::memchr_iter(delimiter, line.as_bytes()).count() + 1 >= models.width();
                if Some(delimiter) != cut.delimiter && enough {
                    let other = cut.with_delimiter(delimiter);
                    prefer(
                        &mut best,
                        align(line, &other, models).map(|reading| Reading {
                            cost: reading.cost + OTHER_DELIMITER,
                            what: What::OtherDelimiter(delimiter),
                            ..reading
                        }),
                    );
                }
            }
        }
    }
    best
}

/// About how much work it is to align a line; a list of ragged lines may spend only so much of it.
pub(crate) fn work_on(line: &str, cut: &Cut, models: &Models) -> u64 {
    let delimiter = cut.delimiter.unwrap_or(b',');
    let pieces = memchr::memchr_iter(delimiter, line.as_bytes()).count() as u64 + 2;
    pieces * pieces * models.width() as u64 + line.len() as u64
}

/// Keeps the cheaper of two readings; its margin is the lesser of its own and the distance to the other, if they differ.
fn prefer(best: &mut Option<Reading>, other: Option<Reading>) {
    let Some(other) = other else { return };
    let Some(known) = best.take() else {
        *best = Some(other);
        return;
    };
    let (mut first, second) = if other.cost < known.cost {
        (other, known)
    } else {
        (known, other)
    };
    if first.cells != second.cells {
        first.margin = first.margin.min(second.cost - first.cost);
    }
    *best = Some(first);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twenty rows of a list, a column to each kind of cell.
    fn models() -> Models {
        let parts = [
            "Recoil starter, red",
            "Fan shroud",
            "Starter \"heavy\" assembly",
            "Starter grip",
            "Rope pulley cover",
        ];
        let texts = [
            "Metal housing, four pawls",
            "Sheet metal, painted",
            "Complete, with rope",
            "Black rubber",
        ];
        let rows: Vec<Vec<String>> = (0..20)
            .map(|row: usize| {
                vec![
                    format!("{:02}/01/2026", row + 1),
                    format!("{:02}:{}5", row % 12, row % 6),
                    format!("{}", row * 7 % 11 + 1),
                    format!("{}-{}", ["MG", "RI", "BH"][row % 3], 1000 + row * 37),
                    format!("${}.{:02}", row * row % 140 + 3, row * 13 % 100),
                    parts[row % 5].to_string(),
                    texts[row % 4].to_string(),
                    String::new(),
                ]
            })
            .collect();
        let marked = |row: &'static [String]| {
            row.iter()
                .enumerate()
                .map(|(column, cell)| (cell.as_str(), column == 6))
                .collect()
        };
        let rows: &'static [Vec<String>] = Box::leak(rows.into_boxed_slice());
        Models::learn(8, rows.iter().map(|row| marked(row)))
    }

    fn read(line: &str, found: usize) -> Reading {
        let models = models();
        let reading = read_ragged(line, &Cut::by(b',', Some(b'"')), &models, found).unwrap();
        assert!(
            reading.is_certain(&models),
            "{line}: {reading:?} usual {}",
            models.usual_cost
        );
        reading
    }

    const SOUND: &str = "30/01/2026,10:45,7,RI-8071,$8.09,Starter grip,\"Black, rubber\",";
    const CELLS: [&str; 8] = [
        "30/01/2026",
        "10:45",
        "7",
        "RI-8071",
        "$8.09",
        "Starter grip",
        "Black, rubber",
        "",
    ];

    #[test]
    fn a_delimiter_too_many_is_taken_out_wherever_it_stands() {
        let places: Vec<usize> = SOUND.match_indices(',').map(|(place, _)| place).collect();
        for place in places.iter().filter(|place| !SOUND[..**place].ends_with("Black")) {
            let line = format!("{},{}", &SOUND[..*place], &SOUND[*place..]);
            assert_eq!(read(&line, 9).cells, CELLS, "{line}");
        }
    }

    #[test]
    fn a_missing_delimiter_is_put_in_where_types_tell_its_place() {
        for (line, what) in [
            (
                "30/01/202610:45,7,RI-8071,$8.09,Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:457,RI-8071,$8.09,Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7RI-8071,$8.09,Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7,RI-8071$8.09,Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7,RI-8071,$8.09Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7,RI-8071,$8.09,Starter grip\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7,RI-8071,$8.09,Starter grip,\"Black, rubber\"",
                What::MissingEmptyCell,
            ),
        ] {
            let reading = read(line, 7);
            assert_eq!(
                (reading.cells.as_slice(), reading.what),
                (CELLS.map(String::from).as_slice(), what),
                "{line}"
            );
        }
    }

    #[test]
    fn a_stray_quote_is_a_letter() {
        let reading = read("30/01/2026,\"10:45,7,RI-8071,$8.09,Starter grip,\"Black, rubber\",", 2);
        assert_eq!(reading.cells[1], "\"10:45");
        assert_eq!(reading.cells[2..], CELLS[2..]);
    }

    #[test]
    fn a_line_with_another_delimiter_is_read() {
        let reading = read(
            "30/01/2026 10:45 7 RI-8071 $8.09 \"Starter grip\" \"Black, rubber\" ",
            2,
        );
        assert_eq!(reading.cells, CELLS);
        assert_eq!(reading.what, What::OtherDelimiter(b' '));
    }

    #[test]
    fn a_gap_that_could_be_anywhere_is_left_alone() {
        let rows = [
            ["red", "grip", "steel"],
            ["blue", "cover", "tin"],
            ["green", "rope", "nylon"],
        ];
        let models = Models::learn(
            3,
            rows.iter().map(|row| row.iter().map(|cell| (*cell, false)).collect()),
        );
        let reading = read_ragged("redgrip,steel", &Cut::by(b',', Some(b'"')), &models, 2);
        assert!(reading.is_none_or(|reading| !reading.is_certain(&models)));
    }
}
