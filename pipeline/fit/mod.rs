//! Stage 4: products -> fit groups, what bolts on and works in place of each other.
//!
//! The order of the steps, written once:
//! 1. `codes`     engine codes as keys: stems, and a bare code's maker where nearly all sightings agree
//!    `number_stems` words read as codes that begin part numbers
//!    `keys`      what readings are numbered by: codes, replaced numbers, brands, price levels
//! 2. `evidence`  a product's claims pooled over its offers, laid out in bins per field
//!    `scales`    the fields of evidence and their bins; `claim_bins` the bins of a claim
//!    `kernels`   how roughly figures are listed
//! 3. `start`     first classes: codes that products name together, split rather too finely
//! 4. `classes`   latent engine classes, refined by expectation and maximisation
//!    `tape`      what products show, laid end to end
//!    `learning`  what the classes learn from them
//!    `chances`   what the classes have shown, laid out
//!    `ratios`    how much a product's claims speak for a class
//!    `posteriors` which class a product belongs to
//!    `habits`    what its sellers do beside what they claim
//!    `wordings`  what is said alike, numbered once
//!    `judging`   all products held against the classes, what is said alike judged once
//!    `refining`  turns of judging and learning
//!    `sample`    a part of the products, where there are very many
//! 5. `merge`     two classes become one when their interfaces agree *and* they are named together
//!    `twins`     classes whose engines nothing tells apart become one
//! 6. `variants`  another bolt circle inside a class is a group of its own
//!    `stated`    what a product says of its interface
//!    `interface` how likely that is under each variant, errors included
//!    `elsewhere` where wrong circles fall
//!    `leanings`  what else tells variants apart
//! 7. `decided`   what a person said fits or does not, held through 4 to 6
//!    `placing`   where a product goes
//!    `kinds`     which kind of part it is, by its interface as well as by its words
//! 8. `groups`    classes x kind x variant -> fit groups with names, parameters and confidence
//!    `band`      the displacements served, as the lists write them
//!    `codes_served` the engine codes served
//!    `naming`    what a mechanic would call a group
//!    `confidence` how sure an offer's place is, calibrated
//!    `possibly`  groups that may be one, and what would settle it
//! 9. `ledger`    claim by claim, what spoke for the group and what against it
//! 10. `record`   suppliers' track record: claims that the rest contradicts
//!
//! An *engine class* is a set of engines that take the same parts; it is shared by all part kinds,
//! each with its own interface inside it. No table of brands is needed: what a code means is
//! learned from what it is named beside.

mod band;
mod chances;
mod claim_bins;
pub mod classes;
pub mod codes;
mod codes_served;
pub mod confidence;
pub mod decided;
mod elsewhere;
pub mod evidence;
pub mod groups;
pub mod habits;
mod interface;
pub mod judging;
mod kernels;
pub mod keys;
mod kinds;
mod leanings;
pub mod learning;
pub mod ledger;
pub mod merge;
pub mod naming;
mod number_stems;
mod placing;
pub mod possibly;
pub mod posteriors;
pub mod ratios;
pub mod record;
mod refining;
mod sample;
pub mod scales;
pub mod start;
mod stated;
mod tape;
mod twins;
pub mod variants;
pub mod wordings;

pub use groups::{FitGroup, FitGroups, fit_products};

#[cfg(test)]
mod property_tests;
#[cfg(test)]
mod test_products;
