//! A library that panics where it should report a fault, held to an error.
//!
//! rust_xlsxwriter 0.102 panics when a row cannot be written to the file it waits in: on a full disk, that is. Nothing
//! such a call leaves behind is used again, so catching the panic is safe; its message becomes the error's, and stderr
//! is spared the trace.

use std::any::Any;
use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};
use std::path::Path;
use std::sync::Once;

use super::error::PublishError;

thread_local! {
    /// Whether a panic of this thread is caught, and told as an error.
    static CAUGHT: Cell<bool> = const { Cell::new(false) };
}

/// Does work that writes a file with a library that may panic.
///
/// # Errors
/// What the work reports, or that the library gave up.
pub fn held_to_errors<T>(path: &Path, work: impl FnOnce() -> Result<T, PublishError>) -> Result<T, PublishError> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let usual = take_hook();
        set_hook(Box::new(move |panic| {
            if !CAUGHT.get() {
                usual(panic);
            }
        }));
    });
    CAUGHT.set(true);
    let done = catch_unwind(AssertUnwindSafe(work));
    CAUGHT.set(false);
    done.unwrap_or_else(|panic| {
        Err(PublishError::Format {
            path: path.to_path_buf(),
            message: format!("the library that writes it gave up: {}", words_of(&*panic)),
        })
    })
}

fn words_of(panic: &(dyn Any + Send)) -> &str {
    match (panic.downcast_ref::<String>(), panic.downcast_ref::<&str>()) {
        (Some(text), _) => text,
        (None, Some(text)) => text,
        (None, None) => "no reason given",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_becomes_an_error_that_says_why() {
        let path = Path::new("crossref.xlsx");
        let error = held_to_errors::<()>(path, || panic!("no space left")).unwrap_err();
        assert!(error.to_string().contains("crossref.xlsx") && error.to_string().contains("no space left"));
        assert_eq!(held_to_errors(path, || Ok(7)).unwrap(), 7);
    }
}
