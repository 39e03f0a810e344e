//! Powers stated in text, in kilowatts, and the displacement they suggest.
//!
//! Read: hp, bhp, PS, CV, ch, pk, KM (the Polish horsepower), kW, W, kVA; lists, ranges and
//! decimal commas, see `amounts`. The horsepower of hp and the one of PS differ by 1.4 %.
//! A generator's kW is the electrical output it delivers, not the power of its engine; such a
//! figure is marked `electrical` and suggests no displacement by itself.
//!
//! Limits: 0.3 to 40 kW.

use super::Context;
use super::amounts::{Amount, Glue, Joined, find_amounts};
use super::interval::Interval;
use super::pattern::finders;
use super::units::PowerUnit;
use memchr::memmem::Finder;
use std::ops::Range;
use std::sync::LazyLock;

/// A power found in text.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerReading {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Powers served, kW, each as wide as its last digit; one interval for a range.
    pub served: Vec<Interval>,
    /// Whether a range was stated.
    pub is_range: bool,
    /// Unit it was written in, that of the last number.
    pub unit: PowerUnit,
    /// Whether it is a generator's electrical output rather than the engine's power.
    pub electrical: bool,
}

/// Smallest and largest power read, kW.
const PLAUSIBLE_KW: Interval = Interval { low: 0.3, high: 40.0 };

/// Finds the powers of a folded text, in order; a bare number of a column is hp.
pub fn read_power(folded: &str, context: Context) -> Vec<PowerReading> {
    read_power_in(folded, context, PowerUnit::Horsepower)
}

/// Finds the powers of a folded text; a bare number of a column is in `column_unit`.
pub fn read_power_in(folded: &str, context: Context, column_unit: PowerUnit) -> Vec<PowerReading> {
    if !folded.bytes().any(|byte| byte.is_ascii_digit()) {
        return Vec::new();
    }
    let bare = (context == Context::Column).then_some(column_unit);
    let generator = std::cell::OnceCell::new();
    let readings: Vec<PowerReading> = find_amounts(folded, unit_at, bare)
        .into_iter()
        .filter_map(|amount| plausible(amount, || *generator.get_or_init(|| names_generator(folded))))
        .collect();
    if readings.is_empty() && context == Context::Title {
        behind_unit(folded)
    } else {
        readings
    }
}

fn plausible(mut amount: Amount<PowerUnit>, generator: impl Fn() -> bool) -> Option<PowerReading> {
    amount
        .items
        .retain(|(number, unit)| PLAUSIBLE_KW.contains(number.value * unit.kw()));
    let unit = amount.items.last()?.1;
    let electrical = match unit {
        PowerUnit::KilovoltAmpere | PowerUnit::Watt => true,
        PowerUnit::Kilowatt => generator(),
        PowerUnit::Horsepower | PowerUnit::MetricHorsepower => false,
    };
    let is_range = amount.joined == Joined::Range && amount.items.len() == 2;
    let served = amount.served(PowerUnit::kw);
    Some(PowerReading {
        span: amount.span.clone(),
        served,
        is_range,
        unit,
        electrical,
    })
}

fn unit_at(text: &str, glue: Glue) -> Option<(PowerUnit, usize)> {
    let end = text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len());
    let word = &text[..end];
    let dotted = ["h.p.", "k.m.", "c.v.", "л.с.", "л. с.", "л/с"]
        .into_iter()
        .find(|unit| text.starts_with(unit));
    if let Some(dotted) = dotted {
        return PowerUnit::from_word(dotted).map(|unit| (unit, dotted.len()));
    }
    let goes_on = text[end..].starts_with(|c: char| c.is_ascii_digit());
    let cjk = ["匹马力", "马力", "匹", "千瓦"]
        .into_iter()
        .find(|unit| text.starts_with(unit));
    if let Some(cjk) = cjk {
        return PowerUnit::from_word(cjk).map(|unit| (unit, cjk.len()));
    }
    // A spaced "w" is a word of its own more often than a watt.
    let stray = word == "w" && glue == Glue::Apart;
    if goes_on || stray || word.is_empty() {
        return None;
    }
    PowerUnit::from_word(word).map(|unit| (unit, end))
}

/// Words of machines whose kW is their electrical output.
const GENERATOR_WORDS: &[&str] = &[
    "generator",
    "genset",
    "gen-set",
    "inverter",
    "stromerzeuger",
    "stromaggregat",
    "notstrom",
    "groupe electrogene",
    "electrogene",
    "groupe ",
    "generador",
    "grupo electrogeno",
    "generatore",
    "gruppo elettrogeno",
    "aggregaat",
    "agregat",
    "elektrocentrala",
    "elverk",
    "gerador",
    "генератор",
    "электростанци",
    "aramfejleszto",
    "jenerator",
    "pradotworcz",
    "发电机",
];

fn names_generator(text: &str) -> bool {
    GENERATOR_WORDS.iter().any(|word| text.contains(word))
}

