//! The stages that take in foreign bytes, compiled from the program's own sources without the stages behind them.

#![allow(dead_code, reason = "the later stages use what is unused here")]

#[path = "../../pipeline/intake/mod.rs"]
pub mod intake;
#[path = "../../pipeline/normalise/mod.rs"]
pub mod normalise;
#[path = "../../pipeline/trade/mod.rs"]
pub mod trade;
