//! Codes that lean on the one beside them: `168/170F` in front of it, `168F-1/-2` behind.

use super::designation::{EngineCode, Layout, StrokeCycle};
use super::grammar::{Cursor, canonical, code_at, variant};
use compact_str::CompactString;

/// `168/170F`: numbers joined by slashes in front of a code share its F.
pub(super) fn codes_in_front(text: &str, code: &EngineCode) -> Vec<EngineCode> {
    let mut found = Vec::new();
    if code.layout != Layout::Inline || code.stroke_cycle != StrokeCycle::Four || code.maker_prefix.is_some() {
        return found;
    }
    let mut end = code.span.start;
    while let Some(before) = text[..end].strip_suffix('/').map(str::trim_end) {
        let start = before.len().saturating_sub(3);
        let digits = before
            .get(start..)
            .filter(|digits| digits.len() == 3 && digits.bytes().all(|b| b.is_ascii_digit()));
        let Some(digits) = digits else { break };
        let joined = before[..start]
            .chars()
            .next_back()
            .is_some_and(|c| c.is_ascii_alphanumeric() || c == '.');
        let completed = format!("{digits}f");
        let Some((mut other, _)) = code_at(&completed, 0, 0).filter(|_| !joined) else {
            break;
        };
        other.span = start..before.len();
        found.push(other);
        end = start;
    }
    found.reverse();
    found
}

/// `168F-1/-2`, `168F-1/2`, `168FA/FB`: what a slash adds to the code before it. Gives the byte
/// to go on from.
pub(super) fn shorthand_behind(text: &str, end: usize, template: &EngineCode, codes: &mut Vec<EngineCode>) -> usize {
    let mut at = end;
    while text[at..].starts_with('/') {
        let mut cursor = Cursor { text, at: at + 1 };
        let suffix = match cursor.take(|byte| byte == b'f') {
            Some(_) => CompactString::from(cursor.letters().to_ascii_uppercase()),
            None => template.suffix.clone(),
        };
        let variant = variant(&mut cursor);
        let bare = cursor.at == at + 1;
        let digits_only = variant.is_some() && template.variant.is_none() && text.as_bytes()[at + 1] != b'-';
        if bare || digits_only || suffix.len() > 3 || !cursor.at_end_of_word() {
            break;
        }
        codes.push(EngineCode {
            span: at + 1..cursor.at,
            canonical: canonical(&template.stem, &suffix, variant.as_deref()),
            suffix,
            variant,
            ..template.clone()
        });
        at = cursor.at;
    }
    at
}
