//! Loading profiles from a folder and finding the one for a file.

use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::keys::Profile;
use crate::trade::folding::fold;

/// A profile that cannot be used: a configuration error, so nothing runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProfileError {
    /// The profile's file.
    pub file: PathBuf,
    /// What is wrong, the key named.
    pub message: String,
    /// What to do about it; empty when the message says it.
    pub hint: String,
}

impl fmt::Display for ProfileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.file.display(), self.message)
    }
}

impl std::error::Error for ProfileError {}

/// All profiles of a run.
#[derive(Clone, Debug, Default)]
pub struct Profiles {
    known: Vec<Known>,
}

#[derive(Clone, Debug)]
struct Known {
    stem: String,
    profile: Arc<Profile>,
}

impl Profiles {
    /// No profiles: everything is guessed.
    pub fn none() -> Profiles {
        Profiles::default()
    }

    /// Every `*.toml` of a folder, in order of their names.
    pub fn load(folder: &Path) -> Result<Profiles, ProfileError> {
        let unreadable = |error: std::io::Error| ProfileError {
            file: folder.to_path_buf(),
            message: format!("the profiles' folder could not be read: {error}"),
            hint: "check the path".to_string(),
        };
        let mut paths = Vec::new();
        for entry in fs::read_dir(folder).map_err(unreadable)? {
            let path = entry.map_err(unreadable)?.path();
            if path.extension().is_some_and(|extension| extension == "toml") {
                paths.push(path);
            }
        }
        paths.sort();
        let mut profiles = Profiles::none();
        for path in paths {
            let text = fs::read_to_string(&path).map_err(|error| ProfileError {
                file: path.clone(),
                message: format!("the profile could not be read: {error}"),
                hint: String::new(),
            })?;
            profiles.add(&path, &text)?;
        }
        Ok(profiles)
    }

    /// Adds one profile from its text; `path` gives the stem and the name for messages.
    pub fn add(&mut self, path: &Path, text: &str) -> Result<(), ProfileError> {
        let stem = path
            .file_stem()
            .map(|stem| stem.to_string_lossy().into_owned())
            .unwrap_or_default();
        let mut profile: Profile = toml::from_str(text).map_err(|error| explain(path, text, &error))?;
        if profile.supplier.is_empty() {
            profile.supplier = stem.clone();
        }
        for pattern in &profile.files {
            if pattern.contains(['/', '\\']) || pattern.contains("..") {
                return Err(ProfileError {
                    file: path.to_path_buf(),
                    message: format!("`files` holds `{pattern}`, which leads out of the folder of lists"),
                    hint: "give file names only, with * and ?".to_string(),
                });
            }
        }
        check_dialect(path, &profile)?;
        self.known.push(Known {
            stem: fold(&stem).into_owned(),
            profile: Arc::new(profile),
        });
        Ok(())
    }

    /// The profile for a file: the one whose pattern matches with the most letters, else the one of the same stem.
    pub fn for_file(&self, file: &Path) -> Option<&Arc<Profile>> {
        let name = file.file_name()?.to_string_lossy().into_owned();
        let mut best: Option<(usize, &Arc<Profile>)> = None;
        for known in &self.known {
            for pattern in &known.profile.files {
                let letters = pattern.chars().filter(|letter| !matches!(letter, '*' | '?')).count();
                if matches_pattern(pattern, &name) && best.is_none_or(|(most, _)| letters > most) {
                    best = Some((letters, &known.profile));
                }
            }
        }
        let stem = fold(name.split('.').next().unwrap_or(&name)).into_owned();
        best.map(|(_, profile)| profile).or_else(|| {
            self.known
                .iter()
                .find(|known| known.profile.files.is_empty() && known.stem == stem)
                .map(|known| &known.profile)
        })
    }

    /// Whether there are no profiles.
    pub fn is_empty(&self) -> bool {
        self.known.is_empty()
    }

