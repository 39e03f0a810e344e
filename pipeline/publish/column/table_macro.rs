//! The row struct of a table and its columns, out of one list.

/// Writes a row struct together with its published columns.
///
/// ```text
/// table! {
///     /// About the table.
///     "file-stem" => struct Row {
///         /// Meaning of the column.
///         name: RustType => column type, presence;
///     }
/// }
/// ```
macro_rules! table {
    (
        $(#[doc = $about:literal])+
        $table:literal => struct $row:ident {
            $( $(#[doc = $meaning:literal])+ $name:ident : $of:ty => $column_type:expr, $presence:ident; )+
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, Default, PartialEq)]
        pub struct $row {
            $( $(#[doc = $meaning])+ pub $name: $of, )+
        }

        impl $crate::publish::column::TableRow for $row {
            const TABLE: &'static str = $table;
            const ABOUT: &'static str = concat!($($about),+);
            const COLUMNS: &'static [$crate::publish::column::Column] = &[
                $( $crate::publish::column::Column {
                    name: stringify!($name),
                    of_type: $column_type,
                    presence: $crate::publish::column::Presence::$presence,
                    meaning: concat!($($meaning),+),
                }, )+
            ];

            fn cell(&self, column: usize) -> $crate::publish::column::Cell<'_> {
                let mut at = 0usize;
                $(
                    if column == at {
                        return $crate::publish::column::AsCell::as_cell(&self.$name);
                    }
                    at += 1;
                )+
                let _ = at;
                $crate::publish::column::Cell::Missing
            }

            fn from_cells<'a>(
                cell: impl Fn(usize) -> $crate::publish::column::Cell<'a>,
            ) -> Self {
                let mut at = 0usize..;
                let mut next = || at.next().map_or($crate::publish::column::Cell::Missing, &cell);
                Self {
                    $( $name: $crate::publish::column::AsCell::from_cell(next())
                        .unwrap_or_default(), )+
                }
            }
        }
    };
}
pub(crate) use table;
