//! The answer of `samefit find` as a page for people.

mod beside;
pub(super) mod understood;

use super::find_typed::FindTyped;
use super::offer_list::{Listing, write_offers};
use super::page::{Look, Page, Style};
use crate::shop::answer::{Answer, Compared, LeftOut, SETTLED, Section};
use crate::shop::matching::{Match, Verdict, figure};
use crate::shop::need::Need;
use beside::{before_ordering, cautions, write_covering, write_repair};
use understood::{called, number_sentence};

/// Assemblies shown beside the part itself.
const MOST_COVERING: usize = 3;

/// Cautions shown unless all are asked for: those of the work itself.
const SHORT_CAUTIONS: [&str; 3] = ["ignition", "spring", "guards"];

/// Writes the page.
pub fn page(need: &Need, answer: &Answer, typed: &FindTyped, look: Look) -> String {
    let mut page = Page::of(look);
    let understood = understood::understood(need);
    page.sentence(
        0,
        &format!(
            "Understood: {}",
            if understood.is_empty() {
                "nothing".into()
            } else {
                understood.join("; ")
            }
        ),
    );
    if !need.leftover.is_empty() {
        page.style(Style::Caution)
            .sentence(0, &format!("Not understood: {}", need.leftover.join(" ")));
        page.style(Style::Plain);
    }
    if let Some(kind) = &need.out_of_scope {
        page.sentence(
            0,
            &format!("Parts of the kind `{kind}` are not cross-referenced: lines of them stand in set-aside.csv; whole parts for the engine follow"),
        );
    }
    for number in &answer.numbers {
        number_sentence(&mut page, number);
    }
    for code in &answer.unknown_codes {
        page.sentence(
            0,
            &format!("Engine code {code}: no fit group of this run lists it; answered without it"),
        );
    }
    for section in &answer.sections {
        page.gap();
        write_section(&mut page, section, answer, typed);
    }
    if answer.sections.is_empty() {
        page.sentence(
            0,
            "Nothing was found; say what is known of the engine: displacement, code, power, holes",
        );
    }
    page.gap();
    if answer.sections.iter().any(|section| section.lead.is_some()) {
        before_ordering(&mut page);
    }
    cautions(&mut page, typed.cautions);
    page.finish()
}

/// How an assembly's price compares, for files.
pub fn compared_word(price: Compared) -> &'static str {
    match price {
        Compared::Cheaper => "cheaper",
        Compared::NotCheaper => "not cheaper",
        Compared::NothingElse => "nothing else",
        Compared::NotKnown => "not known",
    }
}

fn write_section(page: &mut Page, section: &Section, answer: &Answer, typed: &FindTyped) {
    page.style(Style::Heading).line(&called(section.kind).to_uppercase());
    page.style(Style::Plain);
    match &section.lead {
        Some(lead) => {
            write_lead(page, section, lead, answer);
            if lead.judged.is_empty() && !section.possible.is_empty() {
                page.sentence(0, "Say more of the engine or the holes to have offers listed");
                return;
            }
            write_lists(page, section, answer, typed);
        }
        None => nothing_fits(page, section, answer),
    }
    if let Some(covering) = &section.covering {
        write_covering(page, section.kind, covering, answer, typed);
    }
    if let Some(repair) = &section.repair {
        write_repair(page, repair, &answer.counter.rates.home);
    }
}

/// The very part first, when it was named; then what works in its place, and the doubtful apart.
fn write_lists(page: &mut Page, section: &Section, answer: &Answer, typed: &FindTyped) {
    let listing = |style: Style| Listing {
        limit: usize::from(typed.limit),
        counter: &answer.counter,
        quantity: typed.quantity,
        style,
    };
    write_offers(
        page,
        "The very part with the number asked for, cheapest first",
        &section.very,
        listing(Style::Caution),
    );
    let confidence = figure(typed.min_confidence);
    let others = if section.very.in_all == 0 {
        "Cheapest delivered"
    } else {
        "In its place, cheapest delivered"
    };
    write_offers(
        page,
        &format!("{others}, at confidence {confidence} or more"),
        &section.in_its_place,
        listing(Style::Quiet),
    );
    if section.sure.in_all == 0 {
        let of = typed
            .supplier
            .as_ref()
            .map_or(String::new(), |name| format!(" of `{name}`"));
        page.sentence(0, &format!("No offer{of} at confidence {confidence} or more"));
    }
    let left_out = left_out_words(section.left_out);
    if !left_out.is_empty() {
        page.gap();
        page.sentence(0, &format!("Left out by what was asked: {}", left_out.join("; ")));
    }
    write_offers(
        page,
        "Doubtful: measure first",
        &section.doubtful,
        listing(Style::Caution),
    );
}

/// What the filters took away, one count each.
pub fn left_out_words(left_out: LeftOut) -> Vec<String> {
    let counts = [
        (left_out.supplier, "of other suppliers"),
        (left_out.late, "delivered later"),
        (left_out.time_unknown, "without a time of delivery"),
        (left_out.not_there, "not in stock, or not as many"),
        (left_out.stock_unknown, "without a word on stock"),
    ];
    let said = counts.into_iter().filter(|(count, _)| *count > 0);
    said.map(|(count, what)| format!("{count} {what}")).collect()
}

fn write_lead(page: &mut Page, section: &Section, lead: &Match, answer: &Answer) {
    let group = &answer.groups[lead.group];
    page.item(0, &group.group_id, &group.name);
    let facts: Vec<String> = lead.judged.iter().map(in_words).collect();
    if !facts.is_empty() {
        page.sentence(2, &format!("because: {}", facts.join("; ")));
    }
    if lead.share < SETTLED && !section.possible.is_empty() {
        page.sentence(
            2,
            &format!("not settled: this group with a probability of {:.2}", lead.share),
        );
    }
    if !section.possible.is_empty() {
        page.line("  also possible:");
        for other in section.possible.iter().take(4) {
            let group = &answer.groups[other.group];
            page.sentence(4, &format!("{:.2}  {}  {}", other.share, group.group_id, group.name));
        }
        if section.possible.len() > 4 {
            page.sentence(4, &format!("and {} more", section.possible.len() - 4));
        }
        if !section.tells_apart.is_empty() {
            page.sentence(2, &format!("to tell them apart: {}", section.tells_apart.join("; ")));
        }
    }
}

fn in_words(fact: &crate::shop::matching::Judged) -> String {
    match fact.verdict {
        Verdict::Agrees => fact.words.clone(),
        verdict => format!("{} ({})", fact.words, verdict.word()),
    }
}

fn nothing_fits(page: &mut Page, section: &Section, answer: &Answer) {
    page.sentence(0, "No fit group of this run answers all that was asked");
    let Some(nearest) = &section.nearest else { return };
    let group = &answer.groups[nearest.group];
    page.sentence(2, &format!("nearest: {}  {}", group.group_id, group.name));
    let facts: Vec<String> = nearest.judged.iter().map(in_words).collect();
    if !facts.is_empty() {
        page.sentence(4, &facts.join("; "));
    }
}
