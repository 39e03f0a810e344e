//! Words around screws and holes, folded, in the languages of the lists. They say what a number
//! beside them is: a head, a hole, a screw, a count.

use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// Words between a noun and its number.
const FILLERS: &[&str] = &[
    "of",
    "is",
    "ca",
    "approx",
    "approximately",
    "about",
    "circa",
    "env",
    "environ",
    "de",
    "du",
    "des",
    "da",
    "di",
    "del",
    "von",
    "van",
    "na",
    "d",
    "dia",
    "diam",
    "diameter",
    "diametre",
    "diametro",
    "durchmesser",
    "srednica",
    "sr",
    "fi",
    "size",
    "grosse",
    "taille",
    "tamano",
    "misura",
    "maat",
    "rozmiar",
    "nr",
    "each",
    "je",
    "er",
    "the",
];

/// Words between a number and its noun.
const ADJECTIVES: &[&str] = &[
    "mounting",
    "bolt",
    "screw",
    "fixing",
    "flange",
    "flanged",
    "mount",
    "steel",
    "dia",
    "diameter",
    "hex",
    "through",
    "x",
    "er",
    "st",
    "stk",
    "pcs",
    "pc",
    "de",
    "clearance",
    "round",
    "slotted",
];

/// What kind of thing a word names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Noun {
    /// A screw, bolt or stud.
    Screw,
    /// A hole in the part, or a fixing point.
    Hole,
    /// A head or the spanner that turns it: the number is a width across flats.
    Head,
    /// The flywheel, its nut or the cup: the thread is not a mounting thread.
    Flywheel,
    /// A rope or its grip: the number is not of a fastener.
    Rope,
}

/// Screws, bolts and studs.
const SCREW_WORDS: &[&str] = &[
    "bolt",
    "bolts",
    "screw",
    "screws",
    "stud",
    "studs",
    "schraube",
    "schrauben",
    "befestigungsschrauben",
    "flanschschrauben",
    "sechskantschrauben",
    "bolzen",
    "vis",
    "boulon",
    "boulons",
    "tornillo",
    "tornillos",
    "perno",
    "pernos",
    "vite",
    "viti",
    "bullone",
    "bulloni",
    "bout",
    "bouten",
    "boutjes",
    "schroef",
    "schroeven",
    "sruba",
    "sruby",
    "srub",
    "srubami",
    "wkret",
    "wkrety",
    "螺栓",
    "螺丝",
];
/// Holes in the part.
const HOLE_WORDS: &[&str] = &[
    "points",
    "puntos",
    "punti",
    "punten",
    "punktowy",
    "punkt",
    "hole",
    "holes",
    "loch",
    "locher",
    "lochern",
    "loecher",
    "bohrung",
    "bohrungen",
    "lochdurchmesser",
    "bohrungsdurchmesser",
    "befestigungslocher",
    "befestigungsbohrungen",
    "trou",
    "trous",
    "percage",
    "percages",
    "agujero",
    "agujeros",
    "taladro",
    "taladros",
    "orificio",
    "orificios",
    "foro",
    "fori",
    "gat",
    "gaten",
    "gats",
    "gaats",
    "boorgat",
    "boorgaten",
    "otw",
    "otwor",
    "otwory",
    "otworow",
    "otworami",
    "otworowy",
    "otworowa",
    "otwora",
    "孔",
    "孔径",
    "穴",
];
/// Heads and the spanners that turn them.
const HEAD_WORDS: &[&str] = &[
    "hex",
    "hexagon",
    "hexagonal",
    "hexagonale",
    "head",
    "heads",
    "socket",
    "sockets",
    "spanner",
    "wrench",
    "af",
    "flats",
    "sw",
    "schlusselweite",
    "schlussel",
    "sechskant",
    "sechskantkopf",
    "nuss",
    "kopf",
    "cle",
    "clef",
    "tete",
    "tetes",
    "plats",
    "douille",
    "llave",
    "llaves",
    "cabeza",
    "entrecaras",
    "hexagono",
    "chiave",
    "chiavi",
    "testa",
    "esagono",
    "esagonale",
    "sleutel",
    "sleutelwijdte",
    "kop",
    "zeskant",
    "klucz",
    "klucza",
    "leb",
    "lba",
    "lbem",
    "lby",
    "nasadka",
    "dop",
];
/// What is fastened to the crankshaft, and the spark plug.
const FLYWHEEL_WORDS: &[&str] = &[
    "nut",
    "nuts",
    "flywheel",
    "cup",
    "mutter",
    "schwungrad",
    "polrad",
    "ecrou",
    "volant",
    "cloche",
    "tuerca",
    "volante",
    "dado",
    "volano",
    "moer",
    "vliegwiel",
    "nakretka",
    "zamachowe",
    "crankshaft",
    "kurbelwelle",
    "vilebrequin",
    "spark",
    "plug",
];
/// The rope and its grip.
const ROPE_WORDS: &[&str] = &[
    "rope",
    "cord",
    "cable",
    "seil",
    "starterseil",
    "corde",
    "cordon",
    "cuerda",
    "fune",
    "koord",
    "startkoord",
    "linka",
    "linki",
    "grip",
    "handle",
];

/// Every word with its noun.
static NOUNS: LazyLock<FxHashMap<&'static str, Noun>> = LazyLock::new(|| {
    let lists = [
        (SCREW_WORDS, Noun::Screw),
        (HOLE_WORDS, Noun::Hole),
        (HEAD_WORDS, Noun::Head),
        (FLYWHEEL_WORDS, Noun::Flywheel),
        (ROPE_WORDS, Noun::Rope),
    ];
    lists
        .into_iter()
        .flat_map(|(words, noun)| words.iter().map(move |word| (*word, noun)))
        .collect()
});

/// The noun a folded word names.
pub fn noun(word: &str) -> Option<Noun> {
    NOUNS.get(word).copied().or_else(|| cjk_noun(word))
}

/// Scripts without spaces run words together; the noun may stand at the start of the run.
fn cjk_noun(word: &str) -> Option<Noun> {
    let starts = |nouns: &[&str]| nouns.iter().any(|noun| word.starts_with(noun));
    if word.is_ascii() || starts(&["孔距"]) {
        None
    } else if starts(&["孔", "个孔", "眼", "穴"]) {
        Some(Noun::Hole)
    } else if starts(&["螺栓", "螺丝", "个螺"]) {
        Some(Noun::Screw)
    } else {
        None
    }
}

/// Words that may stand between a noun and its number without changing what the number is.
pub fn is_filler(word: &str) -> bool {
    FILLERS.contains(&word)
}

/// Words between a number and the noun it counts or measures: "3 mounting holes".
pub fn is_adjective(word: &str) -> bool {
    ADJECTIVES.contains(&word)
}

/// Whole numbers from two to six as words that count holes.
pub fn number_word(word: &str) -> Option<u8> {
    Some(match word {
        "two" | "zwei" | "deux" | "dos" | "twee" | "dwa" | "两" => 2,
        "three" | "drei" | "trois" | "tres" | "tre" | "drie" | "trzy" | "三" => 3,
        "four" | "vier" | "quatre" | "cuatro" | "quattro" | "cztery" | "四" => 4,
        "six" | "sechs" | "seis" | "sei" | "zes" | "szesc" => 6,
        _ => return None,
    })
}
