//! Blocks of a page that are marked `console`: lines `$ samefit ...`, each with what it prints on stdout; a line `...`
//! stands for any lines left out.

const ELISION: &str = "...";

/// What a part of the README is.
pub enum Piece<'a> {
    Text(&'a str),
    Console(Vec<&'a str>),
}

impl<'a> Piece<'a> {
    /// The page's own words; none of a block.
    pub fn text(&self) -> &'a str {
        match self {
            Piece::Text(text) => text,
            Piece::Console(_) => "",
        }
    }
}

/// One command of a block and what the block shows of its output.
pub struct Call<'a> {
    pub typed: &'a str,
    pub shown: Vec<&'a str>,
}

/// A page taken apart: its blocks, and what stands before, between and after them.
pub fn pieces(readme: &str) -> Vec<Piece<'_>> {
    const OPEN: &str = "```console\n";
    let mut pieces = Vec::new();
    let mut rest = readme;
    while let Some(at) = rest.find(OPEN) {
        let (before, block) = rest.split_at(at + OPEN.len());
        let end = block.find("```").expect("a block is closed");
        pieces.push(Piece::Text(before));
        pieces.push(Piece::Console(block[..end].lines().collect()));
        rest = &block[end..];
    }
    pieces.push(Piece::Text(rest));
    pieces
}

/// The commands of a block.
pub fn calls<'a>(lines: &[&'a str]) -> Vec<Call<'a>> {
    let mut calls: Vec<Call> = Vec::new();
    for line in lines {
        match (line.strip_prefix("$ "), calls.last_mut()) {
            (Some(typed), _) => calls.push(Call {
                typed,
                shown: Vec::new(),
            }),
            (None, Some(call)) => call.shown.push(line),
            (None, None) => panic!("a block begins with `$ samefit`: {line}"),
        }
    }
    calls
}

/// The words of a line as a shell would part them; double quotes only.
pub fn words(typed: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for sign in typed.chars() {
        match (sign, words.last_mut()) {
            ('"', _) => quoted = !quoted,
            (' ', Some(word)) if !quoted && !word.is_empty() => words.push(String::new()),
            (_, Some(word)) => word.push(sign),
            (_, None) => {}
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Whether an output is what is shown, `...` standing for any lines.
pub fn agrees(shown: &[&str], printed: &[&str]) -> bool {
    let Some(at) = shown.iter().position(|line| *line == ELISION) else {
        return shown == printed;
    };
    let (head, rest) = (&shown[..at], &shown[at + 1..]);
    printed.starts_with(head) && (at..=printed.len()).any(|from| agrees(rest, &printed[from..]))
}

/// The output cut as the shown lines were: as many lines at the start and the end, and each middle part from the line
/// that is most like its first.
pub fn refreshed<'a>(shown: &[&'a str], printed: &[&'a str]) -> Vec<&'a str> {
    let parts: Vec<&[&str]> = shown.split(|line| *line == ELISION).collect();
    if parts.len() == 1 {
        return printed.to_vec();
    }
    let mut lines: Vec<&str> = Vec::new();
    let mut from = 0;
    for (number, part) in parts.iter().enumerate() {
        let start = match (number, number + 1 == parts.len()) {
            (0, _) => 0,
            (_, true) => printed.len().saturating_sub(part.len()).max(from),
            _ => most_alike(part, printed, from),
        };
        let end = (start + part.len()).min(printed.len());
        lines.extend(&printed[start..end]);
        from = end;
        if number + 1 < parts.len() {
            lines.push(ELISION);
        }
    }
    lines
}

fn most_alike(part: &[&str], printed: &[&str], from: usize) -> usize {
    let first = part.first().copied().unwrap_or("");
    let common = |line: &str| line.bytes().zip(first.bytes()).take_while(|(a, b)| a == b).count();
    // of equals the earliest
    let from = from.min(printed.len());
    let best = printed[from..].iter().map(|line| common(line)).max().unwrap_or(0);
    from + printed[from..]
        .iter()
        .position(|line| common(line) == best)
        .unwrap_or(0)
}

#[test]
fn an_elision_stands_for_any_lines() {
    let printed = ["a", "b", "c", "d"];
    assert!(agrees(&["a", "...", "d"], &printed));
    assert!(agrees(&["a", "b", "...", "c", "d"], &printed));
    assert!(agrees(&["...", "c", "..."], &printed));
    assert!(!agrees(&["a", "...", "e"], &printed));
    assert!(!agrees(&["a", "d"], &printed));
}

#[test]
fn a_refreshed_block_keeps_its_cut() {
    let printed = ["head 2", "x", "why: new", "more", "y", "end"];
    assert_eq!(
        refreshed(&["head 1", "...", "why: old", "more", "...", "end"], &printed),
        ["head 2", "...", "why: new", "more", "...", "end"]
    );
}
