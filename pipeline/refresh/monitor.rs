//! What monitoring reads: metrics in the text exposition format 0.0.4 of Prometheus, and the time of the last success.
//!
//! Both are small files replaced in one step. They tell how the last night ended whether it published or not; a night
//! that found another one at work tells nothing, since the other one will.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::state::Note;

/// How a night ended, for monitoring.
#[derive(Debug, Clone)]
pub struct Ended {
    /// Seconds since 1970 at its end.
    pub at: i64,
    /// Seconds it took.
    pub took: f64,
    /// Its exit code.
    pub code: u8,
    /// Seconds since 1970 of the last night that ended well, this one included.
    pub last_success: Option<i64>,
}

/// One metric: name, what it is, and its values by label.
struct Metric<'a> {
    name: &'a str,
    about: &'a str,
    values: Vec<(String, f64)>,
}

/// The metrics of a night. `note` is what the run that stands knows; none before the first.
pub fn metrics(ended: &Ended, note: Option<&Note>, today: Option<jiff::civil::Date>) -> String {
    let plain = |value: f64| vec![(String::new(), value)];
    let mut all = vec![
        Metric {
            name: "samefit_last_run_timestamp_seconds",
            about: "Time at which the last night ended",
            values: plain(ended.at as f64),
        },
        Metric {
            name: "samefit_last_run_duration_seconds",
            about: "Seconds the last night took",
            values: plain(ended.took),
        },
        Metric {
            name: "samefit_last_run_exit_code",
            about: "Exit code of the last night: 0 done, 1 failed, 2 configuration, 3 warnings, 4 a gate refused",
            values: plain(f64::from(ended.code)),
        },
    ];
    if let Some(at) = ended.last_success {
        all.push(Metric {
            name: "samefit_last_success_timestamp_seconds",
            about: "Time at which the last night ended with exit code 0 or 3",
            values: plain(at as f64),
        });
    }
    if let Some(note) = note {
        all.extend(of_the_run(note, today));
    }
    written(&all)
}

fn of_the_run(note: &Note, today: Option<jiff::civil::Date>) -> Vec<Metric<'static>> {
    let by_supplier = |value: &dyn Fn(&super::state::Standing) -> Option<f64>| {
        let values = note.suppliers.iter();
        let values = values.filter_map(|(name, standing)| Some((label("supplier", name), value(standing)?)));
        values.collect::<Vec<_>>()
    };
    let held = |standing: &super::state::Standing| Some(f64::from(u8::from(standing.held.is_some())));
    let age = |standing: &super::state::Standing| {
        let since: jiff::civil::Date = standing.since.parse().ok()?;
        Some(f64::from((today? - since).get_days()))
    };
    let counts: &BTreeMap<String, u64> = &note.counts;
    vec![
        Metric {
            name: "samefit_rows",
            about: "Rows of the run that stands, by table",
            values: counts
                .iter()
                .map(|(name, count)| (label("table", name), *count as f64))
                .collect(),
        },
        Metric {
            name: "samefit_supplier_held",
            about: "1 where an earlier list stands in for a supplier's",
            values: by_supplier(&held),
        },
        Metric {
            name: "samefit_supplier_list_age_days",
            about: "Days since a supplier's list last changed",
            values: by_supplier(&age),
        },
        Metric {
            name: "samefit_supplier_offers",
            about: "Offers of a supplier in the run that stands",
            values: by_supplier(&|standing| Some(standing.figures.offers as f64)),
        },
    ]
}

/// A label with its value quoted as the format asks.
fn label(name: &str, value: &str) -> String {
    let value = value.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n");
    format!("{{{name}=\"{value}\"}}")
}

fn written(metrics: &[Metric<'_>]) -> String {
    let mut text = String::new();
    for metric in metrics.iter().filter(|metric| !metric.values.is_empty()) {
        let _ = writeln!(text, "# HELP {} {}", metric.name, metric.about);
        let _ = writeln!(text, "# TYPE {} gauge", metric.name);
        for (labels, value) in &metric.values {
            let _ = writeln!(text, "{}{labels} {value}", metric.name);
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::refresh::state::{HeldNote, Standing};

    #[test]
    fn every_sample_stands_under_its_help_and_type_with_its_labels_quoted() {
        let standing = Standing {
            since: "2026-09-01".into(),
            held: Some(HeldNote {
                since: "2026-09-03".into(),
                words: String::new(),
            }),
            ..Standing::default()
        };
        let note = Note {
            suppliers: BTreeMap::from([("a \"b\"\\\n".to_owned(), standing)]),
            counts: BTreeMap::from([("offers".to_owned(), 12)]),
            ..Note::default()
        };
        let ended = Ended {
            at: 1_788_000_000,
            took: 1.5,
            code: 3,
            last_success: Some(1_788_000_000),
        };
        let text = metrics(&ended, Some(&note), Some(jiff::civil::date(2026, 9, 5)));
        assert!(
            text.contains("samefit_supplier_held{supplier=\"a \\\"b\\\"\\\\\\n\"} 1\n"),
            "{text}"
        );
        assert!(
            text.contains("samefit_supplier_list_age_days{supplier=\"a \\\"b\\\"\\\\\\n\"} 4\n"),
            "{text}"
        );
        assert!(
            text.contains("samefit_last_run_timestamp_seconds 1788000000\n"),
            "{text}"
        );
        for line in text.lines().filter(|line| !line.starts_with('#')) {
            let name = line.split(['{', ' ']).next().unwrap();
            assert!(text.contains(&format!("# TYPE {name} gauge\n")), "{line}");
            assert!(line.rsplit(' ').next().unwrap().parse::<f64>().is_ok(), "{line}");
        }
        assert!(text.ends_with('\n'));
    }
}
