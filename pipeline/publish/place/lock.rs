//! The lock of an output: a permanent file locked by the kernel.
//!
//! A *holder* is the process that has it, named in the file's text: process, since when, on which machine. The kernel
//! frees the lock of a process that ends, however it ends, so nobody ever has to remove the file, and nobody does. The
//! text is for people; only the kernel's lock counts.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use crate::publish::error::PublishError;

/// Longest text read of a holder, bytes.
const LONGEST_HOLDER: u64 = 400;
/// How often a waiting run looks again.
const LOOK_AGAIN: Duration = Duration::from_millis(100);

/// A lock held; dropping it frees it.
#[derive(Debug)]
pub struct Lock {
    _file: File,
}

impl Lock {
    /// Takes the lock at once, or says who holds it.
    ///
    /// # Errors
    /// [`PublishError::Locked`] while another process has it; otherwise what the operating system says.
    pub fn take(path: &Path) -> Result<Lock, PublishError> {
        let mut file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(path)
            .map_err(PublishError::io("open the lock", path))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(PublishError::Locked {
                    lock: path.to_path_buf(),
                    holder: holder_in(&mut file),
                });
            }
            Err(TryLockError::Error(error)) => return Err(PublishError::io("lock", path)(error)),
        }
        // A full disk must not keep a run from starting: who holds the lock is only for people.
        let _ = write_holder(&mut file);
        Ok(Lock { _file: file })
    }

    /// Takes the lock, waiting for as long as this for another process to free it.
    ///
    /// # Errors
    /// As [`Lock::take`], once the time is over.
    pub fn wait(path: &Path, patience: Duration) -> Result<Lock, PublishError> {
        let start = Instant::now();
        loop {
            match Lock::take(path) {
                Err(PublishError::Locked { .. }) if start.elapsed() < patience => std::thread::sleep(LOOK_AGAIN),
                taken => return taken,
            }
        }
    }
}

/// Who holds a lock, as its text says; none where it cannot be read.
fn holder_in(file: &mut File) -> Option<String> {
    let mut text = String::new();
    file.rewind().ok()?;
    file.take(LONGEST_HOLDER).read_to_string(&mut text).ok()?;
    let text = text.lines().next()?.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

fn write_holder(file: &mut File) -> std::io::Result<()> {
    let mut text = format!("process {} since {:.0}", std::process::id(), jiff::Timestamp::now());
    if let Some(host) = host() {
        text.push_str(" on ");
        text.push_str(&host);
    }
    text.push('\n');
    file.set_len(0)?;
    file.rewind()?;
    file.write_all(text.as_bytes())
}

/// The machine's name where the system keeps it in a file.
pub fn host() -> Option<String> {
    let name = ["/proc/sys/kernel/hostname", "/etc/hostname"]
        .iter()
        .find_map(|path| std::fs::read_to_string(path).ok())?;
    let name = name.trim().to_owned();
    (!name.is_empty()).then_some(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_second_taker_is_told_process_time_and_machine() {
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("lock");
        let _first = Lock::take(&path).unwrap();
        let error = Lock::take(&path).unwrap_err().to_string();
        assert!(
            error.contains(&format!("process {} since 2", std::process::id())),
            "{error}"
        );
    }

    #[test]
    fn a_waiting_taker_gets_the_lock_when_it_is_freed() {
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("lock");
        let first = Lock::take(&path).unwrap();
        let waiting = std::thread::spawn({
            let path = path.clone();
            move || Lock::wait(&path, Duration::from_secs(20)).is_ok()
        });
        std::thread::sleep(Duration::from_millis(250));
        drop(first);
        assert!(waiting.join().unwrap());
    }

    #[test]
    fn patience_ends() {
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("lock");
        let _first = Lock::take(&path).unwrap();
        Lock::wait(&path, Duration::from_millis(150)).unwrap_err();
    }
}
