//! Stopping when asked to: SIGTERM and SIGINT end the process at once, with exit code 128 and the signal's number.
//!
//! Nothing has to be put away: whatever was being written is not yet published, and the next run sweeps it. The old
//! output stands, or, if the signal came after the last step, the new one.

#![cfg_attr(
    unix,
    expect(
        clippy::disallowed_methods,
        reason = "the one place that ends the process from beside: destructors have nothing to save"
    )
)]

use super::outcome::Failure;

/// Ends the process from now on when a signal asks for it, saying so first.
///
/// # Errors
/// The system does not let signals be caught.
#[cfg(unix)]
pub fn when_asked(say: impl Fn(&str) + Send + 'static) -> Result<(), Failure> {
    use signal_hook::consts::{SIGINT, SIGTERM};
    let mut signals = signal_hook::iterator::Signals::new([SIGTERM, SIGINT])
        .map_err(|error| Failure::failed(format!("signals cannot be caught: {error}")))?;
    std::thread::spawn(move || {
        if let Some(signal) = signals.forever().next() {
            let name = if signal == SIGTERM { "SIGTERM" } else { "SIGINT" };
            say(&format!("stopped by {name}; what stood in the output stands"));
            std::process::exit(128 + signal);
        }
    });
    Ok(())
}

/// On other systems a process that is asked to end is ended by the system.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub fn when_asked(_say: impl Fn(&str) + Send + 'static) -> Result<(), Failure> {
    Ok(())
}
