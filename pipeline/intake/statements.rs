//! What a list says of its prices outside its table: "Preise je Stück netto in EUR", "ceny netto w PLN, VAT 23%". Only
//! sentences that speak of prices are heard, only in the lines before the table and after it, and two that contradict
//! each other cancel out. An amount ("minimum order 50 EUR") names no currency of the list, nor does a word that
//! several currencies share; terms of payment ("30 days net") say nothing of tax. The words are those of
//! `schemas/words/price_statements.toml`.

use super::layout::Sampled;
use super::list::Note;
use super::price_sentence::{Sentence, StatementWords};
use super::profile::PriceBasis;
use crate::trade::money::{Currency, read_currency};
use serde::{Deserialize, Serialize};

/// Sentences longer than this are letters of terms, bytes.
const LONGEST_SENTENCE: usize = 400;

/// Where a statement stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StatedAt {
    /// Physical line, from 1; `None` for a line after the table.
    pub line: Option<u32>,
    /// The sentence, as written.
    pub text: String,
}

/// What a list states of all its prices.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Statements {
    /// The one currency named.
    pub currency: Option<Currency>,
    /// Pieces that a price is for: 1 for "per piece", 100 for "je 100 Stück". A pack column does not divide it further.
    pub per: Option<u32>,
    /// Net or gross.
    pub basis: Option<PriceBasis>,
    /// The sentences these were taken from, in the order of the list.
    pub stated_at: Vec<StatedAt>,
}

/// The statements of the lines before a table and of those after it.
pub(crate) fn stated<'r>(
    before: impl Iterator<Item = &'r Sampled>,
    after: impl Iterator<Item = &'r Sampled>,
    notes: &mut Vec<Note>,
) -> Statements {
    let line_of = |record: &Sampled| {
        let cells = record.cells.iter().map(|(text, _)| text.trim());
        let filled: Vec<&str> = cells.filter(|text| !text.is_empty()).collect();
        filled.join(", ")
    };
    let before = before.map(|record| (Some(record.line), line_of(record)));
    let lines = before.chain(after.map(|record| (None, line_of(record))));
    let mut found = Found::default();
    for (line, text) in lines {
        found.read_line(line, &text);
    }
    found.settled(notes)
}

/// Net or gross, as a heading or a cell beside a price says it; nothing when it says both.
pub fn basis_in(text: &str) -> Option<PriceBasis> {
    let bases = Sentence::of(StatementWords::built_in(), text).bases();
    let first = *bases.first()?;
    bases.iter().all(|basis| *basis == first).then_some(first)
}

/// The number of pieces that a price heading, or a cell beside a price, says the price is for; nothing when it says
/// several.
pub fn per_in(text: &str) -> Option<u32> {
    // "per 100 (EUR)": the currency behind the number says nothing of it
    let spaced = text.replace('/', " / ");
    let words = spaced.split(|letter: char| letter.is_whitespace() || "()[]".contains(letter));
    let bare: Vec<&str> = words
        .filter(|word| !word.is_empty() && read_currency(word).is_none())
        .collect();
    let sentence = Sentence::of(StatementWords::built_in(), &bare.join(" "));
    let mut found = sentence.per();
    if found.is_empty() && sentence.names_a_dozen() {
        found.push(12);
    }
    let first = *found.first()?;
    found.iter().all(|per| *per == first).then_some(first)
}

/// All that was stated, contradictions included.
#[derive(Default)]
struct Found {
    currencies: Vec<Currency>,
    per: Vec<u32>,
    bases: Vec<PriceBasis>,
    stated_at: Vec<StatedAt>,
}

impl Found {
    fn read_line(&mut self, line: Option<u32>, text: &str) {
        let words = StatementWords::built_in();
        for text in words.sentences(text) {
            if text.len() > LONGEST_SENTENCE {
                continue;
            }
            let sentence = Sentence::of(words, text);
            if !sentence.is_about_prices() {
                continue;
            }
            let (currencies, per, bases) = (sentence.currencies(), sentence.per(), sentence.bases());
            if currencies.is_empty() && per.is_empty() && bases.is_empty() {
                continue;
            }
            self.currencies.extend(currencies);
            self.per.extend(per);
            self.bases.extend(bases);
            let text = text.trim().to_string();
            self.stated_at.push(StatedAt { line, text });
        }
    }

