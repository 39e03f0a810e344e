//! Web markup in cells: entities decoded, tags taken out. The raw cell is kept elsewhere; this is the text as a person
//! would see it on the shop's page.
//!
//! Refuses to guess: an unknown entity and a `<` that opens no tag ("< 5 mm") stay as they are. Entities are decoded
//! twice at most, because lists that went through two shop systems carry `&amp;quot;`.

use std::borrow::Cow;

/// Longest tag that is taken out, in bytes; a `<` without a `>` within that many bytes is text.
const LONGEST_TAG: usize = 400;
/// Longest entity name looked for, in bytes.
const LONGEST_ENTITY: usize = 10;

/// Named entities that occur in lists of parts, from the HTML Living Standard's table of named character references.
const NAMED: [(&str, &str); 64] = [
    ("amp", "&"),
    ("lt", "<"),
    ("gt", ">"),
    ("quot", "\""),
    ("apos", "'"),
    ("nbsp", " "),
    ("ndash", "–"),
    ("mdash", "—"),
    ("times", "×"),
    ("oslash", "ø"),
    ("Oslash", "Ø"),
    ("deg", "°"),
    ("plusmn", "±"),
    ("frac12", "½"),
    ("frac14", "¼"),
    ("frac34", "¾"),
    ("sup2", "²"),
    ("sup3", "³"),
    ("euro", "€"),
    ("pound", "£"),
    ("yen", "¥"),
    ("cent", "¢"),
    ("copy", "©"),
    ("reg", "®"),
    ("trade", "™"),
    ("hellip", "…"),
    ("bull", "•"),
    ("middot", "·"),
    ("rsquo", "'"),
    ("lsquo", "'"),
    ("rdquo", "\""),
    ("ldquo", "\""),
    ("laquo", "«"),
    ("raquo", "»"),
    ("auml", "ä"),
    ("ouml", "ö"),
    ("uuml", "ü"),
    ("Auml", "Ä"),
    ("Ouml", "Ö"),
    ("Uuml", "Ü"),
    ("szlig", "ß"),
    ("eacute", "é"),
    ("egrave", "è"),
    ("ecirc", "ê"),
    ("agrave", "à"),
    ("acirc", "â"),
    ("ccedil", "ç"),
    ("ocirc", "ô"),
    ("ucirc", "û"),
    ("ugrave", "ù"),
    ("icirc", "î"),
    ("iuml", "ï"),
    ("euml", "ë"),
    ("Eacute", "É"),
    ("aacute", "á"),
    ("iacute", "í"),
    ("oacute", "ó"),
    ("uacute", "ú"),
    ("ntilde", "ñ"),
    ("aring", "å"),
    ("oelig", "œ"),
    ("aelig", "æ"),
    ("Prime", "″"),
    ("prime", "′"),
];

/// The text of a cell without markup. Borrowed when there was none.
pub fn clean(text: &str) -> Cow<'_, str> {
    if memchr::memchr2(b'&', b'<', text.as_bytes()).is_none() {
        return Cow::Borrowed(text);
    }
    let decoded = decode_entities(text);
    let stripped = strip_tags(&decoded);
    match (decoded, stripped) {
        (Cow::Borrowed(_), None) => Cow::Borrowed(text),
        (Cow::Owned(decoded), None) => Cow::Owned(decoded),
        (_, Some(stripped)) => Cow::Owned(stripped),
    }
}

fn decode_entities(text: &str) -> Cow<'_, str> {
    match decode_once(text) {
        None => Cow::Borrowed(text),
        Some(once) => match decode_once(&once) {
            None => Cow::Owned(once),
            Some(twice) => Cow::Owned(twice),
        },
    }
}

/// One round of decoding; `None` when nothing changed.
fn decode_once(text: &str) -> Option<String> {
    let mut out = String::new();
    let mut done = 0;
    let mut from = 0;
    while let Some(offset) = memchr::memchr(b'&', &text.as_bytes()[from..]) {
        let at = from + offset;
        from = at + 1;
        if let Some((end, decoded)) = entity_at(text, at) {
            out.push_str(&text[done..at]);
            match decoded {
                Decoded::Text(plain) => out.push_str(plain),
                Decoded::Char(plain) => out.push(plain),
            }
            done = end;
            from = end;
        }
    }
    if done == 0 {
        return None;
    }
    out.push_str(&text[done..]);
    Some(out)
}

enum Decoded {
    Text(&'static str),
    Char(char),
}

/// The entity that starts at the `&` at `at`, with the byte after it.
fn entity_at(text: &str, at: usize) -> Option<(usize, Decoded)> {
    let rest = text.as_bytes().get(at + 1..)?;
    let length = rest.iter().take(LONGEST_ENTITY).position(|byte| *byte == b';')?;
    let name = text.get(at + 1..at + 1 + length)?;
    let end = at + length + 2;
    if let Some(number) = name.strip_prefix('#') {
        let code = match number.strip_prefix(['x', 'X']) {
            Some(hexadecimal) => u32::from_str_radix(hexadecimal, 16).ok()?,
            None => number.parse().ok()?,
        };
        return char::from_u32(code).map(|plain| (end, Decoded::Char(if plain.is_control() { ' ' } else { plain })));
    }
    NAMED
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, plain)| (end, Decoded::Text(plain)))
}

/// The text with each tag replaced by a space; `None` when there is no tag.
fn strip_tags(text: &str) -> Option<String> {
    let mut out = String::new();
    let mut done = 0;
    let mut from = 0;
    while let Some(offset) = memchr::memchr(b'<', &text.as_bytes()[from..]) {
        let at = from + offset;
        from = at + 1;
        if let Some(end) = tag_end(text.as_bytes(), at) {
            out.push_str(&text[done..at]);
            out.push(' ');
            done = end;
            from = end;
        }
    }
    if done == 0 {
        return None;
    }
    out.push_str(&text[done..]);
    Some(out)
}

/// The byte after the tag that opens at `at`, if one does.
fn tag_end(bytes: &[u8], at: usize) -> Option<usize> {
    let first = *bytes.get(at + 1)?;
    if !(first.is_ascii_alphabetic() || first == b'/' || first == b'!') {
        return None;
    }
    let window = &bytes[at..bytes.len().min(at + LONGEST_TAG)];
    memchr::memchr(b'>', window).map(|length| at + length + 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn plain_text_is_borrowed() {
        assert!(matches!(clean("Seilzugstarter 168F"), Cow::Borrowed(_)));
    }

    #[test]
    fn entities_are_decoded_even_when_encoded_twice() {
        assert_eq!(clean("4 1/8&quot; &amp; cup"), "4 1/8\" & cup");
        assert_eq!(clean("4 1/8&amp;quot; hole"), "4 1/8\" hole");
        assert_eq!(clean("L&uuml;ftergeh&#228;use &#xD8; 6.5"), "Lüftergehäuse Ø 6.5");
    }

    #[test]
    fn tags_become_spaces_and_comparisons_stay() {
        assert_eq!(clean("<b>Recoil</b><br/>starter"), " Recoil  starter");
        assert_eq!(clean("depth < 5 mm"), "depth < 5 mm");
        assert_eq!(clean("A&B &unknown; x"), "A&B &unknown; x");
    }

    #[test]
    fn an_image_tag_leaves_nothing_behind() {
        assert_eq!(clean("starter <img src=x onerror=\"alert(1)\">"), "starter  ");
    }

    proptest! {
        #[test]
        fn any_text_is_cleaned_without_panic(text in "\\PC*[&<>;#a-z]*\\PC*") {
            let _ = clean(&text);
        }
    }
}
