use super::*;

const FILE: &str = "home = \"EUR\"\ndate = 2026-09-01\ncountry = \"IT\"\n[rates]\nUSD = 1.25\nPLN = \"4.00\"\n\
                    [duty]\nCN = 0.027\ndefault = 0\n[tax]\ncounted = true\nrates = { IT = 0.22 }\n";

#[test]
fn an_amount_is_divided_by_the_rate() {
    let rates = Rates::parse(FILE).unwrap();
    assert_eq!(rates.to_home(Decimal::new(1000, 2), "USD"), Some(Decimal::new(800, 2)));
    assert_eq!(rates.to_home(Decimal::new(1000, 2), "EUR"), Some(Decimal::new(1000, 2)));
    assert_eq!(rates.date, "2026-09-01");
}

#[test]
fn a_currency_without_a_rate_is_not_converted() {
    assert_eq!(Rates::parse(FILE).unwrap().to_home(Decimal::ONE, "CZK"), None);
}

#[test]
fn unknown_keys_and_bad_rates_are_refused() {
    let with = |rest: &str| Rates::parse(&format!("home = \"EUR\"\ndate = 2026-09-01\n{rest}"));
    assert!(with("base = 1\n[rates]\n").is_err());
    assert!(with("[rates]\nUSD = 0\n").is_err());
    assert!(with("[rates]\n[duty]\nChina = 0.1\n").unwrap_err().contains("China"));
    assert!(
        with("[rates]\n[tax]\nrates = { IT = 22 }\n")
            .unwrap_err()
            .contains("0.22")
    );
    assert!(with("country = \"Italy\"\n[rates]\n").is_err());
}

#[test]
fn duty_goes_by_origin_and_the_own_country_bears_none() {
    let rates = Rates::parse(FILE).unwrap();
    assert_eq!(rates.duty("CN"), Some(Decimal::new(27, 3)));
    assert_eq!(rates.duty("IT"), Some(Decimal::ZERO));
    assert_eq!(rates.duty(""), Some(Decimal::ZERO));
    assert_eq!(Rates::none("EUR").duty("CN"), None);
    assert_eq!(rates.tax("IT"), Some(Decimal::new(22, 2)));
    assert_eq!(rates.tax("DE"), None);
}

#[test]
fn a_runs_settings_say_the_same_rates_again() {
    let rates = Rates::parse(FILE).unwrap();
    let settings = rates.settings().into_iter().collect();
    assert_eq!(Rates::of_settings("EUR", &settings), rates);
}

#[test]
fn the_age_of_rates_is_counted_in_days() {
    let rates = Rates::parse(FILE).unwrap();
    assert_eq!(rates.age_days("2026-10-16".parse().unwrap()), Some(45));
    assert_eq!(Rates::none("EUR").age_days("2026-10-16".parse().unwrap()), None);
}
