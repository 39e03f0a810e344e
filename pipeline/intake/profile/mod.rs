//! Supplier profiles: what a person knows of a supplier's lists, one TOML file per supplier. A *profile* overrides any
//! guess of intake (encoding, delimiter, header, columns) and adds what no list says of itself (price basis, shipping
//! terms). Dialect keys carry the names of W3C CSVW and Frictionless; an unknown key is an error with a suggestion, so a
//! typing mistake never passes as a default. A user's word always wins; where the list disagrees, a note says so.

mod keys;
mod store;

pub use keys::{ColumnName, Dialect, Money, PriceBasis, PricePer, PriceTerms, Profile, ShippingTerms};
pub use store::{ProfileError, Profiles, what_is_wrong};
