//! Exchange rates of a dated file: one unit of the home currency buys `rates.XXX` of another.
//!
//! A currency that is not in the file has no rate, and a price in it stays unconverted and said so;
//! nothing is guessed. A file older than [`STALE_DAYS`] is used and warned of.

use rust_decimal::Decimal;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};

/// Days after which rates are called stale.
pub const STALE_DAYS: i64 = 45;

/// Rates to the home currency.
#[derive(Clone, Debug, PartialEq)]
pub struct Rates {
    /// ISO 4217 code of the home currency
    pub home: String,
    /// date of the rates, `YYYY-MM-DD`, empty without a file
    pub date: String,
    per_home: BTreeMap<String, Decimal>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RatesFile {
    home: String,
    date: toml::value::Datetime,
    rates: BTreeMap<String, toml::Value>,
}

/// Why a rates file cannot be used: wrong configuration, exit 2.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RatesError {
    /// the file
    pub path: PathBuf,
    /// what is wrong with it
    pub message: String,
}

impl fmt::Display for RatesError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {}", self.path.display(), self.message)
    }
}

impl std::error::Error for RatesError {}

impl Rates {
    /// No rates: only prices in the home currency can be compared.
    pub fn none(home: &str) -> Rates {
        Rates {
            home: home.to_string(),
            date: String::new(),
            per_home: BTreeMap::new(),
        }
    }

    /// Reads a rates file.
    ///
    /// # Errors
    /// The file cannot be read, has an unknown key, or a rate that is no positive number.
    pub fn load(path: &Path) -> Result<Rates, RatesError> {
        let wrong = |message: String| RatesError {
            path: path.to_path_buf(),
            message,
        };
        let text = std::fs::read_to_string(path).map_err(|e| wrong(format!("cannot be read: {e}")))?;
        Rates::parse(&text).map_err(wrong)
    }

    fn parse(text: &str) -> Result<Rates, String> {
        let file: RatesFile = toml::from_str(text).map_err(|e| e.message().to_string())?;
        let mut per_home = BTreeMap::new();
        for (code, value) in file.rates {
            // through the written figure, not through a binary fraction
            let written = match &value {
                toml::Value::String(s) => s.clone(),
                other => other.to_string(),
            };
            let rate: Decimal = written
                .parse()
                .map_err(|_| format!("the rate of {code}, `{written}`, is no number"))?;
            if rate <= Decimal::ZERO {
                return Err(format!("the rate of {code} must be above zero"));
            }
            per_home.insert(code, rate);
        }
        Ok(Rates {
            home: file.home,
            date: file.date.to_string(),
            per_home,
        })
    }

    /// An amount in the home currency, exact but for the last of 8 decimals.
    pub fn to_home(&self, amount: Decimal, currency: &str) -> Option<Decimal> {
        if currency == self.home {
            return Some(amount);
        }
        let rate = self.per_home.get(currency)?;
        amount.checked_div(*rate).map(|d| d.round_dp(8))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "home = \"EUR\"\ndate = 2026-09-01\n[rates]\nUSD = 1.25\nPLN = \"4.00\"\n";

    #[test]
    fn an_amount_is_divided_by_the_rate() {
        let rates = Rates::parse(FILE).unwrap();
        assert_eq!(rates.to_home(Decimal::new(1000, 2), "USD"), Some(Decimal::new(800, 2)));
        assert_eq!(rates.to_home(Decimal::new(1000, 2), "EUR"), Some(Decimal::new(1000, 2)));
        assert_eq!(rates.date, "2026-09-01");
    }

    #[test]
    fn a_currency_without_a_rate_is_not_converted() {
        assert_eq!(Rates::parse(FILE).unwrap().to_home(Decimal::ONE, "CZK"), None);
    }

    #[test]
    fn unknown_keys_and_bad_rates_are_refused() {
        assert!(Rates::parse("home = \"EUR\"\ndate = 2026-09-01\nbase = 1\n[rates]\n").is_err());
        assert!(Rates::parse("home = \"EUR\"\ndate = 2026-09-01\n[rates]\nUSD = 0\n").is_err());
    }
}
