//! What was understood of a text, as a page for people.

use super::explain::value_words;
use super::page::{Page, Side};
use crate::normalise::text::Reading;
use crate::normalise::vocabulary::Vocabulary;
use crate::normalise::{Claim, KindReading, PartNumber};

/// A text, claim by claim.
pub fn of_reading(vocabulary: &Vocabulary, reading: &Reading) -> String {
    let mut page = Page::default();
    write_reading(&mut page, vocabulary, reading);
    page.finish()
}

/// Writes it as part of a page.
pub(super) fn write_reading(page: &mut Page, vocabulary: &Vocabulary, reading: &Reading) {
    write_kind(page, vocabulary, &reading.kind);
    write_claims(page, &reading.claims);
    write_numbers(page, &reading.numbers);
    if !reading.flags.is_empty() {
        let flags: Vec<&str> = reading.flags.iter().map(|flag| flag.name()).collect();
        page.sentence(0, &format!("Remarks: {}", flags.join(", ")));
    }
    let leftover = if reading.leftover_words.is_empty() {
        "nothing".to_string()
    } else {
        reading.leftover_words.join(" ")
    };
    page.sentence(0, &format!("Not understood: {leftover}"));
}

/// What is sold, and what else it may be.
fn write_kind(page: &mut Page, vocabulary: &Vocabulary, kind: &KindReading) {
    page.sentence(
        0,
        &format!(
            "Kind: {} {:.2} ({})",
            vocabulary.kind_called(kind.kind),
            kind.probability,
            kind.why
        ),
    );
    if !kind.alternatives.is_empty() {
        let others: Vec<String> = kind
            .alternatives
            .iter()
            .map(|(kind, probability)| format!("{} {probability:.2}", vocabulary.kind_called(*kind)))
            .collect();
        page.sentence(2, &format!("or {}", others.join(", ")));
    }
}

/// What is stated, with the words it was read in.
fn write_claims(page: &mut Page, claims: &[Claim]) {
    if claims.is_empty() {
        page.line("Claims: none");
        return;
    }
    page.line("Claims:");
    let headings = [
        ("attribute", Side::Left),
        ("value", Side::Left),
        ("provenance", Side::Left),
        ("from the words", Side::Left),
    ];
    let rows: Vec<Vec<String>> = claims
        .iter()
        .map(|claim| {
            vec![
                claim.attribute.name().to_string(),
                value_words(claim),
                claim.provenance.name().to_string(),
                format!("\"{}\"", claim.text),
            ]
        })
        .collect();
    page.table(2, &headings, &rows);
}

/// Numbers that may be a part's, a sentence each.
fn write_numbers(page: &mut Page, numbers: &[PartNumber]) {
    for number in numbers {
        let usable = if number.usable { "" } else { ", not to be matched on" };
        page.sentence(
            0,
            &format!(
                "Number: {} ({}; compared as {}{usable})",
                number.raw,
                number.role.name(),
                number.canonical
            ),
        );
    }
}
