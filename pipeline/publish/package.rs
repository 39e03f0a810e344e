//! `datapackage.json`: the run's CSV tables as a Frictionless Data Package, version 2.0.
//!
//! It lets a validator, a notebook or a database load the tables with their types, and check that the
//! bytes are the ones that were written. Nothing in it changes from one run over the same lists to the
//! next: there is no date of creation.

use std::path::Path;

use serde::Serialize;

use super::column::TableRow;
use super::error::PublishError;
use super::manifest::{FileEntry, write_json};
use super::nightly_tables::{ChangeRow, IdRow};
use super::schema::{TableSchema, table_schema};
use super::tables::{
    CrossrefRow, GroupRow, ProductRow, RejectRow, ReviewRow, SetAsideRow, SupplierRow, TrackRecordRow,
};

/// Name of the descriptor in a run's folder.
pub const PACKAGE_FILE: &str = "datapackage.json";

#[derive(Debug, Serialize)]
struct Package<'a> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    name: &'static str,
    title: &'static str,
    description: &'static str,
    version: &'a str,
    resources: Vec<Resource>,
}

#[derive(Debug, Serialize)]
struct Resource {
    name: &'static str,
    #[serde(rename = "type")]
    of_type: &'static str,
    path: String,
    format: &'static str,
    mediatype: &'static str,
    encoding: &'static str,
    bytes: u64,
    hash: String,
    dialect: Dialect,
    schema: TableSchema,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
struct Dialect {
    delimiter: &'static str,
    line_terminator: &'static str,
    quote_char: &'static str,
    double_quote: bool,
    header: bool,
}

/// Writes the descriptor over the CSV files already in the folder.
pub fn write_package(folder: &Path, version: &str, files: &[FileEntry]) -> Result<(), PublishError> {
    let resources = [
        resource::<CrossrefRow>(files),
        resource::<GroupRow>(files),
        resource::<ProductRow>(files),
        resource::<SetAsideRow>(files),
        resource::<RejectRow>(files),
        resource::<SupplierRow>(files),
        resource::<TrackRecordRow>(files),
        resource::<ReviewRow>(files),
        resource::<ChangeRow>(files),
        resource::<IdRow>(files),
    ];
    let package = Package {
        schema: "https://datapackage.org/profiles/2.0/datapackage.json",
        name: "samefit-run",
        title: "Cross-reference of small-engine parts",
        description: "Offers of several suppliers, grouped by what is the same part and what interchanges",
        version,
        resources: resources.into_iter().flatten().collect(),
    };
    write_json(&folder.join(PACKAGE_FILE), &package)
}

fn resource<R: TableRow>(files: &[FileEntry]) -> Option<Resource> {
    let path = format!("{}.csv", R::TABLE);
    let entry = files.iter().find(|entry| entry.file == path)?;
    Some(Resource {
        name: R::TABLE,
        of_type: "table",
        path,
        format: "csv",
        mediatype: "text/csv",
        encoding: "utf-8",
        bytes: entry.bytes,
        hash: format!("sha256:{}", entry.sha256),
        dialect: Dialect {
            delimiter: ",",
            line_terminator: "\r\n",
            quote_char: "\"",
            double_quote: true,
            header: true,
        },
        schema: table_schema::<R>(),
    })
}
