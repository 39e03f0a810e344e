//! How many days a part takes to come: numbers with the words for hours, days, weeks and months.

use crate::trade::folding::fold;

/// What a bare number of a lead time counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TimeUnit {
    /// hours
    Hours,
    /// days
    Days,
    /// weeks
    Weeks,
    /// months, of thirty days
    Months,
}

impl TimeUnit {
    /// Reads a folded word.
    pub fn from_word(word: &str) -> Option<TimeUnit> {
        Option::Some(match word {
            "h" | "hour" | "hours" | "hrs" | "std" | "stunden" | "heures" | "ore" | "horas" | "uur" | "godz"
            | "小时" => TimeUnit::Hours,
            "d" | "day" | "days" | "tag" | "tage" | "tagen" | "werktage" | "arbeitstage" | "jour" | "jours" | "j"
            | "giorni" | "giorno" | "gg" | "dia" | "dias" | "dag" | "dagen" | "werkdagen" | "dni" | "dzien" | "dnu"
            | "dny" | "dagar" | "dage" | "wd" | "天" => TimeUnit::Days,
            "w" | "wk" | "wks" | "week" | "weeks" | "woche" | "wochen" | "kw" | "semaine" | "semaines"
            | "settimana" | "settimane" | "sett" | "semana" | "semanas" | "weken" | "tydzien" | "tygodni"
            | "tygodnie" | "tyg" | "tydnu" | "tydny" | "veckor" | "vecka" | "uger" | "周" => TimeUnit::Weeks,
            "month" | "months" | "monat" | "monate" | "mois" | "mese" | "mesi" | "mes" | "meses" | "maand"
            | "maanden" | "miesiac" | "miesiace" | "mesic" | "mesice" | "月" => TimeUnit::Months,
            _ => return Option::None,
        })
    }

    /// Whole days that so many of it take, hours rounded up.
    fn days(self, count: u32) -> u32 {
        match self {
            TimeUnit::Hours => count.div_ceil(24),
            TimeUnit::Days => count,
            TimeUnit::Weeks => count.saturating_mul(7),
            TimeUnit::Months => count.saturating_mul(30),
        }
    }
}

/// Words for "today".
const AT_ONCE: &[&str] = &[
    "immediate",
    "immediately",
    "ex stock",
    "same day",
    "sofort",
    "immediat",
    "subito",
    "pronta",
    "pronta consegna",
    "inmediato",
    "inmediata",
    "direct",
    "od reki",
    "ihned",
    "现货",
];

/// Longest lead time that is believed, days.
const LONGEST: u32 = 730;

/// Days until delivery at the latest: "1-2 days" is 2, "1 week" is 7. A bare number is in `unit`.
pub fn read_lead_time(cell: &str, unit: TimeUnit) -> Option<u16> {
    let folded = fold(cell);
    let text = folded.trim().trim_end_matches('.');
    if AT_ONCE.contains(&text) {
        return Option::Some(0);
    }
    let mut latest: Option<u32> = Option::None;
    let mut said: Option<TimeUnit> = Option::None;
    let mut numbers = 0;
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let is_part = |next: char| next.is_ascii_digit() == sign.is_ascii_digit() && next.is_alphanumeric();
        let length = if sign.is_alphanumeric() {
            rest.find(|next: char| !is_part(next)).unwrap_or(rest.len())
        } else {
            sign.len_utf8()
        };
        let (word, behind) = rest.split_at(length);
        if let Ok(number) = word.parse::<u32>() {
            numbers += 1;
            latest = Option::Some(latest.map_or(number, |before| before.max(number)));
        } else if sign.is_alphabetic() {
            said = TimeUnit::from_word(word).or(said);
        } else if matches!(sign, '.' | ',' | ':') {
            // a date or a fraction is not understood here
            return Option::None;
        }
        rest = behind;
    }
    let letters = text.chars().any(char::is_alphabetic);
    if numbers > 2 || (letters && said.is_none()) {
        return Option::None;
    }
    let days = said.unwrap_or(unit).days(latest?);
    (days <= LONGEST).then(|| u16::try_from(days).unwrap_or(u16::MAX))
}
