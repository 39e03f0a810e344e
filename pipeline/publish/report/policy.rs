//! The page's content policy, and data that cannot break out of its block.
//!
//! The policy allows nothing but the one style sheet and the one script whose hashes it names (W3C
//! Content Security Policy Level 3). Script that slipped into the page by any other way does not run,
//! and nothing can be loaded or sent.

use sha2::{Digest, Sha256};

const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// The policy for a page with this style and this script.
pub fn content_policy(style: &str, script: &str) -> String {
    format!(
        "default-src 'none'; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
        base64(&Sha256::digest(style)),
        base64(&Sha256::digest(script))
    )
}

/// JSON that may stand inside a `script` element: no `<` that could end it or open a comment, and none
/// of the line ends that JSON allows and script does not.
pub fn for_script_block(json: &str) -> String {
    json.replace('<', "\\u003c")
        .replace('>', "\\u003e")
        .replace('&', "\\u0026")
        .replace('\u{2028}', "\\u2028")
        .replace('\u{2029}', "\\u2029")
}

/// Base64 with padding, RFC 4648 section 4.
fn base64(bytes: &[u8]) -> String {
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

    #[test]
    fn a_block_of_data_cannot_end_its_element() {
        let json = for_script_block(r#"["</script><!-- & \u2028"]"#);
        assert!(!json.contains(['<', '>', '&']));
        let back: Vec<String> = serde_json::from_str(&json).unwrap();
        assert_eq!(back, ["</script><!-- & \u{2028}"]);
    }
}
