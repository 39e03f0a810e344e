//! The checks against outside references (tests/external), as one test of the one test command.
//!
//! Skipped, and said so, where no package registry answers; `SAMEFIT_EXTERNAL=required` makes that a failure, and
//! `SAMEFIT_EXTERNAL=off` skips without asking. What each check compared stands in `target/external-report.txt`.

use crate::helpers::demo;
use crate::nights::{LISTS, Shop};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::SystemTime;

#[test]
fn samefit_agrees_with_outside_references() {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/external/run.py");
    let mut command = Command::new("python3");
    command.arg(&script).args(["--samefit", env!("CARGO_BIN_EXE_samefit")]);
    match built_facts() {
        Some(facts) => command.arg("--facts").arg(facts),
        None => command.arg("--profile").arg(profile()),
    };
    let shop = two_nights();
    command.arg("--run").arg(demo()).arg("--run").arg(shop.run());
    let ran = command.output();
    let output = match ran {
        Ok(output) => output,
        Err(missing) if std::env::var_os("SAMEFIT_EXTERNAL").is_some_and(|mode| mode == "required") => {
            panic!("python3 does not start: {missing}")
        }
        Err(missing) => {
            eprintln!("skipped: python3 does not start: {missing}");
            return;
        }
    };
    let said = String::from_utf8_lossy(&output.stdout);
    let complaints = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{} {}\n{said}{complaints}",
        script.display(),
        output.status
    );
    eprintln!("{said}");
}

/// A shop whose second night has changes to tell.
fn two_nights() -> Shop {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    shop.change(LISTS[0], |lines| {
        lines.remove(30);
        lines[2] = lines[2].replacen("61.37", "60.12", 1);
    });
    shop.night("2026-10-02", &[]).with_code(0);
    shop
}

/// The example that `cargo test` has just built beside these tests, unless a source is newer (as after
/// `cargo test --test`, which builds no examples). A build inside a build would make everything anew.
fn built_facts() -> Option<PathBuf> {
    let facts = std::env::current_exe().ok()?.parent()?.parent()?.join("examples/facts");
    let built = fs::metadata(&facts).ok()?.modified().ok()?;
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let newest = newest_under(&root.join("pipeline/trade")).max(newest_under(&root.join("tests/external")));
    newest.is_some_and(|source| source <= built).then_some(facts)
}

fn newest_under(folder: &Path) -> Option<SystemTime> {
    fs::read_dir(folder)
        .ok()?
        .flatten()
        .filter_map(|entry| match entry.path() {
            path if path.is_dir() => newest_under(&path),
            path if path.extension().is_some_and(|ending| ending == "rs") => fs::metadata(path).ok()?.modified().ok(),
            _ => None,
        })
        .max()
}

/// The profile these tests were built with, so that the example is not built a second time with another.
fn profile() -> &'static str {
    if cfg!(debug_assertions) { "dev" } else { "release" }
}
