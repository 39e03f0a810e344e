//! Which output folders are refused, and how two spellings of a folder are told to be one.

use std::fs;
use std::path::{Path, PathBuf};

use crate::publish::error::PublishError;
use crate::publish::manifest::files_marked;

/// The absolute path with links resolved as far as it exists, so that two spellings of a folder compare
/// equal and the swap happens where the folder really lies.
pub fn settled_path(path: &Path) -> Result<PathBuf, PublishError> {
    let absolute = std::path::absolute(path).map_err(PublishError::io("resolve", path))?;
    let mut missing = Vec::new();
    let mut known = absolute.as_path();
    loop {
        match known.canonicalize() {
            Ok(real) => return Ok(missing.iter().rev().fold(real, |path, name| path.join(name))),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => match (known.parent(), known.file_name()) {
                (Some(parent), Some(name)) => {
                    missing.push(name.to_owned());
                    known = parent;
                }
                _ => return Ok(absolute),
            },
            Err(error) => return Err(PublishError::io("resolve", path)(error)),
        }
    }
}

/// An output may not be an input, lie in one or hold one.
pub fn refuse_inputs(out: &Path, inputs: &[PathBuf]) -> Result<(), PublishError> {
    for input in inputs {
        let real = settled_path(input)?;
        if real.starts_with(out) || out.starts_with(&real) {
            return Err(PublishError::TouchesInput {
                out: out.to_path_buf(),
                input: input.clone(),
            });
        }
    }
    Ok(())
}

/// An output may be absent, empty, or a folder that bears this mark of ours with nothing of anyone else's in it.
pub fn refuse_what_is_not_ours(out: &Path, mark: &str) -> Result<(), PublishError> {
    let entries = match fs::read_dir(out) {
        Ok(entries) => entries,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(error) if error.kind() == std::io::ErrorKind::NotADirectory => {
            return Err(PublishError::NotAFolder { out: out.to_path_buf() });
        }
        Err(error) => return Err(PublishError::io("look into", out)(error)),
    };
    let ours = files_marked(out, mark).unwrap_or_default();
    let mut names = Vec::new();
    for entry in entries {
        let entry = entry.map_err(PublishError::io("look into", out))?;
        names.push(entry.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    match names
        .into_iter()
        .find(|name| !ours.contains(name) && !is_droppings(name))
    {
        Some(found) => Err(PublishError::NotOurs {
            out: out.to_path_buf(),
            found,
        }),
        None => Ok(()),
    }
}

/// Files that desktops and open spreadsheets leave in any folder.
pub fn is_droppings(name: &str) -> bool {
    name == ".DS_Store"
        || name == "Thumbs.db"
        || name == "desktop.ini"
        || name.starts_with(".~lock.")
        || name.starts_with("~$")
}
