//! What the buyer's own file says: exchange rates of a date, duty and tax.
//!
//! One unit of the home currency buys `rates.XXX` of another. A currency that is not in the file has no rate, and a
//! price in it stays unconverted and said so; nothing is guessed. A file older than [`STALE_DAYS`] is used and warned of.
//!
//! Duty is a share of the goods' value without tax, by the country of origin, else by the supplier's; `default` is for
//! the others. Goods from the buyer's own country bear none. Tax is charged on goods, duty and shipping; it is counted
//! only for a buyer who cannot claim it back (`counted = true`), and taken out of gross prices for one who can.

use crate::trade::country::is_code;
use jiff::civil::Date;
use rust_decimal::Decimal;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};

/// Days after which rates are called stale.
pub const STALE_DAYS: i32 = 45;
/// Key for the countries that are not named.
const OTHERS: &str = "default";
/// Prefix of rates among a run's settings.
const RATE: &str = "rate_";
/// Prefix of duties among a run's settings.
const DUTY: &str = "duty_";
/// Prefix of tax rates among a run's settings.
const TAX: &str = "tax_";

/// Rates to the home currency, duty and tax.
#[derive(Clone, Debug, PartialEq)]
pub struct Rates {
    /// ISO 4217 code of the home currency
    pub home: String,
    /// date of the rates, `YYYY-MM-DD`, empty without a file
    pub date: String,
    /// the buyer's country, ISO 3166-1 alpha-2, empty when it is not said
    pub country: String,
    /// whether tax is part of what the buyer pays in the end
    pub tax_counted: TaxCounted,
    per_home: BTreeMap<String, Decimal>,
    duty: BTreeMap<String, Decimal>,
    tax: BTreeMap<String, Decimal>,
}

