//! Text that is no list: web pages, XML and JSON, whatever the file is called. Told by its beginning, before anyone looks
//! for a delimiter in it.

use std::sync::Arc;

use super::super::problem::{FileFailure, Problem};

/// Bytes of the beginning that are looked at.
const LOOKED_AT: usize = 4 << 10;

/// Why a text is refused, where it is no list.
pub(super) fn refused_text(shown: &Arc<str>, text: &str) -> Option<FileFailure> {
    let (what, hint) = format_of(text)?;
    let message = format!("the file is {what}, not a list");
    Some(FileFailure::new(shown, Problem::OtherFormat, message).with_hint(hint))
}

fn format_of(text: &str) -> Option<(&'static str, &'static str)> {
    let mut end = text.len().min(LOOKED_AT);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let start = text[..end].trim_start();
    match start.bytes().next()? {
        b'<' => markup_of(&start.to_ascii_lowercase()),
        b'{' if opens_object(start) => Some(match is_object_a_line(start) {
            true => (
                "JSON with an object a line",
                "make a CSV file of it with the program it comes from",
            ),
            false => ("JSON", "make a CSV file of it with the program it comes from"),
        }),
        b'[' if opens_object(start[1..].trim_start()) => {
            Some(("JSON", "make a CSV file of it with the program it comes from"))
        }
        _ => None,
    }
}

/// `{"name":` or an empty object.
fn opens_object(text: &str) -> bool {
    let Some(inside) = text.strip_prefix('{').map(str::trim_start) else {
        return false;
    };
    let named = || {
        let (_, rest) = inside.strip_prefix('"')?.split_once('"')?;
        rest.trim_start().starts_with(':').then_some(())
    };
    inside.starts_with('}') || named().is_some()
}

fn is_object_a_line(start: &str) -> bool {
    let mut lines = start.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.next().is_some_and(|line| line.ends_with('}')) && lines.next().is_some_and(opens_object)
}

fn markup_of(start: &str) -> Option<(&'static str, &'static str)> {
    const HINT: &str = "open it in a spreadsheet program and save it as CSV or .xlsx";
    let has = |tag: &str| start.contains(tag);
    if has("<!doctype html") || has("<html") || has("<table") || has("<body") {
        Some(("a web page (HTML)", HINT))
    } else if start.starts_with("<?xml") {
        Some(("an XML document", HINT))
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn web_pages_xml_and_json_are_known_by_their_beginning() {
        let what = |text: &str| format_of(text).map(|(what, _)| what);
        let page = Some("a web page (HTML)");
        assert_eq!(what("\n<html><head><title>Prices</title></head><body>"), page);
        assert_eq!(what("<!DOCTYPE HTML>\n<meta charset=utf-8>"), page);
        assert_eq!(what("<table border=1><tr><td>A-1</td></tr></table>"), page);
        assert_eq!(what("<?xml version=\"1.0\"?><Workbook/>"), Some("an XML document"));
        let lines = "{\"sku\": \"J0\", \"price\": 9.2}\n{\"sku\": \"J1\", \"price\": 8}\n";
        assert_eq!(what(lines), Some("JSON with an object a line"));
        assert_eq!(what("{\n  \"lists\": [1]\n}"), Some("JSON"));
        assert_eq!(what("[\n  {\"sku\": \"J0\"}\n]"), Some("JSON"));
    }

    #[test]
    fn lists_that_begin_with_such_a_sign_are_lists() {
        for text in [
            "<new>;Title;Price\nA-1;Starter;9,50\n",
            "[EUR];Price\n1;2\n",
            "{A-1};Starter\n{A-2};Shroud\n",
            "\"{\"\"a\"\": 1}\";x\n",
            "",
        ] {
            assert_eq!(format_of(text), None, "{text}");
        }
    }
}
