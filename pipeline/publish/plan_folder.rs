//! The folder of an order plan: its files whole or not at all, marked by `plan.json` so that the next plan may take its
//! place, and nothing else of the user's ever does.

use super::error::PublishError;
use super::fresh::write_fresh;
use super::place::Place;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// The mark, and the plan for machines.
pub const PLAN_FILE: &str = "plan.json";

/// Writes a plan's files into a folder and swaps it in. `plan` is an object; the names of the files are added to it.
///
/// # Errors
/// The folder is refused or locked, or cannot be written; what stood there stands.
pub fn write_plan(
    out: &Path,
    inputs: &[PathBuf],
    mut plan: Value,
    files: &[(String, Vec<u8>)],
) -> Result<PathBuf, PublishError> {
    let place = Place::claim_marked(out, inputs, PLAN_FILE)?;
    for (name, content) in files {
        write_fresh(&place.folder().join(name), content)?;
    }
    if let Value::Object(cells) = &mut plan {
        let names: Vec<Value> = files.iter().map(|(name, _)| json!({"file": name})).collect();
        cells.insert("tool".into(), json!("samefit"));
        cells.insert("files".into(), names.into());
    }
    write_fresh(&place.folder().join(PLAN_FILE), format!("{plan:#}\n").as_bytes())?;
    place.publish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::sample::{small_facts, small_run};
    use crate::publish::write_run;

    #[test]
    fn a_plan_takes_the_place_of_a_plan_and_of_nothing_else() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("plan");
        let written = |file: &str| write_plan(&out, &[], json!({}), &[(file.into(), b"x".to_vec())]);
        written("order-north.csv").unwrap();
        written("order-south.csv").unwrap();
        assert!(!out.join("order-north.csv").exists() && out.join("order-south.csv").exists());
        assert!(
            write_run(&out, &small_run(), &small_facts()).is_err(),
            "a run over a plan"
        );
        std::fs::write(out.join("mine.txt"), "x").unwrap();
        assert!(written("order-east.csv").is_err(), "a file of someone else's");
        let run = home.path().join("run");
        write_run(&run, &small_run(), &small_facts()).unwrap();
        assert!(write_plan(&run, &[], json!({}), &[]).is_err(), "a plan over a run");
        assert!(run.join("crossref.csv").exists());
    }
}
