//! Whether a condition holds: `needs`, `when`.

use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::tree::{Figure, Op, Path, Span};

use crate::built::{found, part};
use crate::circuit::{Circuit, Evaluated, Level, Situation};
use crate::db::{Db, Workspace};
use crate::fact::{Claim, Found, Known, ValueKind};
use crate::kinds::whole_kind;
use crate::known;
use crate::lower::reader::made;
use crate::name::Id;
use crate::worded::{ordinal, sign, spaced};
use crate::world::{EndAt, Place, When, World};
use crate::worth::{Names, Step, Trail, Worth, alike, compared, working, worth};

pub use crate::worded::text;
pub use crate::worth::Truth;

/// Something that nobody stated, on which a condition hangs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// The place, or `vehicle`.
    pub place: String,
    /// The measure, or empty where it is the part itself that is unknown.
    pub measure: String,
    /// Claims that contradict one another, where that is why.
    pub disputed: Vec<Found>,
}

/// The answer about a condition, with what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Whether it holds.
    pub truth: Truth,
    /// What is needed, in words.
    pub need: String,
    /// What is there, in words.
    pub have: String,
    /// The arithmetic with numbers put in.
    pub formula: Option<String>,
    /// How much room there is.
    pub margin: Option<String>,
    /// The claims it rests on.
    pub found: Vec<Found>,
    /// What nobody stated.
    pub missing: Vec<Missing>,
    /// What makes no sense in it: units that do not go together.
    pub nonsense: Option<String>,
    /// What nobody has said about the circuit.
    pub doubt: Option<String>,
    /// What to write, and where, so that it makes sense.
    pub mend: Option<(Span, String)>,
    /// The published sources of the handbook functions in it.
    pub sources: Vec<String>,
}

impl Judged {
    fn plain(truth: Truth, need: impl Into<String>, have: impl Into<String>) -> Self {
        Self {
            truth,
            need: need.into(),
            have: have.into(),
            formula: None,
            margin: None,
            found: Vec::new(),
            missing: Vec::new(),
            nonsense: None,
            doubt: None,
            mend: None,
            sources: Vec::new(),
        }
    }
}

/// What a condition is judged in: the world, and the place whose part states it.
pub struct Judge<'a> {
    /// The database.
    pub db: &'a dyn Db,
    /// The workspace.
    pub workspace: Workspace,
    /// The world.
    pub world: &'a World,
    /// The place of the part that states the condition; none for rules.
    pub own: Option<&'a Place>,
    /// Before or after the changes.
    pub when: When,
    /// The state in which it is judged; none where it is the same in all.
    pub stand: Option<&'a Stand<'a>>,
}

/// A state, with all that is alive in it.
pub struct Stand<'a> {
    /// The circuit after the changes.
    pub circuit: &'a Circuit,
    /// The state, and the positions.
    pub situation: &'a Situation,
    /// What is alive.
    pub evaluated: &'a Evaluated<'a>,
}

