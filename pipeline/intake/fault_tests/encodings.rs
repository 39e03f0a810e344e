//! Encodings, and bytes that are no text.

use super::*;

#[test]
fn every_encoding_gives_the_same_rows() {
    let text = "Artikel;Bezeichnung;Preis\n1001;Lüfterhaube für Mäher;12,50\n1002;Rückholfeder, groß;3,90\n1003;Seilzug;4,00\n";
    let expected = read_bytes("a.csv", text.as_bytes());
    let utf16 = |big: bool| -> Vec<u8> {
        text.encode_utf16()
            .flat_map(|unit| if big { unit.to_be_bytes() } else { unit.to_le_bytes() })
            .collect()
    };
    let marked = |mark: &[u8], bytes: Vec<u8>| [mark, &bytes].concat();
    for bytes in [
        marked(b"\xEF\xBB\xBF", text.as_bytes().to_vec()),
        encoding_rs::WINDOWS_1252.encode(text).0.into_owned(),
        utf16(false),
        utf16(true),
        marked(b"\xFF\xFE", utf16(false)),
        marked(b"\xFE\xFF", utf16(true)),
    ] {
        let found = read_bytes("a.csv", &bytes);
        assert_eq!((&found.header, &found.rows), (&expected.header, &expected.rows));
    }
}

#[test]
fn a_bad_byte_rejects_its_line_only_and_names_its_offset() {
    let mut bytes = sound_list(10).into_bytes();
    bytes.extend(b"RS-2000;Griff \xFF rot;4,00;65\n");
    let offset = bytes.len() - b"\xFF rot;4,00;65\n".len();
    bytes.extend(b"RS-2001;Griff blau;4,00;65\n");
    let folder = folder();
    let path = put(folder.path(), "a.csv", &bytes);
    let list = open(&path, &Profiles::none(), &Limits::default(), Use::Build)
        .unwrap()
        .remove(0);
    let account = list.finish();
    assert_eq!(account.rows, 11);
    let reject = &account.rejects[0];
    assert_eq!((reject.line, reject.problem), (12, Problem::InvalidBytes));
    assert!(
        reject.message.contains(&format!("0xFF at offset {offset}")),
        "{}",
        reject.message
    );
}
