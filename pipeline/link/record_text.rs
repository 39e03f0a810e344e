//! What the caller knows of one offer, before it is interned.

/// Where a part number stands on the line; a number of the part itself says more than one it replaces.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum NumberPlace {
    /// the maker's own number of this part
    Own,
    /// a token of the title that looks like a part number
    Title,
    /// a number this part replaces or answers to
    Replaces,
}

/// How sure the part kind of an offer is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum KindSure {
    /// another kind is possible
    InDoubt,
    /// probability 0.97 and above
    BeyondDoubt,
    /// probability 0.995 and above
    QuiteCertain,
}

/// What the caller knows of one offer, borrowed.
#[derive(Clone, Debug)]
pub struct RecordText<'a> {
    /// index of the supplier (list) the offer stands in
    pub list: u32,
    /// part kind as read
    pub kind: u8,
    /// how sure that reading is; offers of kinds beyond doubt that differ are hardly one product
    pub kind_sure: KindSure,
    /// folded title
    pub title: &'a str,
    /// folded further description, weaker evidence
    pub extra: &'a str,
    /// folded brand, empty when unknown
    pub brand: &'a str,
    /// canonical numbers with their place
    pub numbers: Vec<(NumberPlace, &'a str)>,
    /// sound barcode as a number, 0 when none
    pub gtin: u64,
    /// pieces in the pack
    pub pack: u32,
    /// price of one piece, not a number when unknown
    pub price: f64,
    /// ln of that price over the median of its list and kind, not a number when unknown
    pub relative_price: f64,
    /// weight of one piece in grams, not a number when unknown
    pub weight_g: f64,
    /// index of the price's currency; prices compare only inside one currency
    pub currency: u16,
    /// claims that cannot differ between two offers of one product
    pub hard: HardClaims,
}

/// Interface claims that a made part has once: a contradiction forbids a merge.
#[derive(Clone, Copy, Default, Debug)]
pub struct HardClaims {
    /// displacement band served in cc: low, high (0, 0 when unknown)
    pub displacement: (f32, f32),
    /// number of mounting holes, 0 when unknown
    pub holes: u8,
    /// bolt circle readings in mm, as the hull of all readings (0, 0 when unknown)
    pub circle: (f32, f32),
    /// bit set of possible threads, 0 when unknown
    pub threads: u64,
}

#[cfg(test)]
impl<'a> RecordText<'a> {
    /// A line of a list that says nothing but its title.
    pub(super) fn titled(list: u32, title: &'a str) -> RecordText<'a> {
        RecordText {
            list,
            kind: 0,
            kind_sure: KindSure::QuiteCertain,
            title,
            extra: "",
            brand: "",
            numbers: Vec::new(),
            gtin: 0,
            pack: 1,
            price: f64::NAN,
            relative_price: f64::NAN,
            weight_g: f64::NAN,
            currency: 0,
            hard: HardClaims::default(),
        }
    }
}
