//! Writing a whole run: check, write every file into the claimed place, swap.

use std::path::{Path, PathBuf};
use std::time::Instant;

use super::csv_table::write_csv;
use super::error::PublishError;
use super::facts::{Chain, RunFacts, StageTime};
use super::json_table::write_json_rows;
use super::manifest::{self, FileEntry, Settled, file_entry, write_run_file};
use super::number_index::number_index;
use super::order::{Ordered, by_what_and_price, ordered};
use super::package::{PACKAGE_FILE, write_package};
use super::parquet_table::{self, write_parquet};
use super::place::Place;
use super::reconcile::reconcile;
use super::report::write_report;
use super::tables::RunTables;
use super::workbook::{MOST_ROWS, WorkbookOutcome, write_workbook};

/// Files every run has, besides the workbook, the data package and `run.json`.
const FILES: [&str; 13] = [
    "crossref.csv",
    "crossref.parquet",
    "links.parquet",
    "numbers.parquet",
    "groups.csv",
    "products.csv",
    "set-aside.csv",
    "set-aside.parquet",
    "rejects.csv",
    "suppliers.csv",
    "track-records.csv",
    "review.csv",
    "report.html",
];
/// Files of a run that follows earlier ones.
const NIGHTLY_FILES: [&str; 4] = ["changes.csv", "changes.json", "ids.csv", "prices.parquet"];
const WORKBOOK: &str = "crossref.xlsx";

/// A run that stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Published {
    /// Where it stands.
    pub folder: PathBuf,
    /// Its files with sizes and hashes, `run.json` aside.
    pub files: Vec<FileEntry>,
    /// Remarks that also stand in `run.json`, such as a workbook left out.
    pub notes: Vec<String>,
}

/// Claims the output and writes the run into it.
///
/// # Errors
/// See [`PublishError`]; after any of them the previous output stands.
pub fn write_run(out: &Path, tables: &RunTables, facts: &RunFacts) -> Result<Published, PublishError> {
    reconcile(tables)?;
    let place = Place::claim(out, &facts.input_paths)?;
    write_claimed(place, tables, facts)
}

/// Writes the run into a place claimed earlier, so that the lock is held from the start of a build.
pub fn write_claimed(place: Place, tables: &RunTables, facts: &RunFacts) -> Result<Published, PublishError> {
    let started = Instant::now();
    reconcile(tables)?;
    let folder = place.folder();
    let rows = ordered(tables);
    let settled = manifest::settled(tables, facts);
    let outcome = write_files(folder, &rows, &settled, facts)?;
    let (names, notes) = names_and_notes(outcome, facts);
    let mut files = names
        .iter()
        .map(|name| file_entry(folder, name))
        .collect::<Result<Vec<_>, _>>()?;
    write_package(folder, &facts.version, &files)?;
    files.push(file_entry(folder, PACKAGE_FILE)?);
    let publishing = StageTime {
        stage: "publish".into(),
        wall: started.elapsed(),
    };
    let timings: Vec<&StageTime> = facts.timings.iter().chain([&publishing]).collect();
    write_run_file(folder, &settled, &timings, &notes, &files)?;
    let folder = place.publish()?;
    Ok(Published { folder, files, notes })
}

fn names_and_notes(outcome: WorkbookOutcome, facts: &RunFacts) -> (Vec<&'static str>, Vec<String>) {
    let mut names = FILES.to_vec();
    let mut notes = facts.notes.clone();
    match outcome {
        WorkbookOutcome::Written => names.insert(2, WORKBOOK),
        WorkbookOutcome::TooLong => notes.push(format!(
            "{WORKBOOK} was left out: a sheet is given at most {MOST_ROWS} rows; use crossref.csv or crossref.parquet"
        )),
    }
    if facts.chain != Chain::Alone {
        names.extend(NIGHTLY_FILES);
    }
    (names, notes)
}

/// The slow files side by side, the small ones after another.
fn write_files(
    folder: &Path,
    rows: &Ordered<'_>,
    settled: &Settled<'_>,
    facts: &RunFacts,
) -> Result<WorkbookOutcome, PublishError> {
    let metadata = settled.to_json(folder)?;
    let at = |name: &str| folder.join(name);
    let (workbook, others) = rayon::join(
        || write_workbook(&at(WORKBOOK), &rows.crossref, &rows.groups, &rows.review),
        || {
            let (parquet, csv) = rayon::join(
                || {
                    write_parquet(
                        &at("crossref.parquet"),
                        &rows.crossref,
                        parquet_table::CROSSREF,
                        &metadata,
                    )?;
                    let links: Vec<_> = rows.links.iter().map(AsRef::as_ref).collect();
                    write_parquet(&at("links.parquet"), &links, parquet_table::LINKS, &metadata)?;
                    let aside = by_what_and_price(&rows.set_aside);
                    write_parquet(&at("set-aside.parquet"), &aside, parquet_table::SET_ASIDE, &metadata)?;
                    let numbers = number_index(&rows.crossref, &rows.products);
                    let numbers: Vec<_> = numbers.iter().collect();
                    write_parquet(&at("numbers.parquet"), &numbers, parquet_table::NUMBERS, &metadata)
                },
                || {
                    write_csv_tables(folder, rows)?;
                    if facts.chain != Chain::Alone {
                        write_nightly_tables(folder, rows, &metadata)?;
                    }
                    write_report(&at("report.html"), rows, settled, facts)
                },
            );
            parquet.and(csv)
        },
    );
    others?;
    workbook
}

