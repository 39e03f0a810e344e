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
