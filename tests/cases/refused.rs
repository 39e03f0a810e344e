//! What samefit refuses or bounds: paths that lead out of their folder, keys nobody knows, and files too large, too
//! wide or packed too tightly. The limit is named each time.

use crate::helpers::{Ended, SMALL_LIST, bench, names_in, rows, samefit, text, write};
use flate2::Compression;
use flate2::write::GzEncoder;
use std::io::Write;
use std::path::Path;

/// Builds a good list beside something else.
fn build_with(home: &Path, profiles: Option<&str>) -> Ended {
    write(home, "lists/good.csv", SMALL_LIST);
    let (lists, out) = (home.join("lists"), home.join("run"));
    let folder = home.join("profiles");
    let mut arguments = vec!["build", text(&lists), "--out", text(&out)];
    if let Some(profile) = profiles {
        write(home, "profiles/good.toml", profile);
        arguments.extend(["--profiles", text(&folder)]);
    }
    samefit(&arguments)
}

#[test]
fn a_profile_may_not_reach_out_of_the_folder_of_lists() {
    for pattern in ["../other.csv", "a/../../b.csv", "/etc/lists.csv", "..\\\\other.csv"] {
        let home = bench();
        build_with(home.path(), Some(&format!("files = [\"{pattern}\"]\n")))
            .with_code(2)
            .saying("good.toml")
            .saying("`files`");
        assert!(!home.path().join("run").exists());
    }
}

#[test]
fn unknown_keys_of_a_profile_are_named_at_every_depth() {
    for (profile, key) in [
        ("suplier = \"x\"\n", "suplier"),
        ("[price]\ncurency = \"EUR\"\n", "curency"),
        ("[shipping]\nflatt = 5.9\n", "flatt"),
        ("[columns]\nskuu = \"Article no\"\n", "skuu"),
        ("[dialect]\nquotechar = \"'\"\n", "quotechar"),
    ] {
        let home = bench();
        build_with(home.path(), Some(profile))
            .with_code(2)
            .saying("good.toml")
            .saying(key);
    }
}

#[cfg(unix)]
#[test]
fn a_symbolic_link_out_of_the_folder_is_refused() {
    let home = bench();
    let secret = write(home.path(), "elsewhere/secret.csv", SMALL_LIST);
    std::fs::create_dir_all(home.path().join("lists")).unwrap();
    std::os::unix::fs::symlink(&secret, home.path().join("lists/secret.csv")).unwrap();
    build_with(home.path(), None)
        .with_code(2)
        .saying("secret.csv")
        .saying("symbolic link");
    assert!(!home.path().join("run").exists());
}

/// The code and the message of a file's reject, the good list beside it read.
#[track_caller]
fn rejected(name: &str, content: &[u8]) -> (String, String) {
    let home = bench();
    write(home.path(), &format!("lists/{name}"), content);
    build_with(home.path(), None).with_code(3);
    let out = home.path().join("run");
    assert!(
        rows(text(&out), "crossref.csv").len() >= 3,
        "the good list is processed"
    );
    assert!(names_in(home.path()).iter().all(|name| !name.contains("tmp")));
    let rejects = rows(text(&out), "rejects.csv");
    let of_file = rejects
        .iter()
        .find(|row| row[0].contains(name))
        .expect("a reject of the file");
    let all: Vec<&str> = of_file.iter().collect();
    (of_file[3].to_string(), all.join(" "))
}

#[test]
fn a_field_of_a_hundred_megabytes_costs_its_line_only() {
    let mut list = SMALL_LIST.as_bytes().to_vec();
    list.extend_from_slice(b"A-1005;\"");
    list.resize(list.len() + 100_000_000, b'x');
    list.extend_from_slice(b"\";;1,00\nA-1006;Recoil starter 188F;;9,00\n");
    let (code, row) = rejected("long.csv", &list);
    assert_eq!(code, "line-too-long");
    assert!(row.contains("`line_bytes`"), "{}", &row[..row.len().min(400)]);
    assert!(row.len() < 10_000, "the raw text kept is bounded");
}

#[test]
fn twenty_thousand_columns_are_refused_by_the_limits_name() {
    let header: Vec<String> = (0..20_000).map(|index| format!("c{index}")).collect();
    let row = vec!["1"; 20_000].join(";");
    let list = format!("{}\n{row}\n{row}\n{row}\n", header.join(";"));
    let (code, row) = rejected("wide.csv", list.as_bytes());
    assert_eq!(code, "too-many-columns");
    assert!(row.contains("`columns`"));
}

fn packed(content: &[u8]) -> Vec<u8> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(content).unwrap();
    encoder.finish().unwrap()
}

#[test]
fn a_packed_file_cut_short_or_packed_too_tightly_is_refused() {
    let long: String = (0..4000)
        .map(|row| format!("A-{row};Recoil starter {row}F;;{row},50\n"))
        .collect();
    let whole = packed(format!("Article no;Title;EAN;Price EUR\n{long}").as_bytes());
    let (code, _) = rejected("short.csv.gz", &whole[..whole.len() / 2]);
    assert_eq!(code, "damaged-archive");
    let mut bomb = SMALL_LIST.as_bytes().to_vec();
    bomb.resize(64 << 20, b'\n');
    let (code, row) = rejected("bomb.csv.gz", &packed(&bomb));
    assert_eq!(code, "ratio-too-high");
    assert!(row.contains("compression_ratio"), "{row}");
}

#[test]
fn several_packed_members_plain_text_named_gz_and_junk_behind_are_read() {
    let home = bench();
    let (head, body) = SMALL_LIST.split_at(SMALL_LIST.find('\n').unwrap() + 1);
    let members = [packed(head.as_bytes()), packed(body.as_bytes())].concat();
    write(home.path(), "lists/members.csv.gz", &members);
    write(home.path(), "lists/plain.csv.gz", SMALL_LIST);
    let mut junk = packed(SMALL_LIST.as_bytes());
    junk.extend_from_slice(b"\0\0\0 left by a mailer");
    write(home.path(), "lists/junk.csv.gz", &junk);
    build_with(home.path(), None).with_code(0);
    assert_eq!(rows(text(&home.path().join("run")), "crossref.csv").len(), 12);
}