impl Judge<'_> {
    /// Judges a condition.
    pub fn judge(&self, expr: &Expr) -> Judged {
        match &expr.kind {
            ExprKind::And(a, b) => join(self.judge(a), self.judge(b), Truth::No, " and "),
            ExprKind::Or(a, b) => join(self.judge(a), self.judge(b), Truth::Yes, " or "),
            ExprKind::Not(inner) => {
                let inner = self.judge(inner);
                Judged { truth: inner.truth.flip(), need: format!("not {}", inner.need), ..inner }
            }
            ExprKind::Compare { op, left, right, within } => {
                self.compare(*op, left, right, within.as_ref().map(|it| &it.0))
            }
            ExprKind::Is(path, what) => self.is(path, what),
            ExprKind::Sends(path, message) => self.bus_word(path, message, "sends", |part| {
                part.sends.iter().chain(&part.passes).any(|it| it.name.value == *message)
            }),
            ExprKind::Hears(path, message) => self.bus_word(path, message, "hears", |part| {
                part.hears.iter().any(|it| it.name.value == *message)
            }),
            ExprKind::Has(path, what) => self.has(path, what),
            ExprKind::Fitted(path) => self.fitted(path),
            ExprKind::Path(path) if path.word().is_some_and(|it| self.world.place(it).is_some()) => {
                self.fitted(path)
            }
            _ => {
                let mut trail = Trail::default();
                let (truth, have) = match worth(expr, self, &mut trail) {
                    Worth::Missing => (Truth::Open, "nobody has said".to_owned()),
                    Worth::Nothing => (Truth::No, "none".to_owned()),
                    Worth::Word(it) if it == "no" => (Truth::No, it),
                    other => (Truth::Yes, other.display()),
                };
                with_trail(Judged::plain(truth, text(expr), have), trail)
            }
        }
    }

    fn place(&self, path: &Path) -> Option<&Place> {
        self.world.place(&path.parts[0].value)
    }

    fn holding<'p>(&self, place: &'p Place) -> &'p crate::built::Holding {
        match self.when {
            When::Before => &place.before,
            When::After => &place.after,
        }
    }

    fn unknown_place(&self, path: &Path, need: String) -> Judged {
        let name = &path.parts[0].value;
        let mut judged =
            Judged::plain(Truth::Open, need, format!("there is no place `{name}` on this vehicle"));
        judged.missing.push(Missing {
            place: name.to_string(),
            measure: String::new(),
            disputed: Vec::new(),
        });
        judged
    }

    fn fitted(&self, path: &Path) -> Judged {
        let need = format!("something in {}", spaced(&path.to_string()));
        let Some(place) = self.place(path) else { return self.unknown_place(path, need) };
        match self.holding(place) {
            crate::built::Holding::Nothing => Judged::plain(Truth::No, need, "nothing sits there"),
            crate::built::Holding::Unknown => self.unknown_place(path, need),
            _ => Judged::plain(Truth::Yes, need, "it is there"),
        }
    }

    fn is(&self, path: &Path, what: &Path) -> Judged {
        let wanted = what.to_string();
        let need = format!("{} is {}", spaced(&path.to_string()), spaced(&wanted));
        if let Some(judged) = self.stands(path, &wanted, &need) {
            return judged;
        }
        let name = path.parts.last().map(|it| it.value.clone()).unwrap_or_default();
        if path.parts.len() == 1
            && let Some(place) = self.place(path)
        {
            let holding = self.holding(place);
            if let crate::built::Holding::Nothing = holding {
                return Judged::plain(Truth::No, need, "nothing sits there");
            }
            let named = holding.part().map(|it| it.name(self.db).to_string());
            if named.as_deref() == Some(wanted.as_str()) {
                return Judged::plain(Truth::Yes, need, spaced(&wanted));
            }
            let kind = crate::kinds::kind_of(self.db, self.workspace, holding, place.kind);
            if let Some(kind) = kind
                && whole_kind(self.db, self.workspace, kind).is(self.db, &wanted)
            {
                return Judged::plain(Truth::Yes, need, kind.shown(self.db));
            }
            if !self.world.options_after.contains_key(&name) {
                return match (named, kind) {
                    (Some(named), _) => Judged::plain(Truth::No, need, spaced(&named)),
                    (None, Some(kind)) => Judged::plain(Truth::No, need, kind.shown(self.db)),
                    (None, None) => self.unknown_place(path, need),
                };
            }
        }
        let option = match self.when {
            When::Before => self.world.recipient.option(&name).cloned(),
            When::After => self.world.options_after.get(&name).cloned(),
        };
        if let Some(value) = option {
            let truth = if value == wanted { Truth::Yes } else { Truth::No };
            return Judged::plain(truth, need, spaced(&value));
        }
        let mut trail = Trail::default();
        let judged = match self.path(path, Span::default(), &mut trail) {
            Worth::Word(it) => {
                let truth = if it == wanted { Truth::Yes } else { Truth::No };
                Judged::plain(truth, need, spaced(&it))
            }
            Worth::Missing => Judged::plain(Truth::Open, need, "nobody has said"),
            other => {
                let truth = if other.display() == wanted { Truth::Yes } else { Truth::No };
                Judged::plain(truth, need, other.display())
            }
        };
        with_trail(judged, trail)
    }

    /// What is the case in one state only: the state itself, the gear, a position, a cavity.
    fn stands(&self, path: &Path, wanted: &str, need: &str) -> Option<Judged> {
        let truth = |it: bool| if it { Truth::Yes } else { Truth::No };
        let word = path.word().map(|it| it.as_str());
        let own = |it: &str| self.world.place(it).is_none();
        let asked = path.index.is_some() || matches!(word, Some("state" | "gear")) && word.is_some_and(own);
        let Some(stand) = self.stand else {
            let mut judged = Judged::plain(Truth::Open, need, "it differs from state to state");
            judged.nonsense = Some("what is so in one state is asked in a rule".to_owned());
            return asked.then_some(judged);
        };
        if let Some(index) = &path.index {
            return Some(self.cavity(path, &index.value, wanted, need, stand));
        }
        if asked && word == Some("state") {
            let name = &stand.circuit.states[stand.situation.state].name;
            return Some(Judged::plain(truth(name == wanted), need, format!("state {}", spaced(name))));
        }
        let place = if asked { None } else { Some(word?) };
        let control = stand.circuit.control(place);
        let Some(control) = control else {
            return asked.then(|| self.unknown_place(path, need.to_owned()));
        };
        let positions = &stand.circuit.controls[control];
        if !asked && !positions.positions.iter().any(|it| it == wanted) {
            return None;
        }
        let at = stand.situation.positions[control];
        let is = positions.positions.get(at).is_some_and(|it| it == wanted);
        Some(Judged::plain(truth(is), need, positions.shown(at)))
    }

    fn cavity(&self, path: &Path, n: &str, wanted: &str, need: &str, stand: &Stand<'_>) -> Judged {
        let open = |have: &str, nonsense: Option<String>, doubt: Option<String>| {
            let mut judged = Judged::plain(Truth::Open, need, have);
            (judged.nonsense, judged.doubt) = (nonsense, doubt);
            judged
        };
        let end = match path.parts.as_slice() {
            [place, plug] => EndAt { place: place.value.clone(), end: plug.value.clone() },
            _ => return open("no cavity", Some(format!("`{path}` is no cavity")), None),
        };
        let node = n.parse().ok().and_then(|n| stand.circuit.seat(&end, n));
        let Some(node) = node else {
            return open("it is not there", None, Some(format!("what {path} is")));
        };
        let have = match stand.evaluated.level(node) {
            Level::Live => "live",
            Level::Grounded => "grounded",
            Level::Dead | Level::Pulled | Level::Drained => "dead",
            Level::Short => return open("a short", Some(format!("{path} is joined to ground too")), None),
            Level::Between => {
                let doubt = format!("the resistance of the loads on both sides of {path}");
                return open("between two loads", None, Some(doubt));
            }
            Level::Unknown(doubt) => return open("nobody has said", None, Some(doubt.what.clone())),
        };
        if !["live", "grounded", "dead"].contains(&wanted) {
            let why = format!("a cavity is `live`, `grounded` or `dead`, not `{wanted}`");
            return open(have, Some(why), None);
        }
        let truth = if have == wanted { Truth::Yes } else { Truth::No };
        Judged::plain(truth, need, format!("{path} is {have}"))
    }

    fn bus_word(
        &self,
        path: &Path,
        message: &str,
        verb: &str,
        does: impl Fn(&crate::decl::Part) -> bool,
    ) -> Judged {
        let need = format!("{} {verb} {message}", spaced(&path.to_string()));
        let Some(place) = self.place(path) else { return self.unknown_place(path, need) };
        let holding = self.holding(place);
        if let crate::built::Holding::Nothing = holding {
            return Judged::plain(Truth::No, need, format!("nothing sits in {}", place.shown()));
        }
        let parts: Vec<_> =
            holding.parts().iter().filter_map(|it| Some((*it, part(self.db, *it)?))).collect();
        if parts.is_empty() {
            return self.unknown_place(path, need);
        }
        let yes: Vec<bool> = parts.iter().map(|(_, part)| does(part)).collect();
        let names = parts.iter().map(|it| it.0.shown(self.db)).collect::<Vec<_>>().join(" or ");
        let mut judged = if yes.iter().all(|it| *it) {
            Judged::plain(Truth::Yes, need, format!("{names} {verb} it"))
        } else if yes.iter().any(|it| *it) {
            let mut open =
                Judged::plain(Truth::Open, need, format!("it depends on which sits there: {names}"));
            open.missing.push(Missing {
                place: place.name.to_string(),
                measure: String::new(),
                disputed: Vec::new(),
            });
            open
        } else {
            Judged::plain(Truth::No, need, format!("{names} {verb} no such message"))
        };
        for (id, part) in &parts {
            for it in part.sends.iter().chain(&part.hears).filter(|it| it.name.value == *message) {
                judged.found.push(known::said(self.db, self.workspace, *id, &it.claim, it.span));
            }
        }
        judged
    }

    fn has(&self, path: &Path, what: &str) -> Judged {
        let need = format!("{} has {}", spaced(&path.to_string()), spaced(what));
        let Some(place) = self.place(path) else { return self.unknown_place(path, need) };
        let ends = self.world.ends(self.db, self.workspace, place, self.when);
        if let Some(end) = ends.iter().find(|it| it.name == what && it.stated.is_some()) {
            let truth = if end.absent { Truth::No } else { Truth::Yes };
            let have = if end.absent { "it has none" } else { "it has" };
            return Judged::plain(truth, need, have);
        }
        match known::fact(self.db, self.workspace, self.world, place, what, self.when) {
            Known::Unknown => {
                let mut open = Judged::plain(Truth::Open, need, "nobody has said");
                open.missing.push(Missing {
                    place: place.name.to_string(),
                    measure: what.to_owned(),
                    disputed: Vec::new(),
                });
                open
            }
            Known::Nothing(found) => {
                let mut no = Judged::plain(Truth::No, need, "it has none");
                no.found.push(found);
                no
            }
            Known::Stated(all) | Known::Disputed(all) => {
                let mut yes = Judged::plain(Truth::Yes, need, "it has");
                yes.found = all;
                yes
            }
        }
    }

    fn compare(&self, op: Op, left: &Expr, right: &Expr, within: Option<&Figure>) -> Judged {
        let mut trail = Trail::default();
        let (a, b) = (worth(left, self, &mut trail), worth(right, self, &mut trail));
        let tolerance = within.and_then(|it| made(it).ok());
        let need = {
            let within = tolerance.map(|it| format!(" within {}", it.display())).unwrap_or_default();
            format!("{} {} {}{within}", text(left), sign(op), text(right))
        };
        let have = format!("{} {}", text(left), a.display());
        let judged = match (&a, &b) {
            (Worth::Missing, _) | (_, Worth::Missing) => Judged::plain(Truth::Open, need, "nobody has said"),
            (Worth::Quantity(x), Worth::Quantity(y)) => match compared(op, x, y, tolerance.as_ref()) {
                Ok(it) => {
                    let mut judged = Judged::plain(it.truth, need, have);
                    let steps = trail.steps.iter().map(|it| it.with_numbers.clone());
                    let sums = [left, right].into_iter().filter_map(|it| self.working(it));
                    let all: Vec<String> = steps.chain(sums).chain([it.formula]).collect();
                    judged.formula = Some(all.join("; "));
                    judged.margin = it.margin;
                    judged
                }
                Err(why) => {
                    trail.tell(why, left.span.to(right.span), None);
                    Judged::plain(Truth::Open, need, have)
                }
            },
            (Worth::Nothing, Worth::Quantity(_)) => {
                Judged::plain(Truth::No, need, format!("{} none", text(left)))
            }
            (a, b) => match alike(op, a, b) {
                Some(truth) => Judged::plain(truth, need, have),
                None => {
                    let why = format!("`{}` and `{}` cannot be put in order", a.display(), b.display());
                    trail.tell(why, left.span.to(right.span), None);
                    Judged::plain(Truth::Open, need, have)
                }
            },
        };
        with_trail(judged, trail)
    }

    /// A sum or product with its numbers put in; worked anew, which costs nothing to speak of.
    fn working(&self, expr: &Expr) -> Option<String> {
        working(expr, &|it| worth(it, self, &mut Trail::default()))
    }

    /// What is known of a measure that a path names, with the place and the name to say of it.
    fn known(&self, names: &[&str], trail: &mut Trail) -> Result<(String, Known), Worth> {
        Ok(match names {
            ["vehicle", name] => {
                ("vehicle".to_owned(), known::of_vehicle(self.db, self.workspace, self.world, name))
            }
            [name] => match self.own {
                Some(own) => (
                    own.name.to_string(),
                    known::fact(self.db, self.workspace, self.world, own, name, self.when),
                ),
                None => return Err(Worth::Word((*name).to_owned())),
            },
            [place, .., name] => match self.world.place(place) {
                Some(at) => (
                    (*place).to_owned(),
                    known::fact(self.db, self.workspace, self.world, at, name, self.when),
                ),
                None => {
                    trail.missing.push(missing(place, name, Vec::new()));
                    return Err(Worth::Missing);
                }
            },
            [] => return Err(Worth::Missing),
        })
    }

    /// The one that a path means of a stated list, with the source of its own where it has one.
    fn picked(&self, path: &Path, span: Span, best: Found, trail: &mut Trail) -> Option<Found> {
        let many = best.values.len();
        let words = crate::worded::path_text(&Path { index: None, ..path.clone() });
        let Some(index) = &path.index else {
            if many > 1 {
                let hint = format!("say which, as in `{path}[1]`");
                trail.tell(format!("{words} are a list of {many}"), span, Some(hint));
                return None;
            }
            return Some(best);
        };
        let Some(nth) = index.value.parse::<usize>().ok().filter(|it| *it > 0) else {
            let message = format!("in `{path}` a number from 1 is wanted in the brackets");
            trail.tell(message, index.span, None);
            return None;
        };
        let Some(value) = best.values.get(nth - 1).cloned() else {
            let nth = ordinal(u32::try_from(nth).unwrap_or(u32::MAX));
            trail.tell(format!("{words} are a list of {many}, which has no {nth}"), index.span, None);
            return None;
        };
        if best.values.iter().all(|it| it.per.is_none()) {
            return Some(Found { values: vec![value], ..best });
        }
        let id = Id { item: best.site.item, nth: 0 };
        let at = value.span;
        let own = found(self.db, self.workspace, id, &Claim::default(), vec![value], at);
        Some(Found { bound: best.bound, ..own })
    }
}