/// Whether tax belongs into a delivered price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TaxCounted {
    /// the buyer claims it back
    LeftOut,
    /// the buyer bears it
    Counted,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RatesFile {
    home: String,
    date: toml::value::Datetime,
    #[serde(default)]
    country: String,
    rates: BTreeMap<String, toml::Value>,
    #[serde(default)]
    duty: BTreeMap<String, toml::Value>,
    #[serde(default)]
    tax: TaxFile,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct TaxFile {
    counted: bool,
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
            country: String::new(),
            tax_counted: TaxCounted::LeftOut,
            per_home: BTreeMap::new(),
            duty: BTreeMap::new(),
            tax: BTreeMap::new(),
        }
    }

    /// Reads a rates file.
    ///
    /// # Errors
    /// The file cannot be read, has an unknown key, or a rate that is no number of its kind.
    pub fn load(path: &Path) -> Result<Rates, RatesError> {
        let wrong = |message: String| RatesError {
            path: path.to_path_buf(),
            message,
        };
        let text = std::fs::read_to_string(path).map_err(|e| wrong(format!("cannot be read: {e}")))?;
        Rates::parse(&text).map_err(wrong)
    }

    /// Reads the text of a rates file.
    ///
    /// # Errors
    /// As [`Rates::load`], in words.
    pub fn parse(text: &str) -> Result<Rates, String> {
        let file: RatesFile = toml::from_str(text).map_err(|e| e.message().to_string())?;
        let mut per_home = BTreeMap::new();
        for (code, value) in file.rates {
            let rate = number(&value).ok_or_else(|| format!("the rate of {code}, `{value}`, is no number"))?;
            if rate <= Decimal::ZERO {
                return Err(format!("the rate of {code} must be above zero"));
            }
            per_home.insert(code, rate);
        }
        if !file.country.is_empty() && !is_code(&file.country) {
            return Err(format!("`country` is `{}`, expected two capital letters", file.country));
        }
        Ok(Rates {
            home: file.home,
            date: file.date.to_string(),
            country: file.country,
            tax_counted: if file.tax.counted {
                TaxCounted::Counted
            } else {
                TaxCounted::LeftOut
            },
            per_home,
            duty: shares("duty", file.duty)?,
            tax: shares("tax.rates", file.tax.rates)?,
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

    /// How much of a currency one unit of the home currency buys.
    pub fn rate(&self, currency: &str) -> Option<Decimal> {
        if currency == self.home {
            Some(Decimal::ONE)
        } else {
            self.per_home.get(currency).copied()
        }
    }

    /// Duty on goods of an origin, as a share of their value; `None` when nothing says.
    pub fn duty(&self, origin: &str) -> Option<Decimal> {
        if !origin.is_empty() && origin == self.country {
            return Some(Decimal::ZERO);
        }
        self.duty.get(origin).or_else(|| self.duty.get(OTHERS)).copied()
    }

    /// Tax rate of a country's suppliers, as a fraction.
    pub fn tax(&self, country: &str) -> Option<Decimal> {
        self.tax.get(country).or_else(|| self.tax.get(OTHERS)).copied()
    }

    /// Days from the date of the rates to another, when both are dates.
    pub fn age_days(&self, today: Date) -> Option<i32> {
        let date: Date = self.date.get(..10)?.parse().ok()?;
        Some(today.since(date).ok()?.get_days())
    }

    /// The first day on which the rates are called stale, when they have a date.
    pub fn stale_from(&self) -> Option<Date> {
        let date: Date = self.date.get(..10)?.parse().ok()?;
        date.checked_add(jiff::Span::new().days(STALE_DAYS + 1)).ok()
    }

    /// The settings of a run that say all this, so that a finished run can be asked again with the same rates.
    pub fn settings(&self) -> Vec<(String, String)> {
        let mut settings = vec![("rates_date".to_string(), self.date.clone())];
        if !self.country.is_empty() {
            settings.push(("country".into(), self.country.clone()));
        }
        if self.tax_counted == TaxCounted::Counted {
            settings.push(("tax_counted".into(), "true".into()));
        }
        let mut put = |prefix: &str, of: &BTreeMap<String, Decimal>| {
            settings.extend(
                of.iter()
                    .map(|(key, value)| (format!("{prefix}{key}"), value.to_string())),
            );
        };
        put(RATE, &self.per_home);
        put(DUTY, &self.duty);
        put(TAX, &self.tax);
        settings
    }

    /// The rates that a run's settings say.
    pub fn of_settings(home: &str, settings: &BTreeMap<String, String>) -> Rates {
        let with = |prefix: &str| -> BTreeMap<String, Decimal> {
            let named = settings.iter().filter_map(|(key, value)| {
                let key = key.strip_prefix(prefix)?;
                Some((key.to_string(), value.parse().ok()?))
            });
            named.collect()
        };
        let text = |key: &str| settings.get(key).cloned().unwrap_or_default();
        Rates {
            home: home.to_string(),
            date: text("rates_date"),
            country: text("country"),
            tax_counted: if settings.contains_key("tax_counted") {
                TaxCounted::Counted
            } else {
                TaxCounted::LeftOut
            },
            per_home: with(RATE),
            duty: with(DUTY),
            // `tax_counted` is no number and drops out
            tax: with(TAX),
        }
    }
}

/// A number through the written figure, not through a binary fraction.
fn number(value: &toml::Value) -> Option<Decimal> {
    match value {
        toml::Value::String(text) => text.parse().ok(),
        other => other.to_string().parse().ok(),
    }
}

fn shares(table: &str, written: BTreeMap<String, toml::Value>) -> Result<BTreeMap<String, Decimal>, String> {
    let mut shares = BTreeMap::new();
    for (key, value) in written {
        if key != OTHERS && !is_code(&key) {
            return Err(format!(
                "[{table}] has `{key}`, expected a country as two capital letters, or `{OTHERS}`"
            ));
        }
        let share = number(&value)
            .filter(|share| (Decimal::ZERO..Decimal::ONE).contains(share))
            .ok_or_else(|| format!("[{table}] {key} is `{value}`, expected a fraction such as 0.22 for 22 %"))?;
        shares.insert(key, share);
    }
    Ok(shares)
}

#[cfg(test)]
#[path = "rates_tests.rs"]
mod tests;
