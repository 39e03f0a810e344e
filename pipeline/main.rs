//! Parse, run, report, exit code.

use clap::Parser;
use samefit::command::{self, Typed};
use std::process::ExitCode;

fn main() -> ExitCode {
    match command::run(Typed::parse()) {
        Ok(outcome) => outcome.exit_code(),
        Err(failure) => {
            command::talk::tell(&failure);
            failure.exit_code()
        }
    }
}