/// `cv 5,5`, `hp: 6.5/7`: the unit stands in front.
fn behind_unit(text: &str) -> Vec<PowerReading> {
    static UNITS: LazyLock<Vec<(&str, Finder<'static>)>> =
        LazyLock::new(|| finders(["hp", "ps", "cv", "kw", "pk", "km", "ch", "hk"]));
    for (word, finder) in UNITS.iter() {
        let Some(place) = finder.find(text.as_bytes()) else {
            continue;
        };
        let preceded = text[..place].chars().next_back().is_some_and(char::is_alphanumeric);
        let rest = text[place + word.len()..].trim_start_matches([' ', ':', '=', '.']);
        let start = text.len() - rest.len();
        if preceded || start == place + word.len() {
            continue;
        }
        let found = find_amounts(rest, unit_at, PowerUnit::from_word(word))
            .into_iter()
            .next();
        let found = found
            .filter(|amount| amount.span.start == 0)
            .filter(|amount| !super::wording::goes_on_with_unit(&rest[amount.span.end..]))
            .and_then(|amount| plausible(amount, || names_generator(text)));
        if let Some(reading) = found {
            return vec![PowerReading {
                span: place..start + reading.span.end,
                ..reading
            }];
        }
    }
    Vec::new()
}

/// Gross cubic centimetres per hp of overhead-valve pushrod engines: common practice, no source;
/// 163 cc at 5.5 hp is 29.6, 270 cc at 9 hp 30.0, 389 cc at 13 hp 29.9.
const CC_PER_HP: Interval = Interval { low: 28.0, high: 32.0 };
/// From 16 hp on the engines are tuned higher: 459 cc at 18 hp is 25.5. Common practice, no source.
const CC_PER_HP_FROM_16_HP: Interval = Interval { low: 25.0, high: 32.0 };

/// Displacements, cc, that an engine of this gross power, kW, usually has. Net figures lie
/// about a tenth lower, so a power separates size classes, not neighbouring displacements.
pub fn displacement_from_power(kw: Interval) -> Interval {
    let hp = kw.times(1.0 / PowerUnit::Horsepower.kw());
    let at = |hp: f64| if hp >= 15.9 { CC_PER_HP_FROM_16_HP } else { CC_PER_HP };
    let low = (hp.low * at(hp.low).low).min(hp.high * at(hp.high).low);
    Interval::between(low, hp.high * CC_PER_HP.high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::folding::fold;

    fn readings(text: &str) -> Vec<PowerReading> {
        read_power(&fold(text), Context::Title)
    }

    fn kilowatts(text: &str) -> Vec<f64> {
        readings(text)
            .iter()
            .flat_map(|r| r.served.iter().map(Interval::mid))
            .collect()
    }

    fn close(found: &[f64], expected: &[f64]) {
        assert_eq!(found.len(), expected.len(), "{found:?}");
        for (found, expected) in found.iter().zip(expected) {
            assert!((found - expected).abs() < 6e-4, "{found} is not {expected}");
        }
    }

    // 5.5 hp = 4.1013 kW, 6.5 hp = 4.8470, 7 hp = 5.2199, 6.5 PS = 4.7807: Debian `units` 2.22-2.

    #[test]
    fn lists_share_their_unit() {
        close(
            &kilowatts("Recoil starter 5.5/6.5/7 HP 168F"),
            &[4.1013, 4.8470, 5.2199],
        );
        close(&kilowatts("5,5/6,5 PS"), &[4.0452, 4.7807]);
        close(&kilowatts("186F/188F 6,7/7,5/8,9kW"), &[6.7, 7.5, 8.9]);
        close(&kilowatts("2,2 kW, 4 holes"), &[2.2]);
        close(&kilowatts("8 9 11 13 HP"), &[5.9656, 6.7113, 8.2027, 9.6941]);
        close(&kilowatts("2018 8 9 11 13 HP"), &[5.9656, 6.7113, 8.2027, 9.6941]);
    }

    #[test]
    fn the_two_horsepowers_differ() {
        for text in ["6.5 hp", "6.5HP", "6,5 BHP", "6.5-hp"] {
            close(&kilowatts(text), &[4.8470]);
        }
        for text in ["6.5 PS", "6,5 CV", "6,5 pk", "6,5 KM", "6,5 ch", "CV 6,5", "6.5马力"] {
            close(&kilowatts(text), &[4.7807]);
        }
        close(&kilowatts("4.8 kW"), &[4.8]);
    }

    #[test]
    fn a_generator_s_kilowatts_are_electrical() {
        assert!(readings("pull starter for 2-3 kW generator")[0].electrical);
        assert!(readings("Seilzugstarter Stromerzeuger 5,5 kW")[0].electrical);
        assert!(readings("carter, groupe 5 kW")[0].electrical);
        assert!(!readings("gruppo avviamento 5 kW")[0].electrical);
        assert!(readings("5 kVA")[0].electrical);
        assert!(readings("2500W recoil")[0].electrical);
        assert!(!readings("6.5 hp generator engine")[0].electrical);
        assert!(!readings("motor 4,8 kW")[0].electrical);
    }

    #[test]
    fn what_is_no_power_is_left() {
        for text in [
            "recoil w 3 holes",
            "18 w 2",
            "2500 w recoil",
            "hpx 200",
            "hp7",
            "5 psi",
            "196cc",
            "0 hp",
            "hp",
        ] {
            close(&kilowatts(text), &[]);
        }
    }

    #[test]
    fn power_suggests_a_displacement() {
        let suggested = |hp: f64| displacement_from_power(Interval::exact(hp * PowerUnit::Horsepower.kw()));
        for (hp, cc) in [
            (5.5, 163.0),
            (6.5, 196.0),
            (7.0, 208.0),
            (9.0, 270.0),
            (11.0, 338.0),
            (13.0, 389.0),
            (18.0, 459.0),
        ] {
            assert!(suggested(hp).contains(cc), "{hp} hp: {cc} cc");
        }
        assert!(!suggested(6.5).contains(270.0));
    }
}
