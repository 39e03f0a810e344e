//! Stub.
/// Reads a pack quantity cell.
pub fn read_pack_quantity(_raw: &str) -> Option<u32> {
    None
}

/// Finds a pack quantity in a title.
pub fn find_pack_quantity(_folded: &str) -> Option<u32> {
    None
}
