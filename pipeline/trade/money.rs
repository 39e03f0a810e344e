//! Prices as exact decimals: `1.234,56 €`, `EUR 9,90`, `9.90/10 pcs`, `1+ 9.90 / 10+ 8.40`, `POA`.
//!
//! An amount is never a binary fraction here: `9.90` stays 9.90. A price on request has no
//! amount, which is not a price of nothing. Negative amounts, ranges and cells with more than
//! one price that are no quantity prices are refused.

use super::numerals::{Decimals, plain_digits};
use super::pattern::{composed, fixed};
use regex::Regex;
use rust_decimal::Decimal;
use std::str::FromStr;
use std::sync::LazyLock;

pub use super::currency::{Currency, Sureness, read_currency, read_currency_mark};
pub use super::pack_quantity::{find_pack_quantity, read_pack_quantity};

/// A price that holds from a quantity on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PriceTier {
    /// Smallest quantity.
    pub from: u32,
    /// Price at that quantity.
    pub amount: Decimal,
}

/// A price cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PriceReading {
    /// The amount as written, for `per` pieces; None where the price is on request.
    pub amount: Option<Decimal>,
    /// Whether the decimal mark left no doubt.
    pub amount_sure: Sureness,
    /// Currency named in the cell.
    pub currency: Option<Currency>,
    /// Whether the currency's mark left no doubt; sure where none is named.
    pub currency_sure: Sureness,
    /// Pieces the amount is for, where the cell says so.
    pub per: Option<u32>,
    /// Quantity prices, smallest quantity first; the first is `amount`. Empty for one price.
    pub tiers: Vec<PriceTier>,
    /// Whether the price is on request.
    pub on_request: bool,
}

/// Wordings of "on request", folded.
const ON_REQUEST: [&str; 16] = [
    "poa",
    "p.o.a",
    "on request",
    "on application",
    "call",
    "ask",
    "tbd",
    "tba",
    "auf anfrage",
    "a.a.",
    "sur demande",
    "nous consulter",
    "a consultar",
    "su richiesta",
    "op aanvraag",
    "na zapytanie",
];

/// Reads a price cell. None for an empty cell and for what is no single price.
pub fn read_price(raw: &str, decimals: Decimals) -> Option<PriceReading> {
    let folded = super::folding::fold(raw);
    let text = folded.trim_matches(['=', ' ']);
    if !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return on_request(text);
    }
    if is_bare_amount(text) {
        return Some(alone(amount(text, decimals)?));
    }
    if may_hold_tiers(text) {
        return by_patterns(text, decimals);
    }
    single_price(text, decimals)
}

fn by_patterns(text: &str, decimals: Decimals) -> Option<PriceReading> {
    quantity_prices(text, decimals).or_else(|| single_price(text, decimals))
}

/// Digits with at most one mark, one to three digits behind it: what most price cells are, and [`AMOUNT`] takes whole.
fn is_bare_amount(text: &str) -> bool {
    let bytes = text.as_bytes();
    let whole = bytes.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let rest = &bytes[whole..];
    let decimals = match rest {
        [] => return whole > 0,
        [b'.' | b',', decimals @ ..] => decimals,
        _ => return false,
    };
    whole > 0 && (1..=3).contains(&decimals.len()) && decimals.iter().all(u8::is_ascii_digit)
}

/// Whether a sign or word of [`TIER`] stands in the text at all.
fn may_hold_tiers(text: &str) -> bool {
    let letters = text.bytes().any(|byte| byte.is_ascii_lowercase());
    let worded = || {
        ["from", "ab", "des", "da", "vanaf", "od"]
            .iter()
            .any(|word| text.contains(word))
    };
    text.contains(['+', '>']) || letters && worded()
}

/// A reading of an amount and nothing else.
fn alone((amount, amount_sure): (Decimal, Sureness)) -> PriceReading {
    PriceReading {
        amount: Some(amount),
        amount_sure,
        currency: None,
        currency_sure: Sureness::Sure,
        per: None,
        tiers: Vec::new(),
        on_request: false,
    }
}

fn on_request(text: &str) -> Option<PriceReading> {
    let said = ON_REQUEST.iter().any(|wording| {
        text.strip_prefix(wording)
            .is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric()))
            || text.ends_with(wording) && wording.contains(' ')
    }) || text.contains("询价")
        || text.contains("面议");
    said.then(|| PriceReading {
        amount: None,
        amount_sure: Sureness::Sure,
        currency: None,
        currency_sure: Sureness::Sure,
        per: None,
        tiers: Vec::new(),
        on_request: true,
    })
}

/// The digits of one amount with its group marks and decimals.
const AMOUNT: &str = r"\d{1,3}(?:[ '.,]\d{3})+(?:[.,]\d{1,4})?|\d+[.,]\d{1,4}|[.,]\d{1,4}|\d+";

static AMOUNTS: LazyLock<Regex> = LazyLock::new(|| fixed(AMOUNT));
/// `1+ 9.90`, `10+: 8,40`, `from 10: 8.40`, `ab 10 St. 8,40`, `>= 10 8.40`
static TIER: LazyLock<Regex> = LazyLock::new(|| {
    composed(&format!(
        r"(?:(\d{{1,6}}) ?\+|(?:from|ab|des|desde|da|vanaf|od|>=?) ?(\d{{1,6}}))(?: ?(?:pcs?|stk?|szt|pz|uds?)\.?)? ?[:=@-]? ?(?:[€$£¥]|[a-z]{{2,3}}\$?)? ?({AMOUNT})"
    ))
});
/// What is left between quantity prices once they are taken out.
static BETWEEN_TIERS: LazyLock<Regex> =
    LazyLock::new(|| fixed(r"^(?:[ /;|,()€$£¥.]|eur|usd|gbp|pln|cny|rmb|zl|kc|chf|sek|czk)*$"));
