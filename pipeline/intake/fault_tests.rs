//! Faults and bad inputs, read through the whole of intake from real files. Each test is one way in which a list has
//! gone wrong.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use proptest::prelude::*;

use super::*;

/// What reading a file gave.
#[derive(Debug, PartialEq)]
struct Outcome {
    header: Vec<String>,
    rows: Vec<(u32, Vec<String>)>,
    rejects: Vec<(u32, Problem, String)>,
    layout: LayoutCounts,
    read: u64,
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn put(folder: &Path, name: &str, bytes: &[u8]) -> PathBuf {
    let path = folder.join(name);
    fs::write(&path, bytes).unwrap();
    path
}

fn open(path: &Path, profiles: &Profiles, limits: &Limits, purpose: Use) -> Result<Vec<ListReader>, FileFailure> {
    read_file(&InputFile::named(path), profiles, limits, purpose)
}

fn outcome(mut list: ListReader) -> Outcome {
    let header = list.head().header.clone();
    let mut rows = Vec::new();
    while let Some(batch) = list.next_batch() {
        rows.extend(
            batch
                .iter()
                .map(|row| (row.line(), row.iter().map(str::to_string).collect::<Vec<_>>())),
        );
    }
    let account = list.finish();
    assert!(account.balances(), "{account:?}");
    assert_eq!(account.rows, rows.len() as u64);
    let rejects = account
        .rejects
        .into_iter()
        .map(|reject| (reject.line, reject.problem, reject.raw))
        .collect();
    Outcome {
        header,
        rows,
        rejects,
        layout: account.layout,
        read: account.read,
    }
}

fn read_bytes(name: &str, bytes: &[u8]) -> Outcome {
    let folder = folder();
    let path = put(folder.path(), name, bytes);
    let mut lists = open(&path, &Profiles::none(), &Limits::default(), Use::Build).unwrap();
    outcome(lists.remove(0))
}

fn failure(name: &str, bytes: &[u8], limits: &Limits) -> FileFailure {
    let folder = folder();
    let path = put(folder.path(), name, bytes);
    match open(&path, &Profiles::none(), limits, Use::Build) {
        Err(failure) => failure,
        Ok(_) => panic!("{name} was read"),
    }
}

fn rows_of(outcome: &Outcome) -> Vec<Vec<&str>> {
    outcome
        .rows
        .iter()
        .map(|(_, row)| row.iter().map(String::as_str).collect())
        .collect()
}

/// A sound list of `count` rows, semicolons between cells.
fn sound_list(count: usize) -> String {
    let mut text = String::from("Art.-Nr.;Bezeichnung;Preis EUR;Lochabstand mm\n");
    for row in 0..count {
        let names = [
            "Seilzugstarter rot",
            "Lüfterhaube",
            "Starter komplett mit Seil",
            "Startergriff",
        ];
        text.push_str(&format!(
            "RS-{};{};{},{:02};{}\n",
            1000 + row,
            names[row % 4],
            5 + row % 40,
            row * 7 % 100,
            60 + row % 70
        ));
    }
    text
}

fn gzipped(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    encoder.write_all(bytes).unwrap();
    encoder.finish().unwrap()
}

// 1. empty, header only, blank

#[test]
fn a_file_without_rows_is_a_named_problem() {
    let limits = Limits::default();
    assert_eq!(failure("a.csv", b"", &limits).problem, Problem::EmptyFile);
    assert_eq!(failure("a.csv", b"\n\r\n \n;;;\n", &limits).problem, Problem::BlankFile);
    assert_eq!(failure("a.csv", b"\xEF\xBB\xBF", &limits).problem, Problem::BlankFile);
    assert_eq!(
        failure("a.csv", b"Art.-Nr.;Bezeichnung;Preis\n", &limits).problem,
        Problem::HeaderOnly
    );
    assert_eq!(
        failure("a.csv", b"foo;bar\n\xFFx;y\nz;w\n", &limits).problem,
        Problem::NoRecognisableColumn
    );
    assert_eq!(failure("a.csv", b"%PDF-1.7 ...", &limits).problem, Problem::BinaryFile);
    let noise: Vec<u8> = (0..4000u32)
        .map(|n| (n.wrapping_mul(2_654_435_761) >> 13) as u8)
        .collect();
    assert_eq!(failure("a.csv", &noise, &limits).problem, Problem::BinaryFile);
}

#[test]
fn a_missing_file_is_a_named_problem() {
    let failure = open(
        Path::new("no/such.csv"),
        &Profiles::none(),
        &Limits::default(),
        Use::Build,
    )
    .err()
    .unwrap();
    assert_eq!(failure.problem, Problem::MissingFile);
    assert!(failure.message.contains("no/such.csv") && !failure.hint.is_empty());
}

// 2. encodings

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

// 3. a bad byte

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

// 4. an unclosed quote

#[test]
fn an_unclosed_quote_never_swallows_its_neighbours() {
    let mut lines: Vec<String> = sound_list(3000).lines().map(str::to_string).collect();
    lines[10] = "\"RS-1009;Griff;4,00;65".to_string();
    lines[20] = "RS-1019;\"Griff rot;4,00;65".to_string();
    lines[30] = "RS-1029;\"Haube \"\"groß\"\";\nzweite Zeile\";4,00;65".to_string();
    let found = read_bytes("a.csv", (lines.join("\n") + "\n").as_bytes());
    let account_of_lines = found.rows.len() + found.rejects.len();
    assert_eq!(account_of_lines, 3000);
    assert!(
        found.rejects.iter().all(|(line, ..)| [11, 21].contains(line)),
        "{:?}",
        found.rejects
    );
    let multi = found.rows.iter().find(|(line, _)| *line == 31).unwrap();
    assert_eq!(multi.1[1], "Haube \"groß\";\nzweite Zeile");
    assert_eq!(found.rows.last().unwrap().0, 3002);
}

// 5. ragged rows

#[test]
fn ragged_rows_are_mended_where_sure_and_rejected_where_not() {
    let mut text = sound_list(40);
    text.push_str("RS-3000;Griff;4,00;;65\n"); // one too many
    text.push_str("RS-3001;Griff4,00;65\n"); // one missing, its place certain
    text.push_str("RS-3002;Griff\n"); // too little to say
    text.push_str("RS-3003;Haube;9,00;70\n");
    let found = read_bytes("a.csv", text.as_bytes());
    let line = |number: u32| {
        found
            .rows
            .iter()
            .find(|(line, _)| *line == number)
            .map(|(_, row)| row.clone())
    };
    assert_eq!(line(42).unwrap(), ["RS-3000", "Griff", "4,00", "65"]);
    assert_eq!(line(43).unwrap(), ["RS-3001", "Griff", "4,00", "65"]);
    assert_eq!(
        found
            .rejects
            .iter()
            .map(|(line, problem, _)| (*line, *problem))
            .collect::<Vec<_>>(),
        [(44, Problem::TooFewCells)]
    );
    assert_eq!(line(45).unwrap(), ["RS-3003", "Haube", "9,00", "70"]);
}

#[test]
fn trailing_delimiters_cost_no_row() {
    let text = sound_list(30)
        .lines()
        .map(|line| format!("{line};;\n"))
        .collect::<String>();
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!((found.rows.len(), found.rejects.len()), (30, 0));
}

// 6. line ends, NUL

#[test]
fn mixed_line_ends_and_nul_bytes_are_borne() {
    let text = "sku;title;price\r\nA1;starter;1,00\nA2;shroud\0x;2,00\rA3;grip;3,00\r\n";
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!(
        rows_of(&found),
        [
            ["A1", "starter", "1,00"],
            ["A2", "shroud\0x", "2,00"],
            ["A3", "grip", "3,00"]
        ]
    );
    assert_eq!(found.rows.iter().map(|(line, _)| *line).collect::<Vec<_>>(), [2, 3, 4]);
}

// 7. huge fields and widths

#[test]
fn a_line_past_the_limit_is_rejected_and_names_the_limit() {
    let mut text = sound_list(5);
    text.push_str(&format!("RS-9;{};1,00;65\n", "x".repeat(3 << 20)));
    text.push_str("RS-10;Griff;1,00;65\n");
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!(found.rejects.len(), 1);
    assert_eq!((found.rejects[0].0, found.rejects[0].1), (7, Problem::LineTooLong));
    assert!(found.rejects[0].2.len() < 5000);
    assert_eq!(found.rows.last().unwrap().1[0], "RS-10");
}

#[test]
fn a_bad_byte_in_a_line_past_the_limit_spoils_no_other_line() {
    let folder = folder();
    let mut bytes = sound_list(20).into_bytes();
    bytes.extend_from_slice(b"RS-1\xFF;");
    bytes.extend(std::iter::repeat_n(b'x', 300));
    bytes.extend_from_slice(b"\nRS-2;Startergriff;3,00;60\n");
    let path = put(folder.path(), "a.csv", &bytes);
    let limits = Limits {
        line_bytes: 200,
        ..Limits::default()
    };
    for stretch in [1, 64, 256, 1 << 20] {
        let found = at_stretch(&path, stretch, &limits).unwrap();
        let problems: Vec<_> = found
            .rejects
            .iter()
            .map(|(line, problem, _)| (*line, *problem))
            .collect();
        assert_eq!(problems, [(22, Problem::LineTooLong)], "stretches of {stretch}");
        assert_eq!(found.rows.last().unwrap().0, 23);
    }
}

#[test]
fn too_many_columns_are_refused_by_name() {
    let row = |word: &str| vec![word; 20_000].join(";") + "\n";
    let failed = failure(
        "a.csv",
        (row("sku") + &row("1") + &row("2")).as_bytes(),
        &Limits::default(),
    );
    assert_eq!(failed.problem, Problem::TooManyColumns);
    assert!(failed.message.contains("`columns`"), "{}", failed.message);
}

// 8. gzip

#[test]
fn gzip_is_read_whole_or_not_at_all() {
    let text = sound_list(200);
    let (head, tail) = text.split_at(3001);
    let members = [gzipped(head.as_bytes()), gzipped(tail.as_bytes()), vec![0; 64]].concat();
    let plain = read_bytes("a.csv", text.as_bytes());
    assert_eq!(read_bytes("a.csv.gz", &members), plain);
    assert_eq!(read_bytes("plain.csv.gz", text.as_bytes()), plain);
    assert_eq!(
        read_bytes("a.csv", &zstd::encode_all(text.as_bytes(), 3).unwrap()),
        plain
    );
    let mut cut = gzipped(text.as_bytes());
    cut.truncate(cut.len() / 2);
    assert_eq!(
        failure("a.csv.gz", &cut, &Limits::default()).problem,
        Problem::DamagedArchive
    );
}

#[test]
fn a_bomb_is_stopped_at_the_cap() {
    let bomb = gzipped(&vec![b'0'; 64 << 20]);
    let failed = failure("a.csv.gz", &bomb, &Limits::default());
    assert_eq!(failed.problem, Problem::RatioTooHigh);
    let limits = Limits {
        decompressed_bytes: 1 << 20,
        ..Limits::default()
    };
    let failed = failure("a.csv.gz", &bomb, &limits);
    assert_eq!(failed.problem, Problem::TooManyBytes);
    assert!(failed.message.contains("`decompressed_bytes`"), "{}", failed.message);
}

#[test]
fn every_list_in_a_zip_is_read() {
    let folder = folder();
    let path = folder.path().join("lists.zip");
    let mut archive = zip::ZipWriter::new(fs::File::create(&path).unwrap());
    for name in ["b.csv", "a/a.csv"] {
        archive
            .start_file(name, zip::write::SimpleFileOptions::default())
            .unwrap();
        archive.write_all(sound_list(5).as_bytes()).unwrap();
    }
    archive.finish().unwrap();
    let lists = open(&path, &Profiles::none(), &Limits::default(), Use::Build).unwrap();
    let names: Vec<String> = lists.iter().map(|list| list.head().file.to_string()).collect();
    assert_eq!(names, ["lists.zip!/a/a.csv", "lists.zip!/b.csv"]);
    assert!(lists.into_iter().all(|list| outcome(list).rows.len() == 5));
}

// 9. workbooks

#[test]
fn a_workbook_gives_the_lists_of_its_sheets() {
    use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
    let folder = folder();
    let path = folder.path().join("list.xlsx");
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet
        .merge_range(0, 0, 0, 3, "Preisliste Frühjahr", &Format::new())
        .unwrap();
    for (column, name) in ["Art.-Nr.", "Bezeichnung", "Preis EUR", "EAN"].iter().enumerate() {
        sheet.write(2, column as u16, *name).unwrap();
    }
    sheet.merge_range(3, 1, 4, 1, "Seilzugstarter", &Format::new()).unwrap();
    sheet.write(3, 0, "RS-1").unwrap();
    sheet.write(3, 2, 12.5).unwrap();
    sheet.write(3, 3, 4_006_381_333_931.0).unwrap();
    let date = ExcelDateTime::from_ymd(2026, 3, 10).unwrap();
    sheet
        .write_with_format(4, 0, &date, &Format::new().set_num_format("d-mmm"))
        .unwrap();
    sheet
        .write_formula(4, 2, Formula::new("=2*7").set_result("14"))
        .unwrap();
    sheet.write(4, 3, 4_006_381_333_948.0).unwrap();
    book.add_worksheet().set_name("Leer").unwrap();
    book.save(&path).unwrap();
    let mut lists = open(&path, &Profiles::none(), &Limits::default(), Use::Build).unwrap();
    assert_eq!(lists.len(), 1);
    assert_eq!(lists[0].head().sheet.as_deref(), Some("Sheet1"));
    let found = outcome(lists.remove(0));
    assert_eq!(
        rows_of(&found),
        [
            ["RS-1", "Seilzugstarter", "12.5", "4006381333931"],
            ["2026-03-10", "Seilzugstarter", "14", "4006381333948"]
        ]
    );
    assert_eq!(found.rows[0].0, 4);
    assert_eq!(
        (found.layout.preamble, found.layout.blank, found.layout.header),
        (1, 1, 1)
    );
    let limits = Limits {
        workbook_bytes: 1000,
        ..Limits::default()
    };
    let failed = open(&path, &Profiles::none(), &limits, Use::Build).err().unwrap();
    assert_eq!(failed.problem, Problem::WorkbookTooLarge);
    assert!(failed.message.contains("`workbook_bytes`"));
}

// 10. headers and profiles

#[test]
fn a_profile_rules_and_its_lost_column_fails_the_file() {
    let folder = folder();
    let path = put(folder.path(), "north.csv", sound_list(5).as_bytes());
    let profile = |text: &str| {
        let mut profiles = Profiles::none();
        profiles.add(Path::new("north.toml"), text).unwrap();
        profiles
    };
    let said = profile("supplier = \"North\"\n[columns]\nmpn = \"Art.-Nr.\"\n");
    let list = open(&path, &said, &Limits::default(), Use::Build).unwrap().remove(0);
    assert_eq!(&*list.head().supplier, "North");
    assert_eq!(list.head().columns[0].how, MappedBy::Profile);
    assert!(
        list.head().notes.iter().any(|note| note.message.contains("`sku`")),
        "{:?}",
        list.head().notes
    );
    let wrong = profile("[columns]\nprice = \"Preis EURO\"\n");
    let failed = open(&path, &wrong, &Limits::default(), Use::Build).err().unwrap();
    assert_eq!(failed.problem, Problem::ProfileMismatch);
    assert_eq!(failed.hint, "did you mean \"Preis EUR\"?");
}

#[test]
fn reordered_columns_are_found_by_name() {
    let found = |text: &str| {
        let folder = folder();
        let path = put(folder.path(), "a.csv", text.as_bytes());
        let list = open(&path, &Profiles::none(), &Limits::default(), Use::Build)
            .unwrap()
            .remove(0);
        list.head().column_of(Field::Price)
    };
    assert_eq!(found("sku,title,price\n1,starter,2.50\n2,shroud,3.50\n"), Some(2));
    assert_eq!(found("price,sku,title\n2.50,1,starter\n3.50,2,shroud\n"), Some(0));
}

#[test]
fn metadata_beside_a_list_are_honoured() {
    let folder = folder();
    let path = put(folder.path(), "a.csv", b"1001|starter|12.50\n1002|shroud|9.90\n");
    let text = r#"{"dialect": {"delimiter": "|", "header": false},
        "tableSchema": {"columns": [{"titles": "SKU"}, {"titles": "Title"}, {"titles": "Price"}]}}"#;
    put(folder.path(), "a.csv-metadata.json", text.as_bytes());
    let list = open(&path, &Profiles::none(), &Limits::default(), Use::Build)
        .unwrap()
        .remove(0);
    assert_eq!(list.head().column_of(Field::Price), Some(2));
    assert!(
        list.head()
            .columns
            .iter()
            .all(|column| column.how == MappedBy::Metadata)
    );
}

