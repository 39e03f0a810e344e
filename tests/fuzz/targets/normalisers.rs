//! Any text as a cell: folding is idempotent, the readers' spans lie within the text and on letters, and a line made of
//! such cells becomes an offer, something set aside or a reject, and never a panic.

#![no_main]

use libfuzzer_sys::fuzz_target;
use samefit_fuzz::intake::rows::RowBatch;
use samefit_fuzz::intake::{Field, ListHead};
use samefit_fuzz::normalise::{Line, Normaliser, Scope, Vocabulary, read_text};
use samefit_fuzz::trade::Context;
use samefit_fuzz::trade::numerals::Decimals;
use samefit_fuzz::trade::{
    damage, displacement, engine_code, fastener, folding, gtin, identifier, money, power, spacing,
};
use std::ops::Range;
use std::sync::OnceLock;

const FIELDS: [Field; 20] = [
    Field::Sku,
    Field::Title,
    Field::Mpn,
    Field::Replaces,
    Field::Gtin,
    Field::Price,
    Field::Currency,
    Field::PackQuantity,
    Field::MinimumOrder,
    Field::Fits,
    Field::EngineCode,
    Field::Displacement,
    Field::Power,
    Field::BoltHoles,
    Field::BoltSpacing,
    Field::Fastener,
    Field::HoleDiameter,
    Field::Depth,
    Field::Brand,
    Field::Description,
];

fn vocabulary() -> &'static Vocabulary {
    static VOCABULARY: OnceLock<Vocabulary> = OnceLock::new();
    VOCABULARY.get_or_init(|| Vocabulary::built_in().expect("the vocabulary of the program"))
}

fn lies_in(text: &str, span: &Range<usize>) {
    assert!(
        text.get(span.clone()).is_some_and(|part| !part.is_empty()),
        "{span:?} of {text:?}"
    );
}

fn read_with_every_reader(text: &str) {
    let folded = folding::fold(text);
    assert_eq!(folding::fold(&folded), folded, "folding twice changes nothing");
    for context in [Context::Column, Context::Title] {
        for found in fastener::read_fastener(&folded, context) {
            lies_in(&folded, &found.span);
        }
        for found in spacing::read_spacing(&folded, None, context) {
            lies_in(&folded, &found.span);
        }
        for found in displacement::read_displacement(&folded, context) {
            lies_in(&folded, &found.span);
        }
        for found in power::read_power(&folded, context) {
            lies_in(&folded, &found.span);
        }
    }
    for found in engine_code::read_codes(&folded) {
        lies_in(&folded, &found.span);
    }
    for decimals in [Decimals::Comma, Decimals::Point, Decimals::Unsure] {
        std::hint::black_box(money::read_price(text, decimals));
    }
    std::hint::black_box((
        gtin::read_gtin(text),
        damage::spot_damage(text),
        money::read_currency(text),
    ));
    let canonical = identifier::canonical_number(text);
    assert_eq!(
        identifier::canonical_number(&canonical),
        canonical,
        "a canonical number stays as it is"
    );
    std::hint::black_box(read_text(vocabulary(), text));
}

fuzz_target!(|data: &[u8]| {
    let text = String::from_utf8_lossy(data);
    read_with_every_reader(&text);
    // the same text cut into the cells of a row
    let cells: Vec<&str> = FIELDS
        .iter()
        .zip(text.split('\t').chain(std::iter::repeat("")))
        .map(|(_, cell)| cell)
        .collect();
    let headers: Vec<&str> = FIELDS.iter().map(|field| field.name()).collect();
    let head = ListHead::plain("lists/fuzz.csv", &headers, &FIELDS);
    let batch = RowBatch::of(&[(2, cells)]);
    match Normaliser::new(vocabulary(), &head, Scope::Fit).line(&batch.row(0)) {
        Line::Offer(offer) => assert_eq!(offer.line, 2),
        Line::SetAside(aside) => assert_eq!(aside.line, 2),
        Line::Reject(reject) => assert_eq!(reject.line, 2),
    }
});
