//! Repair instead of replace: from the lines that were set aside, the cheapest rope, spring, pawl or repair kit that
//! serves the engines of a fit group, beside what it would save against a whole starter.
//!
//! Lines set aside were never matched to a fit group. Here each is held against the groups of starters by the engine
//! codes and displacements that it states, as a need is (see `matching`), and carries the probability that this comes to.
//! A line that states neither serves by its size alone, which no list tells: it is left out, and counted. Nothing of this
//! is ever mixed into the equivalents.

use super::landed::FOR_AN_ORDER;
use super::matching::{Match, Verdict, matches};
use super::need::Need;
use crate::publish::read::Condition;
use crate::publish::read::narrow::NarrowTable;
use crate::publish::{FinishedRun, GroupRow, ReadError, SetAsideRow};
use crate::trade::interval::Interval;
use rust_decimal::Decimal;

/// Kinds set aside that mend a starter, as files name them.
const MENDS: [&str; 4] = ["rope", "spring", "pawl", "repair-kit"];
/// What is looked at of every line that mends.
const LOOKED_AT: [&str; 7] = [
    "what",
    "landed_price",
    "landed_note",
    "displacement_cc",
    "engine_codes",
    "file",
    "line",
];
/// Probability from which a line is taken to serve the group.
const SERVES: f64 = 0.5;
/// Half width of a figure of displacement, cc: lists round to whole figures.
const ROUNDING_CC: f64 = 0.5;

/// A repair.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// the cheapest line of each kind that serves the group, cheapest first
    pub lines: Vec<RepairLine>,
    /// lines that mend starters and say nothing of an engine
    pub unsaid: usize,
}

/// A line that mends.
#[derive(Clone, Debug, PartialEq)]
pub struct RepairLine {
    /// the line
    pub row: SetAsideRow,
    /// probability that it serves the group, by the codes and displacements it states; not calibrated
    pub probability: f64,
    /// what it saves against the cheapest whole part, home currency; negative when it costs more
    pub saves: Option<Decimal>,
}

/// The cheapest repair of the parts of a group. `whole` is the delivered price of the cheapest whole part.
///
/// # Errors
/// The run cannot be read.
pub fn cheapest_repair(
    run: &FinishedRun,
    starters: &[(usize, &GroupRow)],
    group: usize,
    whole: Option<Decimal>,
) -> Result<Option<Repair>, ReadError> {
    let here: Vec<(usize, &GroupRow)> = starters.iter().filter(|starter| starter.0 == group).copied().collect();
    let table = run.set_aside_columns(&LOOKED_AT, &mends())?;
    let mut unsaid = 0;
    let mut found: Vec<(usize, f64)> = Vec::new();
    // by kind, the cheapest first: the first that serves is the one
    for at in 0..table.height() {
        let need = need_of(table.text("displacement_cc", at), table.text("engine_codes", at));
        if !need.states_engine_or_interface() {
            unsaid += 1;
            continue;
        }
        let is_known = found
            .last()
            .is_some_and(|last| table.text("what", last.0) == table.text("what", at));
        let priced = table
            .numbers("landed_price")
            .money(at)
            .is_some_and(|price| price > Decimal::ZERO);
        // one is mended, not a boxful
        if is_known || !priced || table.text("landed_note", at).contains(FOR_AN_ORDER) {
            continue;
        }
        let probability = probability(&need, &here, starters, group);
        found.extend(probability.filter(|share| *share >= SERVES).map(|share| (at, share)));
    }
    let mut lines = whole_lines(run, &table, &found)?;
    for line in &mut lines {
        line.saves = whole.zip(line.row.landed_price).map(|(whole, part)| whole - part);
    }
    lines.sort_by(|x, y| key(x).cmp(&key(y)));
    Ok((!lines.is_empty() || unsaid > 0).then_some(Repair { lines, unsaid }))
}

fn mends() -> Condition {
    Condition::text("what", MENDS)
}

/// Probability that a line serves the group; `None` where nothing agrees.
fn probability(need: &Need, here: &[(usize, &GroupRow)], starters: &[(usize, &GroupRow)], group: usize) -> Option<f64> {
    let serves = |found: &Match| found.group == group && !found.is_excluded() && agrees(found);
    // most lines are for other engines: held against this group alone they are told at once
    matches(need, here, &[]).into_iter().find(serves)?;
    matches(need, starters, &[])
        .into_iter()
        .find(serves)
        .map(|found| found.share)
}

