//! The checks against outside references (tests/external), as one test of the one test command.
//!
//! Skipped, and said so, where no package registry answers; `SAMEFIT_EXTERNAL=required` makes that a failure, and
//! `SAMEFIT_EXTERNAL=off` skips without asking. What each check compared stands in `target/external-report.txt`.

use std::path::Path;
use std::process::Command;

#[test]
fn samefit_agrees_with_outside_references() {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/external/run.py");
    let ran = Command::new("python3")
        .arg(&script)
        .arg("--profile")
        .arg(profile())
        .output();
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

/// The profile these tests were built with, so that the example is not built a second time with another.
fn profile() -> &'static str {
    if cfg!(debug_assertions) { "dev" } else { "release" }
}
