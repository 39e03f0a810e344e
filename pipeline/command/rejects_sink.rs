//! Where the rejects of a tidied list go while it is read: into a file, or, when none takes them, the first few to stderr.
//! None is kept in memory.

use super::outcome::Failure;
use super::talk::Talk;
use crate::intake::Reject;
use crate::publish::RejectRow;
use crate::publish::column::{TableRow, printed};
use crate::publish::single::{SingleFile, Standing};
use std::io;
use std::path::Path;

/// Rejects told on stderr when no file takes them.
const MOST_TOLD: u64 = 5;

/// Takes rejects as they come.
pub enum RejectsSink {
    /// Written with the columns of rejects.csv.
    File(Box<csv::Writer<SingleFile>>),
    /// Told on stderr, and how many there were.
    Told(Talk, u64),
}

impl RejectsSink {
    /// A file beside its place, or stderr.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn of(path: Option<&Path>, talk: Talk) -> Result<RejectsSink, Failure> {
        let Some(path) = path else {
            return Ok(RejectsSink::Told(talk, 0));
        };
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(SingleFile::beside(path)?);
        let heading = RejectRow::COLUMNS.iter().map(|column| column.name);
        writer
            .write_record(heading)
            .map_err(|error| Failure::unwritable(path, error))?;
        Ok(RejectsSink::File(Box::new(writer)))
    }

    /// Takes some rejects, in the order of the list.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn take(&mut self, rejects: Vec<Reject>) -> io::Result<()> {
        for reject in rejects {
            match self {
                RejectsSink::File(writer) => write(writer, &reject)?,
                RejectsSink::Told(talk, count) => {
                    *count += 1;
                    if *count <= MOST_TOLD {
                        let what = format!("{}:{}: {}", reject.file, reject.line, reject.message);
                        talk.warn(&what, &reject.hint);
                    }
                }
            }
        }
        Ok(())
    }

    /// Puts the file in its place, or says how many more there were.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn close(self) -> Result<(), Failure> {
        match self {
            RejectsSink::File(writer) => {
                let file = writer
                    .into_inner()
                    .map_err(|error| Failure::failed(format!("could not write the rejects: {}", error.error())))?;
                file.put(Standing::Replace)?;
            }
            RejectsSink::Told(talk, count) if count > MOST_TOLD => {
                let rest = count - MOST_TOLD;
                talk.warn(
                    &format!("{rest} more lines could not be read"),
                    "write them to a file with --rejects FILE",
                );
            }
            RejectsSink::Told(..) => {}
        }
        Ok(())
    }
}

fn write(writer: &mut csv::Writer<SingleFile>, reject: &Reject) -> io::Result<()> {
    let row = RejectRow {
        file: reject.file.clone(),
        line: Some(reject.line),
        column: reject.column,
        code: reject.problem.code().into(),
        message: reject.message.clone(),
        hint: reject.hint.clone(),
        raw: reject.raw.clone(),
    };
    let columns = RejectRow::COLUMNS.iter().enumerate();
    let cells = columns.map(|(at, column)| printed(row.cell(at), column.of_type));
    let cells: Vec<String> = cells.map(|cell| cell.to_string()).collect();
    writer.write_record(&cells).map_err(io::Error::other)
}