#[test]
fn metadata_name_the_columns_that_the_header_does_not() {
    let folder = folder();
    let list = b"xq;yq;zq;Preis\n1001;starter;red;12.50\n1002;shroud;black;9.90\n";
    let path = put(folder.path(), "a.csv", list);
    let text = r#"{"tableSchema": {"columns": [{"titles": "SKU"}, {"titles": "Title"}, {}, {"titles": "Stock"}]}}"#;
    put(folder.path(), "a.csv-metadata.json", text.as_bytes());
    let list = open(&path, &Profiles::none(), &Limits::default(), Use::Build)
        .unwrap()
        .remove(0);
    let found: Vec<(Field, MappedBy)> = list
        .head()
        .columns
        .iter()
        .map(|column| (column.field, column.how))
        .collect();
    assert_eq!(
        found[..2],
        [(Field::Sku, MappedBy::Metadata), (Field::Title, MappedBy::Metadata)]
    );
    assert_eq!(
        found[3],
        (Field::Price, MappedBy::HeaderWord),
        "the header's own word stands"
    );
    assert_eq!(list.head().header, ["xq", "yq", "zq", "Preis"]);
}

// layout

#[test]
fn every_kind_of_layout_line_is_told() {
    let text = "Nordfeld Gartenteile\nStand 03/2026\n\nArt.-Nr.;Bezeichnung;Preis;Abstand\n;;EUR;mm\n\
                Seilzugstarter\n1001;Starter rot;12,50;65\n1002;Starter blau;13,50;65\nZwischensumme;;26,00;\n\
                Art.-Nr.;Bezeichnung;Preis;Abstand\nHauben;;;\n1003;Haube schwarz;9,90;118\n1004;Haube rot;9,90;118\n\
                Summe;;45,80;\n\nAlle Preise netto\n";
    let found = read_bytes("a.csv", text.as_bytes());
    let expected = LayoutCounts {
        preamble: 2,
        header: 1,
        repeated_header: 1,
        units: 1,
        section: 2,
        total: 2,
        footnote: 1,
        blank: 2,
    };
    assert_eq!(found.layout, expected);
    assert_eq!(
        found.rows.iter().map(|(line, _)| *line).collect::<Vec<_>>(),
        [7, 8, 12, 13]
    );
    assert_eq!(found.header, ["Art.-Nr.", "Bezeichnung", "Preis EUR", "Abstand mm"]);
}