    fn settled(mut self, notes: &mut Vec<Note>) -> Statements {
        let shown_basis = |basis: PriceBasis| match basis {
            PriceBasis::Net => "net".to_string(),
            PriceBasis::Gross => "gross".to_string(),
        };
        let currency = one(&mut self.currencies, "currency", |code| code.to_string(), notes);
        let per = one(&mut self.per, "number of pieces", |count| count.to_string(), notes);
        let basis = one(&mut self.bases, "price basis", shown_basis, notes);
        let mut said = Vec::new();
        said.extend(currency.map(|code| format!("in {code}")));
        said.extend(per.map(|count| match count {
            1 => "per piece".to_string(),
            _ => format!("per {count} pieces"),
        }));
        said.extend(basis.map(shown_basis));
        if !said.is_empty() {
            let quoted: Vec<String> = self
                .stated_at
                .iter()
                .map(|place| format!("\"{}\"", place.text))
                .collect();
            notes.push(Note {
                line: self.stated_at.iter().find_map(|place| place.line),
                message: format!("prices stated to be {}: {}", said.join(", "), quoted.join(", ")),
            });
        }
        Statements {
            currency,
            per,
            basis,
            stated_at: self.stated_at,
        }
    }
}

/// The one value stated; several cancel out, with a note.
fn one<T: Copy + PartialEq>(
    values: &mut Vec<T>,
    what: &str,
    shown: impl Fn(T) -> String,
    notes: &mut Vec<Note>,
) -> Option<T> {
    let mut distinct: Vec<T> = Vec::new();
    for value in values.drain(..) {
        if !distinct.contains(&value) {
            distinct.push(value);
        }
    }
    if distinct.len() > 1 {
        let texts: Vec<String> = distinct.into_iter().map(shown).collect();
        notes.push(Note::new(format!(
            "the text around the table states more than one {what} for the prices ({}); none was taken",
            texts.join(", ")
        )));
        return None;
    }
    distinct.pop()
}

#[cfg(test)]
mod tests {
    use super::*;
    use PriceBasis::{Gross, Net};

    fn read(lines: &[&str]) -> Statements {
        let mut found = Found::default();
        for (place, text) in lines.iter().enumerate() {
            found.read_line(Some(place as u32 + 1), text);
        }
        found.settled(&mut Vec::new())
    }

    fn said(text: &str) -> (Option<String>, Option<u32>, Option<PriceBasis>) {
        let found = read(&[text]);
        (found.currency.map(|code| code.to_string()), found.per, found.basis)
    }

    fn eur() -> Option<String> {
        Some("EUR".to_string())
    }

    #[test]
    fn sentences_about_prices_are_understood_in_the_languages_of_the_trade() {
        let zzgl = "Preise je Stück netto in EUR, zzgl. MwSt. und Versand; VPE = Verpackungseinheit";
        assert_eq!(said(zzgl), (eur(), Some(1), Some(Net)));
        assert_eq!(said("ceny netto w PLN, VAT 23%"), (Some("PLN".into()), None, Some(Net)));
        assert_eq!(said("Prices in US dollars"), (Some("USD".into()), None, None));
        assert_eq!(said("Alle Händlerpreise in € je 100 Stück"), (eur(), Some(100), None));
        assert_eq!(said("Prix HT, en euros, par unité"), (eur(), Some(1), Some(Net)));
        assert_eq!(said("Tarif public TTC"), (None, None, Some(Gross)));
        assert_eq!(said("Listino prezzi IVA esclusa"), (None, None, Some(Net)));
        assert_eq!(said("Precios en EUR/ud., sin IVA"), (eur(), None, Some(Net)));
        assert_eq!(said("Currency: GBP"), (Some("GBP".into()), None, None));
        assert_eq!(said("价格为人民币不含税"), (Some("CNY".into()), None, Some(Net)));
        assert_eq!(said("Nettopreise EUR/Stk"), (eur(), Some(1), Some(Net)));
    }

    #[test]
    fn a_price_of_a_dozen_or_a_hundred_is_understood_in_text_and_in_headings() {
        assert_eq!(
            said("Prices per dozen, VAT excluded, EUR"),
            (eur(), Some(12), Some(Net))
        );
        assert_eq!(
            said("Fiyatlar düzine başına, KDV hariç, EUR"),
            (eur(), Some(12), Some(Net))
        );
        assert_eq!(said("Preise je Dutzend").1, Some(12));
        assert_eq!(said("Preise pro Hundert").1, Some(100));
        for (heading, per) in [
            ("Price per dozen EUR", Some(12)),
            ("Price dozen", Some(12)),
            ("EUR/doz.", Some(12)),
            ("Düzine Fiyatı / Price per dozen", Some(12)),
            ("Price EUR / 100", Some(100)),
            ("EUR/100", Some(100)),
            ("Preis je 100 Stück EUR", Some(100)),
            ("Preis je 10 Stk / Price per 10 pcs", Some(10)),
            ("Preço/un EUR", Some(1)),
            ("Cena za szt.", Some(1)),
            ("Price per piece / per 100 pcs", None),
            ("Price EUR", None),
            ("Price", None),
        ] {
            assert_eq!(per_in(heading), per, "{heading}");
        }
    }

