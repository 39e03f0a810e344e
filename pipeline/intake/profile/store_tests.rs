use super::super::{ColumnName, PriceBasis};
use super::*;
use crate::intake::field::Field;

fn profile(text: &str) -> Result<Profiles, ProfileError> {
    let mut profiles = Profiles::none();
    profiles.add(Path::new("schemas/suppliers/north-field.toml"), text)?;
    Ok(profiles)
}

#[test]
fn a_full_profile_is_read() {
    let profiles = profile(
        r#"
        supplier = "North Field Parts"
        files = ["nf-*.csv"]
        nulls = ["-"]
        list_separators = ["/"]
        lead_time_days = 3
        home_country = "DE"
        [dialect]
        delimiter = ";"
        quoteChar = '"'
        headerRowCount = 1
        decimalChar = ","
        encoding = "windows-1252"
        [columns]
        sku = "Art.-Nr."
        price = 7
        description = ["Text 1", "Text 2"]
        [units]
        bolt_spacing = "mm"
        [price]
        currency = "EUR"
        basis = "net"
        tax_rate = 0.19
        [shipping]
        flat = 6.90
        free_above = 150
        "#,
    )
    .unwrap();
    let found = profiles.for_file(Path::new("lists/NF-2026.csv")).unwrap();
    assert_eq!(found.supplier, "North Field Parts");
    assert_eq!(found.columns[&Field::Price], vec![ColumnName::Number(7)]);
    assert_eq!(found.columns[&Field::Description].len(), 2);
    assert_eq!(found.price.basis, Some(PriceBasis::Net));
    assert_eq!(found.shipping.as_ref().unwrap().flat.unwrap().0.to_string(), "6.9");
    assert!(profiles.for_file(Path::new("lists/other.csv")).is_none());
}

#[test]
fn an_unknown_key_is_named_with_a_suggestion() {
    let error = profile("supplier = \"x\"\n[dialect]\ndelimeter = \";\"\n").unwrap_err();
    assert!(error.message.contains("`delimeter`"), "{error}");
    assert!(error.message.contains("line 3"), "{error}");
    assert_eq!(error.hint, "did you mean `delimiter`?");
    let error = profile("[columns]\nskuu = \"Nr\"\n").unwrap_err();
    assert!(error.message.contains("did you mean `sku`?"), "{error}");
}

#[test]
fn a_pattern_that_leaves_the_folder_is_refused() {
    let error = profile("files = [\"../secret.csv\"]\n").unwrap_err();
    assert!(error.message.contains("`files`"), "{error}");
}

#[test]
fn without_patterns_the_stem_decides() {
    let profiles = profile("").unwrap();
    assert_eq!(
        profiles.for_file(Path::new("a/North-Field.csv.gz")).unwrap().supplier,
        "north-field"
    );
    assert!(profiles.for_file(Path::new("a/south-field.csv")).is_none());
}
