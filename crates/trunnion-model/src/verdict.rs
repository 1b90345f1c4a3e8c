//! Verdicts: what every check answers, and what everything else shows.

use trunnion_syntax::tree::Span;

use crate::db::{Item, Site};
use crate::fact::Found;

/// The moment before which a point must be settled, soonest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gate {
    /// Before money is spent.
    Buying,
    /// Before cutting, drilling, welding, sealing.
    NoReturn,
    /// Before power is put on.
    Power,
    /// Before the road.
    Road,
}

impl Gate {
    /// All of them, soonest first.
    pub const ALL: [Self; 4] = [Self::Buying, Self::NoReturn, Self::Power, Self::Road];

    /// As written in the language.
    pub fn word(self) -> &'static str {
        match self {
            Self::Buying => "buying",
            Self::NoReturn => "no return",
            Self::Power => "power",
            Self::Road => "road",
        }
    }

    /// Reads it, words joined by a space or an underscore.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.word() == word.replace('_', " "))
    }

    /// As part of a sentence.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::Buying => "before buying",
            Self::NoReturn => "before there is no way back",
            Self::Power => "before power",
            Self::Road => "before the road",
        }
    }
}

/// How a clear verdict was won, weakest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Won {
    /// It rests on something reported or assumed.
    Hearsay,
    /// It rests on documents.
    Paper,
    /// All that it rests on was measured.
    Measured,
}

impl Won {
    /// As it is shown.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::Hearsay => "clear by hearsay",
            Self::Paper => "clear on paper",
            Self::Measured => "clear, measured",
        }
    }
}

/// The outcome of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// It holds.
    Clear(Won),
    /// It does not hold.
    Clash,
    /// Nobody knows.
    Open,
}

impl Outcome {
    /// The one word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Clear(_) => "clear",
            Self::Clash => "clash",
            Self::Open => "open",
        }
    }
}

/// Who can tell what is unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Who {
    /// The seller of the donor can be asked.
    Seller,
    /// It can be measured or looked at on the vehicle.
    Tape,
    /// The maker's papers or a parts list.
    Maker,
    /// The owner decides.
    Owner,
}

impl Who {
    /// Reads `seller`, `tape`, `maker`, `owner`.
    pub fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "seller" => Self::Seller,
            "tape" => Self::Tape,
            "maker" => Self::Maker,
            "owner" => Self::Owner,
            _ => return None,
        })
    }

    /// As written in the language.
    pub fn word(self) -> &'static str {
        match self {
            Self::Seller => "seller",
            Self::Tape => "tape",
            Self::Maker => "maker",
            Self::Owner => "owner",
        }
    }
}

/// What nobody knows, and how to find out.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Question {
    /// What nobody knows, as a noun phrase: "the length of the propshaft".
    pub what: String,
    /// Which values would be good, where that can be computed.
    pub good: Option<String>,
    /// The tool.
    pub tool: Option<String>,
    /// How precise it must be.
    pub precision: Option<String>,
    /// How many minutes it takes.
    pub minutes: Option<u32>,
    /// Who can tell.
    pub who: Who,
    /// By when.
    pub gate: Gate,
    /// What hangs on it, as a sentence part: "whether the shaft fits".
    pub hangs: String,
    /// What to type when it is known, with `…` for the value.
    pub type_in: Option<String>,
}

/// A named figure of a verdict.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Named {
    /// Its name.
    pub name: String,
    /// Its value, as it is shown, without unit.
    pub value: String,
    /// Its unit.
    pub unit: String,
}

/// Where an edit goes.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Edit {
    /// The range it replaces.
    pub site: Site,
    /// What is put there.
    pub text: String,
}

/// A way out that the editor can apply.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Fix {
    /// What it does.
    pub title: String,
    /// The edits; a `…` in their text is a hole to fill.
    pub edits: Vec<Edit>,
}

impl Fix {
    /// A fix that replaces one range.
    pub fn replace(title: impl Into<String>, site: Site, text: impl Into<String>) -> Self {
        Self { title: title.into(), edits: vec![Edit { site, text: text.into() }] }
    }
}

/// A second place, and what it is.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Related {
    /// Where.
    pub site: Site,
    /// What it is, in a few words.
    pub note: String,
}

/// What a check answers about one subject.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Verdict {
    /// The stable name of the check.
    pub check: &'static str,
    /// Clear, clash or open.
    pub outcome: Outcome,
    /// What it is about: a path as in `accept CHECK SUBJECT`.
    pub subject: String,
    /// One sentence in the user's terms with the figures.
    pub message: String,
    /// Where: the place to look at first.
    pub site: Site,
    /// Other places involved.
    pub related: Vec<Related>,
    /// What is needed.
    pub need: Option<String>,
    /// What is there.
    pub have: Option<String>,
    /// How much room there is between them.
    pub margin: Option<String>,
    /// The formula with numbers put in.
    pub formula: Option<String>,
    /// The figures by name.
    pub figures: Vec<Named>,
    /// The reason chain.
    pub because: Vec<String>,
    /// What must be read with it: what is taken for granted.
    pub notes: Vec<String>,
    /// The sources, published and the specification's own, with their standing.
    pub sources: Vec<String>,
    /// The claims of the specification that it rests on.
    pub rests: Vec<Found>,
    /// What nobody knows; for open verdicts.
    pub question: Option<Question>,
    /// Ways out.
    pub fixes: Vec<Fix>,
    /// Areas of safety it concerns.
    pub safety: Vec<String>,
    /// The reason and the name, when it was accepted.
    pub accepted: Option<String>,
}

