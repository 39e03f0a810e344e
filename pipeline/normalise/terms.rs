//! The terms beside the price: kept as written for the landed price, with the weight read in grams and the lead time in
//! days.
//!
//! Nothing is converted or judged here but these two, whose unit may stand in the heading; what a stock or a tax cell means is the shop's work.

use compact_str::CompactString;
use rust_decimal::Decimal;

use super::offer::Terms;
use crate::intake::field::Field;
use crate::intake::list::ListHead;
use crate::trade::availability::{TimeUnit, read_lead_time};
use crate::trade::folding::fold;
use crate::trade::numerals::{Decimals, plain_digits};
use crate::trade::units::MassUnit;

/// The columns of terms of a list.
#[derive(Clone, Debug)]
pub struct TermColumns {
    columns: Vec<(Field, usize)>,
    weight_unit: Option<MassUnit>,
    lead_time_unit: TimeUnit,
    decimals: Decimals,
}

impl TermColumns {
    /// The columns of a list.
    pub fn of(head: &ListHead) -> Self {
        let is_term = |field: Field| {
            matches!(
                field,
                Field::PriceBasis
                    | Field::UnitOfMeasure
                    | Field::Stock
                    | Field::LeadTime
                    | Field::Weight
                    | Field::Tax
                    | Field::Shipping
                    | Field::Origin
                    | Field::TariffCode
                    | Field::Remark
            )
        };
        let columns = head.columns.iter().filter(|column| is_term(column.field));
        Self {
            columns: columns.map(|column| (column.field, column.index)).collect(),
            weight_unit: unit_of(head, Field::Weight, MassUnit::from_word),
            lead_time_unit: unit_of(head, Field::LeadTime, TimeUnit::from_word).unwrap_or(TimeUnit::Days),
            decimals: head.decimals,
        }
    }

    /// The terms of a row whose cells `shown` hands out; `None` when the list has no such column.
    pub fn read(&self, shown: impl Fn(usize) -> CompactString) -> Option<Box<Terms>> {
        if self.columns.is_empty() {
            return None;
        }
        let mut terms = Terms::default();
        for (field, index) in &self.columns {
            let slot = match field {
                Field::PriceBasis => &mut terms.price_basis,
                Field::UnitOfMeasure => &mut terms.unit_of_measure,
                Field::Stock => &mut terms.stock,
                Field::LeadTime => &mut terms.lead_time,
                Field::Weight => &mut terms.weight,
                Field::Tax => &mut terms.tax,
                Field::Shipping => &mut terms.shipping,
                Field::Origin => &mut terms.origin,
                Field::TariffCode => &mut terms.tariff_code,
                _ => &mut terms.remark,
            };
            if slot.is_empty() {
                *slot = shown(*index);
            }
        }
        terms.lead_time_days = read_lead_time(&terms.lead_time, self.lead_time_unit);
        terms.weight_g = grams(&terms.weight, self.weight_unit, self.decimals);
        Some(Box::new(terms))
    }
}

/// The unit that the profile or the heading of a column names.
fn unit_of<U>(head: &ListHead, field: Field, from_word: impl Fn(&str) -> Option<U>) -> Option<U> {
    let column = head.columns.iter().find(|column| column.field == field)?;
    let of_profile = head.profile.as_ref().and_then(|profile| profile.units.get(&field));
    let folded = fold(of_profile.unwrap_or(&column.header)).into_owned();
    folded
        .split(|character: char| !character.is_alphanumeric())
        .rev()
        .find_map(from_word)
}

/// A weight in grams: its own unit before the column's.
fn grams(weight: &str, column_unit: Option<MassUnit>, decimals: Decimals) -> Option<Decimal> {
    let folded = fold(weight);
    let end = folded
        .find(|character: char| character.is_alphabetic())
        .unwrap_or(folded.len());
    let (digits, word) = folded.split_at(end);
    let unit = MassUnit::from_word(word.trim_end_matches('.').trim()).or(column_unit)?;
    let amount: Decimal = plain_digits(digits.trim(), decimals)?.parse().ok()?;
    let factor = Decimal::try_from(unit.grams()).ok()?;
    amount.checked_mul(factor).map(|grams| grams.normalize())
}
