//! Facts: what was stated, by whom, and what follows when statements disagree.

use smol_str::SmolStr;
use trunnion_handbook::quantity::Quantity;
use trunnion_syntax::tree::{At, Date, Name, Span};

use crate::db::{Item, Site};

/// A use of a name: its words, and a position in square brackets.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Ref {
    /// The words of the path; at least one.
    pub parts: Vec<At<Name>>,
    /// The position in square brackets: a cavity.
    pub index: Option<At<Name>>,
    /// The whole path.
    pub span: Span,
}

impl Ref {
    /// The first word.
    pub fn head(&self) -> &Name {
        &self.parts[0].value
    }

    /// The second word, if there is one.
    pub fn second(&self) -> Option<&Name> {
        self.parts.get(1).map(|it| &it.value)
    }

    /// The whole path as it is written.
    pub fn text(&self) -> String {
        let mut text = self.parts.iter().map(|it| it.value.as_str()).collect::<Vec<_>>().join(".");
        if let Some(index) = &self.index {
            text.push('[');
            text.push_str(&index.value);
            text.push(']');
        }
        text
    }
}

/// Where a statement says it comes from.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Default)]
pub struct Claim {
    /// The source named with `per`.
    pub per: Option<Ref>,
    /// The reason given with `because`.
    pub because: Option<SmolStr>,
}

/// One value as it was written.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Value {
    /// What it is.
    pub kind: ValueKind,
    /// A source of its own, inside a list.
    pub per: Option<Ref>,
    /// Where.
    pub span: Span,
}

/// The sorts of values.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum ValueKind {
    /// A figure.
    Quantity(Quantity),
    /// A word or path.
    Path(Ref),
    /// Quoted text.
    Text(SmolStr),
    /// A date.
    Date(Date),
    /// A thread, in normal form.
    Thread(SmolStr),
    /// A tyre marking, in normal form.
    Tyre(SmolStr),
    /// `none`: there is none.
    Nothing,
    /// A figure that makes no sense; the problem was reported where it stands.
    Broken,
}

impl Value {
    /// The figure, if it is one.
    pub fn quantity(&self) -> Option<Quantity> {
        match &self.kind {
            ValueKind::Quantity(it) => Some(*it),
            _ => None,
        }
    }

    /// The word, text, thread or tyre marking, if it is one.
    pub fn word(&self) -> Option<SmolStr> {
        match &self.kind {
            ValueKind::Path(it) => Some(it.text().into()),
            ValueKind::Text(it) | ValueKind::Thread(it) | ValueKind::Tyre(it) => Some(it.clone()),
            _ => None,
        }
    }

    /// Whether it says that there is none.
    pub fn is_nothing(&self) -> bool {
        self.kind == ValueKind::Nothing
    }

    /// As a reader would write it.
    pub fn display(&self) -> String {
        match &self.kind {
            ValueKind::Quantity(it) => it.display(),
            ValueKind::Path(it) => it.text(),
            ValueKind::Text(it) | ValueKind::Thread(it) | ValueKind::Tyre(it) => it.to_string(),
            ValueKind::Date(it) => it.to_string(),
            ValueKind::Nothing => "none".to_owned(),
            ValueKind::Broken => "?".to_owned(),
        }
    }

    /// Whether both can be true: figures overlap, other values are alike.
    pub fn agrees(&self, other: &Self) -> bool {
        match (&self.kind, &other.kind) {
            (ValueKind::Quantity(a), ValueKind::Quantity(b)) => a.overlaps(b) == Ok(true),
            (ValueKind::Path(a), ValueKind::Path(b)) => a.text() == b.text(),
            (a, b) => a == b,
        }
    }
}

/// Which side of a value is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Bound {
    /// `at most`
    Most,
    /// `at least`
    Least,
    /// `about`
    About,
}

/// One stated fact.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Fact {
    /// What it is about, before the last word: empty for the thing itself.
    pub target: Vec<At<Name>>,
    /// The measure, words joined with `_`.
    pub name: At<Name>,
    /// The values; at least one, but for flags.
    pub values: Vec<Value>,
    /// `at most`, `at least`, `about`.
    pub bound: Option<Bound>,
    /// Where it comes from.
    pub claim: Claim,
    /// The whole statement.
    pub span: Span,
}

/// How well a claim is supported, weakest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// The writer's own word.
    Assumed,
    /// Somebody said so.
    Reported,
    /// A document says so.
    Documented,
    /// It was measured on the thing itself.
    Measured,
}

impl Standing {
    /// As written in the language.
    pub fn word(self) -> &'static str {
        match self {
            Self::Assumed => "assumed",
            Self::Reported => "reported",
            Self::Documented => "documented",
            Self::Measured => "measured",
        }
    }

    /// Reads it.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "assumed" => Self::Assumed,
            "reported" => Self::Reported,
            "documented" => Self::Documented,
            "measured" => Self::Measured,
            _ => return None,
        })
    }
}

/// A claim as found: the values, how well supported, by what, and where.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Found {
    /// The values.
    pub values: Vec<Value>,
    /// `at most`, `at least`, `about`.
    pub bound: Option<Bound>,
    /// How well it is supported.
    pub standing: Standing,
    /// The source's title and name, or who stated it without one.
    pub source: String,
    /// The source's declaration.
    pub source_item: Option<Item>,
    /// Where it is stated.
    pub site: Site,
}

impl Found {
    /// The first figure.
    pub fn quantity(&self) -> Option<Quantity> {
        self.values.first()?.quantity()
    }

    /// The values as a reader would write them.
    pub fn display(&self) -> String {
        self.values.iter().map(Value::display).collect::<Vec<_>>().join(", ")
    }

    fn agrees(&self, other: &Self) -> bool {
        self.values.len() == other.values.len()
            && self.values.iter().zip(&other.values).all(|(a, b)| a.agrees(b))
    }
}

/// What is known about one thing.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Known {
    /// Nobody stated it.
    Unknown,
    /// It was stated that there is none.
    Nothing(Found),
    /// Stated, without contradiction; the best supported claim first.
    Stated(Vec<Found>),
    /// Claims contradict one another, none of them measured.
    Disputed(Vec<Found>),
}

impl Known {
    /// Settles claims: a measured one outranks the others, the newest last; others that
    /// differ are disputed.
    pub fn settle(mut claims: Vec<Found>) -> Self {
        claims.sort_by_key(|it| std::cmp::Reverse(it.standing));
        let Some(best) = claims.first().cloned() else { return Self::Unknown };
        if best.standing != Standing::Measured && claims.iter().any(|it| !best.agrees(it)) {
            return Self::Disputed(claims);
        }
        if best.values.first().is_some_and(Value::is_nothing) {
            return Self::Nothing(best);
        }
        Self::Stated(claims)
    }

    /// The claim that holds, where it is stated without contradiction.
    pub fn best(&self) -> Option<&Found> {
        match self {
            Self::Stated(claims) => claims.first(),
            _ => None,
        }
    }

    /// The figure that holds.
    pub fn quantity(&self) -> Option<Quantity> {
        self.best()?.quantity()
    }

    /// Every claim.
    pub fn claims(&self) -> &[Found] {
        match self {
            Self::Unknown => &[],
            Self::Nothing(one) => std::slice::from_ref(one),
            Self::Stated(all) | Self::Disputed(all) => all,
        }
    }
}
