//! Files without a list in them.

use super::*;

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
