//! The cap on a stream: it ends with an error that names the limit as soon as more bytes come out than allowed.

use std::fmt;
use std::io::{self, Read};

use super::super::limits::RATIO_GRACE_BYTES;
use super::Source;

/// Why a stream was stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stop {
    /// More bytes than `decompressed_bytes`.
    TooManyBytes { limit: u64 },
    /// More unpacked bytes per packed byte than `compression_ratio`.
    RatioTooHigh { limit: u64 },
}

impl fmt::Display for Stop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stop::TooManyBytes { limit } => {
                write!(f, "stopped at {limit} unpacked bytes, the limit `decompressed_bytes`")
            }
            Stop::RatioTooHigh { limit } => {
                write!(
                    f,
                    "stopped at {limit} unpacked bytes per packed byte, the limit `compression_ratio`"
                )
            }
        }
    }
}

impl std::error::Error for Stop {}

/// The stop behind an error, if that is what it was.
pub(crate) fn stop_of(error: &io::Error) -> Option<Stop> {
    error.get_ref()?.downcast_ref::<Stop>().copied()
}

/// A stream under the caps.
pub(super) struct Guard {
    inner: Box<dyn Read + Send>,
    passed: u64,
    most: u64,
    /// The most that the ratio lets pass; none for a plain file.
    most_by_ratio: Option<u64>,
    bytes_limit: u64,
    ratio_limit: u64,
}

impl Guard {
    pub(super) fn new(inner: Box<dyn Read + Send>, source: &Source) -> Guard {
        let limits = &source.limits;
        let by_ratio = source.packed_bytes.max(1).saturating_mul(limits.compression_ratio);
        Guard {
            inner,
            passed: 0,
            most: limits.decompressed_bytes.saturating_sub(source.spent),
            most_by_ratio: source.is_packed().then_some(by_ratio.max(RATIO_GRACE_BYTES)),
            bytes_limit: limits.decompressed_bytes,
            ratio_limit: limits.compression_ratio,
        }
    }
}

impl Read for Guard {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        self.passed += count as u64;
        if self.passed > self.most {
            let limit = self.bytes_limit;
            return Err(io::Error::other(Stop::TooManyBytes { limit }));
        }
        if self.most_by_ratio.is_some_and(|most| self.passed > most) {
            let limit = self.ratio_limit;
            return Err(io::Error::other(Stop::RatioTooHigh { limit }));
        }
        Ok(count)
    }
}
