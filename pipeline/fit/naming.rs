//! What a mechanic would call a group: family, size class, displacement band, codes, interface.
//!
//! Names come from what the offers themselves say: the codes most of them serve, the words for the
//! kind of engine, the displacements stated. The industrial horizontal-shaft family is known by the
//! designations of the national standard; any other family is called by its maker and code letters.

use super::codes::is_industrial;
use super::evidence::{CUES, Evidence};
use super::groups::{FitGroup, FitGroups};
use super::scales::Field;
use crate::normalise::claim::cue;
use crate::trade::interval::Interval;
use crate::trade::size_class::{SizeClass, class_of_code};
use compact_str::{CompactString, ToCompactString, format_compact};

/// Words for the family and the size class.
pub fn family(
    fit: &FitGroups,
    class: Option<u32>,
    codes: &[CompactString],
    band: Option<Interval>,
    members: &[&Evidence],
) -> (CompactString, CompactString) {
    let Some(class) = class else {
        return ("not placed".into(), band_words(band));
    };
    let cues = leading_cues(fit, class, members);
    let standard: Vec<&CompactString> = codes.iter().filter(|c| is_industrial(c)).collect();
    let special = cues.iter().any(|c| {
        [
            cue::DIESEL,
            cue::VERTICAL_SHAFT,
            cue::TWO_STROKE,
            cue::TWIN,
            cue::SIDE_VALVE,
        ]
        .contains(c)
    });
    let leads = codes.iter().take(3).any(|c| is_industrial(c));
    if leads && !special {
        let size = standard
            .iter()
            .find_map(|c| class_of_code(c))
            .map_or_else(|| band_words(band), size_words);
        return ("industrial horizontal".into(), size);
    }
    let words = cue_words(&cues);
    let name = codes.first().map(|c| series(c));
    let family = match (words.is_empty(), name) {
        (true, Some(name)) => name,
        (false, Some(name)) => format_compact!("{words} {name}"),
        (false, None) => words,
        (true, None) => "engine not named".into(),
    };
    (family, band_words(band))
}

fn size_words(class: SizeClass) -> CompactString {
    match class {
        SizeClass::Mini => "mini",
        SizeClass::Small => "small",
        SizeClass::Medium => "medium",
        SizeClass::Large => "large",
        SizeClass::Twin => "twin",
    }
    .into()
}

fn band_words(band: Option<Interval>) -> CompactString {
    match band {
        None => CompactString::default(),
        Some(b) if b.width() < 1.0 => format_compact!("{:.0} cc", b.low),
        Some(b) => format_compact!("{:.0}-{:.0} cc", b.low, b.high),
    }
}

/// "corvale:KR200" -> "Corvale KR": the maker and the letters of its code.
fn series(code: &str) -> CompactString {
    let (maker, bare) = code.split_once(':').map_or(("", code), |(m, b)| (m, b));
    let letters: String = bare.chars().take_while(|c| c.is_alphabetic()).collect();
    let letters = if letters.is_empty() { bare } else { &letters };
    let mut words = capital(maker);
    if !words.is_empty() {
        words.push(' ');
    }
    words.push_str(letters);
    words
}

fn capital(word: &str) -> CompactString {
    let mut chars = word.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => CompactString::default(),
    }
}

/// Cues that a good part of the members which say anything at all about the engine show.
fn leading_cues(fit: &FitGroups, class: u32, members: &[&Evidence]) -> Vec<&'static str> {
    let class = &fit.classes.list[class as usize];
    let bins = class.bins(Field::Cue);
    let spoken = members
        .iter()
        .filter(|m| !m.fields[Field::Cue as usize].is_empty())
        .count() as f32;
    if spoken < 0.08 * members.len() as f32 {
        return Vec::new();
    }
    let total: f32 = bins.iter().sum();
    CUES.iter()
        .enumerate()
        .filter(|(i, _)| bins[*i] > 0.34 * total && bins[*i] >= 1.0)
        .map(|(_, c)| *c)
        .collect()
}

fn cue_words(cues: &[&'static str]) -> CompactString {
    let mut words: Vec<&str> = Vec::new();
    for (cue, word) in [
        (cue::DIESEL, "diesel"),
        (cue::TWIN, "V-twin"),
        (cue::VERTICAL_SHAFT, "vertical-shaft"),
        (cue::MOWER, "mower"),
        (cue::OVERHEAD_CAM, "overhead-cam"),
        (cue::SIDE_VALVE, "side-valve"),
        (cue::TWO_STROKE, "two-stroke"),
        (cue::INVERTER, "inverter"),
        (cue::SNOW, "snow"),
    ] {
        if cues.contains(&cue) {
            words.push(word);
        }
    }
    words.join(" ").to_compact_string()
}

/// "Recoil starter, industrial horizontal small, 163-212 cc (168F, 170F), 3 holes on 118 mm, M6".
pub fn name(group: &FitGroup) -> String {
    let kind = match group.kind.fixed_name() {
        Some("recoil-starter") => "Recoil starter",
        Some("shroud") => "Fan shroud",
        Some("assembly") => "Shroud with starter",
        _ => "Part",
    };
    let mut name = format!("{kind}, {}", group.family);
    let band = band_words(group.displacement);
    if !group.size_class.is_empty() && group.size_class != band {
        name.push_str(&format!(" {}", group.size_class));
    }
    if !band.is_empty() {
        name.push_str(&format!(", {band}"));
    }
    if !group.codes.is_empty() {
        let mut shown: Vec<&str> = group
            .codes
            .iter()
            .map(|c| c.split_once(':').map_or(c.as_str(), |x| x.1))
            .collect();
        let mut seen = std::collections::BTreeSet::new();
        shown.retain(|c| seen.insert(*c));
        let more = if shown.len() > 4 { " ..." } else { "" };
        shown.truncate(4);
        name.push_str(&format!(" ({}{more})", shown.join(", ")));
    }
    match (group.holes, group.circle_mm) {
        (Some(h), Some(c)) => name.push_str(&format!(", {h} holes on {:.0} mm", c.mid())),
        (Some(h), None) => name.push_str(&format!(", {h} holes")),
        (None, Some(c)) => name.push_str(&format!(", holes on {:.0} mm", c.mid())),
        (None, None) => {}
    }
    if let Some(thread) = group.thread.single() {
        name.push_str(&format!(", {}", thread.name()));
    }
    name
}

/// Order of groups for people: placed before not placed, by kind, family, size, circle.
pub fn order(group: &FitGroup) -> (bool, u8, CompactString, f64, f64) {
    let industrial = group.family != "industrial horizontal";
    let family = format_compact!("{}{}", u8::from(industrial), group.family);
    (
        group.class.is_none(),
        group.kind.0,
        family,
        group.displacement.map_or(f64::MAX, |d| d.low),
        group.circle_mm.map_or(f64::MAX, |c| c.low),
    )
}

#[cfg(test)]
#[path = "naming_tests.rs"]
mod tests;
