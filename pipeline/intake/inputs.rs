//! From the paths a user names to the files to read, in an order that depends on names alone. A folder stands for the
//! lists in it and below it, by file name extension; a file named outright is taken whatever it is called, its type
//! being told by its content later. A path that does not exist stays in the list, so that its failure is reported
//! beside the others; a symbolic link that leads out of the given folder is refused.

use std::collections::BTreeMap;
use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Extensions under which the files of a folder, or the members of an archive, are taken for lists. The last three are
/// spreadsheets that are not read: taken all the same, so that their failure is told.
const LIST_EXTENSIONS: [&str; 15] = [
    "csv", "tsv", "tab", "psv", "txt", "dat", "asc", "gz", "zst", "xlsx", "xlsm", "zip", "xls", "xlsb", "ods",
];

/// Folders nested deeper than this are not followed.
const DEEPEST: usize = 16;

/// One file to read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InputFile {
    /// Where it lies.
    pub path: PathBuf,
    /// Name shown: relative to the input given, `/` between folders.
    pub shown: Arc<str>,
}

impl InputFile {
    /// A file under its own name.
    pub fn named(path: impl Into<PathBuf>) -> InputFile {
        let path = path.into();
        let shown = path
            .file_name()
            .map_or_else(|| slashed(&path), |name| name.to_string_lossy().into_owned());
        InputFile {
            path,
            shown: Arc::from(shown),
        }
    }
}

/// An input that must not be used: wrong usage, so nothing runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InputError {
    /// The path in question.
    pub path: PathBuf,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub hint: String,
}

impl fmt::Display for InputError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.path.display(), self.message)
    }
}

impl std::error::Error for InputError {}

/// The files behind the paths given, sorted by the name shown, each once.
pub fn find_inputs(given: &[PathBuf]) -> Result<Vec<InputFile>, InputError> {
    let mut found: Vec<InputFile> = Vec::new();
    for path in given {
        if path.is_dir() {
            let root = path.canonicalize().map_err(|error| unreadable(path, &error))?;
            walk(path, path, &root, 0, &mut found)?;
        } else {
            found.push(InputFile::named(path));
        }
    }
    let mut by_place: BTreeMap<PathBuf, InputFile> = BTreeMap::new();
    for file in found {
        let place = file.path.canonicalize().unwrap_or_else(|_| file.path.clone());
        by_place.entry(place).or_insert(file);
    }
    let mut files: Vec<InputFile> = by_place.into_values().collect();
    tell_apart(&mut files);
    files.sort_by(|a, b| a.shown.cmp(&b.shown).then_with(|| a.path.cmp(&b.path)));
    Ok(files)
}

/// Two files of the same shown name are shown by their whole paths.
fn tell_apart(files: &mut [InputFile]) {
    let mut seen: BTreeMap<Arc<str>, usize> = BTreeMap::new();
    for file in files.iter() {
        *seen.entry(file.shown.clone()).or_default() += 1;
    }
    for file in files.iter_mut() {
        if seen.get(&file.shown).is_some_and(|times| *times > 1) {
            file.shown = Arc::from(slashed(&file.path));
        }
    }
}

fn walk(given: &Path, folder: &Path, root: &Path, depth: usize, found: &mut Vec<InputFile>) -> Result<(), InputError> {
    let entries = fs::read_dir(folder).map_err(|error| unreadable(folder, &error))?;
    for entry in entries {
        let path = entry.map_err(|error| unreadable(folder, &error))?.path();
        let name = path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .unwrap_or_default();
        if name.starts_with(['.', '~']) {
            continue;
        }
        if path.is_symlink() {
            stay_inside(&path, root)?;
        }
        if path.is_dir() {
            if depth < DEEPEST && !path.is_symlink() {
                walk(given, &path, root, depth + 1, found)?;
            }
        } else if is_list_name(&name) {
            let relative = path.strip_prefix(given).unwrap_or(&path);
            found.push(InputFile {
                shown: Arc::from(slashed(relative)),
                path,
            });
        }
    }
    Ok(())
}

/// Whether a file of this name is taken for a list.
pub(crate) fn is_list_name(name: &str) -> bool {
    match name.rsplit_once('.') {
        Some((_, extension)) => LIST_EXTENSIONS
            .iter()
            .any(|known| extension.eq_ignore_ascii_case(known)),
        None => false,
    }
}

fn stay_inside(link: &Path, root: &Path) -> Result<(), InputError> {
    match link.canonicalize() {
        Ok(target) if target.starts_with(root) => Ok(()),
        Ok(_) | Err(_) => Err(InputError {
            path: link.to_path_buf(),
            message: "this symbolic link leads out of the folder given, or nowhere".to_string(),
            hint: "remove the link, or name the real file as an input of its own".to_string(),
        }),
    }
}

fn unreadable(path: &Path, error: &std::io::Error) -> InputError {
    InputError {
        path: path.to_path_buf(),
        message: format!("the folder could not be read: {error}"),
        hint: "check that you may read it".to_string(),
    }
}

fn slashed(path: &Path) -> String {
    path.components()
        .map(|part| part.as_os_str().to_string_lossy().into_owned())
        .filter(|part| part != "/")
        .collect::<Vec<_>>()
        .join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder_with(names: &[&str]) -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        for name in names {
            let path = folder.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "sku;price\n1;2\n").unwrap();
        }
        folder
    }

    #[test]
    fn a_folder_gives_its_lists_sorted_and_shown_relative_to_it() {
        let folder = folder_with(&[
            "b.csv",
            "a.txt",
            "deep/c.xlsx",
            "notes.md",
            ".hidden.csv",
            "b.csv-metadata.json",
        ]);
        let found = find_inputs(&[folder.path().to_path_buf()]).unwrap();
        let shown: Vec<&str> = found.iter().map(|file| &*file.shown).collect();
        assert_eq!(shown, ["a.txt", "b.csv", "deep/c.xlsx"]);
    }

    #[test]
    fn a_file_given_twice_is_read_once_and_a_missing_one_stays() {
        let folder = folder_with(&["b.csv"]);
        let file = folder.path().join("b.csv");
        let found = find_inputs(&[file.clone(), folder.path().to_path_buf(), file, PathBuf::from("no.csv")]).unwrap();
        assert_eq!(found.len(), 2);
        assert!(found.iter().any(|file| &*file.shown == "no.csv"));
    }

    #[test]
    fn two_files_of_one_name_are_told_apart() {
        let one = folder_with(&["list.csv"]);
        let two = folder_with(&["list.csv"]);
        let found = find_inputs(&[one.path().join("list.csv"), two.path().join("list.csv")]).unwrap();
        assert_ne!(found[0].shown, found[1].shown);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_out_of_the_folder_is_refused() {
        let outside = folder_with(&["secret.csv"]);
        let folder = folder_with(&["b.csv"]);
        std::os::unix::fs::symlink(outside.path().join("secret.csv"), folder.path().join("link.csv")).unwrap();
        let error = find_inputs(&[folder.path().to_path_buf()]).unwrap_err();
        assert!(error.path.ends_with("link.csv"));
    }
}
