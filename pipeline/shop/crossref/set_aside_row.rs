//! Rows of the lines set aside.

use super::joined;
use super::stated::displacement;
use crate::intake::profile::Profile;
use crate::normalise::claim::{Attribute, Value};
use crate::normalise::offer::{NumberRole, SetAside};
use crate::publish::SetAsideRow;
use crate::shop::landed::landed;
use crate::shop::need::code_key;
use crate::shop::rates::Rates;
use crate::shop::terms::{OfferTerms, SupplierTerms};
use compact_str::ToCompactString;

/// A row of set-aside.csv.
pub fn set_aside_row(aside: &SetAside, profile: Option<&Profile>, rates: &Rates) -> SetAsideRow {
    let terms = OfferTerms::of_line(
        aside.price.as_ref(),
        aside.pack_qty,
        aside.terms.as_deref(),
        profile,
        aside.pack_price_unsure,
    );
    let landed = landed(&terms, &SupplierTerms::of_profile(profile), rates);
    let codes = aside.claims.iter().filter_map(|claim| match &claim.value {
        Value::Code(code) if claim.attribute == Attribute::EngineCode => Some(code_key(code).to_string()),
        _ => None,
    });
    SetAsideRow {
        file: aside.file.clone(),
        line: aside.line,
        supplier: aside.supplier.clone(),
        supplier_sku: aside.sku.clone(),
        what: aside.what.clone(),
        reason: aside.why.to_string(),
        description: aside.title.to_string(),
        unit_price: aside.price.as_ref().map(|p| p.unit_price),
        currency: terms.currency,
        part_number: aside
            .numbers
            .iter()
            .find(|n| n.usable && n.role == NumberRole::Maker)
            .map(|n| n.raw.clone())
            .unwrap_or_default(),
        landed_price: landed.price,
        landed_note: landed.note,
        displacement_cc: displacement(&aside.claims),
        engine_codes: joined(codes),
        stock: terms.stock.map(|stock| stock.to_compact_string()).unwrap_or_default(),
        lead_time_days: terms.lead_time_days,
    }
}