/// The whole rows of some lines of the table.
fn whole_lines(run: &FinishedRun, table: &NarrowTable, found: &[(usize, f64)]) -> Result<Vec<RepairLine>, ReadError> {
    if found.is_empty() {
        return Ok(Vec::new());
    }
    let places: Vec<usize> = found.iter().map(|(at, _)| table.place(*at)).collect();
    let rows = run.set_aside_at(&places)?.into_iter().zip(found);
    let whole = rows.map(|(row, (_, probability))| RepairLine {
        row,
        probability: *probability,
        saves: None,
    });
    Ok(whole.collect())
}

fn agrees(found: &Match) -> bool {
    found.judged.iter().any(|fact| fact.verdict == Verdict::Agrees)
}

fn key(line: &RepairLine) -> (Option<Decimal>, &str, &str, u32) {
    let row = &line.row;
    (row.landed_price, &row.supplier, &row.file, row.line)
}

/// What a line states of the engine, as a need.
fn need_of(displacement_cc: &str, engine_codes: &str) -> Need {
    let mut need = Need::default();
    need.displacement.extend(displacement_cc.split(';').filter_map(figure));
    let codes = engine_codes.split(';').filter(|code| !code.is_empty());
    need.codes.extend(codes.map(compact_str::CompactString::from));
    need
}

fn figure(text: &str) -> Option<Interval> {
    match text.split_once('-') {
        Some((low, high)) => Some(Interval::between(low.parse().ok()?, high.parse().ok()?)),
        None => text.parse().ok().map(|cc| Interval::around(cc, ROUNDING_CC)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::{RunFacts, RunTables, SupplierRow, open_run, write_run};

    fn group(id: &str, cc: &str, codes: &str) -> GroupRow {
        GroupRow {
            group_id: id.into(),
            name: id.into(),
            part_kind: "recoil-starter".into(),
            displacement_cc: cc.into(),
            engine_codes: codes.into(),
            offers: 10,
            ..GroupRow::default()
        }
    }

    fn line(number: u32, what: &str, landed: &str, cc: &str, codes: &str) -> SetAsideRow {
        SetAsideRow {
            file: "lists.csv".into(),
            line: number,
            supplier: "north".into(),
            what: what.into(),
            landed_price: landed.parse().ok(),
            displacement_cc: cc.into(),
            engine_codes: codes.into(),
            ..SetAsideRow::default()
        }
    }

    fn repaired(lines: Vec<SetAsideRow>) -> Option<Repair> {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("run");
        let count = lines.len() as u64;
        let tables = RunTables {
            set_aside: lines,
            suppliers: vec![SupplierRow {
                supplier: "north".into(),
                file: "lists.csv".into(),
                read: count,
                set_aside: count,
                ..SupplierRow::default()
            }],
            ..RunTables::default()
        };
        write_run(&out, &tables, &RunFacts::default()).unwrap();
        let (small, large) = (group("RS-A", "163-212", "168f"), group("RS-B", "337-420", "188f"));
        let starters = [(0, &small), (1, &large)];
        cheapest_repair(&open_run(&out).unwrap(), &starters, 0, "9.50".parse().ok()).unwrap()
    }

    #[test]
    fn the_cheapest_line_of_each_kind_that_serves_the_group_is_named_with_what_it_saves() {
        let repair = repaired(vec![
            line(2, "rope", "3.00", "196", ""),
            line(3, "rope", "2.50", "", "168f"),
            line(4, "rope", "1.00", "389", ""),
            SetAsideRow {
                landed_note: "for an order of 50".into(),
                ..line(8, "rope", "0.40", "196", "")
            },
            line(5, "pawl", "12.00", "163;196", ""),
            line(6, "rope", "0.50", "", ""),
            line(7, "carburettor", "1.50", "196", ""),
        ])
        .unwrap();
        let found: Vec<u32> = repair.lines.iter().map(|line| line.row.line).collect();
        assert_eq!((found, repair.unsaid), (vec![3, 5], 1));
        assert_eq!(repair.lines[0].saves, "7.00".parse().ok());
        assert_eq!(repair.lines[1].saves, "-2.50".parse().ok());
        assert!(repair.lines.iter().all(|line| line.probability >= SERVES));
    }

    #[test]
    fn lines_that_mend_nothing_of_a_starter_are_no_repair() {
        assert_eq!(repaired(vec![line(2, "carburettor", "1.50", "196", "")]), None);
    }
}
