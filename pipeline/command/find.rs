//! `samefit find`: what fits, and what of it is cheapest delivered.

pub use super::find_typed::{FindTyped, KindWanted};

use super::find_json::answer_json;
use super::find_typed::{history_form, limits, question};
use super::machine::{json_text, rows_csv};
use super::outcome::{Failure, Outcome};
use super::page::Look;
use super::talk::print;
use super::today::warn_of_age;
use super::{Common, find_history, find_page, open};
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::FinishedRun;
use crate::publish::column::money;
use crate::shop::answer::{Answer, Section};
use crate::shop::find::find;
use crate::shop::need::Need;
use crate::shop::shelf::Offered;

/// Runs the search.
///
/// # Errors
/// The run cannot be opened, an option cannot be read, or the question holds nothing to search by.
pub fn run(typed: &FindTyped, common: &Common) -> Result<Outcome, Failure> {
    // the two take about as long as each other
    let (vocabulary, run) = rayon::join(Vocabulary::built_in, || {
        open(&typed.run).inspect(FinishedRun::open_what_find_asks)
    });
    let vocabulary = vocabulary.map_err(|error| Failure::failed(error.to_string()))?;
    let need = Need::of(&vocabulary, &question(typed))?;
    if need.is_empty() {
        return Err(nothing_asked(&need));
    }
    let run = run?;
    if typed.history {
        let words = typed.words.join(" ");
        return find_history::show(&run, typed.number.as_deref().unwrap_or(&words), history_form(typed));
    }
    let answer = find(&run, &need, &limits(typed))?;
    warn_of_age(&answer.counter.rates, &typed.dated, common);
    let text = if typed.json {
        json_text(&answer_json(&need, &answer, typed.quantity))
    } else if typed.csv {
        answer_csv(&answer)?
    } else {
        find_page::page(&need, &answer, typed, Look::of_stdout(typed.color)?)
    };
    print(&text)?;
    Ok(Outcome::Done)
}

fn nothing_asked(need: &Need) -> Failure {
    let message = match &need.out_of_scope {
        Some(kind) => format!("this asks for a part of the kind `{kind}`, which is not cross-referenced"),
        None if need.leftover.is_empty() => "nothing was asked".to_string(),
        None => format!("nothing to search by was understood in: {}", need.leftover.join(" ")),
    };
    Failure::usage(message).hint(
        "say a part number, or what is known of the engine: displacement (212cc), engine code (168F), \
         power (6.5 hp), holes; see `samefit find --help`",
    )
}

/// Offers of a section with the list they stand in.
fn lists(section: &Section) -> impl Iterator<Item = (&'static str, &Offered)> {
    let covering = section.covering.iter().flat_map(|covering| &covering.offers.shown);
    let very = section.very.shown.iter().map(|offered| ("very part", offered));
    let sure = section.in_its_place.shown.iter().map(|offered| ("equivalent", offered));
    let doubtful = section.doubtful.shown.iter().map(|offered| ("doubtful", offered));
    very.chain(sure)
        .chain(doubtful)
        .chain(covering.map(|offered| ("assembly that covers it", offered)))
}

fn answer_csv(answer: &Answer) -> Result<String, Failure> {
    let rows = answer.sections.iter().flat_map(|section| {
        let share = section
            .lead
            .as_ref()
            .map_or(String::new(), |lead| format!("{:.4}", lead.share));
        let kind = section.kind.fixed_name().unwrap_or_default().to_string();
        lists(section).map(move |(list, offered)| {
            let delivered = offered.delivered.map_or(String::new(), money);
            let front = vec![kind.clone(), list.to_string(), share.clone(), delivered];
            (front, &offered.row)
        })
    });
    rows_csv(&["asked_for", "answer", "group_share", "delivered"], rows)
}
