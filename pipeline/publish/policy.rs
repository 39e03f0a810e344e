//! The content policy of the pages samefit writes.
//!
//! It allows nothing but the one style sheet and the one script whose hashes it names (W3C Content
//! Security Policy Level 3). Script that slipped into the page by any other way does not run, and nothing
//! can be loaded or sent. Where the browser knows Trusted Types, text cannot be made markup either.

use sha2::{Digest, Sha256};

const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// The policy for a page with this style and this script.
pub fn content_policy(style: &str, script: &str) -> String {
    format!(
        "{}; script-src 'sha256-{}'; require-trusted-types-for 'script'; trusted-types 'none'",
        policy_without_script(style),
        base64(&Sha256::digest(script))
    )
}

/// The policy for a page with this style and no script at all.
pub fn policy_without_script(style: &str) -> String {
    let style = base64(&Sha256::digest(style));
    format!("default-src 'none'; style-src 'sha256-{style}'; base-uri 'none'; form-action 'none'")
}

/// Base64 with padding, RFC 4648 section 4.
pub fn base64(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let at = |index: usize| u32::from(chunk.get(index).copied().unwrap_or(0));
        let word = at(0) << 16 | at(1) << 8 | at(2);
        for place in 0..4usize {
            let six = (word >> (18 - 6 * place)) & 63;
            let letter = if place <= chunk.len() {
                ALPHABET[six as usize]
            } else {
                b'='
            };
            text.push(char::from(letter));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_agrees_with_the_examples_of_rfc_4648_section_10() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }
}
