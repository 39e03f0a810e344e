//! Countries as duty and tax ask for them: the two letters of ISO 3166-1, read from codes and from the names that lists
//! use for the origin of a part.
//!
//! Codes are from memory and checked for their shape alone; names are those of the countries that sell or make parts
//! of small engines, common use, no source. Anything else is not known, which is said and never taken for free of duty.

use super::folding::fold;
use compact_str::CompactString;

/// Names with their codes, folded.
const NAMES: &[(&str, &[&str])] = &[
    (
        "CN",
        &[
            "china",
            "p.r. china",
            "prc",
            "pr china",
            "chine",
            "cina",
            "chiny",
            "cina popolare",
            "中国",
            "kina",
        ],
    ),
    ("TW", &["taiwan", "tajwan", "台湾"]),
    ("JP", &["japan", "japon", "giappone", "japonia", "日本"]),
    ("IN", &["india", "inde", "indien", "indie"]),
    ("VN", &["vietnam", "viet nam", "wietnam"]),
    ("TH", &["thailand", "thailande", "tailandia", "tajlandia"]),
    (
        "TR",
        &["turkey", "turkiye", "turkei", "turquie", "turchia", "turquia", "turcja"],
    ),
    ("IT", &["italy", "italien", "italie", "italia", "wlochy"]),
    (
        "DE",
        &[
            "germany",
            "deutschland",
            "allemagne",
            "germania",
            "alemania",
            "duitsland",
            "niemcy",
            "nemecko",
        ],
    ),
    ("FR", &["france", "frankreich", "francia", "frankrijk", "francja"]),
    (
        "ES",
        &["spain", "spanien", "espagne", "spagna", "espana", "spanje", "hiszpania"],
    ),
    ("PL", &["poland", "polen", "pologne", "polonia", "polska"]),
    (
        "CZ",
        &["czechia", "czech republic", "tschechien", "tchequie", "cesko", "czechy"],
    ),
    ("AT", &["austria", "osterreich", "autriche", "oostenrijk"]),
    (
        "NL",
        &[
            "netherlands",
            "niederlande",
            "pays-bas",
            "paesi bassi",
            "paises bajos",
            "nederland",
            "holandia",
        ],
    ),
    ("BE", &["belgium", "belgien", "belgique", "belgio", "belgica", "belgie"]),
    ("SE", &["sweden", "schweden", "suede", "svezia", "suecia", "sverige"]),
    (
        "GB",
        &[
            "united kingdom",
            "uk",
            "great britain",
            "england",
            "grossbritannien",
            "royaume-uni",
            "regno unito",
        ],
    ),
    (
        "US",
        &[
            "united states",
            "usa",
            "u.s.a.",
            "etats-unis",
            "stati uniti",
            "estados unidos",
            "美国",
        ],
    ),
];

/// The code of a country, from two capital letters or a name; "Made in" in front is left out.
pub fn read_country(text: &str) -> Option<CompactString> {
    let text = text.trim();
    if is_code(text) {
        return Some(text.into());
    }
    let folded = fold(text);
    let name = folded.trim().strip_prefix("made in ").unwrap_or(folded.trim());
    NAMES
        .iter()
        .find(|(_, names)| names.contains(&name))
        .map(|(code, _)| CompactString::const_new(code))
}

/// Whether a text has the shape of an ISO 3166-1 alpha-2 code.
pub fn is_code(text: &str) -> bool {
    text.len() == 2 && text.bytes().all(|sign| sign.is_ascii_uppercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_and_names_are_read_and_nothing_else() {
        assert_eq!(read_country("CN").as_deref(), Some("CN"));
        assert_eq!(read_country("Made in China").as_deref(), Some("CN"));
        assert_eq!(read_country("Österreich").as_deref(), Some("AT"));
        assert_eq!(read_country("somewhere"), None);
        assert_eq!(read_country("c1"), None);
    }

    #[test]
    fn every_name_stands_folded_under_a_code() {
        for (code, names) in NAMES {
            assert!(is_code(code));
            assert!(names.iter().all(|name| fold(name) == **name), "{code}");
        }
    }
}
