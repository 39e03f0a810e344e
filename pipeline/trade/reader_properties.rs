//! What holds for every reader whatever the text: it does not fail, and its spans are spans of
//! the text it was given.

use super::Context;
use super::engine_code::{read_code_tokens, read_codes};
use super::folding::fold;
use super::numerals::{Decimals, lex_number, read_number};
use proptest::prelude::*;
use std::ops::Range;

fn spans(text: &str) -> Vec<Range<usize>> {
    let mut spans = Vec::new();
    for context in [Context::Title, Context::Column] {
        spans.extend(
            super::displacement::read_displacement(text, context)
                .into_iter()
                .map(|reading| reading.span),
        );
        spans.extend(
            super::power::read_power(text, context)
                .into_iter()
                .map(|reading| reading.span),
        );
        spans.extend(
            super::fastener::read_fastener(text, context)
                .into_iter()
                .map(|reading| reading.span),
        );
        for holes in [None, Some(3), Some(0)] {
            spans.extend(
                super::spacing::read_spacing(text, holes, context)
                    .into_iter()
                    .map(|reading| reading.span),
            );
        }
    }
    spans.extend(read_codes(text).into_iter().map(|code| code.span));
    spans.extend(read_code_tokens(text).into_iter().map(|token| token.span));
    spans.extend(super::wording::pieces(text).into_iter().map(|piece| piece.span));
    spans
}

fn check(text: &str) -> Result<(), TestCaseError> {
    for span in spans(text) {
        prop_assert!(span.start < span.end, "{span:?} in {text:?}");
        prop_assert!(text.get(span.clone()).is_some(), "{span:?} is no span of {text:?}");
    }
    for (at, _) in text.char_indices() {
        let _ = lex_number(text, at);
    }
    let _ = super::hole_count::read_hole_count(text);
    let _ = super::gtin::read_gtin(text);
    let _ = super::damage::spot_damage(text);
    let _ = super::identifier::looks_like_part_number(text);
    let _ = super::identifier::shape(text);
    let _ = super::threads::Thread::parse(text);
    for decimals in [Decimals::Comma, Decimals::Point, Decimals::Unsure] {
        let finite = read_number(text, decimals).is_none_or(|n| n.value.is_finite() && n.half_ulp > 0.0);
        prop_assert!(finite);
    }
    Ok(())
}

/// Words, signs and figures that the readers look for, and pieces of them.
const WORDS: [&str; 56] = [
    "m6",
    "8mm",
    "3x",
    "x",
    "hole",
    "holes",
    "bolt",
    "pcd",
    "c-c",
    "c",
    "-",
    "/",
    "118",
    "102 mm",
    "4 1/8\"",
    "1/4-20",
    "168f",
    "170f",
    "-2",
    "196cc",
    "hp",
    "6.5",
    "5,5",
    "cu in",
    "kw",
    "ø",
    "ø6.5",
    "孔",
    "3孔",
    "孔距",
    "(",
    ")",
    "é",
    "hole distance",
    "edge to edge",
    ":",
    "70x52",
    "kr200",
    "/420e",
    "to",
    "and",
    "between",
    ",",
    ".",
    "l",
    "cc",
    "ml",
    "1p",
    "2v77f",
    "f",
    "f/p",
    "(e)",
    "head",
    "sw10",
    "de",
    "€",
];

/// Some of them in any order, with spaces between or not.
fn words_of_the_trade() -> impl Strategy<Value = String> {
    proptest::collection::vec((proptest::sample::select(WORDS.to_vec()), any::<bool>()), 0..12).prop_map(|picked| {
        picked
            .into_iter()
            .map(|(word, spaced)| if spaced { format!("{word} ") } else { word.to_owned() })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 512, ..ProptestConfig::default() })]

    #[test]
    fn readers_survive_any_text(text in "\\PC{0,40}") {
        check(&text)?;
        check(&fold(&text))?;
    }

    #[test]
    fn readers_survive_any_order_of_the_trade_s_words(text in words_of_the_trade()) {
        check(&text)?;
        check(&fold(&text))?;
    }
}

#[test]
fn readers_take_long_texts_in_their_stride() {
    for unit in [
        "163/", "1/2-", "3x", "8 or ", "168f/", "kr200/", "pcd 118 ", "3 holes ", "a-1", "1 ", "1,",
    ] {
        let text = unit.repeat(20_000 / unit.len());
        check(&text).unwrap_or_else(|failure| panic!("{unit}: {failure}"));
    }
}