    #[test]
    fn a_dozen_and_an_article_said_in_passing_divide_no_price() {
        assert_eq!(said("Discount of 5 % on prices by the dozen").1, None);
        assert_eq!(said("Prices for orders over two dozen pieces on request").1, None);
        assert_eq!(said("Precios válidos por un año").1, None);
        assert_eq!(said("Prix valables par un de nos agents").1, None);
    }

    #[test]
    fn net_and_gross_are_understood_in_portuguese_turkish_and_romanian() {
        assert_eq!(said("Preços líquidos, EUR"), (eur(), None, Some(Net)));
        assert_eq!(said("Tabela de preços, IVA não incluído").2, Some(Net));
        assert_eq!(said("Precios s/IVA").2, Some(Net));
        assert_eq!(said("Precios c/IVA").2, Some(Gross));
        assert_eq!(said("Fiyatlar KDV dahil").2, Some(Gross));
        assert_eq!(said("Preturi fara TVA").2, Some(Net));
        assert_eq!(said("Precios de aceites y líquidos de freno").2, None);
        assert_eq!(said("Preço do óleo, peso líquido").2, None);
    }

    #[test]
    fn an_amount_names_no_currency_of_the_list() {
        assert_eq!(said("Prices exclude carriage of 12.50 EUR"), (None, None, None));
        assert_eq!(said("Free delivery from 250 EUR"), (None, None, None));
        assert_eq!(said("Preisliste 2026 EUR").0, eur());
        assert_eq!(said("ceny w PLN, kurs 1 EUR = 4,31 PLN").0, Some("PLN".to_string()));
    }

    #[test]
    fn payment_terms_and_weights_say_nothing_of_tax() {
        assert_eq!(said("Prices in EUR, payment 30 days net"), (eur(), None, None));
        assert_eq!(said("Zahlbar 30 Tage netto"), (None, None, None));
        assert_eq!(said("Net weight without packing"), (None, None, None));
    }

    #[test]
    fn words_that_look_like_currencies_are_left_alone() {
        assert_eq!(said("ALL PRICES ARE SUBJECT TO CHANGE"), (None, None, None));
        assert_eq!(said("Prices in $"), (None, None, None));
        assert_eq!(said("Price list of recoil starters, top quality"), (None, None, None));
    }

    #[test]
    fn contradictions_cancel_out_and_are_noted() {
        let mut found = Found::default();
        found.read_line(Some(1), "Prices in EUR net");
        found.read_line(Some(2), "Export prices in USD net");
        let mut notes = Vec::new();
        let settled = found.settled(&mut notes);
        assert_eq!((settled.currency, settled.basis), (None, Some(Net)));
        assert!(notes[0].message.contains("EUR, USD"), "{}", notes[0].message);
        assert_eq!(notes[1].line, Some(1));
    }

    fn stated_by_list(bytes: &[u8]) -> Statements {
        use crate::intake::{InputFile, Limits, Profiles, Use, read_file};
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("list.csv");
        std::fs::write(&path, bytes).unwrap();
        let lists = read_file(
            &InputFile::named(&path),
            &Profiles::none(),
            &Limits::default(),
            Use::Build,
        );
        lists.into_iter().next().unwrap().unwrap().head().statements.clone()
    }

    fn rows(count: usize) -> String {
        let row = |row| format!("RS-{};Seilzugstarter rot;{},50\n", 1000 + row, 5 + row % 40);
        (0..count).map(row).collect()
    }

    #[test]
    fn lines_before_the_table_and_after_it_are_heard_in_short_lists_and_long_ones() {
        for count in [4, 400, 30_000] {
            let table = format!("Art.-Nr.;Bezeichnung;Preis\n{}", rows(count));
            let before = stated_by_list(format!("Preise in EUR je Stück;;\n;;\n{table}").as_bytes());
            assert_eq!((before.currency, before.per), (Some(Currency::EUR), Some(1)));
            assert_eq!(before.stated_at[0].line, Some(1));
            let after = stated_by_list(format!("{table};;\nAlle Preise netto in CHF;;\n").as_bytes());
            assert_eq!(after.currency.map(|code| code.to_string()), Some("CHF".to_string()));
            assert_eq!((after.basis, after.stated_at[0].line), (Some(Net), None));
            assert_eq!(stated_by_list(table.as_bytes()), Statements::default());
        }
    }

    #[test]
    fn what_a_row_says_is_no_statement() {
        let table = format!("Art.-Nr.;Bezeichnung;Preis\n{}RS-1;Preise in EUR;4,00\n", rows(9));
        assert_eq!(stated_by_list(table.as_bytes()), Statements::default());
    }
}
