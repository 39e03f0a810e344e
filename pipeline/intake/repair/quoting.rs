//! What quotes in a stretch of a line mean: whether they wrap it, what stands inside, and what it costs to believe so.

use super::super::list::Escape;
use super::super::split::{Cut, unescape};

/// Cost of a quote that stands bare.
pub(super) const STRAY_QUOTE: f32 = 1.5;
/// Cost of a quote inside a quoted text that would have closed it.
const CLOSED_INSIDE: f32 = 4.0;

/// What stands between the quotes of a text that opens and closes with one.
pub(super) fn quoted_inside<'r>(raw: &'r str, cut: &Cut) -> Option<&'r str> {
    let quote = char::from(cut.quote?);
    let raw = raw.trim();
    (raw.len() >= 2)
        .then_some(raw)?
        .strip_prefix(quote)?
        .strip_suffix(quote)
}

/// Cost of the quotes that stand inside a quoted text: those that would have closed it, and those not escaped.
pub(super) fn quote_cost(inner: &str, cut: &Cut) -> f32 {
    let Some(quote) = cut.quote else { return 0.0 };
    let bytes = inner.as_bytes();
    let mut cost = 0.0;
    let mut at = 0;
    while let Some(found) = memchr::memchr(quote, &bytes[at..]) {
        let place = at + found;
        let escaped_before = matches!(cut.escape, Escape::Byte(escape) if place > 0 && bytes[place - 1] == escape);
        if cut.escape == Escape::Doubled && bytes.get(place + 1) == Some(&quote) {
            // `"",` may be a quote and the end of a cell as well as an escaped quote
            at = place + 2;
            continue;
        }
        let touches = bytes.get(place + 1).copied() == cut.delimiter
            || place > 0 && bytes.get(place - 1).copied() == cut.delimiter;
        cost += match (escaped_before, touches, cut.escape) {
            (true, ..) => 0.0,
            (false, true, _) => CLOSED_INSIDE,
            (false, false, Escape::None) => 0.2,
            (false, false, _) => STRAY_QUOTE,
        };
        at = place + 1;
    }
    cost
}

/// The text with its escapes undone.
pub(super) fn plain(inner: &str, cut: &Cut) -> String {
    let mut text = String::with_capacity(inner.len());
    unescape(cut, inner, &mut text);
    text
}

/// The text with its quotes left out, to look at.
pub(super) fn without_quotes(raw: &str, cut: &Cut) -> String {
    match cut.quote {
        Some(quote) => raw.replace(char::from(quote), ""),
        None => raw.to_string(),
    }
}

/// Whether the text starts with a quote.
pub(super) fn opens_quote(raw: &str, cut: &Cut) -> bool {
    cut.quote
        .is_some_and(|quote| raw.trim_start().as_bytes().first() == Some(&quote))
}
