//! What is said where: data on stdout, talk on stderr, nothing active from a supplier's text.

use crate::helpers::{SMALL_LIST, bench, command, samefit, text, write};
use std::process::Stdio;

#[test]
fn every_command_explains_itself() {
    let all = samefit(&["--help"]).with_code(0);
    for name in ["build", "find", "plan", "explain", "onboard", "tidy", "grade"] {
        assert!(all.stdout.contains(name), "{name} is not in the overview");
        let help = samefit(&[name, "--help"])
            .with_code(0)
            .printing("Usage:")
            .printing("--quiet");
        // every option and argument has a sentence of its own
        let mut lines = help.stdout.lines().peekable();
        while let Some(line) = lines.next() {
            let is_option = line.trim_start().starts_with("--") || line.trim_start().starts_with("-h,");
            if is_option && !line.trim_start().contains("  ") {
                let next = lines.peek().copied().unwrap_or_default();
                assert!(next.starts_with("    "), "{name}: nothing is said of {line}");
            }
        }
    }
}

#[test]
fn a_quiet_build_says_nothing() {
    let home = bench();
    write(home.path(), "lists/small.csv", SMALL_LIST);
    let out = home.path().join("run");
    let ended = samefit(&[
        "build",
        text(&home.path().join("lists")),
        "--out",
        text(&out),
        "--quiet",
    ])
    .with_code(0);
    assert_eq!(ended.stderr, "");
    assert!(ended.stdout.contains("small.csv"));
}

#[test]
fn a_build_whose_reader_goes_away_is_no_failure() {
    let home = bench();
    write(home.path(), "lists/small.csv", SMALL_LIST);
    let (lists, out) = (home.path().join("lists"), home.path().join("run"));
    let mut child = command(&["build", text(&lists), "--out", text(&out)])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait_with_output().unwrap().status.code(), Some(0));
    assert!(out.join("crossref.csv").exists());
}

#[test]
fn hostile_wording_does_nothing_on_a_terminal() {
    let home = bench();
    let hostile = "\u{1b}[31m\u{1b}]0;owned\u{7}Recoil starter 168F 196cc \u{202e}desrever";
    write(
        home.path(),
        "lists/evil.csv",
        format!("{SMALL_LIST}A-9001;{hostile};;12,50\n"),
    );
    let (lists, out) = (home.path().join("lists"), home.path().join("run"));
    let build = samefit(&["build", text(&lists), "--out", text(&out)]);
    let run = text(&out);
    let shown = [
        samefit(&[
            "find",
            run,
            "196cc pull starter",
            "--min-confidence",
            "0",
            "--limit",
            "50",
        ]),
        samefit(&["explain", "--run", run, "--offer", "evil:A-9001"]),
        samefit(&["explain", hostile]),
        samefit(&["find", run, hostile]),
        build,
    ];
    for ended in shown {
        for text in [&ended.stdout, &ended.stderr] {
            let active = text
                .chars()
                .find(|sign| (sign.is_control() && *sign != '\n') || *sign == '\u{202e}');
            assert_eq!(active, None, "{text}");
        }
    }
}

#[test]
fn an_unknown_command_or_option_is_wrong_usage() {
    samefit(&["bolt"]).with_code(2);
    samefit(&["build"]).with_code(2);
    samefit(&["find", "--no-such-option"]).with_code(2);
}

#[cfg(target_os = "linux")]
#[test]
fn a_standard_output_that_is_full_is_a_failure_and_is_said() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = command(&["explain", "Recoil starter 168F"])
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("could not write to standard output"));
}
