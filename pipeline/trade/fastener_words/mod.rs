//! Words around screws and holes, folded, in the languages of the lists. They say what a number
//! beside them is: a head, a hole, a screw, a count.
//!
//! Order inside the folder: the words of each noun (`screws`, `holes`, `heads`, `flywheel_and_rope`) and the words between a
//! number and its noun (`between`) stand in files of their own and know nothing of each other.

mod between;
mod flywheel_and_rope;
mod heads;
mod holes;
mod screws;

pub use between::{is_adjective, is_filler};

use flywheel_and_rope::{FLYWHEEL_WORDS, ROPE_WORDS};
use heads::HEAD_WORDS;
use holes::HOLE_WORDS;
use rustc_hash::FxHashMap;
use screws::SCREW_WORDS;
use std::sync::LazyLock;

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

/// Whole numbers from two to six as words that count holes.
pub fn number_word(word: &str) -> Option<u8> {
    Some(match word {
        "two" | "zwei" | "deux" | "dos" | "dois" | "twee" | "dwa" | "dva" | "tva" | "два" | "两" | "二" => 2,
        "three" | "drei" | "trois" | "tres" | "tre" | "drie" | "trzy" | "tri" | "три" | "三" => 3,
        "four" | "vier" | "quatre" | "cuatro" | "quattro" | "quatro" | "cztery" | "ctyri" | "fyra" | "fire"
        | "четыре" | "四" => 4,
        "five" | "funf" | "cinq" | "cinco" | "cinque" | "vijf" | "piec" | "pet" | "fem" | "пять" | "五" => 5,
        "six" | "sechs" | "seis" | "sei" | "zes" | "szesc" | "sest" | "шесть" | "六" => 6,
        _ => return None,
    })
}
