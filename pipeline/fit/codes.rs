//! Engine codes as keys: the stem of a code, and the maker of a bare one.
//!
//! A *code key* is `maker:stem` ("corvale:kr200") or `stem` alone. Variant suffixes are stripped,
//! because a colour or an electric starter does not change the interface. A bare code takes a
//! maker only when nearly all sightings with a maker agree; else it stays bare and ambiguous.
//! Designations of the national standard (168F, 2V77F ...) belong to no maker.

use compact_str::CompactString;
use rustc_hash::FxHashMap;

/// Share of sightings with a maker that must agree before a bare code takes that maker.
const AGREEMENT: f64 = 0.9;

/// Interned code keys.
#[derive(Debug, Default)]
pub struct Codes {
    by_text: FxHashMap<CompactString, u32>,
    /// ids by codes as they were sighted
    by_sighting: FxHashMap<CompactString, u32>,
    /// keys by id
    pub texts: Vec<CompactString>,
    maker_of_bare: FxHashMap<CompactString, CompactString>,
}

impl Codes {
    /// Learns which bare codes have a maker from all sightings, given as canonical codes with or
    /// without "maker:" in front.
    pub fn learn<'a>(sightings: impl Iterator<Item = &'a str>) -> Codes {
        let mut sighted: FxHashMap<&str, u32> = FxHashMap::default();
        sightings.for_each(|code| *sighted.entry(code).or_default() += 1);
        let mut sighted: Vec<(&str, u32)> = sighted.into_iter().collect();
        sighted.sort_unstable();
        let mut makers: FxHashMap<CompactString, Vec<(CompactString, u32)>> = FxHashMap::default();
        for (code, times) in sighted {
            let (maker, bare) = split(code);
            let Some(maker) = maker else { continue };
            let list = makers.entry(stem(bare)).or_default();
            match list.iter_mut().find(|m| m.0 == maker) {
                Some(found) => found.1 += times,
                None => list.push((maker.into(), times)),
            }
        }
        let maker_of_bare = makers
            .into_iter()
            .filter_map(|(bare, list)| {
                let total: u32 = list.iter().map(|m| m.1).sum();
                let best = list.iter().max_by(|x, y| x.1.cmp(&y.1).then(y.0.cmp(&x.0)))?;
                (f64::from(best.1) >= AGREEMENT * f64::from(total)).then(|| (bare, best.0.clone()))
            })
            .collect();
        Codes {
            maker_of_bare,
            ..Codes::default()
        }
    }

    /// Id of a code's key, a new one where the key was never sighted.
    pub fn id(&mut self, code: &str) -> u32 {
        if let Some(id) = self.known(code) {
            return id;
        }
        let key = self.key(code);
        let id = *self.by_text.entry(key).or_insert_with_key(|key| {
            self.texts.push(key.clone());
            self.texts.len() as u32 - 1
        });
        self.by_sighting.insert(code.into(), id);
        id
    }

    /// Id of a code that was sighted before.
    pub fn known(&self, code: &str) -> Option<u32> {
        self.by_sighting.get(code).copied()
    }

    fn key(&self, code: &str) -> CompactString {
        let (maker, bare) = split(code);
        let stem = stem(bare);
        if is_standard(&stem) {
            return stem;
        }
        match maker
            .map(CompactString::from)
            .or_else(|| self.maker_of_bare.get(&stem).cloned())
        {
            Some(maker) => compact_str::format_compact!("{maker}:{stem}"),
            None => stem,
        }
    }
}

fn split(code: &str) -> (Option<&str>, &str) {
    match code.split_once(':') {
        Some((maker, bare)) if !maker.is_empty() => (Some(maker), bare),
        _ => (None, code),
    }
}

/// A code without its variant: "168f-2" and "168fb" are "168F", "kr200x" is "KR200".
pub fn stem(code: &str) -> CompactString {
    let code = code.trim();
    let main = code
        .split(['-', '/', '.', ' '])
        .find(|p| p.bytes().any(|b| b.is_ascii_digit()))
        .unwrap_or(code);
    let upper: CompactString = main
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect();
    let last_digit = upper
        .rfind(|c: char| c.is_ascii_digit())
        .map_or(upper.len(), |at| at + 1);
    // "KR160UT2": the stem ends with the first digits behind the letters in front
    let first_digit = upper.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
    let run = upper[first_digit..]
        .find(|c: char| !c.is_ascii_digit())
        .map(|at| first_digit + at);
    let end = run.filter(|_| first_digit > 0).unwrap_or(last_digit);
    let (head, tail) = upper.split_at(end);
    if tail.starts_with('F') && standard_head(head) {
        return compact_str::format_compact!("{head}F");
    }
    // a leading letter group with at least two digits behind it stands without its suffix letters
    if tail.len() <= 3 && head.len() >= 3 {
        head.into()
    } else {
        upper
    }
}

/// One or two digits, an optional arrangement letter, two digits of bore: the head of "168F", "2V77F".
fn standard_head(head: &str) -> bool {
    let b = head.as_bytes();
    match b.len() {
        3 => b.iter().all(u8::is_ascii_digit),
        4 => b[0].is_ascii_digit() && b[1].is_ascii_alphabetic() && b[2].is_ascii_digit() && b[3].is_ascii_digit(),
        _ => false,
    }
}

/// Whether a stem is a designation of the national standard (GB/T 725-2008).
pub fn is_standard(stem: &str) -> bool {
    stem.strip_suffix('F').is_some_and(standard_head)
}

/// Whether a stem is that of a single-cylinder engine without a mark for another arrangement or
/// stroke ("168F", not "1P70F" or "1E40F"): the widely copied horizontal-shaft family.
pub fn is_industrial(stem: &str) -> bool {
    stem.len() == 4 && stem.starts_with('1') && is_standard(stem)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn variants_share_their_stem() {
        assert_eq!(stem("168F-2"), "168F");
        assert_eq!(stem("168fb"), "168F");
        assert_eq!(stem("188F(E)"), "188F");
        assert_eq!(stem("2v77f"), "2V77F");
        assert_eq!(stem("kr200x"), "KR200");
        assert_eq!(stem("kr160ut2"), "KR160");
    }

    #[test]
    fn a_bare_code_takes_the_maker_that_nearly_all_sightings_name() {
        let seen = vec!["corvale:kr200"; 19].into_iter().chain(["other:kr200"]);
        let mut codes = Codes::learn(seen);
        assert_eq!(codes.id("kr200"), codes.id("corvale:kr200"));
        let id = codes.id("kr200");
        assert_eq!(codes.texts[id as usize], "corvale:KR200");
    }

    #[test]
    fn a_bare_code_of_two_makers_stays_bare() {
        let mut codes = Codes::learn(["corvale:b50", "tembra:b50"].into_iter());
        let bare = codes.id("b50");
        assert_eq!(codes.texts[bare as usize], "B50");
    }

    #[test]
    fn a_standard_designation_has_no_maker() {
        let mut codes = Codes::learn(["corvale:168f"; 5].into_iter());
        let id = codes.id("corvale:168f-1");
        assert_eq!(codes.texts[id as usize], "168F");
    }

    #[test]
    fn only_designations_of_one_cylinder_are_industrial() {
        for (stem, standard, industrial) in [
            ("168F", true, true),
            ("188F", true, true),
            ("2V77F", true, false),
            ("1P70F", true, false),
            ("268F", true, false),
            ("KR200", false, false),
            ("168", false, false),
            ("16AF", false, false),
        ] {
            assert_eq!(
                (is_standard(stem), is_industrial(stem)),
                (standard, industrial),
                "{stem}"
            );
        }
    }
}
