//! Size classes: bands of displacement that share starter and shroud within the industrial
//! horizontal-shaft family.
//!
//! Three classes by common practice, no source: about 120 to 212 cc (now up to 223), about 240
//! to 301 cc, about 340 to 420 cc and slightly above. Below lie the minis, which differ among
//! each other; above, the twins, which share nothing. A displacement in the gap between two
//! bands keeps both, and the class says nothing about another family.

use super::interval::Interval;
use super::units::PowerUnit;

/// A size class of the industrial horizontal-shaft family.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SizeClass {
    /// 79 to 99 cc, up to 3 hp.
    Mini,
    /// 118 to 223 cc, 4 to 7.5 hp.
    Small,
    /// 240 to 301 cc, 8 to 10 hp.
    Medium,
    /// 337 to 460 cc, 11 to 18 hp.
    Large,
    /// From 476 cc, two cylinders.
    Twin,
}

impl SizeClass {
    /// All classes, smallest first.
    pub const ALL: [SizeClass; 5] = [
        SizeClass::Mini,
        SizeClass::Small,
        SizeClass::Medium,
        SizeClass::Large,
        SizeClass::Twin,
    ];

    /// The name as published.
    pub const fn name(self) -> &'static str {
        match self {
            SizeClass::Mini => "mini",
            SizeClass::Small => "small",
            SizeClass::Medium => "medium",
            SizeClass::Large => "large",
            SizeClass::Twin => "twin",
        }
    }

    /// The class of a published name.
    pub fn from_name(name: &str) -> Option<SizeClass> {
        SizeClass::ALL.into_iter().find(|class| class.name() == name)
    }

    /// Displacements of the class, cc. Common practice, no source.
    const fn band_cc(self) -> Interval {
        let (low, high) = match self {
            SizeClass::Mini => (75.0, 102.0),
            SizeClass::Small => (116.0, 225.0),
            SizeClass::Medium => (239.0, 305.0),
            SizeClass::Large => (330.0, 465.0),
            SizeClass::Twin => (476.0, 1000.0),
        };
        Interval { low, high }
    }

    /// Gross powers of the class, hp. Common practice, no source.
    const fn band_hp(self) -> Interval {
        let (low, high) = match self {
            SizeClass::Mini => (1.5, 3.0),
            SizeClass::Small => (4.0, 7.5),
            SizeClass::Medium => (8.0, 10.0),
            SizeClass::Large => (11.0, 18.0),
            SizeClass::Twin => (18.5, 40.0),
        };
        Interval { low, high }
    }
}

/// A set of size classes; the empty set means that no class fits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct ClassSet(u8);

impl ClassSet {
    /// The empty set.
    pub const fn empty() -> Self {
        ClassSet(0)
    }

    /// Adds a class.
    pub fn insert(&mut self, class: SizeClass) {
        self.0 |= 1 << class as u8;
    }

    /// Whether the class is in the set.
    pub fn contains(self, class: SizeClass) -> bool {
        self.0 & (1 << class as u8) != 0
    }

    /// Number of classes.
    pub fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    /// Whether the set holds none.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Classes of either.
    pub fn union(self, other: ClassSet) -> ClassSet {
        ClassSet(self.0 | other.0)
    }

    /// Classes of both.
    pub fn intersection(self, other: ClassSet) -> ClassSet {
        ClassSet(self.0 & other.0)
    }

    /// The only class, where there is exactly one.
    pub fn single(self) -> Option<SizeClass> {
        if self.len() == 1 { self.iter().next() } else { None }
    }

    /// The classes, smallest first.
    pub fn iter(self) -> impl Iterator<Item = SizeClass> {
        SizeClass::ALL.into_iter().filter(move |class| self.contains(*class))
    }
}

impl FromIterator<SizeClass> for ClassSet {
    fn from_iter<T: IntoIterator<Item = SizeClass>>(classes: T) -> Self {
        let mut set = ClassSet::empty();
        classes.into_iter().for_each(|class| set.insert(class));
        set
    }
}

/// The classes that a displacement, cc, may belong to: those whose band it meets, or, in a gap,
/// those on both sides of it.
pub fn class_of_cc(cc: Interval) -> ClassSet {
    classes_meeting(cc, SizeClass::band_cc)
}

/// The classes that a gross power, kW, may belong to.
pub fn class_of_power(kw: Interval) -> ClassSet {
    // A hair's room, because the bounds went through a change of unit.
    classes_meeting(
        kw.times(1.0 / PowerUnit::Horsepower.kw()).grown(1e-9),
        SizeClass::band_hp,
    )
}

