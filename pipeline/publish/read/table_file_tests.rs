use super::*;
use crate::publish::parquet_table::{NUMBERS, ROWS_PER_GROUP, write_parquet};
use crate::publish::tables::NumberRow;
use proptest::prelude::*;
use std::sync::LazyLock;

/// Rows of the table: three row groups, the last of them not full.
const ROWS: usize = 2 * ROWS_PER_GROUP + 5000;
const NAMES: [&str; 3] = ["place", "canonical", "group_id"];

/// A table whose first row group holds one place only; every seventh group is missing.
fn rows() -> Vec<NumberRow> {
    (0..ROWS)
        .map(|at| NumberRow {
            canonical: compact_str::format_compact!("c{at:06}"),
            number: compact_str::format_compact!("C-{at}"),
            place: if at < ROWS_PER_GROUP + 9 { "number" } else { "wording" }.into(),
            group_id: match at % 7 {
                0 => compact_str::CompactString::default(),
                _ => compact_str::format_compact!("G{}", at / 3000),
            },
            product_id: "P".into(),
        })
        .collect()
}

struct Written {
    _folder: tempfile::TempDir,
    file: TableFile,
}

static WRITTEN: LazyLock<Written> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("numbers.parquet");
    let rows = rows();
    write_parquet(&path, &rows.iter().collect::<Vec<_>>(), NUMBERS, "{}").unwrap();
    Written {
        file: TableFile::open(path).unwrap(),
        _folder: folder,
    }
});

fn texts(table: &NarrowTable) -> Vec<[String; 3]> {
    let columns = NAMES.map(|name| table.texts(name));
    (0..table.height())
        .map(|at| columns.map(|texts| texts.get(at).to_owned()))
        .collect()
}

/// The same question, asked of every row that was written.
fn plainly(condition: impl Fn(&NumberRow) -> bool) -> (Vec<usize>, Vec<[String; 3]>) {
    let cells = |row: &NumberRow| [&row.place, &row.canonical, &row.group_id].map(ToString::to_string);
    let rows = rows();
    let found = rows.iter().enumerate().filter(|(_, row)| condition(row));
    found.map(|(at, row)| (at, cells(row))).unzip()
}

fn holds_as_plainly(condition: &Condition, plain: impl Fn(&NumberRow) -> bool) {
    let table = WRITTEN.file.columns(&NAMES, condition).unwrap();
    let places: Vec<usize> = (0..table.height()).map(|at| table.place(at)).collect();
    assert_eq!((places, texts(&table)), plainly(plain), "{condition:?}");
}

#[test]
fn a_condition_finds_what_a_look_at_every_row_finds() {
    holds_as_plainly(&Condition::none(), |_| true);
    holds_as_plainly(&Condition::text("place", ["number"]), |row| row.place == "number");
    holds_as_plainly(&Condition::text("place", ["absent"]), |_| false);
    holds_as_plainly(&Condition::text("group_id", ["G2", "G5", "G9"]), |row| {
        ["G2", "G5", "G9"].contains(&row.group_id.as_str())
    });
    let both = Condition::text("place", ["wording"]).and(Condition::text("group_id", ["G5"]));
    holds_as_plainly(&both, |row| row.place == "wording" && row.group_id == "G5");
    let either = Condition::text("canonical", ["c000003", "c034000"]).or(Condition::text("group_id", ["G11"]));
    holds_as_plainly(&either, |row| {
        row.canonical == "c000003" || row.canonical == "c034000" || row.group_id == "G11"
    });
}

#[test]
fn a_missing_value_and_a_column_the_file_lacks_are_never_what_is_asked_for() {
    holds_as_plainly(&Condition::text("group_id", [""]), |_| false);
    holds_as_plainly(&Condition::text("no such column", ["x"]), |_| false);
    holds_as_plainly(&Condition::whole("no such column", [1]), |_| false);
    let lacking = WRITTEN
        .file
        .columns(&["no such column"], &Condition::text("canonical", ["c000003"]));
    assert_eq!(lacking.unwrap().texts("no such column").get(0), "");
}

#[test]
fn texts_are_looked_for_in_the_row_groups_that_may_hold_the_condition() {
    let like = |place: &str, end: &'static [u8]| {
        let condition = Condition::text("place", [place]);
        WRITTEN
            .file
            .texts_like("canonical", &condition, |text| text.ends_with(end))
            .unwrap()
    };
    assert_eq!(like("number", b"016400"), ["c016400"]);
    assert!(
        like("wording", b"000003").is_empty(),
        "its row group holds numbers only"
    );
    assert!(like("absent", b"3").is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn rows_are_read_by_their_places(places in prop::collection::btree_set(0..ROWS, 0..60)) {
        let places: Vec<usize> = places.into_iter().collect();
        let table = WRITTEN.file.columns_at(&NAMES, &places).unwrap();
        let expected: Vec<String> = places.iter().map(|at| format!("c{at:06}")).collect();
        let found: Vec<String> = (0..table.height()).map(|at| table.text("canonical", at).to_owned()).collect();
        prop_assert_eq!(found, expected);
        let read: Vec<usize> = (0..table.height()).map(|at| table.place(at)).collect();
        prop_assert_eq!(read, places);
    }
}
