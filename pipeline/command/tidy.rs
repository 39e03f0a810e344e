//! `samefit tidy`: one messy list as plain RFC 4180 CSV in UTF-8.
//!
//! The list is read as a build reads it, with the same profiles; cells stay as they are. The output is put
//! in place whole, or not at all, and never over the list it is made from.

use super::build::load_profiles;
use super::limits_file::LimitsFile;
use super::one_list::open_list;
use super::outcome::{Failure, Outcome};
use super::rejects_sink::RejectsSink;
use super::talk::Talk;
use super::{Common, ProfileFolder};
use crate::intake::tidy::tidy;
use crate::intake::{ListAccount, ListReader};
use crate::publish::single::{SingleFile, Standing};
use clap::Args;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The name that stands for standard output.
const STDOUT: &str = "-";
/// Share of rejected lines, those of further tables aside, above which the command ends with exit code 3, as a build does.
const REJECT_LIMIT: f64 = 0.05;

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:
  samefit tidy input-samples/lists/zaunholt-preisliste-2026-09.csv --out zaunholt.csv --rejects rejects.csv
  samefit tidy list.xlsx --sheet Starters --out -")]
pub struct TidyTyped {
    /// The list: CSV, TSV, TXT, .gz or .zst or .zip of them, .xlsx
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Where the plain CSV goes; - is standard output
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Where lines that could not be read go, with the columns of rejects.csv
    #[arg(long, value_name = "FILE")]
    pub rejects: Option<PathBuf>,
    /// Sheet of a workbook, or member of an archive, when it holds several lists
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// Supplier profiles
    #[command(flatten)]
    pub profiles: ProfileFolder,
    /// Limits on what the list may ask for
    #[command(flatten)]
    pub limits: LimitsFile,
}

/// Runs the tidying.
///
/// # Errors
/// The list cannot be read, or the output cannot be written or is the list itself.
pub fn run(typed: &TidyTyped, common: &Common) -> Result<Outcome, Failure> {
    let talk = Talk::of(common);
    refuse_own_input(typed)?;
    let profiles = load_profiles(&typed.profiles)?;
    let limits = typed.limits.load()?;
    let list = open_list(&typed.file, &profiles, &limits, typed.sheet.as_deref())?;
    let mut rejects = RejectsSink::of(typed.rejects.as_deref(), talk)?;
    let account = if is_stdout(&typed.out) {
        to_stdout(list, &mut rejects)?
    } else {
        to_file(list, &typed.out, &mut rejects)?
    };
    for note in &account.notes {
        let line = note.line.map_or(String::new(), |line| format!(":{line}"));
        talk.say(&format!("{}{line}: {}", typed.file.display(), note.message));
    }
    rejects.close()?;
    let rejected = account.rejected;
    talk.say(&format!(
        "{}: {} lines read, {} rows written, {} layout lines left out, {rejected} rejected",
        typed.file.display(),
        account.read,
        account.rows,
        account.layout.sum()
    ));
    // a further table is told and left out whole; it says nothing of how well this one was read
    let broken = rejected - account.of_other_tables;
    let too_many = broken as f64 > REJECT_LIMIT * (account.read - account.of_other_tables) as f64;
    Ok(if too_many { Outcome::Warned } else { Outcome::Done })
}

fn is_stdout(path: &Path) -> bool {
    path.as_os_str() == STDOUT
}

fn refuse_own_input(typed: &TidyTyped) -> Result<(), Failure> {
    let same = |x: &Path, y: &Path| match (x.canonicalize(), y.canonicalize()) {
        (Ok(x), Ok(y)) => x == y,
        _ => x == y,
    };
    for (option, path) in [("--out", Some(&typed.out)), ("--rejects", typed.rejects.as_ref())] {
        if path.is_some_and(|path| same(path, &typed.file)) {
            return Err(
                Failure::usage(format!("{option} is the list itself: {}", typed.file.display()))
                    .hint("choose another file; the list is never written over"),
            );
        }
    }
    let rejects = typed.rejects.as_ref();
    if rejects.is_some_and(|rejects| is_stdout(rejects) || same(rejects, &typed.out)) {
        return Err(
            Failure::usage("--rejects and --out would write to the same place, or to standard output")
                .hint("give --rejects a file of its own"),
        );
    }
    Ok(())
}

fn to_file(list: ListReader, out: &Path, rejects: &mut RejectsSink) -> Result<ListAccount, Failure> {
    let mut file = SingleFile::beside(out)?;
    let (_, account) =
        tidy(list, &mut file, &mut |some| rejects.take(some)).map_err(|error| Failure::unwritable(out, error))?;
    file.put(Standing::Replace)?;
    Ok(account)
}

fn to_stdout(list: ListReader, rejects: &mut RejectsSink) -> Result<ListAccount, Failure> {
    let mut out = Reader {
        out: io::stdout().lock(),
        gone: false,
    };
    let (_, account) = tidy(list, &mut out, &mut |some| rejects.take(some))
        .map_err(|error| Failure::unwritable(Path::new("standard output"), error))?;
    Ok(account)
}

/// Standard output, whose reader may go away: what comes after is dropped, and that is no error.
struct Reader<W: Write> {
    out: W,
    gone: bool,
}

impl<W: Write> Write for Reader<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.gone {
            return Ok(bytes.len());
        }
        match self.out.write(bytes) {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => {
                self.gone = true;
                Ok(bytes.len())
            }
            done => done,
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match self.out.flush() {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            done => done,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Broken;

    impl Write for Broken {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(io::Error::from(io::ErrorKind::BrokenPipe))
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_reader_that_went_away_is_no_error() {
        let mut out = Reader {
            out: Broken,
            gone: false,
        };
        out.write_all(b"row").unwrap();
        out.write_all(b"row").unwrap();
        assert!(out.gone);
    }
}