#[test]
fn a_further_table_is_laid_over_the_first_by_its_names() {
    let mut text = sound_list(6);
    text.push_str("\nHauben\nPreis EUR;Art.-Nr.;Bezeichnung\n7,00;RS-5000;Haube\n8,00;RS-5001;Haube rot\n");
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!(found.rows.last().unwrap().1, ["RS-5001", "Haube rot", "8,00", ""]);
    assert_eq!(found.rejects, []);
}

#[test]
fn a_sep_line_is_obeyed() {
    let found = read_bytes(
        "a.csv",
        b"sep=|\r\nsku|title, long|price\r\n1|a, b|2.50\r\n2|c, d|3.50\r\n",
    );
    assert_eq!(rows_of(&found), [["1", "a, b", "2.50"], ["2", "c, d", "3.50"]]);
    assert_eq!(found.rows[0].0, 3);
    assert_eq!(found.layout.header, 2);
}

// 6. the same rows at every size of stretch, and as a slow reader reads them

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

fn at_stretch(path: &Path, stretch: usize, limits: &Limits) -> Option<Outcome> {
    let mut lists = open(path, &Profiles::none(), limits, Use::Tidy).ok()?;
    Some(outcome(lists.remove(0).in_stretches(stretch)))
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
    fn any_bytes_read_the_same_in_any_stretches(
        pieces in prop::collection::vec(prop::sample::select(vec![
            &b"RS-1"[..], b";", b";", b"\"", b"\"", b"\n", b"\n", b"\r\n", b"\r", b"12,50", b"starter", b"\xC3\xA9", b"\xFF", b"\0", b" ", b",", b"\"\"",
        ]), 1..120),
        stretch in 1usize..40,
    ) {
        let mut bytes = b"sku;title;price\nRS-1;starter;1,00\nRS-2;shroud;2,00\nRS-3;grip;3,00\n".to_vec();
        bytes.extend(pieces.concat());
        let folder = folder();
        let path = put(folder.path(), "a.csv", &bytes);
        let limits = Limits { line_bytes: 48, ..Limits::default() };
        prop_assert_eq!(at_stretch(&path, stretch, &limits), at_stretch(&path, 1 << 20, &limits));
    }
}
