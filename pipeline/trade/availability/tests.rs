use super::*;

#[test]
fn stock_is_read_in_numbers_and_words() {
    for (cell, stock) in [
        ("12", Stock::Pieces(12)),
        ("0", Stock::Pieces(0)),
        (">10", Stock::AtLeast(10)),
        ("10+", Stock::AtLeast(10)),
        ("> 50 Stk.", Stock::AtLeast(50)),
        ("3 szt.", Stock::Pieces(3)),
        ("lagernd", Stock::Some),
        ("sí", Stock::Some),
        ("op voorraad", Stock::Some),
        ("na zamówienie", Stock::None),
        ("on request", Stock::None),
        ("consultar", Stock::None),
    ] {
        assert_eq!(read_stock(cell), Some(stock), "{cell}");
        assert_eq!(Stock::parse(&stock.to_string()), Some(stock), "{stock}");
    }
    for cell in ["", "perhaps", "12 kg", "2026-10-01", "-3"] {
        assert_eq!(read_stock(cell), None, "{cell}");
    }
}

#[test]
fn a_lead_time_is_the_latest_day_promised() {
    for (cell, days) in [
        ("1 week", 7),
        ("1-2 dagen", 2),
        ("2-3 Wochen", 21),
        ("48h", 2),
        ("5", 5),
        ("sofort", 0),
        ("ca. 3 Tage", 3),
    ] {
        let read = read_lead_time(cell.trim_start_matches("ca. "), TimeUnit::Days);
        assert_eq!(read, Some(days), "{cell}");
    }
    assert_eq!(read_lead_time("2", TimeUnit::Weeks), Some(14));
    for cell in ["", "soon", "01.10.2026", "3 boxes", "2026-10-05"] {
        assert_eq!(read_lead_time(cell, TimeUnit::Days), None, "{cell}");
    }
}
