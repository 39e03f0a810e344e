//! The one place that compiles a regular expression written in the source, and searchers of plain words beside it.
//!
//! A literal that does not compile is a fault of the program, found by the first test that
//! touches it, so this is also the one place allowed to panic about it. Patterns that come from
//! a file must go through `regex::Regex::new` and report their error instead.

use memchr::memmem::Finder;
use regex::Regex;

/// Compiles a pattern literal; meant for a `static` behind a `LazyLock`, so it runs once.
///
/// # Panics
/// When the literal is not a valid pattern.
pub fn fixed(pattern: &'static str) -> Regex {
    composed(pattern)
}

/// Compiles a pattern put together from literals, under the same terms as [`fixed`].
///
/// # Panics
/// When the pattern is not valid.
#[expect(
    clippy::expect_used,
    clippy::disallowed_methods,
    reason = "the pattern is made of literals of this program"
)]
pub fn composed(pattern: &str) -> Regex {
    Regex::new(pattern).expect("a pattern literal compiles")
}

/// Searchers of words, each beside its word: made once, they cost a title next to nothing.
pub fn finders<const N: usize>(words: [&'static str; N]) -> Vec<(&'static str, Finder<'static>)> {
    words.into_iter().map(|word| (word, Finder::new(word))).collect()
}

#[cfg(test)]
mod tests {
    use super::fixed;

    #[test]
    fn a_literal_compiles_and_matches() {
        assert!(fixed(r"^\d+ cc$").is_match("196 cc"));
    }

    #[test]
    #[should_panic(expected = "a pattern literal compiles")]
    fn a_broken_literal_is_found_at_once() {
        let _ = fixed("(");
    }
}
