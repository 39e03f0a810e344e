//! The README's words held against the program: its tour is run, its tables are made from the code.
//!
//! How a block is read stands in `console_blocks`. `SAMEFIT_WRITE_README=1 cargo test readme` writes the blocks and
//! tables anew, keeping how many lines stand before, between and after the `...`.

use crate::console_blocks::{Piece, agrees, calls, pieces, refreshed, words};
use crate::helpers::{Ended, bench, samefit, text, write};
use samefit::intake::{Field, Problem, Profiles};
use samefit::refresh::config::Config;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// The folder that the README's commands name; the test runs them in one of its own.
const RUN: &str = "output/demo";
const REFRESH: &str = "SAMEFIT_WRITE_README=1 cargo test readme";

#[test]
fn the_tour_in_the_readme_is_what_the_program_prints() {
    let _one_writer = turn();
    let readme = read();
    let home = bench();
    let run = home.path().join("demo");
    let mut anew = String::new();
    let mut faults = String::new();
    let mut blocks = 0;
    for piece in pieces(&readme) {
        let Piece::Console(lines) = piece else {
            anew.push_str(piece.text());
            continue;
        };
        blocks += 1;
        for call in calls(&lines) {
            let printed = run_line(call.typed, &run);
            let printed: Vec<&str> = printed.lines().collect();
            if !agrees(&call.shown, &printed) {
                let _ = writeln!(
                    faults,
                    "$ {}\n--- the README\n{}\n--- the program\n{}\n",
                    call.typed,
                    call.shown.join("\n"),
                    printed.join("\n")
                );
            }
            let _ = writeln!(anew, "$ {}", call.typed);
            for line in refreshed(&call.shown, &printed) {
                let _ = writeln!(anew, "{line}");
            }
        }
    }
    assert!(blocks >= 6, "the tour has {blocks} blocks");
    settle(&anew, &readme, &faults);
}

#[test]
fn the_codes_and_fields_in_the_readme_are_those_of_the_program() {
    let _one_writer = turn();
    let readme = read();
    let anew = with_region(&readme, "problems", &problem_table());
    let anew = with_region(&anew, "fields", &field_names());
    let faults = if anew == readme {
        ""
    } else {
        "the tables of codes or fields"
    };
    settle(&anew, &readme, faults);
}

#[test]
fn the_profile_in_the_readme_loads() {
    let readme = read();
    let profile = between(&readme, "```toml\nsupplier", "```").expect("the README shows a profile");
    let profile = format!("supplier{profile}");
    let mut profiles = Profiles::none();
    profiles
        .add(Path::new("example.toml"), &profile)
        .unwrap_or_else(|error| panic!("{error}\n{profile}"));
}

#[test]
fn the_configuration_in_the_readme_loads_as_copied() {
    let readme = read();
    let config = between(&readme, "```toml\n# samefit.toml", "```").expect("the README shows a configuration");
    let home = bench();
    let file = write(home.path(), "samefit.toml", format!("# samefit.toml{config}"));
    for folder in ["lists", "feeds", "suppliers"] {
        fs::create_dir_all(home.path().join(folder)).expect("a folder");
    }
    Config::load(&file).unwrap_or_else(|error| panic!("{error}\n{config}"));
}

#[test]
fn every_file_and_folder_the_guides_link_to_is_there() {
    for guide in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(top().join(guide)).expect("a guide");
        for target in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let path = target.split('#').next().unwrap_or("");
            if !path.is_empty() && !path.contains("://") {
                assert!(top().join(path).exists(), "{guide} links to {path}");
            }
        }
    }
}

#[test]
fn the_two_commands_install_first_what_they_need_and_say_nothing_where_it_is_there() {
    let readme = read();
    let commands = between(&readme, "## Two commands", "\n## ").expect("the README gives two commands");
    let typed: Vec<&str> = commands.lines().filter_map(|line| line.strip_prefix("    ")).collect();
    assert_eq!(typed.len(), 2, "{typed:?}");
    assert!(
        typed.iter().all(|line| line.starts_with(".ci/needs && cargo ")),
        "{typed:?}"
    );
    // these tests were just built, so nothing is missing
    let ended = std::process::Command::new(top().join(".ci/needs"))
        .output()
        .expect(".ci/needs runs");
    assert!(
        ended.status.success() && ended.stdout.is_empty() && ended.stderr.is_empty(),
        "{ended:?}"
    );
}

fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn read() -> String {
    fs::read_to_string(top().join("README.md")).expect("the README")
}

/// Two tests may write the README; one at a time.
fn turn() -> MutexGuard<'static, ()> {
    static TURN: Mutex<()> = Mutex::new(());
    TURN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Writes the README when asked to, else fails on a fault.
fn settle(anew: &str, readme: &str, faults: &str) {
    if std::env::var_os("SAMEFIT_WRITE_README").is_some() {
        if anew != readme {
            fs::write(top().join("README.md"), anew).expect("the README is written");
        }
        return;
    }
    assert!(faults.is_empty(), "the README is not up to date; {REFRESH}\n{faults}");
}

/// Runs a line of the tour with the run folder in a place of its own; what it printed, as the README would show it.
fn run_line(typed: &str, run: &Path) -> String {
    let words: Vec<String> = words(typed).iter().map(|word| word.replace(RUN, text(run))).collect();
    let (program, arguments) = words.split_first().expect("a command");
    assert_eq!(program, "samefit", "only samefit is run: {typed}");
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let ended: Ended = samefit(&arguments);
    assert!(matches!(ended.code, 0 | 3), "{typed}: {}\n{}", ended.code, ended.stderr);
    ended.stdout.replace(text(run), RUN)
}

fn problem_table() -> String {
    let mut table = String::from("| code | what is wrong | what to do |\n|---|---|---|\n");
    for problem in Problem::ALL {
        let _ = writeln!(
            table,
            "| `{}` | {} | {} |",
            problem.code(),
            problem.explain(),
            problem.hint()
        );
    }
    table
}

fn field_names() -> String {
    let names: Vec<String> = Field::all().map(|field| format!("`{}`", field.name())).collect();
    format!("{}\n", names.join(", "))
}

/// The README with what stands between two marks replaced.
fn with_region(readme: &str, name: &str, content: &str) -> String {
    let (open, close) = (format!("<!-- {name} -->\n"), format!("<!-- /{name} -->"));
    let now = between(readme, &open, &close).unwrap_or_else(|| panic!("the README has no marks `{name}`"));
    readme.replace(&format!("{open}{now}{close}"), &format!("{open}{content}{close}"))
}

fn between<'a>(text: &'a str, open: &str, close: &str) -> Option<&'a str> {
    let from = text.find(open)? + open.len();
    let length = text[from..].find(close)?;
    Some(&text[from..from + length])
}
