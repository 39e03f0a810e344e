//! Whether a part is there, and how soon: cells of stock and of lead time, read in the words that lists use.
//!
//! What cannot be read stays unknown; a word that only promises ("on request") is no stock. A bare number in a column
//! of lead times counts days unless the heading says weeks. Words of common use in price lists, no source.

use super::folding::fold;
use std::fmt;

/// What a list says of its stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stock {
    /// So many pieces.
    Pieces(u32),
    /// So many pieces or more.
    AtLeast(u32),
    /// There is some; how much is not said.
    Some,
    /// There is none, or only on order.
    None,
}

impl Stock {
    /// Whether at least one piece is there.
    pub fn is_there(self) -> bool {
        !matches!(self, Stock::None | Stock::Pieces(0))
    }

    /// Pieces that can be counted on; `None` when there is some and no number is said.
    pub fn counted_on(self) -> Option<u32> {
        match self {
            Stock::Pieces(pieces) | Stock::AtLeast(pieces) => Option::Some(pieces),
            Stock::Some => Option::None,
            Stock::None => Option::Some(0),
        }
    }

    /// Reads what [`fmt::Display`] writes: `12`, `10+`, `yes`, `no`.
    pub fn parse(text: &str) -> Option<Stock> {
        match text {
            "yes" => Option::Some(Stock::Some),
            "no" => Option::Some(Stock::None),
            _ => match text.strip_suffix('+') {
                Option::Some(least) => least.parse().ok().map(Stock::AtLeast),
                Option::None => text.parse().ok().map(Stock::Pieces),
            },
        }
    }
}

impl fmt::Display for Stock {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stock::Pieces(pieces) => write!(out, "{pieces}"),
            Stock::AtLeast(pieces) => write!(out, "{pieces}+"),
            Stock::Some => out.write_str("yes"),
            Stock::None => out.write_str("no"),
        }
    }
}

/// Words for "there is some".
const THERE: &[&str] = &[
    "yes",
    "y",
    "in stock",
    "instock",
    "available",
    "on stock",
    "ex stock",
    "ja",
    "lagernd",
    "auf lager",
    "ab lager",
    "vorratig",
    "lieferbar",
    "sofort lieferbar",
    "verfugbar",
    "oui",
    "en stock",
    "disponible",
    "dispo",
    "si",
    "disponibile",
    "a magazzino",
    "in magazzino",
    "disponibles",
    "en existencia",
    "op voorraad",
    "voorradig",
    "leverbaar",
    "tak",
    "dostepny",
    "dostepne",
    "w magazynie",
    "na stanie",
    "na skladzie",
    "skladem",
    "ano",
    "i lager",
    "finns i lager",
    "pa lager",
    "有",
    "有货",
    "现货",
];

/// Words for "there is none now".
const NOT_THERE: &[&str] = &[
    "no",
    "n",
    "none",
    "out of stock",
    "sold out",
    "on request",
    "on order",
    "to order",
    "back order",
    "backorder",
    "on backorder",
    "discontinued",
    "poa",
    "nein",
    "nicht lagernd",
    "ausverkauft",
    "auf anfrage",
    "auf bestellung",
    "nicht verfugbar",
    "non",
    "epuise",
    "rupture",
    "en rupture",
    "sur demande",
    "sur commande",
    "indisponible",
    "esaurito",
    "su richiesta",
    "su ordinazione",
    "non disponibile",
    "agotado",
    "consultar",
    "bajo pedido",
    "sin existencias",
    "no disponible",
    "op aanvraag",
    "op bestelling",
    "uitverkocht",
    "niet op voorraad",
    "nie",
    "brak",
    "na zamowienie",
    "niedostepny",
    "na objednavku",
    "vyprodano",
    "ne",
    "ej i lager",
    "slut",
    "udsolgt",
    "无",
    "缺货",
    "无货",
];

/// Words behind a number that mean pieces.
const PIECES: &[&str] = &[
    "",
    "pc",
    "pcs",
    "piece",
    "pieces",
    "ea",
    "units",
    "unit",
    "in stock",
    "available",
    "stk",
    "st",
    "stuck",
    "szt",
    "pz",
    "pezzi",
    "u",
    "ud",
    "uds",
    "pieces en stock",
    "stuks",
    "ks",
    "pcs in stock",
    "auf lager",
    "en stock",
    "件",
    "个",
];

/// Reads a cell of a stock column.
pub fn read_stock(cell: &str) -> Option<Stock> {
    let folded = fold(cell);
    let text = folded.trim().trim_end_matches(['.', '!']);
    if text.is_empty() {
        return Option::None;
    }
    if THERE.contains(&text) {
        return Option::Some(Stock::Some);
    }
    if NOT_THERE.contains(&text) {
        return Option::Some(Stock::None);
    }
    let (least, text) = match text.strip_prefix(['>', '≥', '+']) {
        Option::Some(rest) => (true, rest.trim_start_matches('=').trim_start()),
        Option::None => (false, text),
    };
    let end = text.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(text.len());
    let pieces: u32 = text[..end].parse().ok()?;
    let behind = text[end..].trim();
    let (least, behind) = match behind.strip_prefix('+') {
        Option::Some(rest) => (true, rest.trim()),
        Option::None => (least, behind),
    };
    // "12.0" of a database export is twelve pieces
    let behind = behind.strip_prefix(".0").map_or(behind, |rest| rest.trim_matches('0'));
    PIECES.contains(&behind).then_some(if least {
        Stock::AtLeast(pieces)
    } else {
        Stock::Pieces(pieces)
    })
}

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

#[cfg(test)]
#[path = "availability_tests.rs"]
mod tests;
