//! Layout lines.

use super::*;

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

#[test]
fn a_header_over_three_rows_is_joined() {
    let mut text = String::from("Artikel;;Preise;;Masse;\n;;netto;;Loch;\nNr.;Name;EK;VK;Kreis;Zahl\n");
    for row in 0..10 {
        text.push_str(&format!("N-{row};Starter {row};{row},10;{row},90;118;3\n"));
    }
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!((found.layout.header, found.rows.len()), (3, 10));
    assert_eq!(
        found.header,
        [
            "Artikel Nr.",
            "Artikel Name",
            "Preise netto EK",
            "Preise netto VK",
            "Masse Loch Kreis",
            "Masse Loch Zahl"
        ]
    );
}

#[test]
fn a_header_written_twice_as_a_whole_is_joined_as_it_stands() {
    let mut text = String::from("sku;title;price\nsku;title;price\n");
    for row in 0..9 {
        text.push_str(&format!("N-{row};Starter {row};{row},10\n"));
    }
    let found = read_bytes("a.csv", text.as_bytes());
    assert_eq!((found.layout.header, found.rows.len()), (2, 9));
    assert_eq!(found.header, ["sku sku", "title title", "price price"]);
}

/// A print-out of three pages, columns aligned by spaces, with all that a page has of its own.
fn print_out(rows_per_page: usize) -> String {
    let mut text = String::new();
    for page in 0..3 {
        let feed = if page > 0 { "\u{c}" } else { "" };
        text.push_str(&format!(
            "{feed}HOLLOWMERE PARTS COUNTER        TRADE PRICES     PAGE {}\n",
            page + 1
        ));
        text.push_str("All prices per piece in GBP, excluding VAT\n\n");
        text.push_str("STOCK NO   DESCRIPTION                      ENGINE    PRICE GBP   QTY\n");
        text.push_str("---------- -------------------------------- --------- ---------- ----\n");
        if page > 0 {
            text.push_str("                                    BROUGHT FORWARD     272.69\n");
        }
        for row in 0..rows_per_page {
            let name = [
                "Recoil starter, 3 hole, 196cc, r",
                "Fan shroud",
                "Pull starter, blue",
                "Spark plug, long",
            ][row % 4];
            let engine = ["168F", "", "1P68F"][row % 3];
            text.push_str(&format!(
                "HM{:06}   {name:<32} {engine:<9} {:>7}.{:02} {:>4}\n",
                448_000 + page * 1000 + row * 37,
                row % 20,
                row * 7 % 100,
                row * 13 % 60
            ));
        }
        if page < 2 {
            text.push_str("                                    CARRIED FORWARD     272.69\n");
        }
    }
    text
}

#[test]
fn a_print_out_is_cut_at_its_gutters_page_after_page() {
    let found = read_bytes("counter.txt", print_out(20).as_bytes());
    assert_eq!(found.header, ["STOCK NO", "DESCRIPTION", "ENGINE", "PRICE GBP", "QTY"]);
    assert_eq!(found.rows.len(), 60);
    assert_eq!(
        found.rows[0].1,
        ["HM448000", "Recoil starter, 3 hole, 196cc, r", "168F", "0.00", "0"]
    );
    assert_eq!(found.rows[21].1[0], "HM449037");
    assert_eq!(found.rejects, []);
    assert_eq!((found.layout.total, found.layout.repeated_header), (4, 2));
    assert_eq!(found.read, 60 + found.layout.sum());
}

#[test]
fn a_row_across_a_gutter_is_rejected_and_not_guessed_at() {
    let mut text = print_out(20);
    text.push_str("HM999999 X Starter that does not keep to its column      9.50   12\n");
    let found = read_bytes("counter.txt", text.as_bytes());
    assert_eq!((found.rows.len(), found.rejects.len()), (60, 1));
    assert_eq!(found.rejects[0].1, Problem::TooFewCells);
}

#[test]
fn a_print_out_reads_the_same_in_stretches_of_any_size() {
    let folder = folder();
    let path = put(folder.path(), "counter.txt", print_out(40).as_bytes());
    let whole = at_stretch(&path, 1 << 20, &Limits::default());
    assert!(whole.is_some());
    for stretch in [97, 1000, 4096] {
        assert_eq!(at_stretch(&path, stretch, &Limits::default()), whole);
    }
}

#[test]
fn a_first_offer_whose_price_is_no_plain_amount_is_an_offer_and_no_header() {
    for price in ["POA", "12.50 net", "US$7.29/pc", "$ 270.62 MXN"] {
        let mut text = format!("Code;Description;Price\nA1;Recoil starter 168F;{price}\n");
        for row in 2..12 {
            text.push_str(&format!("A{row};Recoil starter {row}8F;10{row}.50\n"));
        }
        let found = read_bytes("a.csv", text.as_bytes());
        assert_eq!(found.header, ["Code", "Description", "Price"], "{price}");
        assert_eq!(
            found.rows.first().map(|row| row.1[0].clone()),
            Some("A1".to_owned()),
            "{price}"
        );
    }
}