/// `/10 pcs`, `per 100`, `pro 100 St.`, `/ doz`, `/ 1`, `%` (per hundred, as metal lists write it)
static BASIS: LazyLock<Regex> = LazyLock::new(|| {
    fixed(
        r"^ ?(?:(?:[€$£¥]|[a-z]{2,3}\$?) ?)?(?:/|per|pro|par|por|je|za|je)\.? ?(\d{1,5}|doz(?:en)?|dzn?|dtz|dutzend|douzaine|docena|dozzina|dozijn|tuzin|tucet|duzia|duzine)?(?: ?(?:pcs?|pieces?|pce|ea|stk|stuck|st|pz|pezzi|piezas?|uds?|unidad|unidades|stuks?|szt|sztuk|units?|pack|set|lot|个|只|件))?\.?(?:$|[ ,;(])",
    )
});

fn single_price(text: &str, decimals: Decimals) -> Option<PriceReading> {
    let found = AMOUNTS.find(text)?;
    let (before, behind) = (&text[..found.start()], &text[found.end()..]);
    let per = per(behind);
    let rest = if per.is_some() { "" } else { behind };
    let negative = before.trim_end().ends_with('-') || text.starts_with('(') && text.ends_with(')');
    let accounting_dash = rest.trim_start_matches([',', '.']).trim_start_matches('-').is_empty();
    let another = AMOUNTS.is_match(rest) && !accounting_dash;
    // "4.00638e+12", "12a": the number goes on as something else.
    let goes_on = rest.starts_with(|c: char| c.is_ascii_alphanumeric()) && mark_in(rest).is_none();
    if negative || another || goes_on || before.ends_with(|c: char| c.is_alphanumeric()) && mark_in(before).is_none() {
        return None;
    }
    // "$ 270.62 MXN": a code says more than a sign that several currencies share
    let marks = [mark_in(before), mark_in(behind)];
    let sure = marks.into_iter().flatten().find(|(_, sure)| *sure == Sureness::Sure);
    let mark = sure.or(marks[0]).or(marks[1]);
    Some(PriceReading {
        currency: mark.map(|(currency, _)| currency),
        currency_sure: mark.map_or(Sureness::Sure, |(_, sure)| sure),
        per,
        ..alone(amount(found.as_str(), decimals)?)
    })
}

fn quantity_prices(text: &str, decimals: Decimals) -> Option<PriceReading> {
    let mut tiers: Vec<PriceTier> = Vec::new();
    let mut between = String::new();
    let mut end = 0;
    let mut amount_sure = Sureness::Sure;
    for captures in TIER.captures_iter(text) {
        let whole = captures.get(0)?;
        let from: u32 = captures.get(1).or_else(|| captures.get(2))?.as_str().parse().ok()?;
        let (amount, sure) = amount(captures.get(3)?.as_str(), decimals)?;
        amount_sure = amount_sure.max(sure);
        between.push_str(&text[end..whole.start()]);
        end = whole.end();
        tiers.push(PriceTier { from, amount });
    }
    between.push_str(&text[end..]);
    tiers.sort_by_key(|tier| tier.from);
    let distinct = tiers.windows(2).all(|pair| pair[0].from < pair[1].from);
    if tiers.len() < 2 || !distinct || !BETWEEN_TIERS.is_match(&between) {
        return None;
    }
    let mark = mark_in(text);
    Some(PriceReading {
        amount: tiers.first().map(|tier| tier.amount),
        amount_sure,
        currency: mark.map(|(currency, _)| currency),
        currency_sure: mark.map_or(Sureness::Sure, |(_, sure)| sure),
        per: None,
        tiers,
        on_request: false,
    })
}

/// The exact amount, and whether its decimal mark left no doubt.
fn amount(text: &str, decimals: Decimals) -> Option<(Decimal, Sureness)> {
    let marks = || text.bytes().filter(|byte| matches!(byte, b'.' | b','));
    let three_behind = text.rfind(['.', ',']).is_some_and(|at| text.len() - at == 4);
    let doubtful = decimals == Decimals::Unsure && marks().count() == 1 && three_behind && !text.starts_with('0');
    // Three digits behind a lone mark are a group in a price far more often than decimals.
    let plain = if doubtful {
        text.replace(['.', ','], "")
    } else {
        plain_digits(text, decimals)?
    };
    let sureness = if doubtful { Sureness::Unsure } else { Sureness::Sure };
    Decimal::from_str(&plain).ok().map(|amount| (amount, sureness))
}

fn per(behind: &str) -> Option<u32> {
    let captures = BASIS.captures(behind)?;
    match captures.get(1) {
        Some(count) => match count.as_str().parse() {
            Ok(pieces) => Some(pieces).filter(|pieces| *pieces > 0),
            Err(_) => Some(12),
        },
        None => Some(1),
    }
}

/// The first currency mark among the words and signs of a text.
fn mark_in(text: &str) -> Option<(Currency, Sureness)> {
    let words = text.split(|c: char| {
        c.is_whitespace() || c.is_ascii_digit() || matches!(c, '/' | '.' | ',' | ':' | '(' | ')' | '+' | ';')
    });
    words.filter(|word| !word.is_empty()).find_map(|word| {
        super::currency::mark(word).or_else(|| {
            ["€", "£", "$", "¥"]
                .into_iter()
                .find(|sign| word.contains(sign) && !word.bytes().any(|byte| byte.is_ascii_lowercase()))
                .and_then(super::currency::mark)
        })
    })
}

#[cfg(test)]
#[path = "money_tests.rs"]
mod tests;
