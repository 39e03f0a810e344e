use super::*;
use crate::trade::folding::fold;

fn served(text: &str) -> Vec<f64> {
    read_displacement(&fold(text), Context::Title)
        .iter()
        .flat_map(|r| r.served.iter().map(Interval::mid))
        .collect()
}

fn close(found: &[f64], expected: &[f64]) {
    assert_eq!(found.len(), expected.len(), "{found:?}");
    for (found, expected) in found.iter().zip(expected) {
        assert!((found - expected).abs() < 0.01, "{found} is not {expected}");
    }
}

#[test]
fn units_of_every_list_are_read() {
    for text in [
        "196cc",
        "196 ccm",
        "196 cm³",
        "196 cm3",
        "196 ml",
        "0.196 L",
        "0,196 l",
        "196-cc",
        "196 C.C.",
        "cc 196",
        "Hubraum: 196",
        "Cilindrata 196",
        "196㏄",
    ] {
        close(&served(text), &[196.0]);
    }
    close(&served("11.97 cu in"), &[196.153]);
    close(&served("16.5 in³"), &[270.387]);
    close(&served("12 CID"), &[196.645]);
}

#[test]
fn lists_and_ranges() {
    close(&served("Starter 163/196/212cc 5.5/6.5/7 HP"), &[163.0, 196.0, 212.0]);
    close(&served("for 163, 196 & 212 cc engines"), &[163.0, 196.0, 212.0]);
    let range = read_displacement("from 163 to 212 cc", Context::Title);
    assert!(range[0].is_range);
    assert_eq!(range[0].served, vec![Interval::between(162.5, 212.5)]);
    close(&served("389,5 cc"), &[389.5]);
}

#[test]
fn the_last_digit_written_is_the_width() {
    let width = |text: &str| read_displacement(text, Context::Title)[0].served[0];
    assert_eq!(width("196 cc"), Interval::between(195.5, 196.5));
    let litres = width("0.2 l");
    assert!((litres.low - 150.0).abs() < 1e-9 && (litres.high - 250.0).abs() < 1e-9);
}

#[test]
fn what_is_no_displacement_is_left() {
    for text in [
        "168F",
        "188 F recoil",
        "168F/170F",
        "recoil 2019",
        "€ 196",
        "KR200",
        "28400-196-003",
        "oil 600 ml",
        "fuel tank 1.4 L",
        "Öl 0,6 L",
        "3.6 L",
        "M6 x 20",
        "5 cc",
        "196 mm",
        "GTIN 4006381333931",
    ] {
        close(&served(text), &[]);
    }
}

#[test]
fn a_bare_cell_is_cc() {
    let cell = |text: &str| {
        read_displacement(text, Context::Column)
            .iter()
            .flat_map(|r| r.served.iter().map(Interval::mid))
            .collect::<Vec<_>>()
    };
    close(&cell("163/196/212"), &[163.0, 196.0, 212.0]);
    close(&cell("196"), &[196.0]);
    close(&cell("0.196"), &[196.0]);
    close(&cell("163; 196"), &[163.0, 196.0]);
    close(&cell("168f"), &[]);
    // litres have decimals: a bare whole number is no engine of two litres
    close(&cell("1"), &[]);
    close(&cell("2"), &[]);
}

#[test]
fn a_short_word_before_a_range_or_a_list_is_no_code() {
    for text in [
        "red 380-420 cc",
        "new 380-420 cc",
        "neu 380-420 ccm",
        "overhead cam 380-420 cc",
        "bk 380-420 cc",
    ] {
        close(&served(text), &[400.0]);
    }
    close(&served("232453-BK 389/420 cc"), &[389.0, 420.0]);
    close(&served("88.8 mm c/c 182/190cc"), &[182.0, 190.0]);
    close(&served("kr 200/196cc"), &[196.0]);
}

#[test]
fn a_part_number_before_a_displacement_is_left_to_itself() {
    let readings = read_displacement("943760, 200cc", Context::Title);
    assert_eq!(readings[0].span, 8..13);
    close(&served("0410104, 163-200 cc"), &[181.5]);
}
