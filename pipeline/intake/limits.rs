//! How much intake is willing to take in. A list comes from outside, so every quantity that an attacker or an accident
//! could blow up has a number here, and a refusal names the limit and its value.
//!
//! - `decompressed_bytes`: bytes one file may unpack to (plain files count as they are).
//! - `compression_ratio`: unpacked bytes per packed byte; looked at only past `RATIO_GRACE_BYTES`.
//! - `workbook_bytes`: bytes the parts of an .xlsx may unpack to, and bytes of text its sheets may hold, where one text may
//!   stand in many cells; a workbook is held in memory, so this one is small.
//! - `line_bytes`: bytes of one record, quoted line breaks included.
//! - `columns`: cells in one record.
//! - `sheet_cells`: filled cells of one worksheet.

use serde::Deserialize;

/// A compressed file is let to unpack this many bytes before its ratio is judged, since tiny files compress absurdly well.
pub const RATIO_GRACE_BYTES: u64 = 16 << 20;

/// Longest record that can be set: places in a batch of rows are 31 bits wide, and a batch may hold two such records.
const LONGEST_LINE: usize = 512 << 20;

/// Caps on what one input file may ask for. Any of them can be set with `--limits`.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Limits {
    /// Bytes one file may unpack to, the members of an archive together. Default 4 GiB.
    pub decompressed_bytes: u64,
    /// Unpacked bytes per packed byte. Default 250; ordinary price lists compress 5 to 40 times, deflate's own end is 1032.
    pub compression_ratio: u64,
    /// Bytes an .xlsx may unpack to, and bytes of text in its sheets, since it is read in memory. Default 256 MiB.
    pub workbook_bytes: u64,
    /// Bytes of one record. Default 1 MiB.
    pub line_bytes: usize,
    /// Cells of one record. Default 2,000.
    pub columns: usize,
    /// Filled cells of one worksheet. Default 8 million.
    pub sheet_cells: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Limits {
            decompressed_bytes: 4 << 30,
            compression_ratio: 250,
            workbook_bytes: 256 << 20,
            line_bytes: 1 << 20,
            columns: 2_000,
            sheet_cells: 8_000_000,
        }
    }
}

impl Limits {
    /// Their keys, as messages and files name them.
    pub const KEYS: [&str; 6] = [
        "decompressed_bytes",
        "compression_ratio",
        "workbook_bytes",
        "line_bytes",
        "columns",
        "sheet_cells",
    ];

    /// Whether a reader can keep them.
    ///
    /// # Errors
    /// A limit is zero, or one is beyond what a reader can hold; the key is named.
    pub fn check(&self) -> Result<(), String> {
        let set = [
            self.decompressed_bytes,
            self.compression_ratio,
            self.workbook_bytes,
            self.line_bytes as u64,
            self.columns as u64,
            self.sheet_cells,
        ];
        if let Some((key, _)) = Self::KEYS.iter().zip(set).find(|(_, value)| *value == 0) {
            return Err(format!("`{key}` is 0, so that nothing could be read"));
        }
        if self.line_bytes > LONGEST_LINE {
            return Err(format!(
                "`line_bytes` is {}, the most is {LONGEST_LINE}",
                self.line_bytes
            ));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_that_no_reader_could_keep_are_named() {
        assert_eq!(Limits::default().check(), Ok(()));
        let none = Limits {
            columns: 0,
            ..Limits::default()
        };
        assert!(none.check().unwrap_err().contains("`columns`"));
        let endless = Limits {
            line_bytes: usize::MAX,
            ..Limits::default()
        };
        assert!(endless.check().unwrap_err().contains("`line_bytes`"));
    }
}