impl Verdict {
    /// A verdict with nothing but its sentence; the rest is filled in by the `with_` calls.
    pub fn new(
        check: &'static str,
        outcome: Outcome,
        subject: impl Into<String>,
        site: Site,
        message: impl Into<String>,
    ) -> Self {
        Self {
            check,
            outcome,
            subject: subject.into(),
            message: message.into(),
            site,
            related: Vec::new(),
            need: None,
            have: None,
            margin: None,
            formula: None,
            figures: Vec::new(),
            because: Vec::new(),
            notes: Vec::new(),
            sources: Vec::new(),
            rests: Vec::new(),
            question: None,
            fixes: Vec::new(),
            safety: Vec::new(),
            accepted: None,
        }
    }

    /// Adds a second place.
    pub fn with_related(mut self, site: Site, note: impl Into<String>) -> Self {
        self.related.push(Related { site, note: note.into() });
        self
    }

    /// Says what is needed and what is there.
    pub fn with_need(mut self, need: impl Into<String>, have: impl Into<String>) -> Self {
        self.need = Some(need.into());
        self.have = Some(have.into());
        self
    }

    /// Says how much room there is.
    pub fn with_margin(mut self, margin: impl Into<String>) -> Self {
        self.margin = Some(margin.into());
        self
    }

    /// Shows the arithmetic.
    pub fn with_formula(mut self, formula: impl Into<String>) -> Self {
        self.formula = Some(formula.into());
        self
    }

    /// Adds a named figure.
    pub fn with_figure(
        mut self,
        name: impl Into<String>,
        value: impl Into<String>,
        unit: impl Into<String>,
    ) -> Self {
        self.figures.push(Named { name: name.into(), value: value.into(), unit: unit.into() });
        self
    }

    /// Adds a link of the reason chain.
    pub fn with_because(mut self, because: impl Into<String>) -> Self {
        self.because.push(because.into());
        self
    }

    /// Adds a source.
    pub fn with_source(mut self, source: impl Into<String>) -> Self {
        let source = source.into();
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
        self
    }

    /// The usual cautions for what it concerns; brakes, steering and high voltage always have one.
    pub fn cautions(&self) -> Vec<&'static str> {
        self.safety.iter().filter_map(|it| caution(it)).collect()
    }

    /// Says what nobody knows.
    pub fn with_question(mut self, question: Question) -> Self {
        self.question = Some(question);
        self
    }

    /// Adds a way out.
    pub fn with_fix(mut self, fix: Fix) -> Self {
        self.fixes.push(fix);
        self
    }

    /// Adds ways out.
    pub fn with_fixes(mut self, fixes: impl IntoIterator<Item = Fix>) -> Self {
        self.fixes.extend(fixes);
        self
    }
}

/// The standing sentence for an area of safety, or for a caution of a step. Common practice, no source.
pub fn caution(area: &str) -> Option<&'static str> {
    Some(match area {
        "brakes" => {
            "Brakes: clear on paper is not permission; proven only on the tester, by a licensed person."
        }
        "steering" => {
            "Steering: clear on paper is not permission; proven only on the tester, by a licensed person."
        }
        "high_voltage" => {
            "High voltage: licensed work. Clear on paper is not permission; isolate, lock, measure dead, by a licensed person."
        }
        "airbags" => {
            "Airbags and belt tensioners: disconnect the battery and wait as the maker says; licensed work in many places."
        }
        "fuel" => "Fuel: no flame, no spark, catch what runs out; local codes apply.",
        "lifting" => {
            "Lifting: stands on firm ground, never a jack alone; a gearbox or engine needs a second person and a lift."
        }
        "wheels" => {
            "Wheels and hubs: tighten to the stated torque and again after 50 km; approval rules apply."
        }
        "belts" => "Seats and belts: anchorages are subject to approval; have them inspected.",
        "battery" => {
            "Battery: ground lead off first and on last, rings and watches off, no flame near it; wait as the maker says before opening anything that fires or charges."
        }
        "brake_fluid" => {
            "Brake fluid: off paint, skin and eyes, from a closed can only; caught and handed in, never poured away."
        }
        "hot_parts" => "Hot parts: let them cool; gloves and long sleeves.",
        _ => return None,
    })
}

/// Something wrong with the writing itself: syntax, names, units, dates.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Problem {
    /// The stable name: `write/…`, `name/…`, `unit/…`, `use/…`.
    pub name: &'static str,
    /// One sentence.
    pub message: String,
    /// Where, counted from the item's start.
    pub span: Span,
    /// A second place in the same item.
    pub related: Option<(Span, String)>,
    /// The exact mend: title, range, text.
    pub mend: Option<(String, Span, String)>,
}

impl Problem {
    /// A problem with its sentence.
    pub fn new(name: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self { name, message: message.into(), span, related: None, mend: None }
    }

    /// Adds the mend.
    pub fn with_mend(mut self, title: impl Into<String>, span: Span, text: impl Into<String>) -> Self {
        self.mend = Some((title.into(), span, text.into()));
        self
    }

    /// As a verdict on its item.
    pub fn verdict(&self, item: Item) -> Verdict {
        let site = |span| Site { item, span };
        let mut verdict = Verdict::new(self.name, Outcome::Clash, "", site(self.span), self.message.clone());
        if let Some((span, note)) = &self.related {
            verdict = verdict.with_related(site(*span), note.clone());
        }
        if let Some((title, span, text)) = &self.mend {
            verdict = verdict.with_fix(Fix::replace(title.clone(), site(*span), text.clone()));
        }
        verdict
    }
}
