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
fn the_year_in_the_number_of_a_list_divides_no_price() {
    assert_eq!(said("Cennik nr 9/2026, ceny za szt. w PLN").1, Some(1));
    assert_eq!(said("Price list 9/2026, prices in EUR").1, None);
    assert_eq!(said("Prices in EUR per 2000 pcs").1, Some(2000));
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
