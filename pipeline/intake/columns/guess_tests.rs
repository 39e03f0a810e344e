use super::*;

fn mapped(header: &[&str], rows: &[&[&str]], profile: Option<&str>) -> Result<Vec<(usize, Field)>, (String, String)> {
    let header: Vec<String> = header.iter().map(|text| text.to_string()).collect();
    let sample: Vec<Vec<String>> = rows
        .iter()
        .map(|row| row.iter().map(|cell| cell.to_string()).collect())
        .collect();
    let width = sample[0].len();
    let columns = Columns {
        header: &header,
        named_by: MappedBy::HeaderWord,
        titles: &[],
        sample: &sample,
        width,
    };
    let profile: Option<Profile> = profile.map(|text| toml::from_str(text).unwrap());
    let mapped = map_columns(&columns, profile.as_ref(), &mut Vec::new())?;
    Ok(mapped.into_iter().map(|column| (column.index, column.field)).collect())
}

const ROWS: [&[&str]; 3] = [
    &["RS-1001", "Recoil starter 168F", "12,50", "4006381333931"],
    &["RS-1002", "Recoil starter 188F long", "14,00", "4006381333948"],
    &["FS-2001", "Fan shroud black 168F", "9,90", "4006381333955"],
];

#[test]
fn headers_name_the_columns() {
    let found = mapped(&["Art.-Nr.", "Bezeichnung", "VK netto EUR", "EAN"], &ROWS, None).unwrap();
    assert_eq!(
        found,
        [(0, Field::Sku), (1, Field::Title), (2, Field::Price), (3, Field::Gtin)]
    );
}

#[test]
fn without_a_header_the_values_do() {
    let found = mapped(&[], &ROWS, None).unwrap();
    assert_eq!(
        found,
        [(0, Field::Sku), (1, Field::Title), (2, Field::Price), (3, Field::Gtin)]
    );
}

#[test]
fn of_two_prices_the_dealers_is_taken() {
    let rows: [&[&str]; 2] = [&["1", "20,00", "12,50"], &["2", "30,00", "14,00"]];
    let found = mapped(&["Nr", "UVP", "Preis netto"], &rows, None).unwrap();
    assert_eq!(found, [(0, Field::Sku), (1, Field::Ignored), (2, Field::Price)]);
}

#[test]
fn a_price_per_piece_is_a_price_and_a_column_of_what_prices_are_for_is_none() {
    let priced = |heading: &str, prices: [&str; 6]| {
        let rows: Vec<[&str; 3]> = prices
            .into_iter()
            .map(|price| ["RS-1", "Recoil starter", price])
            .collect();
        let rows: Vec<&[&str]> = rows.iter().map(|row| &row[..]).collect();
        mapped(&["Item", "Description", heading], &rows, None).unwrap()[2].1
    };
    let amounts = ["8.20", "5.96", "9.32", "7.10", "6.00", "8.80"];
    let whole = ["820", "596", "932", "710", "600", "880"];
    for heading in [
        "Price per piece EUR",
        "Price per pc",
        "Price per item",
        "Price per 100",
        "Price per dozen",
        "Cena za szt.",
        "Prijs per 100",
    ] {
        assert_eq!(priced(heading, amounts), Field::Price, "{heading}");
        assert_eq!(priced(heading, whole), Field::Price, "{heading}, whole amounts");
    }
    for heading in ["Preiseinheit", "Price per", "Per"] {
        assert_eq!(
            priced(heading, ["100", "100", "1", "100", "12", "100"]),
            Field::PriceBasis
        );
        assert_eq!(
            priced(heading, ["piece", "piece", "dozen", "piece", "piece", "piece"]),
            Field::PriceBasis
        );
    }
}

#[test]
fn prices_in_two_currencies_are_both_kept() {
    let rows: [&[&str]; 2] = [&["A1", "8.80", "8.00"], &["A2", "", "9.00"]];
    let found = mapped(&["Item", "Price USD", "Price EUR"], &rows, None).unwrap();
    assert_eq!(found, [(0, Field::Sku), (1, Field::Price), (2, Field::Price)]);
    let found = mapped(&["Item", "Price EUR", "Price 2 EUR"], &rows, None).unwrap();
    assert_eq!(found.iter().filter(|(_, field)| *field == Field::Price).count(), 1);
}

