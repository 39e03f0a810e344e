//! Columns, profiles and metadata.

use super::*;

#[test]
fn a_profile_rules_and_its_lost_column_fails_the_file() {
    let folder = folder();
    let path = put(folder.path(), "north.csv", sound_list(5).as_bytes());
    let profile = |text: &str| {
        let mut profiles = Profiles::none();
        profiles.add(Path::new("north.toml"), text).unwrap();
        profiles
    };
    let said = profile("supplier = \"North\"\n[columns]\nmpn = \"Art.-Nr.\"\n");
    let list = open(&path, &said, &Limits::default(), Use::Build).unwrap().remove(0);
    assert_eq!(&*list.head().supplier, "North");
    assert_eq!(list.head().columns[0].how, MappedBy::Profile);
    assert!(
        list.head().notes.iter().any(|note| note.message.contains("`sku`")),
        "{:?}",
        list.head().notes
    );
    let wrong = profile("[columns]\nprice = \"Preis EURO\"\n");
    let failed = open(&path, &wrong, &Limits::default(), Use::Build).err().unwrap();
    assert_eq!(failed.problem, Problem::ProfileMismatch);
    assert_eq!(failed.hint, "did you mean \"Preis EUR\"?");
}

#[test]
fn reordered_columns_are_found_by_name() {
    let found = |text: &str| {
        let folder = folder();
        let path = put(folder.path(), "a.csv", text.as_bytes());
        let list = open(&path, &Profiles::none(), &Limits::default(), Use::Build)
            .unwrap()
            .remove(0);
        list.head().column_of(Field::Price)
    };
    assert_eq!(found("sku,title,price\n1,starter,2.50\n2,shroud,3.50\n"), Some(2));
    assert_eq!(found("price,sku,title\n2.50,1,starter\n3.50,2,shroud\n"), Some(0));
}

#[test]
fn metadata_beside_a_list_are_honoured() {
    let folder = folder();
    let path = put(folder.path(), "a.csv", b"1001|starter|12.50\n1002|shroud|9.90\n");
    let text = r#"{"dialect": {"delimiter": "|", "header": false},
        "tableSchema": {"columns": [{"titles": "SKU"}, {"titles": "Title"}, {"titles": "Price"}]}}"#;
    put(folder.path(), "a.csv-metadata.json", text.as_bytes());
    let list = open(&path, &Profiles::none(), &Limits::default(), Use::Build)
        .unwrap()
        .remove(0);
    assert_eq!(list.head().column_of(Field::Price), Some(2));
    assert!(
        list.head()
            .columns
            .iter()
            .all(|column| column.how == MappedBy::Metadata)
    );
}

#[test]
fn metadata_name_the_columns_that_the_header_does_not() {
    let folder = folder();
    let list = b"xq;yq;zq;Preis\n1001;starter;red;12.50\n1002;shroud;black;9.90\n";
    let path = put(folder.path(), "a.csv", list);
    let text = r#"{"tableSchema": {"columns": [{"titles": "SKU"}, {"titles": "Title"}, {}, {"titles": "Stock"}]}}"#;
    put(folder.path(), "a.csv-metadata.json", text.as_bytes());
    let list = open(&path, &Profiles::none(), &Limits::default(), Use::Build)
        .unwrap()
        .remove(0);
    let found: Vec<(Field, MappedBy)> = list
        .head()
        .columns
        .iter()
        .map(|column| (column.field, column.how))
        .collect();
    assert_eq!(
        found[..2],
        [(Field::Sku, MappedBy::Metadata), (Field::Title, MappedBy::Metadata)]
    );
    assert_eq!(
        found[3],
        (Field::Price, MappedBy::HeaderWord),
        "the header's own word stands"
    );
    assert_eq!(list.head().header, ["xq", "yq", "zq", "Preis"]);
}

fn under_profile(text: &str, list: &str) -> ListHead {
    let folder = folder();
    let path = put(folder.path(), "north.csv", list.as_bytes());
    let mut profiles = Profiles::none();
    profiles.add(Path::new("north.toml"), text).unwrap();
    let list = open(&path, &profiles, &Limits::default(), Use::Build)
        .unwrap()
        .remove(0);
    list.head().clone()
}

fn notes_of(head: &ListHead) -> String {
    head.notes.iter().map(|note| note.message.clone() + "\n").collect()
}

#[test]
fn where_a_profile_and_its_list_differ_is_told_and_the_profile_followed() {
    let list = format!("Alle Preise brutto je 100 Stück in CHF;;;\n;;;\n{}", sound_list(9));
    let said =
        "[dialect]\nskipRows = 2\nheaderRowCount = 1\n[price]\ncurrency = \"USD\"\nbasis = \"net\"\nper = \"pack\"\n";
    let head = under_profile(said, &list);
    let notes = notes_of(&head);
    for difference in [
        "in USD, the list heads them EUR",
        "net, the list states gross",
        "per pack, the list states per 100",
    ] {
        assert!(notes.contains(difference), "{difference}:\n{notes}");
    }
    assert!(!notes.contains("the header was"), "{notes}");
    let terms = head.price_terms();
    assert_eq!(terms.currency.as_deref(), Some("USD"));
    assert_eq!(
        (terms.basis, terms.per),
        (Some(profile::PriceBasis::Net), Some(profile::PricePer::Pack))
    );
    let head = under_profile(
        "[dialect]\nheaderRowCount = 0\n[columns]\nsku = 1\ntitle = 2\n",
        &sound_list(9),
    );
    assert!(
        notes_of(&head).contains("the header was read over 0 rows"),
        "{}",
        notes_of(&head)
    );
}

#[test]
fn what_a_list_states_of_its_prices_stands_where_the_profile_is_silent() {
    let list = format!("Alle Preise netto je 100 Stück;;;\n;;;\n{}", sound_list(9));
    let head = under_profile("[price]\ncurrency = \"EUR\"\n", &list);
    let terms = head.price_terms();
    assert_eq!(
        (terms.basis, terms.per),
        (Some(profile::PriceBasis::Net), Some(profile::PricePer::Pieces(100)))
    );
    let both = head.profile_with_terms().unwrap();
    assert_eq!((both.supplier.as_str(), &both.price), ("north", &terms));
}

#[test]
fn the_price_is_for_what_a_profile_says_in_words_or_numbers() {
    let per = |text: &str| -> Result<Option<profile::PricePer>, String> {
        let mut profiles = Profiles::none();
        let added = profiles.add(Path::new("north.toml"), &format!("[price]\nper = {text}\n"));
        added.map_err(|error| error.message)?;
        Ok(profiles.iter().next().unwrap().price.per)
    };
    use profile::PricePer::{Pack, Pieces};
    for (text, expected) in [
        ("\"pack\"", Pack),
        ("\"piece\"", Pieces(1)),
        ("\"hundred\"", Pieces(100)),
        ("\"thousand\"", Pieces(1000)),
        ("12", Pieces(12)),
    ] {
        assert_eq!(per(text), Ok(Some(expected)), "{text}");
    }
    for text in ["0", "-3", "\"dozen\"", "1.5"] {
        assert!(per(text).is_err(), "{text}");
    }
    assert!(per("\"dozen\"").unwrap_err().contains("\"pack\""));
}
