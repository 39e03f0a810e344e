//! The text of a worksheet's cell: what the spreadsheet holds, in the shortest form that says it.

use calamine::{CellErrorType, DataRef};

use super::super::split::{CELL_SEPARATOR, ROW_SEPARATOR};

/// The text of a cell, without the characters that separate cells and rows.
pub(super) fn cell_text(value: &DataRef) -> String {
    let text = match value {
        DataRef::Empty => String::new(),
        DataRef::Int(number) => number.to_string(),
        DataRef::Float(number) => number_text(*number),
        DataRef::String(text) => text.clone(),
        DataRef::SharedString(text) => (*text).to_string(),
        DataRef::Bool(true) => "true".to_string(),
        DataRef::Bool(false) => "false".to_string(),
        DataRef::DateTime(moment) => moment_text(*moment),
        DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => text.clone(),
        DataRef::Error(error) => error_text(error).to_string(),
    };
    if text.bytes().any(|byte| byte == CELL_SEPARATOR || byte == ROW_SEPARATOR) {
        text.replace([char::from(CELL_SEPARATOR), char::from(ROW_SEPARATOR)], " ")
    } else {
        text
    }
}

fn number_text(number: f64) -> String {
    if number.fract() == 0.0 && number.abs() < 1e15 {
        return format!("{number:.0}");
    }
    // fifteen significant digits are what a spreadsheet shows of a number; beyond lies the noise of binary fractions
    let rounded: f64 = format!("{number:.14e}").parse().unwrap_or(number);
    rounded.to_string()
}

fn moment_text(moment: calamine::ExcelDateTime) -> String {
    let (year, month, day, hour, minute, second, _) = moment.to_ymd_hms_milli();
    if moment.is_duration() || moment.as_f64() < 1.0 {
        return format!("{hour:02}:{minute:02}:{second:02}");
    }
    if (hour, minute, second) == (0, 0, 0) {
        format!("{year:04}-{month:02}-{day:02}")
    } else {
        format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}")
    }
}

fn error_text(error: &CellErrorType) -> &'static str {
    match error {
        CellErrorType::Div0 => "#DIV/0!",
        CellErrorType::NA => "#N/A",
        CellErrorType::Name => "#NAME?",
        CellErrorType::Null => "#NULL!",
        CellErrorType::Num => "#NUM!",
        CellErrorType::Ref => "#REF!",
        CellErrorType::Value => "#VALUE!",
        CellErrorType::GettingData => "#GETTING_DATA",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_short() {
        assert_eq!(number_text(4006381333931.0), "4006381333931");
        assert_eq!(number_text(12.5), "12.5");
        assert_eq!(number_text(0.1 + 0.2), "0.3");
        assert_eq!(number_text(-3.0), "-3");
    }
}