impl Names for Judge<'_> {
    fn path(&self, path: &Path, span: Span, trail: &mut Trail) -> Worth {
        let names: Vec<&str> = path.parts.iter().map(|it| it.value.as_str()).collect();
        if names == ["vehicle", "built"] {
            return match self.world.recipient.built {
                Some((from, _)) => Worth::Date(from),
                None => {
                    trail.missing.push(missing("vehicle", "built", Vec::new()));
                    Worth::Missing
                }
            };
        }
        if let ["vehicle", name] | [name] = names.as_slice()
            && let Some(value) = self.world.options_after.get(*name)
        {
            return Worth::Word(value.to_string());
        }
        let (place, known) = match self.known(&names, trail) {
            Ok(it) => it,
            Err(worth) => return worth,
        };
        let name = names[names.len() - 1];
        match known {
            Known::Unknown => {
                trail.missing.push(missing(&place, name, Vec::new()));
                Worth::Missing
            }
            Known::Nothing(found) => {
                trail.found.push(found);
                Worth::Nothing
            }
            Known::Disputed(all) => {
                trail.missing.push(missing(&place, name, all));
                Worth::Missing
            }
            Known::Stated(all) => {
                let Some(best) = all.into_iter().next() else { return Worth::Missing };
                let Some(best) = self.picked(path, span, best, trail) else { return Worth::Missing };
                let worth = match best.values.first().map(|it| &it.kind) {
                    Some(ValueKind::Quantity(it)) => Worth::Quantity(*it),
                    Some(ValueKind::Date(it)) => Worth::Date(*it),
                    Some(ValueKind::Broken) | None => Worth::Missing,
                    Some(ValueKind::Nothing) => Worth::Nothing,
                    Some(_) => Worth::Word(best.display()),
                };
                trail.found.push(best);
                worth
            }
        }
    }
}

