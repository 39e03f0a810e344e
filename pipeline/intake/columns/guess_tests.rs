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
