//! Files -> offers: intake and normalise over every list, side by side, in an order that depends on
//! the lists alone.
//!
//! Lists are read in parallel and rows normalised in parallel; afterwards lists stand in the order of
//! supplier, content hash, archive member and sheet, and offers in the order of their lines, so that
//! neither threads nor file names reach the result.

use super::talk::Talk;
use crate::intake::{
    FileFailure, InputFile, Limits, ListAccount, ListHead, ListReader, Profile, Profiles, Reject, Use, read_file,
};
use crate::normalise::offer::{Line, Offer, SetAside};
use crate::normalise::vocabulary::Vocabulary;
use crate::normalise::{Normaliser, Scope};
use rayon::prelude::*;
use std::cmp::Ordering;
use std::sync::Arc;

/// Rows handled as one piece of parallel work.
const ROWS_AT_ONCE: usize = 256;

/// One list with everything that became of its lines.
pub struct ListRead {
    /// what was known before reading
    pub head: ListHead,
    /// what became of the lines in intake
    pub account: ListAccount,
    /// rejects of both stages, in file order
    pub rejects: Vec<Reject>,
    /// offers, in file order
    pub offers: Vec<Offer>,
    /// lines set aside, in file order
    pub set_aside: Vec<SetAside>,
}

/// All lists of a run.
pub struct Gathered {
    /// lists in canonical order
    pub lists: Vec<ListRead>,
    /// files of which nothing was used
    pub failures: Vec<FileFailure>,
}

impl Gathered {
    /// Takes the offers out of the lists, each with the profile of its list, in an order that depends on
    /// what the lines say: neither file names nor the order of lines in a file reach the result.
    pub fn take_offers(&mut self) -> (Vec<Offer>, Vec<Option<Arc<Profile>>>) {
        let mut both: Vec<(Offer, Option<Arc<Profile>>)> =
            Vec::with_capacity(self.lists.iter().map(|l| l.offers.len()).sum());
        for list in &mut self.lists {
            let profile = &list.head.profile;
            both.extend(list.offers.drain(..).map(|offer| (offer, profile.clone())));
        }
        both.par_sort_by(|x, y| by_content(&x.0, &y.0));
        both.into_iter().unzip()
    }
}

fn by_content(x: &Offer, y: &Offer) -> Ordering {
    let price = |o: &Offer| o.price.as_ref().map(|p| p.unit_price);
    x.supplier
        .cmp(&y.supplier)
        .then_with(|| x.sku.cmp(&y.sku))
        .then_with(|| x.title.cmp(&y.title))
        .then_with(|| x.brand.cmp(&y.brand))
        .then_with(|| x.description.cmp(&y.description))
        .then_with(|| price(x).cmp(&price(y)))
        .then_with(|| x.numbers.iter().map(|n| &n.raw).cmp(y.numbers.iter().map(|n| &n.raw)))
        .then_with(|| x.line.cmp(&y.line))
}

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
    let read: Vec<Result<Vec<ListRead>, FileFailure>> = files
        .par_iter()
        .map(|file| {
            let lists = read_file(file, profiles, limits, Use::Build)?;
            let lists = lists
                .into_iter()
                .map(|list| read_list(list, vocabulary, scope))
                .collect();
            bar.inc(1);
            Ok(lists)
        })
        .collect();
    bar.finish_and_clear();
    let mut gathered = Gathered {
        lists: Vec::new(),
        failures: Vec::new(),
    };
    for result in read {
        match result {
            Ok(lists) => gathered.lists.extend(lists),
            Err(failure) => gathered.failures.push(failure),
        }
    }
    gathered.lists.sort_by(|x, y| order(&x.head).cmp(&order(&y.head)));
    gathered.failures.sort_by(|x, y| x.file.cmp(&y.file));
    gathered
}

fn order(head: &ListHead) -> (&str, [u8; 32], &Option<String>, &str) {
    (&head.supplier, head.sha256, &head.sheet, &head.file)
}

fn read_list(mut list: ListReader, vocabulary: &Vocabulary, scope: Scope) -> ListRead {
    let head = list.head().clone();
    let normaliser = Normaliser::new(vocabulary, &head, scope);
    let mut offers = Vec::new();
    let mut set_aside = Vec::new();
    let mut rejects = Vec::new();
    while let Some(batch) = list.next_batch() {
        let lines: Vec<Line> = (0..batch.len())
            .into_par_iter()
            .with_min_len(ROWS_AT_ONCE)
            .map(|i| normaliser.line(&batch.row(i)))
            .collect();
        for line in lines {
            match line {
                Line::Offer(offer) => offers.push(offer),
                Line::SetAside(aside) => set_aside.push(aside),
                Line::Reject(reject) => rejects.push(reject),
            }
        }
    }
    let mut account = list.finish();
    rejects.append(&mut account.rejects);
    rejects.sort_by_key(|r| (r.line, r.column));
    ListRead {
        head,
        account,
        rejects,
        offers,
        set_aside,
    }
}
