//! Packed files: gzip, zstd, zip.

use super::*;

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

fn zipped(members: &[(&str, Vec<u8>)]) -> Vec<u8> {
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in members {
        archive
            .start_file(*name, zip::write::SimpleFileOptions::default())
            .unwrap();
        archive.write_all(bytes).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

fn workbook() -> Vec<u8> {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, cells) in [["Art.-Nr.", "Bezeichnung"], ["RS-1", "Starter"], ["RS-2", "Haube"]]
        .iter()
        .enumerate()
    {
        for (column, cell) in cells.iter().enumerate() {
            sheet.write(row as u32, column as u16, *cell).unwrap();
        }
    }
    book.save_to_buffer().unwrap()
}

/// Names and rows, or names and problems, of what lies in a file.
fn found_in(bytes: &[u8], limits: &Limits) -> Vec<(String, Result<usize, Problem>)> {
    let folder = folder();
    let path = put(folder.path(), "lists.zip", bytes);
    let lists = read_file(&InputFile::named(&path), &Profiles::none(), limits, Use::Build);
    lists
        .into_iter()
        .map(|list| match list {
            Ok(list) => (list.head().shown(), Ok(outcome(list).rows.len())),
            Err(failure) => (failure.file.to_string(), Err(failure.problem)),
        })
        .collect()
}

#[test]
fn a_bad_member_fails_by_itself_and_the_others_are_read() {
    let list = sound_list(5).into_bytes();
    let mut cut = gzipped(&sound_list(500).into_bytes());
    cut.truncate(cut.len() / 2);
    let archive = zipped(&[
        ("a.csv", list.clone()),
        ("b.csv.gz", gzipped(&list)),
        ("c.csv.zst", zstd::encode_all(&list[..], 3).unwrap()),
        ("cut.csv.gz", cut),
        ("empty.csv", Vec::new()),
        ("inner.zip", zipped(&[("x.csv", list.clone())])),
        ("logo.png", b"\x89PNG".to_vec()),
        ("twice.csv.gz", gzipped(&gzipped(&list))),
        ("v.xlsx", workbook()),
    ]);
    let found = found_in(&archive, &Limits::default());
    let expected = [
        ("lists.zip!/a.csv", Ok(5)),
        ("lists.zip!/b.csv.gz", Ok(5)),
        ("lists.zip!/c.csv.zst", Ok(5)),
        ("lists.zip!/cut.csv.gz", Err(Problem::DamagedArchive)),
        ("lists.zip!/empty.csv", Err(Problem::EmptyFile)),
        ("lists.zip!/inner.zip", Err(Problem::UnsupportedArchive)),
        ("lists.zip!/twice.csv.gz", Err(Problem::UnsupportedArchive)),
        ("lists.zip!/v.xlsx#Sheet1", Ok(2)),
    ];
    let expected: Vec<_> = expected
        .iter()
        .map(|(name, result)| (name.to_string(), *result))
        .collect();
    assert_eq!(found, expected);
}

#[test]
fn an_archive_without_lists_is_refused() {
    let archive = zipped(&[("logo.png", b"\x89PNG".to_vec())]);
    assert_eq!(
        failure("a.zip", &archive, &Limits::default()).problem,
        Problem::UnsupportedArchive
    );
}

#[test]
fn members_unpack_to_no_more_than_the_limit_together() {
    let list = sound_list(200).into_bytes();
    let limits = Limits {
        decompressed_bytes: list.len() as u64 * 5 / 2,
        ..Limits::default()
    };
    let archive = zipped(&[("a.csv", list.clone()), ("b.csv", list.clone()), ("c.csv", list)]);
    let found = found_in(&archive, &limits);
    assert_eq!((&found[0].1, &found[1].1), (&Ok(200), &Ok(200)));
    assert_eq!(found[2].1, Err(Problem::TooManyBytes));
}