fn classes_meeting(value: Interval, band: fn(SizeClass) -> Interval) -> ClassSet {
    let met: ClassSet = SizeClass::ALL
        .into_iter()
        .filter(|class| band(*class).overlaps(&value))
        .collect();
    if !met.is_empty() {
        return met;
    }
    let below = SizeClass::ALL.into_iter().rfind(|class| band(*class).high < value.low);
    let above = SizeClass::ALL.into_iter().find(|class| band(*class).low > value.high);
    match (below, above) {
        (Some(below), Some(above)) => [below, above].into_iter().collect(),
        _ => ClassSet::empty(),
    }
}

/// The class of a designation's stem, where it has one: `173F` has none by itself, being paired
/// with the small frame by some sellers and with the medium one by others.
pub fn class_of_code(stem: &str) -> Option<SizeClass> {
    classes_of_code(stem).single()
}

/// The classes that a designation's stem may belong to. Common practice, no source; codes with
/// an arrangement or stroke symbol are of other families and have none, twins apart.
pub fn classes_of_code(stem: &str) -> ClassSet {
    let classes: &[SizeClass] = match stem {
        "152F" | "154F" | "156F" => &[SizeClass::Mini],
        "160F" | "168F" | "170F" => &[SizeClass::Small],
        "173F" => &[SizeClass::Small, SizeClass::Medium],
        "177F" => &[SizeClass::Medium],
        "182F" | "188F" | "190F" | "192F" => &[SizeClass::Large],
        twin if twin.starts_with("2V") => &[SizeClass::Twin],
        _ => &[],
    };
    classes.iter().copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of_cc(cc: f64) -> Vec<&'static str> {
        class_of_cc(Interval::around(cc, 0.5))
            .iter()
            .map(SizeClass::name)
            .collect()
    }

    fn of_hp(hp: f64) -> Vec<&'static str> {
        class_of_power(Interval::exact(hp * PowerUnit::Horsepower.kw()))
            .iter()
            .map(SizeClass::name)
            .collect()
    }

    #[test]
    fn displacements_fall_into_their_band() {
        for (cc, class) in [
            (87.0, "mini"),
            (118.0, "small"),
            (163.0, "small"),
            (196.0, "small"),
            (212.0, "small"),
            (223.0, "small"),
            (242.0, "medium"),
            (270.0, "medium"),
            (301.0, "medium"),
            (337.0, "large"),
            (389.0, "large"),
            (420.0, "large"),
            (460.0, "large"),
            (480.0, "twin"),
            (688.0, "twin"),
        ] {
            assert_eq!(of_cc(cc), [class], "{cc}");
        }
    }

    #[test]
    fn a_gap_keeps_both_sides() {
        assert_eq!(of_cc(230.0), ["small", "medium"]);
        assert_eq!(of_cc(320.0), ["medium", "large"]);
        assert!(of_cc(40.0).is_empty());
        assert!(of_cc(1500.0).is_empty());
    }

    #[test]
    fn powers_and_codes() {
        for (hp, class) in [
            (2.5, "mini"),
            (5.5, "small"),
            (6.5, "small"),
            (7.5, "small"),
            (8.0, "medium"),
            (9.0, "medium"),
            (10.0, "medium"),
            (11.0, "large"),
            (13.0, "large"),
            (16.0, "large"),
            (18.0, "large"),
            (22.0, "twin"),
        ] {
            assert_eq!(of_hp(hp), [class], "{hp} hp");
        }
        for mini in ["152F", "154F", "156F"] {
            assert_eq!(class_of_code(mini), Some(SizeClass::Mini), "{mini}");
        }
        assert_eq!(class_of_code("168F"), Some(SizeClass::Small));
        assert_eq!(class_of_code("188F"), Some(SizeClass::Large));
        assert_eq!(class_of_code("173F"), None);
        assert_eq!(class_of_code("1P70F"), None);
        assert_eq!(class_of_code("2V78F"), Some(SizeClass::Twin));
    }

    #[test]
    fn a_title_that_spans_classes_says_so() {
        assert_eq!(class_of_cc(Interval::between(163.0, 390.0)).len(), 3);
        assert_eq!(SizeClass::from_name("medium"), Some(SizeClass::Medium));
    }

    #[test]
    fn sets_join_and_meet() {
        let set = |classes: &[SizeClass]| classes.iter().copied().collect::<ClassSet>();
        let (a, b) = (
            set(&[SizeClass::Small, SizeClass::Medium]),
            set(&[SizeClass::Medium, SizeClass::Large]),
        );
        assert_eq!(a.intersection(b).single(), Some(SizeClass::Medium));
        assert_eq!(a.union(b).len(), 3);
        assert!(a.intersection(set(&[SizeClass::Twin])).is_empty());
    }
}
