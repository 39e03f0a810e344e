//! Stub.
/// Reads a cell of a hole count column: `3`, `3 holes`, `3-Loch`.
pub fn read_hole_count(_folded: &str) -> Option<u8> {
    None
}
