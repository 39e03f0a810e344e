//! CSVW metadata beside a CSV (`list.csv-metadata.json`, W3C Metadata Vocabulary for Tabular Data): its dialect stands in
//! for the profile's where the profile is silent, and its column titles name the columns: all of them in a file without a
//! header, else those whose header words are not known. Other parts of the vocabulary are left unread.

use std::fs;
use std::path::Path;

use serde::Deserialize;

use super::profile::Dialect;

/// Metadata files longer than this are not read, bytes.
const LONGEST: u64 = 1 << 20;

/// What the metadata say.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Metadata {
    pub(crate) dialect: Dialect,
    pub(crate) titles: Vec<String>,
}

#[derive(Deserialize)]
struct Written {
    #[serde(default)]
    dialect: WrittenDialect,
    #[serde(default, rename = "tableSchema")]
    schema: Schema,
}

#[derive(Deserialize, Default)]
#[serde(rename_all = "camelCase", default)]
struct WrittenDialect {
    delimiter: Option<String>,
    quote_char: Option<String>,
    double_quote: Option<bool>,
    header: Option<bool>,
    header_row_count: Option<u8>,
    skip_rows: Option<u32>,
    comment_prefix: Option<String>,
    encoding: Option<String>,
}

#[derive(Deserialize, Default)]
struct Schema {
    #[serde(default)]
    columns: Vec<Column>,
}

#[derive(Deserialize)]
struct Column {
    name: Option<String>,
    titles: Option<serde_json::Value>,
}

/// Reads the metadata beside a file. `Ok(None)` if there are none; `Err` says why those found are of no use.
pub(crate) fn beside(path: &Path) -> Result<Option<Metadata>, String> {
    let Some(name) = path.file_name().map(|name| name.to_string_lossy().into_owned()) else {
        return Ok(None);
    };
    let place = path.with_file_name(format!("{name}-metadata.json"));
    match fs::metadata(&place) {
        Ok(facts) if facts.len() <= LONGEST => {}
        Ok(_) => return Err(format!("{name}-metadata.json is longer than {LONGEST} bytes")),
        Err(_) => return Ok(None),
    }
    let text = fs::read_to_string(&place).map_err(|error| format!("{name}-metadata.json: {error}"))?;
    read(&text)
        .map(Some)
        .map_err(|error| format!("{name}-metadata.json: {error}"))
}

fn read(text: &str) -> Result<Metadata, String> {
    let written: Written = serde_json::from_str(text).map_err(|error| error.to_string())?;
    let said = written.dialect;
    let dialect = Dialect {
        delimiter: said.delimiter,
        quote_char: said.quote_char,
        double_quote: said.double_quote,
        header_row_count: said.header_row_count.or(said.header.map(u8::from)),
        skip_rows: said.skip_rows,
        comment_prefix: said.comment_prefix,
        encoding: said.encoding,
        ..Dialect::default()
    };
    let titles = written.schema.columns.iter().map(title_of).collect();
    Ok(Metadata { dialect, titles })
}

/// A title may be a text, several, or several per language.
fn title_of(column: &Column) -> String {
    fn first(value: &serde_json::Value) -> Option<&str> {
        match value {
            serde_json::Value::String(text) => Some(text),
            serde_json::Value::Array(texts) => texts.first().and_then(first),
            serde_json::Value::Object(languages) => languages.values().next().and_then(first),
            _ => None,
        }
    }
    let title = column.titles.as_ref().and_then(first).or(column.name.as_deref());
    title.unwrap_or_default().to_string()
}

impl Metadata {
    /// The dialect with a profile's keys over the metadata's.
    pub(crate) fn dialect_under(self, profile: Option<&Dialect>) -> Dialect {
        let Some(profile) = profile else { return self.dialect };
        let under = self.dialect;
        Dialect {
            delimiter: profile.delimiter.clone().or(under.delimiter),
            quote_char: profile.quote_char.clone().or(under.quote_char),
            double_quote: profile.double_quote.or(under.double_quote),
            escape_char: profile.escape_char.clone().or(under.escape_char),
            header_row_count: profile.header_row_count.or(under.header_row_count),
            skip_rows: profile.skip_rows.or(under.skip_rows),
            decimal_char: profile.decimal_char.clone().or(under.decimal_char),
            group_char: profile.group_char.clone().or(under.group_char),
            encoding: profile.encoding.clone().or(under.encoding),
            comment_prefix: profile.comment_prefix.clone().or(under.comment_prefix),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dialect_and_titles_are_read() {
        let text = r#"{"@context": "http://www.w3.org/ns/csvw", "url": "list.csv",
            "dialect": {"delimiter": ";", "header": false, "skipRows": 1},
            "tableSchema": {"columns": [{"titles": "Art.-Nr."}, {"titles": {"de": "Preis"}}, {"name": "text"}]}}"#;
        let metadata = read(text).unwrap();
        assert_eq!(metadata.titles, ["Art.-Nr.", "Preis", "text"]);
        assert_eq!(metadata.dialect.header_row_count, Some(0));
        let profile = Dialect {
            delimiter: Some(",".to_string()),
            ..Dialect::default()
        };
        let joined = metadata.dialect_under(Some(&profile));
        assert_eq!((joined.delimiter.as_deref(), joined.skip_rows), (Some(","), Some(1)));
    }
}
