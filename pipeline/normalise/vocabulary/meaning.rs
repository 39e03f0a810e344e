//! What a term of the vocabulary may mean. One term may mean several things; which is right is for the reader of the
//! whole line to weigh.

use crate::normalise::claim::Attribute;
use crate::normalise::kind::KindId;

/// How a name is used, the most exact first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Names a thing that is the head of its phrase wherever it stands ("Reparatursatz Seilzugstarter").
    Kit,
    /// Names the thing.
    Name,
    /// Names a whole machine.
    Machine,
    /// May describe a machine that has the thing.
    Feature,
    /// Names the thing only where it is joined to its other half ("starter complete with cover").
    Along,
}

/// Where the head of a noun phrase stands in the languages a term belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadOrder {
    /// "corde de lanceur".
    First,
    /// "starter rope".
    Last,
    /// The term belongs to languages of both sorts.
    Either,
}

impl HeadOrder {
    fn with(self, other: Self) -> Self {
        if self == other { self } else { Self::Either }
    }
}

/// The small words around names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grammar {
    /// What follows is what the part goes on.
    For,
    /// The noun before is the thing.
    Of,
    /// What follows comes along.
    With,
    /// What follows is named beside.
    And,
    /// What follows is absent.
    Without,
    /// What stands before is absent.
    NotIncluded,
    /// Nothing but the thing beside it.
    Only,
    /// The thing is complete.
    Complete,
    /// Parts in general.
    Parts,
    /// Nothing at all: it only keeps its words from meaning something.
    Neutral,
}

/// One meaning of a term.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Meaning {
    /// Names a kind.
    Kind {
        /// The kind.
        kind: KindId,
        /// How strongly, in log-odds.
        weight: f32,
        /// How.
        role: Role,
        /// Where heads stand in its languages.
        order: HeadOrder,
    },
    /// Grammar.
    Grammar(Grammar),
    /// Settles between open readings in favour of a kind.
    Settles {
        /// The kind.
        kind: KindId,
        /// How strongly, in log-odds.
        weight: f32,
    },
    /// Tells an engine family; index into the vocabulary's families.
    Family(u8),
    /// Value of a plain attribute; index into the vocabulary's values.
    Attribute {
        /// The attribute.
        attribute: Attribute,
        /// Index of the value.
        value: u8,
    },
    /// A count directly before is the count of this.
    Counts(Attribute),
    /// A number word.
    Numeral(u8),
    /// A length directly after is the depth.
    Depth,
    /// Numbers after it are numbers the part replaces.
    Replaces,
    /// The number after it is the maker's.
    MakerNumber,
}

impl Meaning {
    /// Adds the meaning to those of a term; the same name in two languages becomes one, with the greater weight.
    pub fn merge_into(self, meanings: &mut Vec<Meaning>) {
        if let Meaning::Kind {
            kind,
            weight,
            role,
            order,
        } = self
        {
            for known in meanings.iter_mut() {
                if let Meaning::Kind {
                    kind: known_kind,
                    weight: known_weight,
                    role: known_role,
                    order: known_order,
                } = known
                    && (*known_kind, *known_role) == (kind, role)
                {
                    *known_weight = known_weight.max(weight);
                    *known_order = known_order.with(order);
                    return;
                }
            }
        }
        if !meanings.contains(&self) {
            meanings.push(self);
        }
    }
}
