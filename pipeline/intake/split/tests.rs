use super::*;

fn rows(cut: &Cut, text: &str) -> Vec<Vec<String>> {
    let (mut from, mut cells, mut rows) = (0, Vec::new(), Vec::new());
    while let Step::Record(record) = next_record(cut, text.as_bytes(), from, true, &mut cells) {
        rows.push(
            cells
                .iter()
                .map(|cell| {
                    let mut own = String::new();
                    match cell.form {
                        Form::Escaped => unescape(cut, &text[cell.start..cell.end], &mut own),
                        _ => own.push_str(&text[cell.start..cell.end]),
                    }
                    own
                })
                .collect(),
        );
        from = record.next;
    }
    rows
}

#[test]
fn every_line_end_ends_a_record() {
    let cut = Cut::by(b';', Some(b'"'));
    assert_eq!(rows(&cut, "a;b\r\nc;d\re;f\n"), [["a", "b"], ["c", "d"], ["e", "f"]]);
}

#[test]
fn quotes_keep_delimiters_line_ends_and_doubled_quotes() {
    let cut = Cut::by(b',', Some(b'"'));
    assert_eq!(rows(&cut, "\"a,\n\"\"b\"\"\",c\n"), [["a,\n\"b\"", "c"]]);
    assert_eq!(rows(&cut, "10\" cover,c"), [["10\" cover", "c"]]);
}

#[test]
fn the_first_needle_of_a_word_is_found() {
    for place in 0..8 {
        let mut word = *b"abcdefgh";
        word[place] = b';';
        word[7] = b'\n';
        assert_eq!(first_of(&word, [b';', b'\n', b'\r']), Some(place.min(7)));
    }
    assert_eq!(first_of(b"abcdefgh", [b';', b'\n', b'\r']), None);
}

#[test]
fn a_backslash_hides_a_quote() {
    let cut = Cut {
        gutters: None,
        escape: Escape::Byte(b'\\'),
        ..Cut::by(b',', Some(b'"'))
    };
    assert_eq!(rows(&cut, "\"10\\\" cover, red\",c"), [["10\" cover, red", "c"]]);
}

#[test]
fn a_quote_without_end_is_marked() {
    let cut = Cut::by(b',', Some(b'"'));
    let mut cells = Vec::new();
    let step = next_record(&cut, b"1,\"abc\n2,def\n", 0, true, &mut cells);
    assert!(
        matches!(
            step,
            Step::Record(Record {
                unclosed: true,
                lines: 3,
                ..
            })
        ),
        "{step:?}"
    );
}

#[test]
fn a_record_cut_by_the_end_of_the_text_asks_for_more() {
    let cut = Cut::by(b',', Some(b'"'));
    let mut cells = Vec::new();
    for text in ["a,b", "a,\"b", "a,\"b\"", "a,b\r", ""] {
        assert_eq!(
            next_record(&cut, text.as_bytes(), 0, false, &mut cells),
            Step::NeedMore,
            "{text}"
        );
    }
}