fn write_csv_tables(folder: &Path, rows: &Ordered<'_>) -> Result<(), PublishError> {
    write_csv(&folder.join("crossref.csv"), &rows.crossref)?;
    write_csv(&folder.join("groups.csv"), &rows.groups)?;
    write_csv(&folder.join("products.csv"), &rows.products)?;
    write_csv(&folder.join("set-aside.csv"), &rows.set_aside)?;
    write_csv(&folder.join("rejects.csv"), &rows.rejects)?;
    write_csv(&folder.join("suppliers.csv"), &rows.suppliers)?;
    write_csv(&folder.join("track-records.csv"), &rows.track_records)?;
    write_csv(&folder.join("review.csv"), &rows.review)
}

fn write_nightly_tables(folder: &Path, rows: &Ordered<'_>, metadata: &str) -> Result<(), PublishError> {
    write_csv(&folder.join("changes.csv"), &rows.changes)?;
    write_json_rows(&folder.join("changes.json"), &rows.changes)?;
    write_csv(&folder.join("ids.csv"), &rows.ids)?;
    write_parquet(
        &folder.join("prices.parquet"),
        &rows.prices,
        parquet_table::PRICES,
        metadata,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::error::FaultKind;
    use crate::publish::sample::{small_facts, small_night, small_run};
    use std::fs;
    use std::time::Duration;

    #[test]
    fn a_run_has_all_its_files_and_says_so_in_run_json() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("out");
        let published = write_run(&out, &small_run(), &small_facts()).unwrap();
        assert_eq!(published.folder, out.canonicalize().unwrap());
        let mut expected: Vec<&str> = FILES.to_vec();
        expected.extend([WORKBOOK, PACKAGE_FILE, manifest::RUN_FILE]);
        for name in &expected {
            assert!(fs::metadata(out.join(name)).unwrap().len() > 0, "{name}");
        }
        assert_eq!(fs::read_dir(&out).unwrap().count(), expected.len());
        let listed = manifest::files_of_run(&out).unwrap();
        assert_eq!(listed.len(), expected.len());
    }

    #[test]
    fn a_night_tells_its_changes_worth_most_first_and_a_build_tells_none() {
        let home = tempfile::tempdir().unwrap();
        let (build, night) = (home.path().join("build"), home.path().join("night"));
        write_run(&build, &small_run(), &small_facts()).unwrap();
        let (tables, facts) = small_night();
        write_run(&night, &tables, &facts).unwrap();
        for name in NIGHTLY_FILES {
            assert!(night.join(name).exists() && !build.join(name).exists(), "{name}");
        }
        let mut reader = csv::Reader::from_path(night.join("changes.csv")).unwrap();
        let told: Vec<String> = reader.records().map(|row| row.unwrap()[0].to_owned()).collect();
        assert_eq!(told, ["held", "gone", "new"]);
        let json: serde_json::Value = serde_json::from_slice(&fs::read(night.join("changes.json")).unwrap()).unwrap();
        assert_eq!(json[1]["worth"], "-3.10");
    }

    #[test]
    fn the_same_rows_in_another_order_give_the_same_bytes_in_every_table() {
        let home = tempfile::tempdir().unwrap();
        let (one, two) = (home.path().join("one"), home.path().join("two"));
        write_run(&one, &small_run(), &small_facts()).unwrap();
        let mut tables = small_run();
        tables.crossref.reverse();
        tables.suppliers.reverse();
        let mut facts = small_facts();
        facts.inputs.reverse();
        facts.timings = vec![crate::publish::StageTime {
            stage: "fit".into(),
            wall: Duration::from_millis(5),
        }];
        write_run(&two, &tables, &facts).unwrap();
        for name in FILES.iter().chain([&WORKBOOK, &PACKAGE_FILE]) {
            assert!(
                fs::read(one.join(name)).unwrap() == fs::read(two.join(name)).unwrap(),
                "{name} differs"
            );
        }
    }

    #[test]
    fn tables_that_do_not_add_up_leave_the_old_run_standing() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("out");
        write_run(&out, &small_run(), &small_facts()).unwrap();
        let before = fs::read(out.join("run.json")).unwrap();
        let mut tables = small_run();
        tables.suppliers[0].read = 100;
        let error = write_run(&out, &tables, &small_facts()).unwrap_err();
        assert_eq!(error.kind(), FaultKind::Failed);
        assert_eq!(fs::read(out.join("run.json")).unwrap(), before);
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), 2, "the run and its lock");
    }

    #[test]
    fn a_file_that_cannot_be_written_leaves_the_old_run_standing() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("out");
        write_run(&out, &small_run(), &small_facts()).unwrap();
        let before = fs::read(out.join("run.json")).unwrap();
        let place = Place::claim(&out, &[]).unwrap();
        fs::create_dir(place.folder().join("products.csv")).unwrap();
        write_claimed(place, &small_run(), &small_facts()).unwrap_err();
        assert_eq!(fs::read(out.join("run.json")).unwrap(), before);
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), 2, "the run and its lock");
    }

    #[test]
    fn a_run_replaces_an_earlier_run() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("out");
        write_run(&out, &small_run(), &small_facts()).unwrap();
        let mut facts = small_facts();
        facts.notes.push("second".into());
        write_run(&out, &small_run(), &facts).unwrap();
        assert!(fs::read_to_string(out.join("run.json")).unwrap().contains("second"));
    }
}
