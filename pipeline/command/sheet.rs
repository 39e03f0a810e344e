//! `samefit sheet`: a page to print at full size and hold against the old part.

use super::outcome::{Failure, Outcome};
use super::talk::print;
use super::{Common, open};
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::single::{SingleFile, Standing};
use crate::publish::{GroupRow, sheet};
use crate::shop::sheet::{Named, SheetError, group_named, sheet as sheet_of};
use clap::Args;
use std::io::Write;
use std::path::{Path, PathBuf};

/// The name that stands for standard output.
const STDOUT: &str = "-";
/// Groups named when several may be meant.
const MOST_NAMED: usize = 6;

/// What was typed.
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:
  samefit sheet output/demo RS-ZYVCQ
  samefit sheet output/demo 212cc pull starter 3 hole --out starter.html
Print the page at 100 % (actual size) and check its scale bars with a ruler before you trust it.")]
pub struct SheetTyped {
    /// Folder of a finished run, as given to `build --out`
    #[arg(value_name = "RUN")]
    pub run: PathBuf,
    /// Fit group: its id, a part number, or what is known in your own words
    #[arg(value_name = "GROUP", required = true)]
    pub group: Vec<String>,
    /// Where the page goes; - is standard output [default: fit-sheet-ID.html in this folder]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// Writes the sheet.
///
/// # Errors
/// The run cannot be read, the words do not settle on one group, or the page cannot be written.
pub fn run(typed: &SheetTyped, _common: &Common) -> Result<Outcome, Failure> {
    let vocabulary = Vocabulary::built_in().map_err(|error| Failure::failed(error.to_string()))?;
    let run = open(&typed.run)?;
    let name = typed.group.join(" ");
    let group = match group_named(&vocabulary, &run, &name)? {
        Named::Group(group) => *group,
        Named::Several(groups) => return Err(several(&name, &groups)),
        Named::Nothing(nearest) => return Err(nothing(&name, nearest.as_deref())),
    };
    let page = sheet::page(&sheet_of(&vocabulary, &run, group.clone())?);
    let out = typed.out.clone().unwrap_or_else(|| default_name(&group));
    if out.as_os_str() == STDOUT {
        print(&page)?;
    } else {
        put(&out, &page)?;
        print(&format!(
            "{}: {}\n",
            out.display(),
            crate::publish::terminal::inert(&group.name)
        ))?;
    }
    Ok(Outcome::Done)
}

/// Ids are letters, digits and dashes; anything else in one does not reach a file name.
fn default_name(group: &GroupRow) -> PathBuf {
    let plain = |letter: char| if letter.is_ascii_alphanumeric() { letter } else { '-' };
    let id: String = group.group_id.chars().map(plain).collect();
    PathBuf::from(format!("fit-sheet-{id}.html"))
}

fn put(out: &Path, page: &str) -> Result<(), Failure> {
    let mut file = SingleFile::beside(out)?;
    file.write_all(page.as_bytes())
        .map_err(|error| Failure::unwritable(out, error))?;
    Ok(file.put(Standing::Replace)?)
}

fn called(group: &GroupRow) -> String {
    format!("{} ({})", group.group_id, group.name)
}

fn several(name: &str, groups: &[GroupRow]) -> Failure {
    let named: Vec<String> = groups.iter().take(MOST_NAMED).map(called).collect();
    let rest = if groups.len() > MOST_NAMED { "; and more" } else { "" };
    Failure::usage(format!(
        "`{name}` may mean {} fit groups, and a sheet is for one",
        groups.len()
    ))
    .hint(format!("say more, or name one by its id: {}{rest}", named.join("; ")))
}

fn nothing(name: &str, nearest: Option<&GroupRow>) -> Failure {
    let hint = match nearest {
        Some(group) => format!("the nearest is {}", called(group)),
        None => {
            "say an id of groups.csv, a part number, or what is known of the engine; see `samefit find`".to_string()
        }
    };
    Failure::usage(format!("no fit group answers `{name}`")).hint(hint)
}

impl From<SheetError> for Failure {
    fn from(error: SheetError) -> Failure {
        match error {
            SheetError::Run(error) => error.into(),
            SheetError::Words(error) => error.into(),
        }
    }
}
