//! Stub.
use compact_str::CompactString;

/// Canonical part number.
pub fn canonical_number(raw: &str) -> CompactString {
    raw.into()
}

/// Shape of a token.
pub fn shape(token: &str) -> CompactString {
    token.into()
}

/// Whether the token looks like a part number.
pub fn looks_like_part_number(_token: &str) -> bool {
    false
}

/// Whether a cell says that there is no number.
pub fn is_placeholder(_raw: &str) -> bool {
    false
}
