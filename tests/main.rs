//! The one integration binary: samefit as its users run it, and the checks against outside references.
//!
//! Every case runs the real binary through the small vocabulary of `helpers`. Where a case needs a finished run it
//! takes the demo's, built once.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "tests write files of their own"
)]
#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    reason = "a test says what it expects by failing"
)]

mod console_blocks;
mod helpers;
mod nights;
mod strangers;

mod cases {
    mod bad_input;
    mod bad_settings;
    mod build;
    mod damage;
    mod decide;
    mod explain;
    mod find;
    mod find_order;
    mod find_page;
    mod first_lists;
    mod grade;
    mod onboard;
    mod outside_checks;
    mod plan;
    mod readme;
    mod refresh;
    mod refresh_faults;
    mod refresh_gates;
    mod refresh_refused;
    mod refresh_unattended;
    mod refused;
    mod same_bytes;
    mod sheet;
    mod talk;
    mod tidy;
    mod universal;
}