#[test]
fn of_a_heading_in_two_rows_the_lower_one_may_tell() {
    let names: Vec<String> = (0..6)
        .map(|row| format!("Arranque retráctil completo, motor {row}68"))
        .collect();
    let rows: Vec<[&str; 2]> = names.iter().map(|name| ["T-1", name.as_str()]).collect();
    let rows: Vec<&[&str]> = rows.iter().map(|row| &row[..]).collect();
    let found = mapped(&["Artigo Ref.", "Artigo Descrição"], &rows, None).unwrap();
    assert_eq!(found[1].1, Field::Description);
}

#[test]
fn several_makers_numbers_in_a_cell_are_numbers() {
    let numbers: Vec<String> = (10..18).map(|row| format!("VNT-{row}-284 / ZRP-{row}-331")).collect();
    let rows: Vec<[&str; 2]> = numbers.iter().map(|number| ["Arranque", number.as_str()]).collect();
    let rows: Vec<&[&str]> = rows.iter().map(|row| &row[..]).collect();
    let found = mapped(&["Descrição", "Artigo Ref. fabricante"], &rows, None).unwrap();
    assert_eq!(found[1].1, Field::Mpn);
}

#[test]
fn engines_as_headings_over_marks_say_what_a_part_fits() {
    let header = ["Art.nr", "Benämning", "152F", "168F", "188F", "Pris SEK"];
    let rows: [&[&str]; 4] = [
        &header,
        &["SG-1", "Snörstart", "X", "", "", "81,00"],
        &["SG-2", "Snörstart", "", "x", "", "91,00"],
        &["SG-3", "Fläktkåpa", "X", "x", "", "71,00"],
    ];
    let found = mapped(&header, &rows, None).unwrap();
    let fields: Vec<Field> = found.into_iter().map(|(_, field)| field).collect();
    let fits = Field::Fits;
    assert_eq!(fields, [Field::Sku, Field::Title, fits, fits, fits, Field::Price]);
    // prices under engines say no such thing
    let rows: [&[&str]; 2] = [
        &["SG-1", "Starter", "8,10", "9,10", "7,90", "1,00"],
        &["SG-2", "Starter", "8,20", "9,20", "7,80", "1,00"],
    ];
    let found = mapped(&header, &rows, None).unwrap();
    assert!(found.iter().all(|(_, field)| *field != fits), "{found:?}");
}

#[test]
fn a_profile_wins_and_its_missing_column_is_named() {
    let header = ["Art.-Nr.", "Bezeichnung", "VK netto EUR", "EAN"];
    let found = mapped(&header, &ROWS, Some("[columns]\nmpn = \"Art.-Nr.\"\nprice = 3")).unwrap();
    assert_eq!(found[0], (0, Field::Mpn));
    let (message, hint) = mapped(&header, &ROWS, Some("[columns]\nprice = \"VK nett EUR\"")).unwrap_err();
    assert!(
        message.contains("`price`") && message.contains("VK nett EUR"),
        "{message}"
    );
    assert_eq!(hint, "did you mean \"VK netto EUR\"?");
}

#[test]
fn values_tell_fixings_that_are_counted_from_fixings_that_are_screws() {
    let field = |heading: &str, values: [&str; 3]| {
        let rows: Vec<[&str; 2]> = values.into_iter().map(|value| ["RS-1", value]).collect();
        let rows: Vec<&[&str]> = rows.iter().map(|row| &row[..]).collect();
        mapped(&["Art.-Nr.", heading], &rows, None).unwrap()[1].1
    };
    assert_eq!(field("Fixings", ["3", "4", "5"]), Field::BoltHoles);
    assert_eq!(field("Fixings", ["M6", "1/4-20", "M8"]), Field::Fastener);
    assert_eq!(field("No. of fixings", ["3", "4", "4"]), Field::BoltHoles);
    assert_eq!(field("Bolts", ["M6", "M8", "M6"]), Field::Fastener);
    assert_eq!(field("Bolt size", ["6", "8", "6"]), Field::Fastener);
    assert_eq!(field("Colour", ["red", "black", "red"]), Field::Colour);
}
