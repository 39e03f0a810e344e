use super::*;
use std::time::Duration;

#[test]
fn a_state_comes_back_as_it_was_written_and_another_format_is_refused() {
    let home = tempfile::tempdir().unwrap();
    let store = Store::open(home.path(), Duration::ZERO).unwrap();
    let offer = KnownOffer {
        supplier: "north".into(),
        sku: "0012".into(),
        landed: "12.50".parse().ok(),
        prices: vec![PricePoint {
            since: "2026-09-01".into(),
            price: "12.5".parse().ok(),
            currency: "EUR".into(),
            listed: true,
        }],
        ..KnownOffer::default()
    };
    let ledger = Ledger {
        offers: vec![offer],
        ..Ledger::default()
    };
    let mut note = Note {
        format: FORMAT,
        run: "one".into(),
        ..Note::default()
    };
    write(&store, &note, &ledger).unwrap();
    assert_eq!(read_ledger(&store, "one").unwrap().offers, ledger.offers);
    assert_eq!(read_note(&store, "one").unwrap().unwrap().run, "one");
    assert!(read_note(&store, "two").unwrap().is_none());
    note.format += 1;
    write_note(&store, &note).unwrap();
    assert!(read_note(&store, "one").unwrap_err().to_string().contains("format"));
}
