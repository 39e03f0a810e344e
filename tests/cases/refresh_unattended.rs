//! `samefit refresh` without anybody beside it: what machines are told of a night, and the README's configuration and units.

use crate::helpers::write;
use crate::nights::{LISTS, Shop};
use std::fs;
use std::path::Path;

#[test]
fn machines_are_told_how_the_night_ended() {
    let shop = Shop::plain();
    shop.night("2026-10-01", &[]).with_code(0);
    let metrics = fs::read_to_string(shop.at("disk/out/samefit.prom")).unwrap();
    assert!(metrics.contains("\nsamefit_last_run_exit_code 0\n"), "{metrics}");
    assert!(metrics.contains("samefit_rows{table=\"offers\"} 273\n"), "{metrics}");
    let success = fs::read_to_string(shop.at("disk/out/last_success")).unwrap();
    assert!(success.ends_with(" 2026-10-01-1\n"), "{success}");
    fs::remove_dir_all(shop.at("lists")).unwrap();
    shop.night("2026-10-02", &[])
        .with_code(4)
        .saying("nothing was published");
    let metrics = fs::read_to_string(shop.at("disk/out/samefit.prom")).unwrap();
    assert!(metrics.contains("\nsamefit_last_run_exit_code 4\n"), "{metrics}");
    assert_eq!(fs::read_to_string(shop.at("disk/out/last_success")).unwrap(), success);
    let nights = fs::read_to_string(shop.at("disk/store/nights.jsonl")).unwrap();
    assert_eq!(nights.lines().count(), 2);
}

#[test]
fn the_log_in_json_is_one_object_a_line() {
    let shop = Shop::plain();
    let ended = shop.night("2026-10-01", &["--log", "json"]).with_code(0);
    let events: Vec<serde_json::Value> = ended
        .stderr
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert!(
        events.len() >= 4
            && events
                .iter()
                .all(|event| event["time"].is_string() && event["level"].is_string())
    );
    write(&shop.at(""), "lists/kettelbarn-genuine-parts.csv", "");
    fs::remove_dir_all(shop.at("disk")).unwrap();
    fs::remove_file(shop.at("lists").join(LISTS[1])).unwrap();
    let ended = shop.night("2026-10-01", &["--log", "json"]).with_code(1);
    let last: serde_json::Value = serde_json::from_str(ended.stderr.lines().last().unwrap()).unwrap();
    assert_eq!(
        (last["level"].as_str(), last["event"].as_str()),
        (Some("error"), Some("failed"))
    );
}

/// The first block of the README that begins so.
fn readme_block(language: &str, first_line: &str) -> String {
    let readme = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let start = format!("```{language}\n{first_line}");
    let at = readme
        .find(&start)
        .unwrap_or_else(|| panic!("the README has no block `{first_line}`"));
    let block = &readme[at + language.len() + 4..];
    block[..block.find("```").unwrap()].to_owned()
}

#[test]
fn the_readmes_configuration_is_one_that_works() {
    let shop = Shop::plain();
    fs::create_dir_all(shop.at("suppliers")).unwrap();
    let rates = Path::new(env!("CARGO_MANIFEST_DIR")).join("input-samples/exchange-rates.toml");
    fs::copy(rates, shop.at("exchange-rates.toml")).unwrap();
    let text = readme_block("toml", "# samefit.toml");
    write(&shop.at(""), "samefit.toml", text.replace("# roots", "roots"));
    shop.night("2026-10-01", &[]).with_code(0).printing("273 offers");
    // every key that is shown as a comment exists
    fs::create_dir_all(shop.at("decisions")).unwrap();
    let uncommented: Vec<String> = text
        .lines()
        .map(|line| match line.strip_prefix("# ") {
            Some(key) if key.contains(" = ") => key.to_owned(),
            _ => line.to_owned(),
        })
        .collect();
    write(&shop.at(""), "samefit.toml", uncommented.join("\n"));
    shop.night("2026-10-01", &[]).with_code(0);
}

#[cfg(target_os = "linux")]
#[test]
fn the_readmes_units_are_sound_where_systemd_can_tell() {
    let home = crate::helpers::bench();
    for (name, first_line) in [
        ("samefit.service", "# samefit.service"),
        ("samefit.timer", "# samefit.timer"),
    ] {
        let unit = readme_block("ini", first_line);
        let unit = unit.replace("/usr/local/bin/samefit", "/bin/true");
        let unit: Vec<&str> = unit
            .lines()
            .filter(|line| !line.starts_with("User=") && !line.starts_with("Group="))
            .collect();
        write(home.path(), name, unit.join("\n"));
    }
    let unit = |name: &str| home.path().join(name);
    let verify = std::process::Command::new("systemd-analyze")
        .arg("verify")
        .args([unit("samefit.service"), unit("samefit.timer")])
        .output();
    match verify {
        Ok(said) => {
            let words = String::from_utf8_lossy(&said.stderr).into_owned();
            assert!(said.status.success() && !words.contains("samefit"), "{words}");
        }
        Err(_) => eprintln!("skipped: no systemd-analyze here"),
    }
}
