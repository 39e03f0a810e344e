use super::*;

fn field(header: &str) -> Option<Field> {
    HeaderWords::built_in().field_of(header).map(|(field, _)| field)
}

#[test]
fn the_words_file_is_sound() {
    let words = HeaderWords::read(SOURCE).unwrap();
    assert!(words.ordered.len() > 900, "{}", words.ordered.len());
}

#[test]
fn headers_of_eight_languages_are_known() {
    for (header, expected) in [
        ("Item No.", Field::Sku),
        ("Art.-Nr.", Field::Sku),
        ("Réf. fabricant", Field::Mpn),
        ("Código", Field::Sku),
        ("Codice articolo", Field::Sku),
        ("Bestelnr", Field::Sku),
        ("Indeks", Field::Sku),
        ("货号", Field::Sku),
        ("Prix HT", Field::Price),
        ("Preis (EUR)", Field::Price),
        ("Cena netto [PLN]", Field::Price),
        ("VK netto", Field::Price),
        ("Hubraum ccm", Field::Displacement),
        ("Lochabstand [mm]", Field::BoltSpacing),
        ("适用机型", Field::Fits),
        ("Code-barres", Field::Gtin),
        ("VPE", Field::PackQuantity),
        ("OEM No", Field::Replaces),
        ("P.C.D. mm", Field::BoltSpacing),
        ("孔距 Hole distance mm", Field::BoltSpacing),
        ("Ø agujero", Field::HoleDiameter),
        ("Nr oryginalny", Field::Replaces),
        ("Nr producenta", Field::Mpn),
        ("Preços EUR / un.", Field::Price),
        ("Emb.", Field::PackQuantity),
        ("Prazo", Field::LeadTime),
        ("Entre-eixos (mm)", Field::BoltSpacing),
        ("Cur", Field::Currency),
    ] {
        assert_eq!(field(header), Some(expected), "{header}");
    }
}

#[test]
fn a_diameter_of_holes_is_no_number_of_holes() {
    for header in [
        "Diam. fori",
        "Dia. holes mm",
        "Ø furos",
        "Holes dia.",
        "Diam. taladros mm",
        "Trous diam.",
        "Bohrungen Ø",
    ] {
        assert_eq!(field(header), Some(Field::HoleDiameter), "{header}");
    }
    assert_ne!(field("Bolt holes mm"), Some(Field::BoltHoles));
    assert_eq!(field("Holes"), Some(Field::BoltHoles));
    assert_eq!(field("Fori n."), Some(Field::BoltHoles));
}

#[test]
fn a_makers_number_is_not_the_maker_in_any_script() {
    assert_eq!(field("厂家编号 Mfr No."), Some(Field::Mpn));
    assert_eq!(field("Mfr #"), Some(Field::Mpn));
    assert_eq!(field("Mfr"), Some(Field::Brand));
}

#[test]
fn a_typing_mistake_is_forgiven_and_nonsense_is_not() {
    assert_eq!(field("Descripton"), Some(Field::Description));
    assert_eq!(field("Artikelnumer"), Some(Field::Sku));
    assert_eq!(field("Zephyr"), None);
}

#[test]
fn totals_and_units_are_known() {
    let words = HeaderWords::built_in();
    assert!(words.is_total("Zwischensumme:") && words.is_total("TOTAL (EUR)") && words.is_total("合计"));
    assert!(
        words.is_total("Carried forward") && words.is_total("Brought forward 1,204.50") && words.is_total("Ara toplam")
    );
    assert!(!words.is_total("Totally sealed starter"));
    assert!(words.is_unit("[mm]") && words.is_unit("(EUR)") && !words.is_unit("starter"));
}
