//! Table schemas: what the columns of each published table mean, for other programs.
//!
//! Written as Table Schema of the Frictionless Data Package standard, version 2.0, from the row types
//! themselves. The copies under `schemas/tables/` are for people and programs that look before they
//! run; a test keeps them equal to what the code says (`SAMEFIT_WRITE_SCHEMAS=1` rewrites them).

use serde::Serialize;

use super::column::{Column, ColumnType, Presence, TableRow};
use super::nightly_tables::{ChangeRow, IdRow, PriceRow};
use super::tables::{
    CrossrefRow, GroupRow, LinkRow, NumberRow, ProductRow, RejectRow, ReviewRow, SetAsideRow, SupplierRow,
    TrackRecordRow,
};

/// A Table Schema.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct TableSchema {
    #[serde(rename = "$schema")]
    schema: &'static str,
    title: &'static str,
    description: &'static str,
    fields: Vec<FieldSchema>,
    missing_values: [&'static str; 1],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    primary_key: &'static [&'static str],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    foreign_keys: Vec<ForeignKey>,
}

#[derive(Debug, Clone, Serialize)]
struct FieldSchema {
    name: &'static str,
    #[serde(rename = "type")]
    of_type: &'static str,
    description: &'static str,
    #[serde(skip_serializing_if = "Constraints::is_none")]
    constraints: Constraints,
}

#[derive(Debug, Clone, Default, Serialize)]
struct Constraints {
    #[serde(skip_serializing_if = "Option::is_none")]
    required: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    minimum: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    maximum: Option<u8>,
}

impl Constraints {
    fn is_none(&self) -> bool {
        self.required.is_none() && self.minimum.is_none() && self.maximum.is_none()
    }
}

#[derive(Debug, Clone, Serialize)]
struct ForeignKey {
    fields: [&'static str; 1],
    reference: Reference,
}

#[derive(Debug, Clone, Serialize)]
struct Reference {
    resource: &'static str,
    fields: [&'static str; 1],
}

/// The schema of one table.
pub fn table_schema<R: TableRow>() -> TableSchema {
    TableSchema {
        schema: "https://datapackage.org/profiles/2.0/tableschema.json",
        title: R::TABLE,
        description: R::ABOUT.trim(),
        fields: R::COLUMNS.iter().map(field_schema).collect(),
        missing_values: [""],
        primary_key: primary_key(R::TABLE),
        foreign_keys: foreign_keys::<R>(),
    }
}

/// Every published table with its schema as JSON, ready to be written to `schemas/tables/NAME.json`.
pub fn all_schemas() -> Result<Vec<(&'static str, String)>, serde_json::Error> {
    fn one<R: TableRow>() -> Result<(&'static str, String), serde_json::Error> {
        let mut text = serde_json::to_string_pretty(&table_schema::<R>())?;
        text.push('\n');
        Ok((R::TABLE, text))
    }
    Ok(vec![
        one::<CrossrefRow>()?,
        one::<LinkRow>()?,
        one::<GroupRow>()?,
        one::<ProductRow>()?,
        one::<SetAsideRow>()?,
        one::<RejectRow>()?,
        one::<SupplierRow>()?,
        one::<ChangeRow>()?,
        one::<PriceRow>()?,
        one::<IdRow>()?,
        one::<TrackRecordRow>()?,
        one::<ReviewRow>()?,
        one::<NumberRow>()?,
    ])
}

fn field_schema(column: &Column) -> FieldSchema {
    let required = (column.presence == Presence::Always).then_some(true);
    let (of_type, minimum, maximum) = match column.of_type {
        ColumnType::Text => ("string", None, None),
        ColumnType::Whole => ("integer", Some(0), None),
        ColumnType::Number { .. } | ColumnType::Money => ("number", None, None),
        ColumnType::Probability => ("number", Some(0), Some(1)),
    };
    FieldSchema {
        name: column.name,
        of_type,
        description: column.meaning.trim(),
        constraints: Constraints {
            required,
            minimum,
            maximum,
        },
    }
}

fn primary_key(table: &str) -> &'static [&'static str] {
    match table {
        "crossref" => &["source_file", "source_line"],
        "groups" => &["group_id"],
        "products" => &["product_id"],
        "set-aside" => &["file", "line"],
        "track-records" => &["supplier", "attribute"],
        _ => &[],
    }
}

/// `group_id` and `product_id` point at the tables of their name, except in these themselves and among changes, which
/// also speak of what is gone.
fn foreign_keys<R: TableRow>() -> Vec<ForeignKey> {
    [("group_id", "groups"), ("product_id", "products")]
        .into_iter()
        .filter(|(field, table)| {
            R::TABLE != *table && R::TABLE != ChangeRow::TABLE && R::COLUMNS.iter().any(|column| column.name == *field)
        })
        .map(|(field, resource)| ForeignKey {
            fields: [field],
            reference: Reference {
                resource,
                fields: [field],
            },
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::{Path, PathBuf};

    fn schemas_folder() -> PathBuf {
        // This file is pipeline/publish/schema.rs; the schemas lie beside pipeline/.
        let house = Path::new(file!()).ancestors().nth(3).unwrap();
        house.join("schemas").join("tables")
    }

    #[test]
    fn the_schemas_on_disk_say_what_the_code_says() {
        let rewrite = std::env::var_os("SAMEFIT_WRITE_SCHEMAS").is_some();
        for (table, expected) in all_schemas().unwrap() {
            let path = schemas_folder().join(format!("{table}.json"));
            if rewrite {
                std::fs::create_dir_all(schemas_folder()).unwrap();
                std::fs::write(&path, &expected).unwrap();
            }
            let found = std::fs::read_to_string(&path).unwrap_or_default().replace("\r\n", "\n");
            assert_eq!(
                found,
                expected,
                "{} is out of date: run the tests with SAMEFIT_WRITE_SCHEMAS=1",
                path.display()
            );
        }
    }

    #[test]
    fn an_offer_points_at_its_group_and_product() {
        let keys = foreign_keys::<CrossrefRow>();
        assert_eq!(keys.len(), 2);
        assert!(foreign_keys::<GroupRow>().is_empty());
    }
}
