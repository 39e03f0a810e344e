//! The limits of the gates, with their defaults and the reasons for them.
//!
//! A gate is meant to stop accidents, not prices: an ordinary night passes all of them. All defaults are common
//! practice without a source, set wide, and each can be set for all suppliers (`[gates]`) or for one (`[gate.NAME]`).

use serde::Deserialize;

use super::config::{ConfigError, share};

/// What a supplier's list may do from one night to the next.
#[derive(Debug, Clone, PartialEq)]
pub struct GateLimits {
    /// Share of its lines a list may lose. Default 0.3: seasonal clearing stays below, a cut feed does not.
    pub shrink: f64,
    /// How many times as many lines a list may have. Default 3: a new range doubles a list; a feed sent twice and more
    /// is an accident.
    pub growth: f64,
    /// Share of a list's lines that may be rejected. Default 0.2.
    pub rejects: f64,
    /// Share by which the median price may rise or fall. Default 0.25: list prices move by single percents a year;
    /// another currency, tax or price unit moves them by more.
    pub price_level: f64,
    /// Share of prices whose currency may change. Default 0.05.
    pub currency: f64,
    /// Share of all offers that may come from stand-ins before nothing is published. Default 0.5.
    pub held: f64,
}

/// Fewest prices compared before their median says anything.
pub const FEWEST_PRICES: usize = 5;
/// Lines by which a list may grow or shrink whatever the share, so that tiny lists can live.
pub const FEW_LINES: u64 = 5;

impl Default for GateLimits {
    fn default() -> Self {
        GateLimits {
            shrink: 0.3,
            growth: 3.0,
            rejects: 0.2,
            price_level: 0.25,
            currency: 0.05,
            held: 0.5,
        }
    }
}

/// What stands in the configuration.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct GatesTyped {
    shrink: Option<f64>,
    growth: Option<f64>,
    rejects: Option<f64>,
    price_level: Option<f64>,
    currency: Option<f64>,
    held: Option<f64>,
}

impl GatesTyped {
    /// The limits, those not named taken over.
    ///
    /// # Errors
    /// A value is out of bounds; the message names its key under `table`.
    pub fn over(&self, usual: &GateLimits, table: &str) -> Result<GateLimits, ConfigError> {
        let of = |key: &str, own: Option<f64>, usual: f64| share(&format!("{table}.{key}"), own.unwrap_or(usual));
        let growth = self.growth.unwrap_or(usual.growth);
        if !growth.is_finite() || growth < 1.0 {
            return Err(ConfigError::of(
                &format!("{table}.growth"),
                format!("is {growth}, expected 1 or more"),
            ));
        }
        Ok(GateLimits {
            shrink: of("shrink", self.shrink, usual.shrink)?,
            growth,
            rejects: of("rejects", self.rejects, usual.rejects)?,
            price_level: of("price_level", self.price_level, usual.price_level)?,
            currency: of("currency", self.currency, usual.currency)?,
            held: of("held", self.held, usual.held)?,
        })
    }
}
