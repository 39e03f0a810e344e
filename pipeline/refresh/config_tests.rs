use super::*;

const LEAST: &str = "store = \"store\"\noutput = \"out\"\n[[source]]\nfolder = \"lists\"\n";

fn parse(text: &str) -> Result<Config, ConfigError> {
    let home = tempfile::tempdir().unwrap();
    Config::parse(text, home.path())
}

#[test]
fn three_keys_are_enough() {
    let config = parse(LEAST).unwrap();
    assert_eq!(config.keep, 7);
    assert!(config.prometheus.ends_with("out/samefit.prom"));
}

#[test]
fn an_unknown_key_is_named_with_its_line_and_the_likeliest_spelling() {
    let error = parse(&LEAST.replace("output", "ouptut")).unwrap_err();
    assert!(
        error.message.contains("line 2") && error.message.contains("ouptut"),
        "{error}"
    );
    assert_eq!(error.hint, "did you mean `output`?");
    let error = parse(&format!("{LEAST}[gates]\nshrnk = 0.5\n")).unwrap_err();
    assert_eq!(error.hint, "did you mean `shrink`?");
}

#[test]
fn a_path_out_of_the_folder_is_refused_by_its_key_unless_a_root_allows_it() {
    let error = parse(&LEAST.replace("\"store\"", "\"../elsewhere\"")).unwrap_err();
    assert!(error.message.contains("`store`"), "{error}");
    let home = tempfile::tempdir().unwrap();
    let text = format!(
        "roots = [{:?}]\n{}",
        home.path(),
        LEAST.replace("\"store\"", &format!("{:?}", home.path()))
    );
    parse(&text).unwrap();
}

#[cfg(unix)]
#[test]
fn a_link_out_of_the_folder_is_out_of_the_folder() {
    let home = tempfile::tempdir().unwrap();
    let elsewhere = tempfile::tempdir().unwrap();
    std::os::unix::fs::symlink(elsewhere.path(), home.path().join("store")).unwrap();
    let error = Config::parse(LEAST, home.path()).unwrap_err();
    assert!(error.message.contains("`store`"), "{error}");
}

#[test]
fn values_out_of_bounds_are_refused_by_their_key() {
    for (line, key) in [
        ("keep = 1", "`keep`"),
        ("reject_limit = 2.0", "`reject_limit`"),
        ("sure = -1.0", "`sure`"),
        ("home_currency = \"XYZ\"", "`home_currency`"),
    ] {
        let error = parse(&format!("{line}\n{LEAST}")).unwrap_err();
        assert!(error.message.contains(key), "{error}");
    }
    let error = parse(&format!("{LEAST}[gates]\nshrink = 7.0\n")).unwrap_err();
    assert!(error.message.contains("`gates.shrink`"), "{error}");
}

#[test]
fn a_store_inside_the_output_is_refused() {
    let error = parse(&LEAST.replace("\"store\"", "\"out/store\"")).unwrap_err();
    assert!(error.message.contains("inside one another"), "{error}");
}
