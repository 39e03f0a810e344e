//! Files -> offers: intake and normalise over every list, side by side.

use super::talk::Talk;
use crate::intake::{FileFailure, InputFile, Limits, Profiles, Use, read_file};
use crate::normalise::Scope;
use crate::normalise::list_read::{Gathered, ListRead, read_list};
use crate::normalise::vocabulary::Vocabulary;
use rayon::prelude::*;

/// Reads every file.
pub fn gather(
    files: &[InputFile],
    profiles: &Profiles,
    limits: &Limits,
    vocabulary: &Vocabulary,
    scope: Scope,
    talk: Talk,
) -> Gathered {
    let bar = talk.bar("reading", files.len() as u64);
    let read: Vec<Vec<Result<ListRead, FileFailure>>> = files
        .par_iter()
        .map(|file| {
            let lists = read_file(file, profiles, limits, Use::Build).into_iter();
            let lists = lists.map(|list| list.map(|list| read_list(list, None, vocabulary, scope)));
            let lists = lists.collect();
            bar.inc(1);
            lists
        })
        .collect();
    bar.finish_and_clear();
    let mut lists = Vec::new();
    let mut failures = Vec::new();
    for result in read.into_iter().flatten() {
        match result {
            Ok(list) => lists.push(list),
            Err(failure) => failures.push(failure),
        }
    }
    Gathered::of(lists, failures)
}
