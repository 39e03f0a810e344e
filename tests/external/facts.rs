//! What samefit believes, for the outside checks: one JSON request per line in, one JSON answer per line out.
//!
//! A program of its own rather than a binding: the checks see exactly the functions that the pipeline calls, and
//! nothing of the package has to be built for Python. A request that makes no sense is answered `{"error": ...}`, so
//! that answers stay in step with requests. See `checks/harness.py` for the other end.

use std::io::{self, BufRead, BufWriter, Write};

use samefit::link::compare::{Comparison, FIELDS, Field, Lies, Path};
use samefit::link::weights::estimate;
use samefit::publish::scores::{Contingency, Decisions, Forecasts};
use samefit::trade::bolt_pattern::{
    Agreement, Joint, chord_from_circle, circle_from_chord, circle_from_triangle, compare_circles, position_limit_mm,
    rectangle_diagonal,
};
use samefit::trade::clearances::{ClearanceSeries, clearance_mm, threads_for_hole_mm};
use samefit::trade::currency::read_currency;
use samefit::trade::folding::fold;
use samefit::trade::gtin::{GtinReading, check_digit, read_gtin};
use samefit::trade::heads::{HeadStandard, threads_for_head_mm, widths_across_flats};
use samefit::trade::interval::Interval;
use samefit::trade::swept_volume::{swept_cc, usual_volumes};
use samefit::trade::threads::{Thread, ThreadSet};
use samefit::trade::units::{LengthUnit, MassUnit, PowerUnit, VolumeUnit};
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
#[serde(tag = "fact", rename_all = "snake_case", deny_unknown_fields)]
enum Request {
    Threads {},
    ThreadsForHole {
        hole_mm: f64,
    },
    ThreadsForHead {
        width_mm: f64,
    },
    Unit {
        quantity: Quantity,
        word: String,
    },
    CheckDigit {
        text: String,
    },
    Gtin {
        text: String,
    },
    Currency {
        code: String,
    },
    SweptVolume {
        bore_mm: f64,
        stroke_mm: f64,
        cylinders: u8,
    },
    UsualVolumes {
        stem: String,
    },
    Strings {
        a: String,
        b: String,
    },
    Grouping {
        truth: Vec<u32>,
        found: Vec<u32>,
        subset: Option<Vec<bool>>,
    },
    Decisions {
        truth: Vec<bool>,
        said: Vec<bool>,
    },
    Forecasts {
        probabilities: Vec<f64>,
        outcomes: Vec<bool>,
    },
    FellegiSunter {
        vectors: Vec<[bool; FIELDS_AGREED.len()]>,
        rounds: u32,
    },
    ChordFromCircle {
        holes: u8,
        circle_mm: f64,
    },
    CircleFromChord {
        holes: u8,
        chord_mm: f64,
    },
    CircleFromTriangle {
        a_mm: f64,
        b_mm: f64,
        c_mm: f64,
    },
    RectangleDiagonal {
        a_mm: f64,
        b_mm: f64,
    },
    PositionLimit {
        joint: JointName,
        thread: String,
        series: SeriesName,
    },
    CompareCircles {
        a: [f64; 2],
        b: [f64; 2],
        limit_mm: f64,
    },
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum Quantity {
    Length,
    Volume,
    Power,
    Mass,
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum JointName {
    Fixed,
    Floating,
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum SeriesName {
    Close,
    Normal,
    Loose,
}

fn main() -> io::Result<()> {
    let mut out = BufWriter::new(io::stdout().lock());
    for line in io::stdin().lock().lines() {
        let answer = serde_json::from_str::<Request>(&line?)
            .map_err(|error| error.to_string())
            .and_then(answer)
            .unwrap_or_else(|error| json!({ "error": error }));
        writeln!(out, "{answer}")?;
    }
    out.flush()
}

fn answer(request: Request) -> Result<Value, String> {
    Ok(match request {
        Request::Threads {} => json!({ "threads": Thread::ALL.map(thread_facts).to_vec() }),
        Request::ThreadsForHead { width_mm } => json!({ "threads": names(threads_for_head_mm(width_mm)) }),
        Request::ThreadsForHole { hole_mm } => json!({ "threads": names(threads_for_hole_mm(hole_mm)) }),
        Request::Unit { quantity, word } => json!({ "factor": unit_factor(&quantity, &fold(&word)) }),
        Request::CheckDigit { text } => json!({ "digit": check_digit(&text).map(|digit| digit.to_string()) }),
        Request::Gtin { text } => gtin_facts(&text),
        Request::Currency { code } => json!({ "exponent": currency_exponent(&code) }),
        Request::SweptVolume {
            bore_mm,
            stroke_mm,
            cylinders,
        } => {
            json!({ "cc": swept_cc(bore_mm, stroke_mm, cylinders) })
        }
        Request::UsualVolumes { stem } => {
            let build = |build: &samefit::trade::swept_volume::UsualBuild| json!({ "stroke_mm": build.stroke_mm, "cc": build.cc, "sold_as": build.sold_as });
            json!({ "builds": usual_volumes(&stem).iter().map(build).collect::<Vec<_>>() })
        }
        Request::Strings { a, b } => string_measures(&a, &b),
        Request::Grouping { truth, found, subset } => grouping(&truth, &found, subset.as_deref())?,
        Request::Decisions { truth, said } => json!(Decisions::of(truth.into_iter().zip(said)).scores()),
        Request::Forecasts {
            probabilities,
            outcomes,
        } => forecasts(&probabilities, &outcomes)?,
        Request::FellegiSunter { vectors, rounds } => fellegi_sunter(&vectors, rounds),
        Request::ChordFromCircle { holes, circle_mm } => json!({ "mm": chord_from_circle(holes, circle_mm) }),
        Request::CircleFromChord { holes, chord_mm } => json!({ "mm": circle_from_chord(holes, chord_mm) }),
        Request::CircleFromTriangle { a_mm, b_mm, c_mm } => json!({ "mm": circle_from_triangle(a_mm, b_mm, c_mm) }),
        Request::RectangleDiagonal { a_mm, b_mm } => json!({ "mm": rectangle_diagonal(a_mm, b_mm) }),
        Request::PositionLimit { joint, thread, series } => {
            let thread = Thread::parse(&thread).ok_or_else(|| format!("no thread {thread}"))?;
            json!({ "mm": position_limit_mm(joint.into(), thread, series.into()) })
        }
        Request::CompareCircles { a, b, limit_mm } => {
            let agreement = compare_circles(Interval::between(a[0], a[1]), Interval::between(b[0], b[1]), limit_mm);
            json!({ "agreement": agreement_name(agreement) })
        }
    })
}

fn names(threads: ThreadSet) -> Vec<&'static str> {
    threads.iter().map(Thread::name).collect()
}

fn thread_facts(thread: Thread) -> Value {
    let heads: Vec<Value> = widths_across_flats(thread)
        .iter()
        .map(|(standard, width_mm)| json!({ "standards": standard_names(*standard), "width_mm": width_mm }))
        .collect();
    let clearance = clearance_mm(thread);
    json!({
        "name": thread.name(),
        "diameter_mm": thread.diameter_mm(),
        "pitch_mm": thread.pitch_mm(),
        "tpi": thread.tpi(),
        "heads": heads,
        "clearance": { "close": clearance.close, "normal": clearance.normal, "loose": clearance.loose },
    })
}

/// The standards that one row of the table of heads stands for, as they are printed.
fn standard_names(standard: HeadStandard) -> &'static [&'static str] {
    match standard {
        HeadStandard::Iso4017 => &["ISO 4014", "ISO 4017", "ISO 4032"],
        HeadStandard::Din933 => &["DIN 931", "DIN 933"],
        HeadStandard::En1662 => &["EN 1662"],
        HeadStandard::En1665 => &["EN 1665"],
        HeadStandard::Din6921 => &["DIN 6921", "ISO 4162:1990"],
        HeadStandard::Iso15071 => &["ISO 15071", "ISO 4162:2012"],
        HeadStandard::JisPrevious => &["JIS, previous"],
        HeadStandard::AsmeHex | HeadStandard::AsmeFlange => &["ASME B18.2.1"],
        HeadStandard::AsmeSquareNut => &["ASME B18.2.2"],
    }
}

fn unit_factor(quantity: &Quantity, word: &str) -> Option<f64> {
    match quantity {
        Quantity::Length => LengthUnit::from_word(word).map(LengthUnit::mm),
        Quantity::Volume => VolumeUnit::from_word(word).map(VolumeUnit::cm3),
        Quantity::Power => PowerUnit::from_word(word).map(PowerUnit::kw),
        Quantity::Mass => MassUnit::from_word(word).map(MassUnit::grams),
    }
}

fn gtin_facts(text: &str) -> Value {
    let (reading, gtin) = match read_gtin(text) {
        GtinReading::Sound(gtin) => ("sound", Some(gtin.to_string())),
        GtinReading::Restored(gtin) => ("restored", Some(gtin.to_string())),
        GtinReading::BadCheckDigit => ("bad-check-digit", None),
        GtinReading::Damaged => ("damaged", None),
        GtinReading::InStore => ("in-store", None),
        GtinReading::Dummy => ("dummy", None),
        GtinReading::None => ("none", None),
    };
    json!({ "reading": reading, "gtin": gtin })
}

/// Decimal places of a currency given as its three letters, unless they are read as another code or as none.
fn currency_exponent(code: &str) -> Option<u32> {
    let currency = read_currency(code).filter(|currency| currency.code() == code)?;
    Some(currency.exponent())
}

/// The measures of crate `strsim`, which the link stage compares words and numbers with.
fn string_measures(a: &str, b: &str) -> Value {
    json!({
        "jaro": strsim::jaro(a, b),
        "jaro_winkler": strsim::jaro_winkler(a, b),
        "levenshtein": strsim::levenshtein(a, b),
        "damerau_levenshtein": strsim::damerau_levenshtein(a, b),
    })
}

fn grouping(truth: &[u32], found: &[u32], subset: Option<&[bool]>) -> Result<Value, String> {
    let table = Contingency::of_slices(truth, found, subset).ok_or("the lists differ in length")?;
    Ok(json!({
        "pairwise": table.pairwise(),
        "b_cubed": table.b_cubed(),
        "pairs_in_both": table.pair_counts().in_both,
    }))
}

fn forecasts(probabilities: &[f64], outcomes: &[bool]) -> Result<Value, String> {
    let rows = probabilities.iter().copied().zip(outcomes.iter().copied());
    let forecasts = Forecasts::of(rows).map_err(|error| error.to_string())?;
    Ok(json!({
        "brier": forecasts.brier(),
        "area_under_curve": forecasts.area_under_curve(),
        "expected_calibration_error": forecasts.expected_calibration_error(),
        "reliability": forecasts.reliability(),
    }))
}

/// Fields whose weights carry no sign of their own, so that the estimates alone are compared.
const FIELDS_AGREED: [Field; 6] = [
    Field::Words,
    Field::RareShared,
    Field::RareMissing,
    Field::RareMissingMost,
    Field::Codes,
    Field::Extra,
];

/// The link stage's estimates of m and u, iterated without rivals from "most fields agree".
fn fellegi_sunter(vectors: &[[bool; FIELDS_AGREED.len()]], rounds: u32) -> Value {
    let comparisons: Vec<Comparison> = vectors
        .iter()
        .map(|agrees| {
            let mut levels = [0u8; FIELDS];
            for (field, agree) in FIELDS_AGREED.iter().zip(agrees) {
                levels[*field as usize] = if *agree { 1 } else { 2 };
            }
            Comparison {
                levels,
                cosine: 0.0,
                likeness: 0.0,
                by_words: true,
                path: Path::Words,
                lies: Lies::Between,
                number_records: 0,
            }
        })
        .collect();
    let most = |agrees: &[bool; FIELDS_AGREED.len()]| 2 * agrees.iter().filter(|a| **a).count() > agrees.len();
    let mut probability: Vec<f64> = vectors.iter().map(|v| if most(v) { 0.95 } else { 0.05 }).collect();
    let pairs = comparisons.len() as f64;
    let mut weights = estimate(comparisons.iter().zip(probability.iter().copied()), pairs);
    for _ in 0..rounds {
        let odds = comparisons.iter().map(|c| weights.log_odds(c));
        probability = odds.map(|odds| 1.0 / (1.0 + (-odds).exp())).collect();
        weights = estimate(comparisons.iter().zip(probability.iter().copied()), pairs);
    }
    json!({
        "m": FIELDS_AGREED.map(|f| weights.m[f as usize][1]),
        "u": FIELDS_AGREED.map(|f| weights.u[f as usize][1]),
        "share": probability.iter().sum::<f64>() / pairs,
    })
}

fn agreement_name(agreement: Agreement) -> &'static str {
    match agreement {
        Agreement::Fit => "fit",
        Agreement::Undecided => "undecided",
        Agreement::NoFit => "no-fit",
    }
}

impl From<JointName> for Joint {
    fn from(name: JointName) -> Self {
        match name {
            JointName::Fixed => Joint::Fixed,
            JointName::Floating => Joint::Floating,
        }
    }
}

impl From<SeriesName> for ClearanceSeries {
    fn from(name: SeriesName) -> Self {
        match name {
            SeriesName::Close => ClearanceSeries::Close,
            SeriesName::Normal => ClearanceSeries::Normal,
            SeriesName::Loose => ClearanceSeries::Loose,
        }
    }
}
