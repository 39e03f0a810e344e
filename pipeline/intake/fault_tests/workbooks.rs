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
