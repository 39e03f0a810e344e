//! The vocabulary of the cases: run samefit, write a list, take the demo run.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;
use std::time::Duration;
use tempfile::TempDir;

/// A list that reads without a profile: four parts, header words, prices with a currency.
pub const SMALL_LIST: &str = "Article no;Title;EAN;Price EUR\n\
    A-1001;Recoil starter 168F 196cc 3 hole 118mm PCD;4006381333931;12,50\n\
    A-1002;Recoil starter 188F 389cc 3 hole;;18,90\n\
    A-1003;Fan shroud 168F 196cc;;9,80\n\
    A-1004;Starter rope 3 mm x 10 m;;2,20\n";

/// How samefit ended.
pub struct Ended {
    pub code: i32,
    pub stdout: String,
    pub stderr: String,
    typed: String,
}

impl Ended {
    fn of(output: Output, typed: String) -> Ended {
        Ended {
            code: output.status.code().unwrap_or(-1),
            stdout: String::from_utf8(output.stdout).expect("stdout is UTF-8"),
            stderr: String::from_utf8(output.stderr).expect("stderr is UTF-8"),
            typed,
        }
    }

    /// Asserts the exit code.
    #[track_caller]
    pub fn with_code(self, code: i32) -> Ended {
        assert_eq!(
            self.code, code,
            "exit code of: {}\n--- stdout\n{}\n--- stderr\n{}",
            self.typed, self.stdout, self.stderr
        );
        self
    }

    /// Asserts that stdout holds a text.
    #[track_caller]
    pub fn printing(self, text: &str) -> Ended {
        assert!(
            self.stdout.contains(text),
            "no `{text}` on stdout of: {}\n{}",
            self.typed,
            self.stdout
        );
        self
    }

    /// Asserts that stderr holds a text.
    #[track_caller]
    pub fn saying(self, text: &str) -> Ended {
        assert!(
            self.stderr.contains(text),
            "no `{text}` on stderr of: {}\n{}",
            self.typed,
            self.stderr
        );
        self
    }

    /// Stdout as JSON.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.stdout)
            .unwrap_or_else(|error| panic!("{error} in the JSON of: {}\n{}", self.typed, self.stdout))
    }
}

/// The command, started at the top of the repository.
pub fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_samefit"));
    command
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(arguments)
        .stdin(Stdio::null());
    command
}

/// How a command that was put together elsewhere ended.
pub fn ended(output: Output, typed: String) -> Ended {
    Ended::of(output, typed)
}

/// Runs samefit to its end.
pub fn samefit(arguments: &[&str]) -> Ended {
    let output = command(arguments).output().expect("samefit starts");
    Ended::of(output, arguments.join(" "))
}

/// A path as an argument.
pub fn text(path: &Path) -> &str {
    path.to_str().expect("test paths are UTF-8")
}

/// A folder of its own for one case, gone afterwards.
pub fn bench() -> TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

/// Writes a file and the folders above it.
pub fn write(folder: &Path, name: &str, content: impl AsRef<[u8]>) -> PathBuf {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().expect("a file has a folder")).expect("a folder");
    fs::write(&path, content).expect("a file");
    path
}

/// The lists of the demo scenario.
pub fn demo_lists() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("input-samples/lists")
}

/// Builds the demo scenario into a folder.
pub fn build_demo(lists: &Path, out: &Path, further: &[&str]) -> Ended {
    let rates = "input-samples/exchange-rates.toml";
    let mut arguments = vec!["build", text(lists), "--rates", rates, "--out", text(out)];
    arguments.extend(further);
    samefit(&arguments)
}

/// The demo run, built once for all cases.
pub fn demo() -> &'static str {
    static DEMO: OnceLock<PathBuf> = OnceLock::new();
    let folder = DEMO.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo");
        // another test process may be building it just now
        for _ in 0..60 {
            let ended = build_demo(&demo_lists(), &folder, &["--quiet"]);
            if ended.code != 5 {
                assert!(
                    matches!(ended.code, 0 | 3),
                    "the demo does not build: {}\n{}",
                    ended.code,
                    ended.stderr
                );
                break;
            }
            std::thread::sleep(Duration::from_secs(1));
        }
        folder
    });
    text(folder)
}

/// The rows of a CSV table of a run, each a list of (column, cell).
pub fn rows(run: &str, table: &str) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_path(Path::new(run).join(table)).expect("a table of the run");
    reader.records().map(|row| row.expect("a row")).collect()
}

/// Place of a column in a table of a run.
pub fn column(run: &str, table: &str, name: &str) -> usize {
    let mut reader = csv::Reader::from_path(Path::new(run).join(table)).expect("a table of the run");
    let heading = reader.headers().expect("a heading");
    heading
        .iter()
        .position(|column| column == name)
        .unwrap_or_else(|| panic!("{table} has no column {name}"))
}

/// The names in a folder, sorted, hidden ones included.
pub fn names_in(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut names: Vec<String> = entries
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// Every file of a run but `run.json`, which holds timings.
pub fn tables_of(run: &Path) -> Vec<(String, Vec<u8>)> {
    let names = names_in(run).into_iter().filter(|name| name != "run.json");
    names
        .map(|name| (name.clone(), fs::read(run.join(&name)).expect("a file of the run")))
        .collect()
}

/// Names of the files in which two runs differ.
pub fn differences(one: &Path, two: &Path) -> String {
    let (one, two) = (tables_of(one), tables_of(two));
    let mut differ = String::new();
    for ((name, a), (other, b)) in one.iter().zip(&two) {
        if name != other || a != b {
            let _ = write!(differ, "{name} ");
        }
    }
    if one.len() != two.len() {
        differ.push_str("count of files");
    }
    differ
}
