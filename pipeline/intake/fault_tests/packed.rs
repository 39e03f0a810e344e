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
