//! What the columns and the profile of a list say about its prices, worked out once.

use super::headings::{contains_words, currency_in, quantity_in};
use crate::intake::field::Field;
use crate::intake::list::{ColumnMap, ListHead};
use crate::intake::profile::{PriceBasis, PricePer};
use crate::intake::statements::{basis_in, per_in};
use crate::normalise::vocabulary::Vocabulary;
use crate::trade::folding::fold;
use crate::trade::money::{Currency, read_currency};
use crate::trade::numerals::Decimals;

/// Numbers of pieces that a whole list may price by; any other number beside "prices" in a preamble is a date, an issue
/// or a quantity. Common practice, no source.
pub(super) const USUAL_BASES: [u32; 6] = [1, 10, 12, 50, 100, 1000];

/// What a list says its prices are of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PriceOf {
    /// The pack.
    Pack,
    /// This many pieces, whatever the pack.
    Pieces(u32),
    /// Nothing is said.
    Unsaid,
}

/// What a list's columns say about price, worked out once.
#[derive(Clone, Debug)]
pub struct PricePlan {
    /// Price columns with the quantity in their heading, if any.
    pub(super) prices: Vec<(usize, Option<u32>)>,
    /// The currency that each of their headings names.
    pub(super) price_currencies: Vec<Option<Currency>>,
    pub(super) breaks: Vec<(usize, Option<u32>)>,
    pub(super) currency: Option<usize>,
    pub(super) pack: Option<usize>,
    pub(super) pack_is_multiple: bool,
    pub(super) unit_of_measure: Option<usize>,
    pub(super) minimum: Option<usize>,
    pub(super) basis: Option<usize>,
    pub(super) price_of: PriceOf,
    pub(super) decimals: Decimals,
    pub(super) user_basis: Option<PriceBasis>,
    pub(super) list_basis: Option<PriceBasis>,
    pub(super) user_currency: Option<Currency>,
    pub(super) header_currency: Option<Currency>,
}

impl PricePlan {
    /// Works out the plan of a list.
    pub fn new(vocabulary: &Vocabulary, head: &ListHead) -> Self {
        let of = |field: Field| head.columns.iter().filter(move |column| column.field == field);
        // a column of prices in another currency stands in for the surest one, and comes after it
        let mut priced: Vec<&ColumnMap> = of(Field::Price).collect();
        priced.sort_by(|x, y| y.confidence.total_cmp(&x.confidence));
        let prices: Vec<(usize, Option<u32>)> = priced
            .iter()
            .map(|column| (column.index, quantity_in(&column.header)))
            .collect();
        let price_heading: String = of(Field::Price)
            .chain(of(Field::PriceBasis))
            .map(|column| fold(&column.header).into_owned() + ", ")
            .collect();
        let pack_heading = of(Field::PackQuantity)
            .next()
            .map(|column| fold(&column.header).into_owned());
        let per_pack = says(&vocabulary.per_pack, &price_heading);
        let multiple = pack_heading
            .as_deref()
            .is_some_and(|text| says(&vocabulary.order_multiples, text));
        let terms = head.profile.as_ref().map(|profile| &profile.price);
        Self {
            prices,
            price_currencies: priced.iter().map(|column| currency_in(&column.header)).collect(),
            breaks: of(Field::QuantityBreak)
                .map(|column| (column.index, quantity_in(&column.header)))
                .collect(),
            currency: head.column_of(Field::Currency),
            pack: head.column_of(Field::PackQuantity),
            pack_is_multiple: multiple && !per_pack,
            unit_of_measure: head.column_of(Field::UnitOfMeasure),
            minimum: head.column_of(Field::MinimumOrder),
            basis: head.column_of(Field::PriceBasis),
            price_of: price_of(vocabulary, head, &price_heading),
            decimals: head.decimals,
            user_basis: terms.and_then(|terms| terms.basis),
            list_basis: basis_in(&price_heading).or(head.statements.basis),
            user_currency: terms
                .and_then(|terms| terms.currency.as_deref())
                .and_then(read_currency),
            header_currency: priced
                .iter()
                .copied()
                .chain(of(Field::QuantityBreak))
                .chain(of(Field::Currency))
                .find_map(|column| currency_in(&column.header))
                .or(head.statements.currency),
        }
    }
}

fn says(words: &[String], text: &str) -> bool {
    words.iter().any(|word| contains_words(text, word))
}

/// What the prices are of: as the profile says, else the headings, else the text around the table.
fn price_of(vocabulary: &Vocabulary, head: &ListHead, price_heading: &str) -> PriceOf {
    let terms = head.profile.as_ref().map(|profile| &profile.price);
    match terms.and_then(|terms| terms.per) {
        Some(PricePer::Pieces(per)) => PriceOf::Pieces(per.max(1)),
        Some(PricePer::Pack) => PriceOf::Pack,
        None if says(&vocabulary.per_pack, price_heading) => PriceOf::Pack,
        None if says(&vocabulary.per_piece, price_heading) => PriceOf::Pieces(1),
        None => match per_in(price_heading)
            .filter(|per| USUAL_BASES.contains(per))
            .or(head.statements.per)
        {
            Some(per) if USUAL_BASES.contains(&per) => PriceOf::Pieces(per),
            _ => PriceOf::Unsaid,
        },
    }
}
