//! What names the part of a row: its barcode, its numbers and its brand.

use super::{Normaliser, shown};
use crate::intake::rows::Row;
use crate::normalise::line_reading::LineReading;
use crate::normalise::numbers::{read_number_cell, read_number_list};
use crate::normalise::offer::{Barcode, Flag, NumberRole};
use crate::trade::damage::{Damage, spot_damage};
use crate::trade::gtin::{GtinReading, read_gtin};
use compact_str::CompactString;

impl<'v> Normaliser<'v> {
    pub(super) fn barcode(&self, row: &Row<'_>, reading: &mut LineReading) -> Option<Barcode> {
        let raw = self.first(row, &self.columns.gtins);
        if raw.is_empty() {
            return None;
        }
        let barcode = Barcode {
            reading: read_gtin(raw),
            raw: CompactString::from(raw),
        };
        match barcode.reading {
            GtinReading::BadCheckDigit => reading.flag(Flag::BarcodeUnsound),
            GtinReading::Damaged if !self.vocabulary.is_placeholder(raw) => {
                let damaged = matches!(spot_damage(raw), Some(Damage::ScientificNotation | Damage::ErrorValue));
                reading.flag(if damaged {
                    Flag::IdentifierDamaged
                } else {
                    Flag::BarcodeUnsound
                });
            }
            _ => {}
        }
        Some(barcode)
    }

    pub(super) fn read_numbers(&self, row: &Row<'_>, sku: &str, reading: &mut LineReading) {
        for index in &self.columns.makers {
            read_number_list(
                self.vocabulary,
                self.cell(row, *index),
                &self.separators,
                NumberRole::Maker,
                reading,
            );
        }
        for index in &self.columns.replaces {
            read_number_list(
                self.vocabulary,
                self.cell(row, *index),
                &self.separators,
                NumberRole::Replaces,
                reading,
            );
        }
        read_number_cell(self.vocabulary, sku, NumberRole::Sku, reading);
    }

    pub(super) fn brand(&self, row: &Row<'_>, index: usize) -> CompactString {
        let cell = self.cell(row, index);
        if self.vocabulary.is_placeholder(cell) {
            CompactString::default()
        } else {
            shown(cell)
        }
    }
}