    /// The profiles in order.
    pub fn iter(&self) -> impl Iterator<Item = &Arc<Profile>> {
        self.known.iter().map(|known| &known.profile)
    }
}

/// Refuses dialect values that no reader could follow.
fn check_dialect(path: &Path, profile: &Profile) -> Result<(), ProfileError> {
    let refuse = |key: &str, value: &str, expected: &str| {
        Err(ProfileError {
            file: path.to_path_buf(),
            message: format!("`dialect.{key}` is `{value}`, expected {expected}"),
            hint: String::new(),
        })
    };
    let dialect = &profile.dialect;
    let one_ascii = |text: &str| text.len() == 1 && text.is_ascii();
    if let Some(text) = &dialect.delimiter
        && !(one_ascii(text) || text.len() == 2 && text.is_ascii() && text.ends_with(' '))
    {
        return refuse("delimiter", text, "one character, or one character and a space");
    }
    for (key, value) in [("quoteChar", &dialect.quote_char), ("escapeChar", &dialect.escape_char)] {
        if let Some(text) = value
            && !text.is_empty()
            && !one_ascii(text)
        {
            return refuse(key, text, "one character, or nothing");
        }
    }
    if let Some(text) = &dialect.decimal_char
        && !matches!(text.as_str(), "," | ".")
    {
        return refuse("decimalChar", text, "`,` or `.`");
    }
    if let Some(text) = &dialect.encoding
        && encoding_rs::Encoding::for_label(text.as_bytes()).is_none()
    {
        return refuse(
            "encoding",
            text,
            "a WHATWG encoding label such as `utf-8` or `windows-1252`",
        );
    }
    if let Some(count) = dialect.header_row_count
        && count > 3
    {
        return refuse("headerRowCount", &count.to_string(), "0 to 3");
    }
    Ok(())
}

fn explain(path: &Path, text: &str, error: &toml::de::Error) -> ProfileError {
    let (message, hint) = what_is_wrong(text, error);
    ProfileError {
        file: path.to_path_buf(),
        message,
        hint,
    }
}

/// Turns a TOML error into a message that names the line and the key, and a hint with the likeliest spelling.
pub fn what_is_wrong(text: &str, error: &toml::de::Error) -> (String, String) {
    let line = error
        .span()
        .map(|span| text[..span.start.min(text.len())].matches('\n').count() + 1);
    let what = error.message().to_string();
    let place = line.map_or(String::new(), |line| format!("line {line}: "));
    let mut quoted = what.split('`').skip(1).step_by(2);
    let hint = match (what.starts_with("unknown field"), quoted.next()) {
        (true, Some(unknown)) => quoted
            .map(|known| (strsim::jaro_winkler(known, unknown), known))
            .filter(|(likeness, _)| *likeness >= 0.75)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map_or(String::new(), |(_, known)| format!("did you mean `{known}`?")),
        _ => String::new(),
    };
    (format!("{place}{what}"), hint)
}

/// Whether a name matches a pattern of letters, `*` (any run) and `?` (any one letter), without regard to case.
fn matches_pattern(pattern: &str, name: &str) -> bool {
    let pattern: Vec<char> = pattern.to_lowercase().chars().collect();
    let name: Vec<char> = name.to_lowercase().chars().collect();
    let (mut p, mut n) = (0, 0);
    let mut retry: Option<(usize, usize)> = None;
    while n < name.len() {
        if p < pattern.len() && (pattern[p] == '?' || (pattern[p] == name[n] && pattern[p] != '*')) {
            p += 1;
            n += 1;
        } else if p < pattern.len() && pattern[p] == '*' {
            retry = Some((p, n));
            p += 1;
        } else if let Some((star, from)) = retry {
            retry = Some((star, from + 1));
            p = star + 1;
            n = from + 1;
        } else {
            return false;
        }
    }
    pattern[p..].iter().all(|letter| *letter == '*')
}

#[cfg(test)]
#[path = "store_tests.rs"]
mod tests;
