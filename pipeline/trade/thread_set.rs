//! A set of threads in one machine word: what an ambiguous fastener hint leaves possible.

use super::threads::Thread;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A set of [`Thread`]s; the empty set means nothing is known, not that nothing fits.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, PartialOrd, Ord, Serialize, Deserialize)]
pub struct ThreadSet(u64);

impl ThreadSet {
    /// The empty set.
    pub const fn empty() -> Self {
        ThreadSet(0)
    }

    /// The set of the threads given.
    pub fn of(threads: &[Thread]) -> Self {
        threads.iter().copied().collect()
    }

    /// Adds a thread.
    pub fn insert(&mut self, thread: Thread) {
        self.0 |= 1 << thread.index();
    }

    /// Whether the thread is in the set.
    pub fn contains(self, thread: Thread) -> bool {
        self.0 & (1 << thread.index()) != 0
    }

    /// Number of threads in the set.
    pub fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    /// Whether the set holds none.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Threads of either.
    pub fn union(self, other: ThreadSet) -> ThreadSet {
        ThreadSet(self.0 | other.0)
    }

    /// Threads of both.
    pub fn intersection(self, other: ThreadSet) -> ThreadSet {
        ThreadSet(self.0 & other.0)
    }

    /// The only member, where there is exactly one.
    pub fn single(self) -> Option<Thread> {
        if self.len() == 1 { self.iter().next() } else { None }
    }

    /// The members, smallest thread first.
    pub fn iter(self) -> impl Iterator<Item = Thread> {
        Thread::ALL.into_iter().filter(move |thread| self.contains(*thread))
    }
}

impl FromIterator<Thread> for ThreadSet {
    fn from_iter<T: IntoIterator<Item = Thread>>(threads: T) -> Self {
        let mut set = ThreadSet::empty();
        for thread in threads {
            set.insert(thread);
        }
        set
    }
}

impl Extend<Thread> for ThreadSet {
    fn extend<T: IntoIterator<Item = Thread>>(&mut self, threads: T) {
        for thread in threads {
            self.insert(thread);
        }
    }
}

impl fmt::Display for ThreadSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, thread) in self.iter().enumerate() {
            if place > 0 {
                f.write_str("|")?;
            }
            f.write_str(thread.name())?;
        }
        Ok(())
    }
}

impl fmt::Debug for ThreadSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{{{self}}}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(names: &[&str]) -> ThreadSet {
        names.iter().filter_map(|name| Thread::parse(name)).collect()
    }

    #[test]
    fn a_set_prints_smallest_first() {
        assert_eq!(set(&["M8", "M5", "M6"]).to_string(), "M5|M6|M8");
        assert_eq!(set(&["M8", "5/16-18"]).to_string(), "5/16-18|M8");
        assert_eq!(ThreadSet::empty().to_string(), "");
    }

    #[test]
    fn sets_join_and_meet() {
        let (left, right) = (set(&["M5", "M6"]), set(&["M6", "M8"]));
        assert_eq!(left.union(right), set(&["M5", "M6", "M8"]));
        assert_eq!(left.intersection(right).single(), Thread::parse("M6"));
        assert_eq!(left.single(), None);
        assert_eq!(left.len(), 2);
        assert!(ThreadSet::empty().is_empty());
    }
}
