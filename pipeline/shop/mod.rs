//! What the shop makes of a cross-reference: what a part costs delivered, what to measure before
//! ordering, which offer to take, and finding it all again at the bench.
//!
//! - `rates`      exchange rates of a dated file, duty and tax
//! - `terms`      what an offer and a supplier ask, from a line or from the published tables
//! - `landed`     delivered cost of an order and of one piece, and what is missing from it
//! - `measure`    the one measurement or fact that would settle most
//! - `records`    suppliers' track records by attribute
//! - `ids`        names of groups and products that depend on their members alone
//! - `crossref`   the finished stages as the rows that are published
//! - `run_tables` the CSV tables of a finished run, as rows again
//! - `need`       what is known of the part that is wanted
//! - `numbers`    a part number looked up, whatever its spelling
//! - `judge`      one fact of a need judged against one fit group
//! - `matching`   a need held against the fit groups of a kind
//! - `answer`     what an answer consists of, and what restricts it
//! - `filter`     what an offer must promise, and what stops the one that does not
//! - `shelf`      offers of fit groups with their costs, read in two steps
//! - `repair`     the cheapest repair instead of a whole part
//! - `plan`       offers and suppliers for a whole list of needs, at the least cost delivered
//! - `desk`       a need answered for one kind of part
//! - `find`       a need answered: cheapest equivalents, doubtful offers, assemblies that cover it
//! - `history`    what an offer cost when
//! - `stated`     what a line itself states, out of its published evidence
//! - `why`        the published evidence, taken apart again
//! - `why_link`   a published link, its parts in words
//! - `review`     questions for a person, and decisions read back
//! - `dossier`    all that a finished run knows of one offer
//! - `pair`       two offers side by side: what joins them into one product, or parts them
//! - `claim_pairs`  the same claim by claim: what agrees, what contradicts, by how much
//! - `sheet`      a fit group with its readings, for the sheet that is printed at full size
//! - `truth`      known answers to a run's lists
//! - `link_recall` how many true pairs the link stage looked at
//! - `grade`      the measures of a run
//! - `grading`    a run measured against known answers
//!
//! Nothing here decides what fits; it reads what `link` and `fit` decided.

pub mod answer;
pub mod claim_pairs;
pub mod crossref;
pub mod desk;
pub mod dossier;
mod filter;
pub mod find;
pub mod grade;
pub mod grading;
pub mod history;
pub mod ids;
pub mod judge;
pub mod landed;
pub mod link_recall;
pub mod matching;
pub mod measure;
pub mod need;
pub mod numbers;
pub mod pair;
pub mod plan;
pub mod rates;
pub mod records;
pub mod repair;
pub mod review;
pub mod run_tables;
pub mod sheet;
pub mod shelf;
mod stated;
pub mod terms;
pub mod truth;
pub mod why;
pub mod why_link;