fn missing(place: &str, measure: &str, disputed: Vec<Found>) -> Missing {
    Missing { place: place.to_owned(), measure: measure.to_owned(), disputed }
}

fn with_trail(mut judged: Judged, trail: Trail) -> Judged {
    judged.found.extend(trail.found);
    judged.missing.extend(trail.missing);
    if let (None, Some(it)) = (&judged.nonsense, trail.nonsense) {
        judged.nonsense = Some(it.to_string());
        judged.mend = it.mend.map(|mend| (it.span, mend));
    }
    judged.sources.extend(sources(&trail.steps));
    judged
}

/// What the handbook functions rest on, each source once.
fn sources(steps: &[Step]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for source in steps.iter().flat_map(|it| it.function.sources) {
        let said = source.to_string();
        if !all.contains(&said) {
            all.push(said);
        }
    }
    all
}

/// Joins two answers: one that decides outranks the other.
fn join(a: Judged, b: Judged, decides: Truth, word: &str) -> Judged {
    let truth = if a.truth == decides || b.truth == decides {
        decides
    } else if a.truth == Truth::Open || b.truth == Truth::Open {
        Truth::Open
    } else {
        a.truth
    };
    let both = |x: Option<String>, y: Option<String>| match (x, y) {
        (Some(x), Some(y)) => Some(format!("{x}; {y}")),
        (x, y) => x.or(y),
    };
    Judged {
        truth,
        need: format!("{}{word}{}", a.need, b.need),
        have: format!("{}; {}", a.have, b.have),
        formula: both(a.formula, b.formula),
        margin: both(a.margin, b.margin),
        found: a.found.into_iter().chain(b.found).collect(),
        missing: a.missing.into_iter().chain(b.missing).collect(),
        mend: a.mend.or(b.mend.filter(|_| a.nonsense.is_none())),
        nonsense: a.nonsense.or(b.nonsense),
        doubt: a.doubt.or(b.doubt),
        sources: a.sources.into_iter().chain(b.sources).collect(),
    }
}
