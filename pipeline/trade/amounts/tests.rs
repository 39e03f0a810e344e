//! Lists and ranges as titles and cells hold them.

use super::*;

fn unit(text: &str, _: Glue) -> Option<((), usize)> {
    text.starts_with("cc").then_some(((), 2))
}

fn values(text: &str) -> Vec<(Vec<f64>, Joined)> {
    find_amounts(text, unit, None)
        .into_iter()
        .map(|amount| (amount.items.iter().map(|(n, ())| n.value).collect(), amount.joined))
        .collect()
}

fn list(numbers: &[f64]) -> Vec<(Vec<f64>, Joined)> {
    vec![(numbers.to_vec(), Joined::List)]
}

fn range(low: f64, high: f64) -> Vec<(Vec<f64>, Joined)> {
    vec![(vec![low, high], Joined::Range)]
}

#[test]
fn lists_share_the_unit_at_their_end() {
    for text in [
        "163/196/212cc",
        "163, 196 & 212 cc",
        "163cc/196cc/212cc",
        "163 cc, 196 cc and 212 cc",
        "163,196,212cc",
        "163 / 196 / 212-cc",
        "163 196 212 cc",
        "163, 196, and 212 cc",
        "163cc/196/212",
    ] {
        assert_eq!(values(text), list(&[163.0, 196.0, 212.0]), "{text}");
    }
}

#[test]
fn ranges_are_told_from_lists() {
    for text in [
        "163-212 cc",
        "from 163 to 212 cc",
        "163cc - 212cc",
        "163 bis 212cc",
        "between 163 and 212 cc",
        "von 163..212 cc",
    ] {
        assert_eq!(values(text), range(163.0, 212.0), "{text}");
    }
}

#[test]
fn codes_years_and_neighbours_stay_outside() {
    assert_eq!(values("168f 196cc"), list(&[196.0]));
    assert_eq!(values("kr200 168f/170f"), vec![]);
    assert_eq!(values("kr 200/196cc"), list(&[196.0]));
    assert_eq!(values("2018 196cc"), list(&[196.0]));
    assert_eq!(values("168-2 196cc"), list(&[196.0]));
    assert_eq!(values("6.5hp/196cc"), list(&[196.0]));
    assert_eq!(values("kr200/196cc"), list(&[196.0]));
    assert_eq!(values("tkh160/190, 173/190 cc"), list(&[173.0, 190.0]));
    assert_eq!(values("168f-2, 196cc"), list(&[196.0]));
    assert_eq!(values("kr49-552-696, 196cc"), list(&[196.0]));
    assert_eq!(values("recoil-196cc"), list(&[196.0]));
    assert_eq!(values("set 43/52cc"), list(&[43.0, 52.0]));
    assert_eq!(values("177f 240/270cc"), list(&[240.0, 270.0]));
    assert_eq!(values("zu 163/196 cc"), list(&[163.0, 196.0]));
    assert_eq!(values("14 mm 163/196 cc"), list(&[163.0, 196.0]));
    assert_eq!(values("196cc, 180 holes"), list(&[196.0]));
    assert_eq!(values("196cc 3 holes, 2018 model"), list(&[196.0]));
}

#[test]
fn a_bare_cell_uses_the_column_s_unit() {
    let cell = |text: &str| {
        let amounts = find_amounts(text, unit, Some(()));
        amounts
            .first()
            .map(|amount| amount.items.iter().map(|(n, ())| n.value).collect::<Vec<_>>())
    };
    assert_eq!(cell("163/196"), Some(vec![163.0, 196.0]));
    assert_eq!(cell("196"), Some(vec![196.0]));
    assert_eq!(cell("168f"), None);
}

#[test]
fn the_span_covers_numbers_and_unit() {
    let text = "starter 163/196 cc kit";
    let span = find_amounts(text, unit, None)[0].span.clone();
    assert_eq!(&text[span], "163/196 cc");
}
