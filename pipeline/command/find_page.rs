//! The answer of `samefit find` as a page for people.

use super::cost_words::cents;
use super::find::FindTyped;
use super::offer_list::{Listing, price, write_offers};
use super::page::{Look, Page, Style};
use crate::normalise::kind::KindId;
use crate::shop::answer::{Answer, Compared, Covering, LeftOut, SETTLED, Section};
use crate::shop::matching::{Match, Verdict, cc_words, figure};
use crate::shop::need::Need;
use crate::shop::numbers::{NumberFound, Place};
use crate::shop::repair::Repair;
use crate::trade::cautions::{BEFORE_ORDERING, LIMIT, SAFETY};
use rust_decimal::Decimal;

/// Assemblies shown beside the part itself.
const MOST_COVERING: usize = 3;
/// Cautions shown unless all are asked for: those of the work itself.
const SHORT_CAUTIONS: [&str; 3] = ["ignition", "spring", "guards"];

/// Writes the page.
pub fn page(need: &Need, answer: &Answer, typed: &FindTyped, look: Look) -> String {
    let mut page = Page::of(look);
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

/// What was understood, one fact each.
pub fn understood(need: &Need) -> Vec<String> {
    let mut facts: Vec<String> = Vec::new();
    facts.extend(need.kind.map(|kind| called(kind).to_string()));
    facts.extend(
        need.out_of_scope
            .iter()
            .map(|kind| format!("a part of the kind {kind}")),
    );
    facts.extend(need.groups.iter().map(|group| format!("fit group {group}")));
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
    let products = match number.products.len() {
        1 => "1 product".to_string(),
        count => format!("{count} products"),
    };
    match number.place {
        Some(Place::Number) => page.sentence(0, &format!("Number {asked}: stands on {products}")),
        Some(Place::Replaced) => page.sentence(0, &format!("Number {asked}: replaced by {products}")),
        Some(Place::Wording) => page.sentence(0, &format!("Number {asked}: stands in the wording of {products}")),
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

fn write_covering(page: &mut Page, kind: KindId, covering: &Covering, answer: &Answer, typed: &FindTyped) {
    let part = called(kind);
    let home = &answer.counter.rates.home;
    let heading = match covering.price {
        Compared::Cheaper => format!("An assembly covers the {part} too and costs less"),
        Compared::NothingElse => format!("No sure offer of the {part} alone; an assembly covers it"),
        Compared::NotKnown => format!("An assembly covers the {part} too"),
        Compared::NotCheaper => {
            let best = covering
                .offers
                .shown
                .first()
                .map_or(String::new(), |offered| price(offered, home));
            let groups = covering.groups.join(", ");
            page.gap();
            page.sentence(
                0,
                &format!("An assembly covers the {part} too, from {best}: not cheaper ({groups})"),
            );
            return;
        }
    };
    let listing = Listing {
        limit: usize::from(typed.limit).min(MOST_COVERING),
        counter: &answer.counter,
        quantity: typed.quantity,
        style: Style::Quiet,
    };
    write_offers(page, &heading, &covering.offers, listing);
}

/// Never among the equivalents: a rope is no starter.
fn write_repair(page: &mut Page, repair: &Repair, home: &str) {
    page.gap();
    page.style(Style::Heading)
        .sentence(0, "Repair instead, from the lines set aside:");
    page.style(Style::Plain);
    for line in &repair.lines {
        let row = &line.row;
        let saves = match line.saves {
            Some(saves) if saves > Decimal::ZERO => format!(", {} less than the cheapest whole part", cents(saves)),
            Some(saves) => format!(", {} more than the cheapest whole part", cents(-saves)),
            None => String::new(),
        };
        let price = row.landed_price.map_or(String::new(), cents);
        page.item(
            2,
            row.what.as_str(),
            &format!(
                "{price} {home}{saves}; serves this group with a probability of {:.2}, by codes and displacement alone",
                line.probability
            ),
        );
        page.style(Style::Quiet).sentence(
            4,
            &format!("{}, {} {}: {}", row.supplier, row.file, row.line, row.description),
        );
        page.style(Style::Plain);
    }
    if repair.lines.is_empty() {
        page.sentence(2, "no line states that it serves this group");
    }
    if repair.unsaid > 0 {
        let lines = match repair.unsaid {
            1 => "1 line of ropes, springs, pawls and kits says".to_string(),
            count => format!("{count} lines of ropes, springs, pawls and kits say"),
        };
        page.sentence(
            2,
            &format!("{lines} nothing of an engine: go by the size of the old one"),
        );
    }
}

/// What may be wrong besides the starter: shown before anything is ordered.
fn before_ordering(page: &mut Page) {
    page.style(Style::Heading)
        .line("Before ordering: a stuck starter may not be the fault");
    page.style(Style::Plain);
    for line in BEFORE_ORDERING {
        page.sentence(2, line);
    }
}

fn cautions(page: &mut Page, all: bool) {
    page.style(Style::Caution).line("Safety");
    page.style(Style::Plain);
    for caution in SAFETY
        .iter()
        .filter(|caution| all || SHORT_CAUTIONS.contains(&caution.cue))
    {
        page.sentence(2, &format!("{}: {}", caution.cue, caution.wording));
    }
    page.sentence(0, LIMIT);
    if !all {
        page.style(Style::Quiet).sentence(0, "All cautions: --cautions");
    }
}
