//! Workbooks.

use super::*;

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

#[test]
fn one_text_in_many_cells_is_capped() {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    let long = "x".repeat(30_000);
    for row in 0..200 {
        sheet.write(row, 0, &long).unwrap();
    }
    let limits = Limits {
        workbook_bytes: 1 << 20,
        ..Limits::default()
    };
    let failed = failure("a.xlsx", &book.save_to_buffer().unwrap(), &limits);
    assert_eq!(failed.problem, Problem::WorkbookTooLarge);
    assert!(failed.message.contains("`workbook_bytes`"), "{}", failed.message);
}

#[test]
fn a_merged_header_says_its_names_once_and_a_cover_sheet_is_told() {
    use rust_xlsxwriter::{Format, Workbook};
    let mut book = Workbook::new();
    let cover = book.add_worksheet();
    cover.set_name("Deckblatt").unwrap();
    cover.write(0, 0, "Willkommen").unwrap();
    cover.write(1, 0, "Bitte lesen").unwrap();
    let sheet = book.add_worksheet();
    let plain = Format::new();
    sheet.merge_range(0, 0, 1, 0, "Art.-Nr.", &plain).unwrap();
    sheet.merge_range(0, 1, 1, 1, "Bezeichnung", &plain).unwrap();
    sheet.merge_range(0, 2, 0, 3, "Preis", &plain).unwrap();
    sheet.write(1, 2, "netto").unwrap();
    sheet.write(1, 3, "brutto").unwrap();
    for row in 0..8u32 {
        sheet.write(row + 2, 0, format!("RS-{row}")).unwrap();
        sheet.write(row + 2, 1, "Seilzugstarter").unwrap();
        sheet.write(row + 2, 2, 10.5 + f64::from(row)).unwrap();
        sheet.write(row + 2, 3, 12.5 + f64::from(row)).unwrap();
    }
    let folder = folder();
    let path = put(folder.path(), "list.xlsx", &book.save_to_buffer().unwrap());
    let mut lists = open(&path, &Profiles::none(), &Limits::default(), Use::Build).unwrap();
    assert_eq!(lists.len(), 1);
    let found = outcome(lists.remove(0));
    assert_eq!(found.header, ["Art.-Nr.", "Bezeichnung", "Preis netto", "Preis brutto"]);
    assert_eq!((found.rows.len(), found.rows[0].0), (8, 3));
    assert!(
        found.notes.iter().any(|note| note.message.contains("Deckblatt")),
        "{:?}",
        found.notes
    );
}
