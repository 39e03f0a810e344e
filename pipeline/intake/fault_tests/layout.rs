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
