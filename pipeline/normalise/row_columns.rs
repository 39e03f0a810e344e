//! Where in a row the texts and numbers stand that are read one by one. Columns of claims, prices and terms have plans
//! of their own.

use crate::intake::field::Field;
use crate::intake::list::ListHead;

/// Positions of the columns that are read one by one.
#[derive(Debug, Default)]
pub struct Columns {
    /// Supplier's own number.
    pub sku: Option<usize>,
    /// Brand of the part.
    pub brand: Option<usize>,
    /// Titles.
    pub titles: Vec<usize>,
    /// Descriptions.
    pub descriptions: Vec<usize>,
    /// Remarks, which may state facts too.
    pub remarks: Vec<usize>,
    /// Categories.
    pub categories: Vec<usize>,
    /// Makers' numbers.
    pub makers: Vec<usize>,
    /// Numbers replaced.
    pub replaces: Vec<usize>,
    /// Barcodes.
    pub gtins: Vec<usize>,
    /// Engines served.
    pub engines: Vec<usize>,
}

impl Columns {
    /// The columns of a list.
    pub fn of(head: &ListHead) -> Self {
        let all = |field: Field| -> Vec<usize> {
            head.columns
                .iter()
                .filter(|column| column.field == field)
                .map(|column| column.index)
                .collect()
        };
        Self {
            sku: head.column_of(Field::Sku),
            brand: head.column_of(Field::Brand),
            titles: all(Field::Title),
            descriptions: all(Field::Description),
            remarks: all(Field::Remark),
            categories: all(Field::Category),
            makers: all(Field::Mpn),
            replaces: all(Field::Replaces),
            gtins: all(Field::Gtin),
            engines: [all(Field::EngineCode), all(Field::Fits)].concat(),
        }
    }
}
