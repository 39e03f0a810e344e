//! Mending of misspelt titles: only where a title names no kind in scope, unknown words are tried one slip away from the
//! names of the vocabulary ("recoli starter", "Recoi lstarter", "fanshroud").
//!
//! A mended title counts less than a well-spelt one (`mended` in `schemas/words/kind-model.toml`), and it serves the
//! kind only: claims and numbers are read from the text as it stands. A word with two different neighbours is left.

use super::scan::Scan;
use super::tokens::{Class, Token};
use super::vocabulary::Vocabulary;
use super::vocabulary::lexicon::Lexicon;

/// Shortest part of a word that was written without its space.
const SHORTEST_GLUED_PART: usize = 3;

/// The title with its slips mended, or `None` when there was nothing to mend.
pub fn mend(vocabulary: &Vocabulary, scan: &Scan) -> Option<Scan> {
    let lexicon = &vocabulary.lexicon;
    let mut mended = String::with_capacity(scan.folded.len() + 4);
    let mut done = 0;
    let mut at = 0;
    while at < scan.tokens.len() {
        let token = scan.tokens[at];
        // A compound known by its last part ("pallenset") is no slip, though the word itself is not known.
        let compound = scan.things.iter().any(|found| found.first as usize == at);
        let unknown = token.class == Class::Word && scan.words[at].is_unknown() && !compound;
        let next = scan.tokens.get(at + 1).filter(|next| next.class == Class::Word);
        let next_unknown = next.is_some() && scan.words[at + 1].is_unknown();
        let replaced = match next {
            Some(next) if token.class == Class::Word && (unknown || next_unknown) => {
                shifted_space(lexicon, scan, token, *next).map(|text| (text, at + 2))
            }
            _ => None,
        };
        let replaced = replaced.or_else(|| {
            let word = token.text(&scan.folded);
            if !unknown {
                return None;
            }
            let text = lexicon
                .near(word)
                .map(str::to_string)
                .or_else(|| missing_space(lexicon, word))?;
            Some((text, at + 1))
        });
        match replaced {
            Some((text, end)) => {
                mended.push_str(&scan.folded[done..token.start as usize]);
                mended.push_str(&text);
                done = scan.tokens[end - 1].end as usize;
                at = end;
            }
            None => at += 1,
        }
    }
    if done == 0 {
        return None;
    }
    mended.push_str(&scan.folded[done..]);
    Some(Scan::of(vocabulary, &mended))
}

/// "recoi lstarter": the space one letter off, or between the halves of a name.
fn shifted_space(lexicon: &Lexicon, scan: &Scan, left: Token, right: Token) -> Option<String> {
    let (left, right) = (left.text(&scan.folded), right.text(&scan.folded));
    let joined = format!("{left}{right}");
    let of_left = left.chars().next_back().map_or(0, char::len_utf8);
    let of_right = right.chars().next().map_or(0, char::len_utf8);
    let mut cuts = [left.len() - of_left, left.len() + of_right].into_iter();
    cuts.find_map(|cut| split_known(lexicon, &joined, cut))
        .or_else(|| lexicon.is_name_word(&joined).then_some(joined))
}

/// "fanshroud": two names without their space.
fn missing_space(lexicon: &Lexicon, word: &str) -> Option<String> {
    let cuts = word.char_indices().map(|(cut, _)| cut);
    let inner = cuts.filter(|cut| *cut >= SHORTEST_GLUED_PART && cut + SHORTEST_GLUED_PART <= word.len());
    inner.into_iter().find_map(|cut| split_known(lexicon, word, cut))
}

fn split_known(lexicon: &Lexicon, joined: &str, cut: usize) -> Option<String> {
    let (left, right) = joined.split_at_checked(cut)?;
    (lexicon.is_name_word(left) && lexicon.is_name_word(right)).then(|| format!("{left} {right}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mended(title: &str) -> Option<String> {
        let vocabulary = Vocabulary::built_in().unwrap();
        mend(&vocabulary, &Scan::of(&vocabulary, title)).map(|scan| scan.folded)
    }

    #[test]
    fn one_slip_is_mended() {
        assert_eq!(mended("Recoli strater 168F").as_deref(), Some("recoil starter 168f"));
        assert_eq!(mended("Seilzugstater 168F").as_deref(), Some("seilzugstarter 168f"));
    }

    #[test]
    fn a_space_one_letter_off_is_put_right() {
        assert_eq!(
            mended("Varnello Recoi lstarter").as_deref(),
            Some("varnello recoil starter")
        );
        assert_eq!(mended("fanshroud 168F").as_deref(), Some("fan shroud 168f"));
    }

    #[test]
    fn other_words_are_left_alone() {
        assert_eq!(mended("Qwortle zumbletop 168F"), None);
        assert_eq!(mended(""), None);
    }
}
