//! The vocabulary of the nightly cases: a shop with lists, a configuration, a store and an output of its own.

use crate::helpers::{Ended, command, demo_lists, ended, rows, tables_of, text, write};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// The lists of the shop: two of the demo's, 273 offers together.
pub const LISTS: [&str; 2] = ["kettelbarn-genuine-parts.csv", "zelenohor-export.csv"];
/// The supplier whose list most cases change.
pub const SUPPLIER: &str = "kettelbarn-genuine-parts";

/// Tables that a night and a build of the same lists have in common.
pub const TABLES: [&str; 11] = [
    "crossref.csv",
    "crossref.parquet",
    "crossref.xlsx",
    "links.parquet",
    "groups.csv",
    "products.csv",
    "set-aside.csv",
    "rejects.csv",
    "suppliers.csv",
    "track-records.csv",
    "review.csv",
];

/// A shop of its own for one case.
pub struct Shop {
    _home: Option<TempDir>,
    folder: PathBuf,
}

impl Shop {
    /// A shop whose configuration says this beside where things lie.
    pub fn with(settings: &str) -> Shop {
        let home = tempfile::tempdir().expect("a temporary folder");
        let shop = Shop::in_folder(home.path(), settings);
        Shop {
            _home: Some(home),
            ..shop
        }
    }

    /// A shop with nothing special.
    pub fn plain() -> Shop {
        Shop::with("[[source]]\nfolder = \"lists\"\n")
    }

    /// A shop in a folder that someone else takes care of.
    pub fn in_folder(folder: &Path, settings: &str) -> Shop {
        for name in LISTS {
            write(
                folder,
                &format!("lists/{name}"),
                fs::read(demo_lists().join(name)).expect("a list"),
            );
        }
        let head = "store = \"disk/store\"\noutput = \"disk/out\"\nhome_currency = \"EUR\"\n";
        write(folder, "samefit.toml", format!("{head}{settings}"));
        Shop {
            _home: None,
            folder: folder.to_path_buf(),
        }
    }

    /// A path in the shop.
    pub fn at(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// The text of a list.
    pub fn list(&self, name: &str) -> String {
        fs::read_to_string(self.at("lists").join(name)).expect("a list")
    }

    /// Replaces a list by what is made of its lines, the first being its header.
    pub fn change(&self, name: &str, change: impl FnOnce(&mut Vec<String>)) {
        let mut lines: Vec<String> = self.list(name).split_inclusive('\n').map(str::to_owned).collect();
        change(&mut lines);
        write(&self.folder, &format!("lists/{name}"), lines.concat());
    }

    /// The command for a night of this date.
    pub fn command(&self, date: &str, further: &[&str]) -> std::process::Command {
        let config = self.at("samefit.toml");
        let mut arguments = vec!["refresh", "--config", text(&config), "--date", date];
        arguments.extend(further);
        command(&arguments)
    }

    /// A night of this date.
    pub fn night(&self, date: &str, further: &[&str]) -> Ended {
        let output = self.command(date, further).output().expect("samefit starts");
        ended(output, format!("refresh {date} {}", further.join(" ")))
    }

    /// A night that is left running.
    pub fn start(&self, date: &str) -> Child {
        let mut command = self.command(date, &[]);
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        command.spawn().expect("samefit starts")
    }

    /// The name of the run that stands.
    pub fn standing(&self) -> String {
        let pointer = fs::read(self.at("disk/out/current.json")).expect("a pointer");
        let pointer: serde_json::Value = serde_json::from_slice(&pointer).expect("a pointer in JSON");
        pointer["run"].as_str().expect("a run").to_owned()
    }

    /// The folder of the run that stands.
    pub fn run(&self) -> PathBuf {
        self.at("disk/out/runs").join(self.standing())
    }

    /// Every file of the run that stands but `run.json`.
    pub fn tables(&self) -> Vec<(String, Vec<u8>)> {
        tables_of(&self.run())
    }

    /// The changes told by the run that stands: kind, supplier, number, words.
    pub fn told(&self) -> Vec<(String, String, String, String)> {
        let rows = rows(text(&self.run()), "changes.csv");
        rows.iter()
            .map(|row| {
                (
                    row[0].to_owned(),
                    row[1].to_owned(),
                    row[2].to_owned(),
                    row[9].to_owned(),
                )
            })
            .collect()
    }

    /// How often a kind of change is told.
    pub fn count_of(&self, kind: &str) -> usize {
        self.told().iter().filter(|told| told.0 == kind).count()
    }

    /// Offers of a supplier in the run that stands.
    pub fn offers_of(&self, supplier: &str) -> usize {
        let place = crate::helpers::column(text(&self.run()), "crossref.csv", "supplier");
        let rows = rows(text(&self.run()), "crossref.csv");
        rows.iter().filter(|row| &row[place] == supplier).count()
    }
}

/// Names of the common tables in which two runs differ.
pub fn tables_that_differ(one: &Path, two: &Path) -> Vec<&'static str> {
    let differ = |name: &&str| fs::read(one.join(name)).expect("a table") != fs::read(two.join(name)).expect("a table");
    TABLES.into_iter().filter(differ).collect()
}

/// Sends a signal, by the name `kill` knows it by.
pub fn signal(child: &Child, name: &str) {
    // the shell's own, since the program of that name is not everywhere
    let kill = format!("kill -{name} {}", child.id());
    let sent = std::process::Command::new("sh").args(["-c", &kill]).status();
    assert!(sent.expect("a shell is there").success());
}

/// Waits until a file holds something.
pub fn wait_for(path: &Path) {
    let start = Instant::now();
    while fs::metadata(path).map_or(0, |facts| facts.len()) == 0 {
        assert!(
            start.elapsed() < Duration::from_secs(60),
            "{} never came",
            path.display()
        );
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// Numbers that look random and are the same in every run of the tests.
pub struct Dice(pub u64);

impl Dice {
    /// A number below `sides`.
    pub fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides.max(1)
    }
}
