//! Currencies of ISO 4217, and the marks, words and misnomers by which lists name them.
//!
//! The codes and exponents are those of crate `iso_currency` 0.7. Marks that several currencies
//! share (`$`, `kr`, `¥`) read as the most usual one and say that they are unsure.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A currency of ISO 4217 by its three-letter code.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Currency([u8; 3]);

/// Whether what is read names one thing only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sureness {
    /// It does.
    Sure,
    /// It is the usual meaning of a mark that several share, or one of two readings.
    Unsure,
}

impl Currency {
    /// Euro.
    pub const EUR: Currency = Currency(*b"EUR");
    /// United States dollar.
    pub const USD: Currency = Currency(*b"USD");
    /// Pound sterling.
    pub const GBP: Currency = Currency(*b"GBP");
    /// Polish złoty.
    pub const PLN: Currency = Currency(*b"PLN");
    /// Chinese yuan; lists call it RMB.
    pub const CNY: Currency = Currency(*b"CNY");

    /// The currency of a three-letter code, in either case.
    pub fn from_code(code: &str) -> Option<Currency> {
        let upper = code.to_ascii_uppercase();
        let bytes: [u8; 3] = upper.as_bytes().try_into().ok()?;
        iso_currency::Currency::from_code(&upper).map(|_| Currency(bytes))
    }

    /// The three-letter code.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or("XXX")
    }

    /// Decimal places of the currency's smaller unit: 2 for EUR, 0 for JPY, 3 for BHD.
    pub fn exponent(&self) -> u32 {
        let exponent = iso_currency::Currency::from_code(self.code()).and_then(|currency| currency.exponent());
        exponent.map_or(2, u32::from)
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// Reads a currency cell: a code, a sign, a word or a misnomer such as `RMB`.
pub fn read_currency(raw: &str) -> Option<Currency> {
    read_currency_mark(raw).map(|(currency, _)| currency)
}

/// Whether a text is the code of a currency by ISO 4217, as settings name it.
pub fn is_currency_code(text: &str) -> bool {
    text.len() == 3 && read_currency(text).is_some_and(|currency| currency.code() == text)
}

/// Reads a currency cell, with whether its mark names that currency only. What follows a code,
/// as in `EUR/100` or `EUR netto`, is left to the reader of the price basis.
pub fn read_currency_mark(raw: &str) -> Option<(Currency, Sureness)> {
    let folded = super::folding::fold(raw);
    let word_end = folded.find(['/', ' ', '(', '.', ':']).unwrap_or(folded.len());
    let whole = folded.trim_matches(['(', ')', '[', ']', '.', ' ']);
    mark(whole).or_else(|| mark(&folded[..word_end]))
}

/// The currency of one folded mark.
pub(super) fn mark(word: &str) -> Option<(Currency, Sureness)> {
    use Sureness::{Sure, Unsure};
    let (code, sureness) = match word {
        "€" | "euro" | "euros" | "eur." => ("EUR", Sure),
        "us$" | "usd$" | "$us" | "us-$" | "us dollar" | "us dollars" => ("USD", Sure),
        "$" | "dollar" | "dollars" => ("USD", Unsure),
        "£" | "pound" | "pounds" | "sterling" | "gbp£" => ("GBP", Sure),
        "zl" | "zloty" | "zlote" | "zlotych" => ("PLN", Sure),
        "rmb" | "yuan" | "renminbi" | "cnh" | "元" | "人民币" | "cn¥" | "圆" => ("CNY", Sure),
        "¥" => ("CNY", Unsure),
        "yen" | "円" | "jp¥" => ("JPY", Sure),
        "kc" => ("CZK", Sure),
        "sfr" | "fr" | "sfr." | "franken" => ("CHF", Sure),
        "kr" | "kronor" => ("SEK", Unsure),
        "nkr" => ("NOK", Sure),
        "dkr" => ("DKK", Sure),
        "skr" => ("SEK", Sure),
        "ft" | "forint" => ("HUF", Sure),
        "lei" | "leu" => ("RON", Sure),
        "a$" | "au$" => ("AUD", Sure),
        "c$" | "ca$" | "can$" => ("CAD", Sure),
        "nz$" => ("NZD", Sure),
        "hk$" => ("HKD", Sure),
        "mx$" | "mex$" => ("MXN", Sure),
        "r$" => ("BRL", Sure),
        "sg$" => ("SGD", Sure),
        code if code.len() == 3 && code.is_ascii() => {
            return Currency::from_code(code).map(|currency| (currency, Sure));
        }
        _ => return None,
    };
    Currency::from_code(code).map(|currency| (currency, sureness))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exponents_are_those_of_iso_4217() {
        // Alphabetic code and exponent as in ISO 4217: EUR 2, JPY 0, BHD 3.
        for (code, exponent) in [
            ("EUR", 2),
            ("USD", 2),
            ("GBP", 2),
            ("PLN", 2),
            ("CNY", 2),
            ("CZK", 2),
            ("CHF", 2),
            ("SEK", 2),
            ("JPY", 0),
            ("BHD", 3),
        ] {
            assert_eq!(
                Currency::from_code(code).map(|c| c.exponent()),
                Some(exponent),
                "{code}"
            );
        }
    }

    #[test]
    fn marks_words_and_misnomers() {
        for (raw, code) in [
            ("€", "EUR"),
            ("eur", "EUR"),
            ("EUR/100", "EUR"),
            ("Euro", "EUR"),
            ("zł", "PLN"),
            ("RMB", "CNY"),
            ("人民币", "CNY"),
            ("US$", "USD"),
            ("£", "GBP"),
            ("Kč", "CZK"),
            ("SFr.", "CHF"),
            ("USD netto", "USD"),
            ("￥", "CNY"),
        ] {
            assert_eq!(
                read_currency(raw).map(|c| c.to_string()),
                Some(code.to_owned()),
                "{raw}"
            );
        }
        assert_eq!(read_currency("RMX"), None);
        assert_eq!(read_currency(""), None);
    }

    #[test]
    fn shared_marks_are_unsure() {
        assert_eq!(read_currency_mark("$"), Some((Currency::USD, Sureness::Unsure)));
        assert_eq!(read_currency_mark("US$"), Some((Currency::USD, Sureness::Sure)));
        assert_eq!(read_currency_mark("kr").map(|(_, sure)| sure), Some(Sureness::Unsure));
    }

    #[test]
    fn the_crowns_of_the_north_are_told_apart() {
        for (raw, code) in [("nkr", "NOK"), ("Dkr.", "DKK"), ("SKr", "SEK")] {
            let read = read_currency_mark(raw).map(|(currency, sure)| (currency.to_string(), sure));
            assert_eq!(read, Some((code.to_owned(), Sureness::Sure)), "{raw}");
        }
    }
}
