//! The same rows at every size of stretch and number of threads, and as a slow reader reads them.

use proptest::prelude::*;

use super::*;

/// A plain reader of quoted, comma separated text, letter by letter.
fn slow_rows(text: &str) -> Vec<Vec<String>> {
    let mut rows = vec![vec![String::new()]];
    let mut letters = text.chars().peekable();
    let mut quoted = false;
    while let Some(letter) = letters.next() {
        let row = rows.last_mut().unwrap();
        let cell = row.last_mut().unwrap();
        match (quoted, letter) {
            (true, '"') if letters.peek() == Some(&'"') => cell.push(letters.next().unwrap()),
            (true, '"') => quoted = false,
            (true, letter) => cell.push(letter),
            (false, '"') => quoted = true,
            (false, ',') => row.push(String::new()),
            (false, '\r' | '\n') => {
                if letter == '\r' && letters.peek() == Some(&'\n') {
                    letters.next();
                }
                rows.push(vec![String::new()]);
            }
            (false, letter) => cell.push(letter),
        }
    }
    rows.pop();
    rows
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn sound_tables_read_as_a_slow_reader_reads_them(
        texts in prop::collection::vec("[a-z ,\"\n\r\u{e9}]{0,12}", 4..20),
        stretch in 1usize..64,
        end in prop::sample::select(vec!["\n", "\r\n", "\r"]),
    ) {
        let mut text = format!("sku,title,price{end}");
        for (row, cell) in texts.iter().enumerate() {
            text.push_str(&format!("RS-{row},\"x{}\",{row}.50{end}", cell.replace('"', "\"\"")));
        }
        let folder = folder();
        let path = put(folder.path(), "a.csv", text.as_bytes());
        let slow = slow_rows(&text);
        for stretch in [stretch, 1 << 20] {
            let found = at_stretch(&path, stretch, &Limits::default()).unwrap();
            prop_assert_eq!(&found.header, &slow[0]);
            let rows: Vec<&Vec<String>> = found.rows.iter().map(|(_, row)| row).collect();
            prop_assert_eq!(rows, slow[1..].iter().collect::<Vec<_>>());
        }
    }

    #[test]
    fn any_bytes_read_the_same_in_any_stretches_and_threads(
        pieces in pieces(1..120),
        stretch in 1usize..40,
        threads in 1usize..5,
    ) {
        let mut bytes = b"sku;title;price\nRS-1;starter;1,00\nRS-2;shroud;2,00\nRS-3;grip;3,00\n".to_vec();
        bytes.extend(pieces.concat());
        let folder = folder();
        let path = put(folder.path(), "a.csv", &bytes);
        let limits = Limits { line_bytes: 48, ..Limits::default() };
        let found = on_threads(threads, || at_stretch(&path, stretch, &limits));
        prop_assert_eq!(found, on_threads(1, || at_stretch(&path, 1 << 20, &limits)));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn a_long_list_with_faults_reads_the_same_in_any_stretches_and_threads(
        faults in prop::collection::vec((0usize..6000, pieces(1..12)), 1..60),
        stretch in 100usize..9000,
        threads in 1usize..5,
        purpose in prop::sample::select(vec![Use::Build, Use::Tidy]),
    ) {
        let mut lines: Vec<Vec<u8>> = sound_list(6000).lines().map(|line| line.as_bytes().to_vec()).collect();
        for (line, pieces) in faults {
            // between two lines, or in the middle of one
            let place = if pieces.len() % 2 == 0 { lines[line].len() } else { lines[line].len() / 2 };
            let tail = lines[line].split_off(place);
            lines[line].extend(pieces.concat());
            lines[line].extend(tail);
        }
        let folder = folder();
        let path = put(folder.path(), "a.csv", &lines.join(&b'\n'));
        let read = |stretch| {
            let mut lists = open(&path, &Profiles::none(), &Limits::default(), purpose).unwrap();
            outcome(lists.remove(0).in_stretches(stretch))
        };
        let serial = on_threads(1, || read(16 << 20));
        let found = on_threads(threads, || read(stretch));
        prop_assert_eq!(found, serial);
    }
}

/// Bits of text, sound ones and such as spoil a line.
fn pieces(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<&'static [u8]>> {
    let pieces: Vec<&[u8]> = vec![
        b"RS-1",
        b";",
        b";",
        b"\"",
        b"\"",
        b"\n",
        b"\n",
        b"\r\n",
        b"\r",
        b"12,50",
        b"starter",
        b"\xC3\xA9",
        b"\xFF",
        b"\0",
        b" ",
        b",",
        b"\"\"",
        b"RS-7;\"a\nb; c\";3,00;65",
    ];
    prop::collection::vec(prop::sample::select(pieces), count)
}

/// Runs something on a pool of its own.
fn on_threads<T: Send>(threads: usize, work: impl FnOnce() -> T + Send) -> T {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
    pool.install(work)
}
