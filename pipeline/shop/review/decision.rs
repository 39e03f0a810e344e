//! One decision of a person, as it was written down.
//!
//! The five answers are fixed words; upper case, underscores and dashes for spaces do not matter. A decision names its
//! offers by [durable names](super::names), never by a line of a file.

use compact_str::CompactString;
use std::fmt;
use std::sync::Arc;

/// What a person may answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Answer {
    /// both offers are the very same part
    Same,
    /// they are not
    Different,
    /// the first offer's part works in place of the second's, on the same engines
    Fits,
    /// it does not
    DoesNotFit,
    /// the line states something that is not so
    WrongClaim,
}

impl Answer {
    /// All of them, in the order of the documents.
    pub const ALL: [Answer; 5] = [
        Answer::Same,
        Answer::Different,
        Answer::Fits,
        Answer::DoesNotFit,
        Answer::WrongClaim,
    ];

    /// The word in the `decision` column.
    pub const fn word(self) -> &'static str {
        match self {
            Answer::Same => "same",
            Answer::Different => "different",
            Answer::Fits => "fits",
            Answer::DoesNotFit => "does not fit",
            Answer::WrongClaim => "wrong claim",
        }
    }

    /// Reads a cell.
    pub fn of(cell: &str) -> Option<Answer> {
        let plain = cell.to_lowercase().replace(['_', '-'], " ");
        let plain: Vec<&str> = plain.split_whitespace().collect();
        let plain = plain.join(" ");
        Answer::ALL.into_iter().find(|answer| answer.word() == plain)
    }

    /// What the answer says of two offers, for the evidence: "the same part as".
    pub const fn of_two(self) -> &'static str {
        match self {
            Answer::Same => "the very same part as",
            Answer::Different => "not the same part as",
            Answer::Fits => "fits like",
            Answer::DoesNotFit => "does not fit like",
            Answer::WrongClaim => "wrong claim",
        }
    }
}

/// A decision as read from a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision {
    /// the answer
    pub answer: Answer,
    /// durable name of the offer asked about
    pub offer: String,
    /// the other offer; for a fit group several that stand in it, of which the first found counts; none for a claim
    pub others: Vec<String>,
    /// the claim that is wrong: attribute, and the words it was read from
    pub claim: String,
    /// what the person adds
    pub note: String,
    /// day of the decision as written, empty when it was not
    pub date: String,
    /// probability that the sheet stated when it asked
    pub stated: Option<f64>,
    /// where it stands
    pub place: FilePlace,
}

/// A line of a decisions file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct FilePlace {
    /// file as given
    pub file: Arc<str>,
    /// line, or row of the sheet, from 1
    pub line: u64,
}

impl fmt::Display for FilePlace {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}:{}", self.file, self.line)
    }
}

impl Decision {
    /// The first other name, empty without one.
    pub fn other(&self) -> &str {
        self.others.first().map_or("", String::as_str)
    }

    /// "decided by a person on 2026-11-20: fits like north:A-7 (held side by side)", free of the separator of evidence.
    pub fn in_evidence(&self, other: &str) -> String {
        let on = if self.date.is_empty() {
            String::new()
        } else {
            format!(" on {}", self.date)
        };
        let about = match self.answer {
            Answer::WrongClaim => &self.claim,
            _ => other,
        };
        let note = if self.note.is_empty() {
            String::new()
        } else {
            format!(" ({})", self.note)
        };
        format!("decided by a person{on}: {} {about}{note}", self.answer.of_two()).replace(';', ",")
    }
}

/// Something about the decisions that a person should look at; nothing of it stops the run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Warning {
    /// what it is about, for the counts of `run.json`
    pub sort: WarningSort,
    /// where
    pub place: FilePlace,
    /// what was found
    pub message: String,
    /// what to do
    pub hint: CompactString,
}

/// Sorts of warnings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WarningSort {
    /// a row that could not be read
    Unreadable,
    /// an offer that no list shows now; the decision is kept
    Gone,
    /// a name that fits several offers
    Ambiguous,
    /// decisions that contradict each other; none of them is applied
    Contradictory,
    /// a decision against what the lists hold certain; the person wins
    Overruled,
}

impl WarningSort {
    /// Whether a run with it ends with exit code 3: offers come and go, and a person may know better.
    pub const fn is_fault(self) -> bool {
        matches!(
            self,
            WarningSort::Unreadable | WarningSort::Ambiguous | WarningSort::Contradictory
        )
    }

    /// Name in the counts of `run.json`.
    pub const fn count_name(self) -> &'static str {
        match self {
            WarningSort::Unreadable => "decisions_unreadable",
            WarningSort::Gone => "decisions_of_offers_gone",
            WarningSort::Ambiguous => "decisions_ambiguous",
            WarningSort::Contradictory => "decisions_contradictory",
            WarningSort::Overruled => "decisions_against_identifiers",
        }
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {}", self.place, self.message)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_are_known_however_a_spreadsheet_spells_them() {
        assert_eq!(Answer::of("  Does_Not  fit "), Some(Answer::DoesNotFit));
        assert_eq!(Answer::of("wrong-claim"), Some(Answer::WrongClaim));
        assert_eq!(Answer::of("perhaps"), None);
    }

    #[test]
    fn evidence_never_holds_the_separator_of_evidence() {
        let decision = Decision {
            answer: Answer::Same,
            offer: "north:A-1".into(),
            others: vec!["south:7".into()],
            claim: String::new(),
            note: "held side by side; same casting".into(),
            date: "2026-11-20".into(),
            stated: None,
            place: FilePlace {
                file: "answers.csv".into(),
                line: 2,
            },
        };
        let words = decision.in_evidence("south:7");
        assert!(words.starts_with("decided by a person on 2026-11-20: the very same part as south:7 ("));
        assert!(!words.contains(';'));
    }
}
