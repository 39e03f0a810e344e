//! The answer of `samefit find` as a page for people.

use super::find::FindTyped;
use super::offer_list::{home_currency, price, write_offers};
use super::page::Page;
use crate::normalise::kind::KindId;
use crate::publish::CrossrefRow;
use crate::shop::find::{Answer, Compared, Covering, SETTLED, Section};
use crate::shop::matching::{Match, Verdict, cc_words, figure};
use crate::shop::need::Need;
use crate::shop::numbers::{NumberFound, Place};
use crate::trade::cautions::{BEFORE_ORDERING, LIMIT, SAFETY};
use std::collections::BTreeSet;

/// Assemblies shown beside the part itself.
const MOST_COVERING: usize = 3;
/// Cautions shown unless all are asked for: those of the work itself.
const SHORT_CAUTIONS: [&str; 3] = ["ignition", "spring", "guards"];

/// Writes the page.
pub fn page(need: &Need, answer: &Answer, typed: &FindTyped) -> String {
    let mut page = Page::default();
    let understood = understood(need);
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
        page.sentence(0, &format!("Not understood: {}", need.leftover.join(" ")));
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
    cautions(&mut page, typed.cautions);
    page.finish()
}

/// What was understood, one fact each.
pub fn understood(need: &Need) -> Vec<String> {
    let mut facts: Vec<String> = Vec::new();
    facts.extend(need.kind.map(|kind| called(kind).to_string()));
    facts.extend(
        need.out_of_scope
            .iter()
            .map(|kind| format!("a part of the kind {kind}")),
    );
    facts.extend(need.numbers.iter().map(|number| format!("number {number}")));
    facts.extend(
        need.displacement
            .iter()
            .map(|cc| format!("displacement {}", cc_words(*cc))),
    );
    facts.extend(need.power_kw.iter().map(|kw| format!("power {} kW", figure(kw.mid()))));
    facts.extend(
        need.codes
            .iter()
            .map(|code| format!("engine code {}", code.split_once(':').map_or(code.as_str(), |x| x.1))),
    );
    facts.extend(need.brands.iter().map(|brand| format!("engine of {brand}")));
    facts.extend(need.cues.iter().map(|word| format!("engine: {word}")));
    facts.extend(need.holes.map(|count| format!("{count} holes")));
    if !need.circles_mm.is_empty() {
        let circles: Vec<String> = need.circles_mm.iter().map(|circle| figure(circle.mid())).collect();
        facts.push(format!("bolt circle {} mm", circles.join(" or ")));
    }
    if !need.threads.is_empty() {
        facts.push(format!("thread {}", need.threads.to_string().replace('|', " or ")));
    }
    facts
}

fn called(kind: KindId) -> &'static str {
    match kind {
        KindId::RECOIL_STARTER => "recoil starter",
        KindId::SHROUD => "fan shroud",
        KindId::ASSEMBLY => "shroud with starter",
        _ => "part",
    }
}

/// Where a number was found, for people and files.
pub fn place_word(place: Place) -> &'static str {
    match place {
        Place::Number => "numbers",
        Place::Replaced => "replaced numbers",
        Place::Wording => "wording",
    }
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

fn number_sentence(page: &mut Page, number: &NumberFound) {
    let asked = &number.asked;
    let offers = match number.offers.len() {
        1 => "1 offer".to_string(),
        count => format!("{count} offers"),
    };
    match number.place {
        Some(Place::Number) => page.sentence(0, &format!("Number {asked}: stands on {offers}")),
        Some(Place::Replaced) => page.sentence(0, &format!("Number {asked}: replaced by the part of {offers}")),
        Some(Place::Wording) => page.sentence(0, &format!("Number {asked}: stands in the wording of {offers}")),
        None => {
            page.sentence(
                0,
                &format!("Number {asked}: looked for among suppliers' and makers' numbers, barcodes, replaced numbers and wording; it stands nowhere"),
            );
            if !number.nearest.is_empty() {
                page.sentence(2, &format!("nearest: {}", number.nearest.join(", ")));
            }
        }
    }
}

fn write_section(page: &mut Page, section: &Section, answer: &Answer, typed: &FindTyped) {
    page.line(&called(section.kind).to_uppercase());
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
        write_covering(page, section.kind, covering, usize::from(typed.limit), answer);
    }
}

/// The very part first, when it was named; then what works in its place, and the doubtful apart.
fn write_lists(page: &mut Page, section: &Section, answer: &Answer, typed: &FindTyped) {
    let (limit, home) = (usize::from(typed.limit), home_currency(&answer.groups));
    let named: BTreeSet<&str> = answer
        .numbers
        .iter()
        .flat_map(|number| &number.offers)
        .map(|row| row.product_id.as_str())
        .collect();
    let (very, sure): (Vec<_>, Vec<_>) = section
        .sure
        .iter()
        .partition(|row| named.contains(row.product_id.as_str()));
    let (doubtful_very, doubtful): (Vec<_>, Vec<_>) = section
        .doubtful
        .iter()
        .partition(|row| named.contains(row.product_id.as_str()));
    let very: Vec<&CrossrefRow> = very.into_iter().chain(doubtful_very).collect();
    write_offers(
        page,
        "The very part with the number asked for, cheapest first",
        &very,
        limit,
        home,
    );
    let confidence = figure(typed.min_confidence);
    let others = if very.is_empty() {
        "Cheapest delivered"
    } else {
        "In its place, cheapest delivered"
    };
    write_offers(
        page,
        &format!("{others}, at confidence {confidence} or more"),
        &sure,
        limit,
        home,
    );
    if section.sure.is_empty() {
        let of = typed
            .supplier
            .as_ref()
            .map_or(String::new(), |name| format!(" of `{name}`"));
        page.sentence(0, &format!("No offer{of} at confidence {confidence} or more"));
    }
    write_offers(page, "Doubtful: measure first", &doubtful, limit, home);
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

fn write_covering(page: &mut Page, kind: KindId, covering: &Covering, limit: usize, answer: &Answer) {
    let part = called(kind);
    let heading = match covering.price {
        Compared::Cheaper => format!("An assembly covers the {part} too and costs less"),
        Compared::NothingElse => format!("No sure offer of the {part} alone; an assembly covers it"),
        Compared::NotKnown => format!("An assembly covers the {part} too"),
        Compared::NotCheaper => {
            let home = home_currency(&answer.groups);
            let best = covering.offers.first().map_or(String::new(), |row| price(row, home));
            page.gap();
            page.sentence(
                0,
                &format!(
                    "An assembly covers the {part} too, from {best}: not cheaper ({})",
                    covering.groups.join(", ")
                ),
            );
            return;
        }
    };
    let offers: Vec<&CrossrefRow> = covering.offers.iter().collect();
    write_offers(
        page,
        &heading,
        &offers,
        limit.min(MOST_COVERING),
        home_currency(&answer.groups),
    );
}

fn cautions(page: &mut Page, all: bool) {
    if all {
        page.line("Before ordering:");
        for line in BEFORE_ORDERING {
            page.sentence(2, line);
        }
        page.line("Safety:");
    }
    for caution in SAFETY
        .iter()
        .filter(|caution| all || SHORT_CAUTIONS.contains(&caution.cue))
    {
        page.sentence(2, &format!("{}: {}", caution.cue, caution.wording));
    }
    page.sentence(0, LIMIT);
    if !all {
        page.sentence(0, "What to check before ordering, and all cautions: --cautions");
    }
}
