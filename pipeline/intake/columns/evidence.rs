//! Whether a list may be read as one of parts. A header word, a profile or metadata that name a part's column are
//! enough. Where the values alone do, a name or a number of a part is believed only beside a price, a bar code or an
//! engine code: a diary has numbers and words as well.

use super::super::field::Field;
use super::super::list::{ColumnMap, MappedBy};
use super::Columns;
use super::values::Values;
use crate::trade::engine_code::read_codes;
use crate::trade::folding::fold;
use crate::trade::gtin::{GtinReading, read_gtin};

/// Share of a column's bar codes that must have a sound check digit; one of ten has one by chance.
const SOUND_BAR_CODES: f32 = 0.5;
/// Share of a column's prices that must look like amounts of money.
const SOUND_PRICES: f32 = 0.5;
/// Share of names that must hold an engine code.
const NAMES_WITH_CODES: f32 = 0.1;

/// Whether the columns found tell of parts.
pub(crate) fn tells_of_parts(columns: &Columns, mapped: &[ColumnMap]) -> bool {
    let telling = || mapped.iter().filter(|column| column.field.tells_a_part());
    if telling().any(|column| column.how != MappedBy::Values) {
        return true;
    }
    telling().next().is_some() && mapped.iter().any(|column| speaks_for_parts(columns, column))
}

fn speaks_for_parts(columns: &Columns, column: &ColumnMap) -> bool {
    let index = column.index;
    match column.field {
        Field::Price => column.how != MappedBy::Values || Values::of(columns, index).fit(Field::Price) >= SOUND_PRICES,
        Field::Gtin => share(columns, index, is_sound_bar_code) >= SOUND_BAR_CODES,
        Field::EngineCode => share(columns, index, holds_engine_code) >= 0.5,
        Field::Title | Field::Description | Field::Fits => share(columns, index, holds_engine_code) >= NAMES_WITH_CODES,
        _ => false,
    }
}

/// Share of a column's filled cells of which something holds.
fn share(columns: &Columns, index: usize, holds: impl Fn(&str) -> bool) -> f32 {
    let (mut filled, mut found) = (0u32, 0u32);
    for value in columns.values(index) {
        filled += 1;
        found += u32::from(holds(value));
    }
    found as f32 / filled.max(1) as f32
}

fn is_sound_bar_code(value: &str) -> bool {
    matches!(read_gtin(value), GtinReading::Sound(_) | GtinReading::Restored(_))
}

fn holds_engine_code(value: &str) -> bool {
    !read_codes(&fold(value)).is_empty()
}

#[cfg(test)]
mod tests {
    use super::super::map_columns;
    use super::*;

    fn tells(header: &[&str], rows: &[&[&str]]) -> bool {
        let header: Vec<String> = header.iter().map(|text| text.to_string()).collect();
        let sample: Vec<Vec<String>> = rows
            .iter()
            .map(|row| row.iter().map(|cell| cell.to_string()).collect())
            .collect();
        let columns = Columns {
            header: &header,
            named_by: MappedBy::HeaderWord,
            titles: &[],
            sample: &sample,
            width: sample[0].len(),
        };
        tells_of_parts(&columns, &map_columns(&columns, None, &mut Vec::new()).unwrap())
    }

    #[test]
    fn a_diary_tells_of_no_parts() {
        let rows: [&[&str]; 3] = [
            &["2026-01-01", "7", "fair"],
            &["2026-01-02", "14", "fair"],
            &["2026-01-03", "21", "cloudy later"],
        ];
        assert!(!tells(&["when", "how far", "mood"], &rows));
        assert!(!tells(&[], &rows));
    }

    #[test]
    fn numbers_and_names_tell_of_parts_beside_a_price_a_bar_code_or_an_engine_code() {
        let bare: [&[&str]; 2] = [
            &["RS-1001", "Recoil starter with rope"],
            &["RS-1002", "Fan shroud, plain black"],
        ];
        assert!(!tells(&[], &bare));
        let priced: [&[&str]; 2] = [
            &["RS-1001", "Recoil starter with rope", "12,50"],
            &["RS-1002", "Fan shroud, plain black", "9,90"],
        ];
        assert!(tells(&[], &priced));
        // check digits by the GS1 General Specifications
        let coded: [&[&str]; 2] = [&["RS-1001", "4006381333931"], &["RS-1002", "4006381333948"]];
        assert!(tells(&[], &coded));
        let unsound: [&[&str]; 2] = [&["RS-1001", "4006381333932"], &["RS-1002", "4006381333949"]];
        assert!(!tells(&[], &unsound));
        let engines: [&[&str]; 2] = [
            &["RS-1001", "Recoil starter 168F with rope"],
            &["RS-1002", "Fan shroud for 188F, plain black"],
        ];
        assert!(tells(&[], &engines));
    }

    #[test]
    fn one_known_header_word_of_a_part_is_enough() {
        let rows: [&[&str]; 2] = [&["1001", "red"], &["1002", "black"]];
        assert!(tells(&["Art.-Nr.", "Farbe"], &rows));
    }
}
