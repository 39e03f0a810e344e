//! The claim, the swap and what a dead run leaves, on real folders.

use super::swap::{self, swap};
use super::*;
use crate::publish::error::FaultKind;

const RUN: &str = r#"{"tool":"samefit","files":[{"file":"crossref.csv"}]}"#;

/// A folder with a previous run at `out` that says `old`.
fn with_old_run() -> (tempfile::TempDir, PathBuf) {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("out");
    fs::create_dir(&out).unwrap();
    fs::write(out.join("run.json"), RUN).unwrap();
    fs::write(out.join("crossref.csv"), "old").unwrap();
    (home, out)
}

fn claim(out: &Path) -> Result<Place, PublishError> {
    Place::claim(out, &[])
}

fn write_run(place: &Place, text: &str) {
    fs::write(place.folder().join("run.json"), RUN).unwrap();
    fs::write(place.folder().join("crossref.csv"), text).unwrap();
}

fn says(out: &Path) -> String {
    fs::read_to_string(out.join("crossref.csv")).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name());
    let mut names: Vec<String> = entries.map(|name| name.into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_new_run_replaces_the_old_one_and_leaves_only_the_lock() {
    let (home, out) = with_old_run();
    let place = claim(&out).unwrap();
    write_run(&place, "new");
    assert_eq!(says(&out), "old");
    place.publish().unwrap();
    assert_eq!(says(&out), "new");
    assert_eq!(names(home.path()), [".out.lock", "out"]);
}

#[test]
fn a_run_given_up_leaves_the_old_one_and_no_temporary_folder() {
    let (home, out) = with_old_run();
    let place = claim(&out).unwrap();
    write_run(&place, "half");
    drop(place);
    assert_eq!(says(&out), "old");
    assert_eq!(names(home.path()), [".out.lock", "out"]);
}

#[test]
fn missing_parents_are_made() {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("a/b/out");
    let place = claim(&out).unwrap();
    write_run(&place, "new");
    place.publish().unwrap();
    assert_eq!(says(&out), "new");
}

#[test]
fn a_second_run_is_told_who_holds_the_lock() {
    let (_home, out) = with_old_run();
    let _first = claim(&out).unwrap();
    let error = claim(&out).unwrap_err();
    assert_eq!(error.kind(), FaultKind::Locked);
    assert!(error.to_string().contains(&std::process::id().to_string()), "{error}");
}

#[test]
fn a_lock_file_without_a_living_holder_stops_nobody() {
    let (home, out) = with_old_run();
    fs::write(home.path().join(".out.lock"), "4194303\n").unwrap();
    claim(&out).unwrap();
}

#[test]
fn leftovers_of_dead_runs_are_swept_and_other_folders_are_not() {
    let (home, out) = with_old_run();
    for name in [
        ".out.writing-99999999",
        ".out.before-99999998",
        ".out.writing-notes",
        ".other.writing-1",
    ] {
        fs::create_dir(home.path().join(name)).unwrap();
    }
    drop(claim(&out).unwrap());
    assert_eq!(
        names(home.path()),
        [".other.writing-1", ".out.lock", ".out.writing-notes", "out"]
    );
}

#[test]
fn a_swap_cut_short_between_its_renames_is_mended() {
    let (home, out) = with_old_run();
    fs::rename(&out, home.path().join(".out.before-99999999")).unwrap();
    assert_eq!(says(&standing_run(&out)), "old");
    drop(claim(&out).unwrap());
    assert_eq!(says(&out), "old");
}

#[test]
fn a_folder_of_someone_else_is_refused_untouched() {
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("letters.txt"), "dear").unwrap();
    let error = claim(home.path()).unwrap_err();
    assert_eq!(error.kind(), FaultKind::Usage);
    assert!(error.to_string().contains("letters.txt") && error.hint().contains("choose another folder"));
    assert_eq!(names(home.path()), ["letters.txt"]);
}

#[test]
fn notes_put_into_an_old_run_are_not_thrown_away() {
    let (_home, out) = with_old_run();
    fs::write(out.join("my-notes.txt"), "keep").unwrap();
    assert_eq!(claim(&out).unwrap_err().kind(), FaultKind::Usage);
}

#[test]
fn an_output_that_is_a_file_is_refused() {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("out");
    fs::write(&out, "").unwrap();
    assert!(matches!(claim(&out), Err(PublishError::NotAFolder { .. })));
}

#[test]
fn an_output_around_or_inside_an_input_is_refused() {
    let home = tempfile::tempdir().unwrap();
    let lists = home.path().join("lists");
    fs::create_dir(&lists).unwrap();
    let inputs = [lists.clone()];
    for out in [
        lists.clone(),
        lists.join("out"),
        home.path().to_path_buf(),
        lists.join("../lists/x"),
    ] {
        let error = check_place(&out, &inputs).unwrap_err();
        assert!(
            matches!(error, PublishError::TouchesInput { .. }),
            "{}: {error}",
            out.display()
        );
    }
    check_place(&home.path().join("lists-out"), &inputs).unwrap();
}

#[cfg(unix)]
#[test]
fn an_output_that_is_a_link_is_replaced_where_it_points() {
    let (home, out) = with_old_run();
    let link = home.path().join("link");
    std::os::unix::fs::symlink(&out, &link).unwrap();
    let place = claim(&link).unwrap();
    write_run(&place, "new");
    place.publish().unwrap();
    assert_eq!(says(&out), "new");
    assert!(fs::symlink_metadata(&link).unwrap().file_type().is_symlink());
}

/// A reader that looks all the while a run is put in place a hundred times never finds no run. Only where folders can
/// change places: on a file system without that the two renames leave a gap, which readers bridge by the old run's name.
#[cfg(target_os = "linux")]
#[test]
fn a_reader_finds_a_run_at_every_moment_of_a_swap() {
    use std::sync::atomic::{AtomicBool, Ordering};
    let (home, out) = with_old_run();
    let (one, other) = (home.path().join("one"), home.path().join("other"));
    fs::create_dir(&one).unwrap();
    fs::create_dir(&other).unwrap();
    if !swap::change_places(&one, &other) {
        return;
    }
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        let looks = scope.spawn(|| {
            let mut missed = 0;
            while !done.load(Ordering::Relaxed) {
                missed += usize::from(!out.is_dir());
            }
            missed
        });
        for turn in 0..100 {
            let place = claim(&out).unwrap();
            write_run(&place, &turn.to_string());
            place.publish().unwrap();
        }
        done.store(true, Ordering::Relaxed);
        assert_eq!(looks.join().unwrap(), 0);
    });
    assert_eq!(says(&out), "99");
}

#[test]
fn a_swap_that_fails_puts_the_old_run_back() {
    let (home, out) = with_old_run();
    let absent = home.path().join("absent");
    swap(&absent, &out, &home.path().join(".out.before-1")).unwrap_err();
    assert_eq!(says(&out), "old");
}
