//! One sentence about prices and what it states: tokens with the commas and slashes between them, so that an amount
//! beside a currency is told from the currency of the list.

use super::profile::PriceBasis;
use super::statement_words::{StatementWords, Words, has};
use crate::trade::folding::fold;
use crate::trade::money::{Currency, read_currency};

/// A token of a sentence.
struct Token {
    raw: String,
    folded: String,
}

/// A sentence, cut into parts between commas and those into tokens.
pub(crate) struct Sentence<'w> {
    words: &'w StatementWords,
    folded: String,
    parts: Vec<Vec<Token>>,
}

impl<'w> Sentence<'w> {
    /// Cuts a sentence.
    pub(crate) fn of(words: &'w StatementWords, text: &str) -> Sentence<'w> {
        let mut parts = Vec::new();
        for part in text.split([',', ':', '，', '：', '=']) {
            let spaced = part.replace('/', " / ").replace('€', " € ");
            let tokens = spaced.split(|letter: char| letter.is_whitespace() || "()[]\"'".contains(letter));
            let tokens: Vec<Token> = tokens
                .filter(|token| !token.is_empty())
                .map(|token| Token {
                    raw: token.to_string(),
                    folded: fold(token).into_owned(),
                })
                .collect();
            parts.push(tokens);
        }
        Sentence {
            words,
            folded: fold(text).into_owned(),
            parts,
        }
    }

    fn tokens(&self) -> impl Iterator<Item = &Token> {
        self.parts.iter().flatten()
    }

    /// Whether the sentence speaks of prices at all.
    pub(crate) fn is_about_prices(&self) -> bool {
        self.tokens().any(|token| self.is_price_word(token)) || holds(&self.words.price.unspaced, &self.folded)
    }

    fn is_price_word(&self, token: &Token) -> bool {
        let word = token.folded.trim_matches('.');
        has(&self.words.price.words, word) || holds(&self.words.price.stems, word)
    }

    /// The currencies named, those of amounts aside.
    pub(crate) fn currencies(&self) -> Vec<Currency> {
        let mut found = Vec::new();
        for part in &self.parts {
            for place in 0..part.len() {
                let beside = |next: Option<usize>| next.and_then(|next| part.get(next)).is_some_and(is_amount);
                let Some((currency, length)) = self.currency_at(part, place) else {
                    continue;
                };
                if !beside(place.checked_sub(1)) && !beside(Some(place + length)) {
                    found.push(currency);
                }
            }
        }
        found
    }

    /// The currency that starts at a token, and how many tokens name it.
    fn currency_at(&self, part: &[Token], place: usize) -> Option<(Currency, usize)> {
        let words = &self.words.currency;
        let token = &part[place];
        if let Some(next) = part.get(place + 1) {
            let pair = |pair: &&[String; 2]| pair[0] == token.folded && pair[1] == next.folded.trim_matches('.');
            if let Some([one, two]) = words.pairs.iter().find(pair) {
                return read_currency(&format!("{one} {two}")).map(|currency| (currency, 2));
            }
        }
        let code = token.raw.trim_matches('.');
        if has(&words.codes, code) {
            return read_currency(code).map(|currency| (currency, 1));
        }
        let word = token.folded.trim_matches('.');
        let unspaced = |mark: &&String| !mark.is_ascii() && word.contains(mark.as_str());
        let mark = words.marks.iter().find(|mark| *mark == word);
        let mark = mark.or_else(|| words.marks.iter().find(unspaced))?;
        read_currency(mark).map(|currency| (currency, 1))
    }

    /// Numbers of pieces that the prices are for.
    pub(crate) fn per(&self) -> Vec<u32> {
        let words = &self.words.per;
        let mut found = Vec::new();
        for (phrases, count) in [(&words.each, 1), (&words.by_dozen, 12), (&words.hundred, 100)] {
            if phrases.iter().any(|phrase| stands_in(phrase, &self.folded)) {
                found.push(count);
            }
        }
        for part in &self.parts {
            for place in 1..part.len() {
                let before = &part[place - 1].folded;
                if before != "/" && !has(&words.words, before) {
                    continue;
                }
                let is_piece = |token: &Token| has(&words.pieces, token.folded.trim_matches('.'));
                let is_article = |token: &Token| has(&words.articles, token.folded.trim_matches('.'));
                let counted = |token: &Token| is_piece(token) || is_article(token);
                match part[place].raw.parse::<u32>() {
                    // "list no. 9/2026"
                    Ok(_) if is_year(&part[place]) && !part.get(place + 1).is_some_and(counted) => {}
                    Ok(count @ 1..=10_000) if part.get(place + 1).is_none_or(counted) => found.push(count),
                    Ok(_) => {}
                    Err(_) if is_piece(&part[place]) || before == "/" && is_article(&part[place]) => found.push(1),
                    Err(_) if self.is_dozen(&part[place]) => found.push(12),
                    Err(_) => {}
                }
            }
        }
        found
    }

    /// Whether a dozen is named at all, as a heading does: "Price dozen EUR".
    pub(crate) fn names_a_dozen(&self) -> bool {
        self.tokens().any(|token| self.is_dozen(token))
    }

    fn is_dozen(&self, token: &Token) -> bool {
        has(&self.words.per.dozen, token.folded.trim_matches('.'))
    }

    /// Net, gross, or both where the sentence speaks of both.
    pub(crate) fn bases(&self) -> Vec<PriceBasis> {
        let words = self.words;
        let mut found = Vec::new();
        for part in &self.parts {
            if part
                .iter()
                .any(|token| has(&words.not_of_tax.words, token.folded.trim_matches('.')))
            {
                continue;
            }
            let text: Vec<&str> = part.iter().map(|token| token.folded.as_str()).collect();
            // "s/IVA" is one word; its tokens are three
            let text = text.join(" ").replace(" / ", "/");
            let compound = |start: &str| {
                let mut starts = part.iter().filter(|token| token.folded.starts_with(start));
                starts.any(|token| self.is_price_word(token))
            };
            let says = |words: &Words| {
                words.words.iter().any(|phrase| stands_in(phrase, &text)) || holds(&words.unspaced, &text)
            };
            if says(&words.net) || compound("netto") {
                found.push(PriceBasis::Net);
            }
            if says(&words.gross) || compound("brutto") {
                found.push(PriceBasis::Gross);
            }
        }
        found
    }
}

/// A number beside a currency that is no year.
fn is_amount(token: &Token) -> bool {
    token.raw.bytes().any(|b| b.is_ascii_digit()) && !is_year(token)
}

/// A year of this century.
fn is_year(token: &Token) -> bool {
    token.raw.len() == 4 && token.raw.starts_with("20") && token.raw.bytes().all(|b| b.is_ascii_digit())
}

fn holds(words: &[String], text: &str) -> bool {
    words.iter().any(|word| text.contains(word.as_str()))
}

/// Whether a phrase stands in a text with no letter or digit on either side.
fn stands_in(phrase: &str, text: &str) -> bool {
    text.match_indices(phrase).any(|(place, _)| {
        let before = text[..place].chars().next_back();
        let after = text[place + phrase.len()..].chars().next();
        !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
    })
}
