//! Whether a condition holds: `needs`, `when`.

use trunnion_handbook::quantity::{Order, Quantity};
use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::tree::{Figure, Op, Path};

use crate::built::part;
use crate::db::{Db, Workspace};
use crate::fact::{Found, Known, ValueKind};
use crate::kinds::whole_kind;
use crate::known;
use crate::lower::reader::made;
use crate::world::{Place, When, World};

/// Yes, no, or nobody knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Truth {
    /// It holds.
    Yes,
    /// It does not.
    No,
    /// It cannot be told.
    Open,
}

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
}

/// A value in a condition.
enum Worth {
    Quantity(Quantity),
    Word(String),
    Date(trunnion_syntax::tree::Date),
    Nothing,
    Missing,
}

/// Collected on the way.
#[derive(Default)]
struct Trail {
    found: Vec<Found>,
    missing: Vec<Missing>,
    nonsense: Option<String>,
}

impl Judge<'_> {
    /// Judges a condition.
    pub fn judge(&self, expr: &Expr) -> Judged {
        match &expr.kind {
            ExprKind::And(a, b) => join(self.judge(a), self.judge(b), Truth::No, " and "),
            ExprKind::Or(a, b) => join(self.judge(a), self.judge(b), Truth::Yes, " or "),
            ExprKind::Not(inner) => {
                let inner = self.judge(inner);
                let truth = match inner.truth {
                    Truth::Yes => Truth::No,
                    Truth::No => Truth::Yes,
                    Truth::Open => Truth::Open,
                };
                Judged { truth, need: format!("not {}", inner.need), ..inner }
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
                let worth = self.worth(expr, &mut trail);
                let (truth, have) = match worth {
                    Worth::Missing => (Truth::Open, "nobody has said".to_owned()),
                    Worth::Nothing => (Truth::No, "none".to_owned()),
                    Worth::Word(it) if it == "no" => (Truth::No, it),
                    other => (Truth::Yes, shown(&other)),
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
        let worth = self.path(path, &mut trail);
        let judged = match worth {
            Worth::Word(it) => {
                let truth = if it == wanted { Truth::Yes } else { Truth::No };
                Judged::plain(truth, need, spaced(&it))
            }
            Worth::Missing => Judged::plain(Truth::Open, need, "nobody has said"),
            other => {
                let truth = if shown(&other) == wanted { Truth::Yes } else { Truth::No };
                Judged::plain(truth, need, shown(&other))
            }
        };
        with_trail(judged, trail)
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
        let (a, b) = (self.worth(left, &mut trail), self.worth(right, &mut trail));
        let tolerance = within.and_then(|it| made(it).ok());
        let need = {
            let within = tolerance.map(|it| format!(" within {}", it.display())).unwrap_or_default();
            format!("{} {} {}{within}", text(left), sign(op), text(right))
        };
        let have = format!("{} {}", text(left), shown(&a));
        let judged = match (&a, &b) {
            (Worth::Missing, _) | (_, Worth::Missing) => Judged::plain(Truth::Open, need, "nobody has said"),
            (Worth::Quantity(a), Worth::Quantity(b)) => match quantities(op, a, b, tolerance.as_ref()) {
                Ok((truth, formula, margin)) => {
                    let mut judged = Judged::plain(truth, need, have);
                    judged.formula = Some(formula);
                    judged.margin = margin;
                    judged
                }
                Err(why) => {
                    trail.nonsense = Some(why);
                    Judged::plain(Truth::Open, need, have)
                }
            },
            (Worth::Date(a), Worth::Date(b)) => {
                let truth = ordered(op, a.cmp(b));
                Judged::plain(truth, need, have)
            }
            (Worth::Nothing, Worth::Quantity(_)) => {
                Judged::plain(Truth::No, need, format!("{} none", text(left)))
            }
            (a, b) => {
                let same = shown(a) == shown(b);
                let truth = match op {
                    Op::Equal => same,
                    Op::Unequal => !same,
                    _ => {
                        trail.nonsense =
                            Some(format!("`{}` and `{}` cannot be put in order", shown(a), shown(b)));
                        return with_trail(Judged::plain(Truth::Open, need, have), trail);
                    }
                };
                Judged::plain(if truth { Truth::Yes } else { Truth::No }, need, have)
            }
        };
        with_trail(judged, trail)
    }

    fn worth(&self, expr: &Expr, trail: &mut Trail) -> Worth {
        match &expr.kind {
            ExprKind::Figure(figure) => match made(figure) {
                Ok(it) => Worth::Quantity(it),
                Err(error) => {
                    trail.nonsense = Some(error.to_string());
                    Worth::Missing
                }
            },
            ExprKind::Text(it) | ExprKind::Marking(it) => Worth::Word(it.to_string()),
            ExprKind::Date(it) => Worth::Date(*it),
            ExprKind::Path(path) => self.path(path, trail),
            ExprKind::Arithmetic(op, a, b) => {
                let (Worth::Quantity(a), Worth::Quantity(b)) = (self.worth(a, trail), self.worth(b, trail))
                else {
                    return Worth::Missing;
                };
                let made = match op {
                    Op::Plus => a.add(&b),
                    Op::Minus => a.sub(&b),
                    Op::Times => a.mul(&b),
                    _ => a.div(&b),
                };
                match made {
                    Ok(it) => Worth::Quantity(it),
                    Err(error) => {
                        trail.nonsense = Some(error.to_string());
                        Worth::Missing
                    }
                }
            }
            ExprKind::Call(name, _) => {
                trail.nonsense = Some(format!("there is no handbook function `{name}`"));
                Worth::Missing
            }
            _ => {
                trail.nonsense = Some("a condition stands where a value is wanted".to_owned());
                Worth::Missing
            }
        }
    }

    fn path(&self, path: &Path, trail: &mut Trail) -> Worth {
        let names: Vec<&str> = path.parts.iter().map(|it| it.value.as_str()).collect();
        let (place, known) = match names.as_slice() {
            ["vehicle", "built"] => {
                return match self.world.recipient.built {
                    Some((from, _)) => Worth::Date(from),
                    None => {
                        trail.missing.push(missing("vehicle", "built", Vec::new()));
                        Worth::Missing
                    }
                };
            }
            ["vehicle", name] => {
                if let Some(value) = self.world.options_after.get(*name) {
                    return Worth::Word(value.to_string());
                }
                ("vehicle", known::of_vehicle(self.db, self.workspace, self.world, name))
            }
            [name] => {
                if let Some(value) = self.world.options_after.get(*name) {
                    return Worth::Word(value.to_string());
                }
                match self.own {
                    Some(own) => (
                        own.name.as_str(),
                        known::fact(self.db, self.workspace, self.world, own, name, self.when),
                    ),
                    None => return Worth::Word((*name).to_owned()),
                }
            }
            [place, .., name] => match self.world.place(place) {
                Some(at) => (*place, known::fact(self.db, self.workspace, self.world, at, name, self.when)),
                None => {
                    trail.missing.push(missing(place, name, Vec::new()));
                    return Worth::Missing;
                }
            },
            [] => return Worth::Missing,
        };
        let name = names[names.len() - 1];
        match known {
            Known::Unknown => {
                trail.missing.push(missing(place, name, Vec::new()));
                Worth::Missing
            }
            Known::Nothing(found) => {
                trail.found.push(found);
                Worth::Nothing
            }
            Known::Disputed(all) => {
                trail.missing.push(missing(place, name, all));
                Worth::Missing
            }
            Known::Stated(all) => {
                let Some(best) = all.first().cloned() else { return Worth::Missing };
                let worth = match best.values.first().map(|it| &it.kind) {
                    Some(ValueKind::Quantity(it)) => Worth::Quantity(*it),
                    Some(ValueKind::Date(it)) => Worth::Date(*it),
                    Some(ValueKind::Broken) | None => Worth::Missing,
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
    judged.nonsense = judged.nonsense.or(trail.nonsense);
    judged
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
        nonsense: a.nonsense.or(b.nonsense),
    }
}

fn ordered(op: Op, order: std::cmp::Ordering) -> Truth {
    let holds = match op {
        Op::Equal => order.is_eq(),
        Op::Unequal => order.is_ne(),
        Op::Less => order.is_lt(),
        Op::AtMost => order.is_le(),
        Op::More => order.is_gt(),
        _ => order.is_ge(),
    };
    if holds { Truth::Yes } else { Truth::No }
}

type Compared = (Truth, String, Option<String>);

/// Compares figures with their worst cases; says the arithmetic.
fn quantities(op: Op, a: &Quantity, b: &Quantity, tolerance: Option<&Quantity>) -> Result<Compared, String> {
    let order = a.compare(b).map_err(|it| it.to_string())?;
    if let (Op::Equal | Op::Unequal, Some(tolerance)) = (op, tolerance) {
        let band = b.plus_minus(tolerance).map_err(|it| it.to_string())?;
        let off = if b.nominal() == 0.0 {
            f64::INFINITY
        } else {
            (a.nominal() - b.nominal()) / b.nominal() * 100.0
        };
        let inside = a.lo() >= band.lo() && a.hi() <= band.hi();
        let outside = a.hi() < band.lo() || a.lo() > band.hi();
        let truth = match (inside, outside) {
            (true, _) => Truth::Yes,
            (_, true) => Truth::No,
            _ => Truth::Open,
        };
        let truth = if op == Op::Unequal { flip(truth) } else { truth };
        let side = if off < 0.0 { "low" } else { "high" };
        let formula = format!(
            "({} − {}) / {} = {:.1} % {side}; allowed {}",
            a.display(),
            b.display(),
            b.display(),
            off.abs(),
            tolerance.display(),
        );
        return Ok((truth, formula, Some(format!("{:.1} % off", off.abs()))));
    }
    let truth = match (op, order) {
        (Op::Equal, Order::Equal) => Truth::Yes,
        (Op::Equal, Order::Less | Order::Greater) => Truth::No,
        (Op::Equal, Order::Overlap) => Truth::Open,
        (Op::Unequal, Order::Equal) => Truth::No,
        (Op::Unequal, Order::Less | Order::Greater) => Truth::Yes,
        (Op::Unequal, Order::Overlap) => Truth::Open,
        (Op::Less, Order::Less) | (Op::More, Order::Greater) => Truth::Yes,
        (Op::Less, Order::Greater | Order::Equal) | (Op::More, Order::Less | Order::Equal) => Truth::No,
        (Op::AtMost, Order::Less | Order::Equal) | (Op::AtLeast, Order::Greater | Order::Equal) => Truth::Yes,
        (Op::AtMost, Order::Greater) | (Op::AtLeast, Order::Less) => Truth::No,
        (Op::AtMost, Order::Overlap) if a.hi() <= b.lo() => Truth::Yes,
        (Op::AtLeast, Order::Overlap) if a.lo() >= b.hi() => Truth::Yes,
        _ => Truth::Open,
    };
    let margin = match op {
        Op::AtLeast | Op::More => a.sub(b).ok().map(|it| it.display()),
        Op::AtMost | Op::Less => b.sub(a).ok().map(|it| it.display()),
        _ => None,
    };
    Ok((truth, format!("{} {} {}", a.display(), sign(op), b.display()), margin))
}

fn flip(truth: Truth) -> Truth {
    match truth {
        Truth::Yes => Truth::No,
        Truth::No => Truth::Yes,
        Truth::Open => Truth::Open,
    }
}

fn sign(op: Op) -> &'static str {
    match op {
        Op::Plus => "+",
        Op::Minus => "−",
        Op::Times => "×",
        Op::Over => "/",
        Op::Equal => "=",
        Op::Unequal => "≠",
        Op::Less => "<",
        Op::AtMost => "≤",
        Op::More => ">",
        Op::AtLeast => "≥",
    }
}

fn spaced(path: &str) -> String {
    path.replace('_', " ")
}

fn shown(worth: &Worth) -> String {
    match worth {
        Worth::Quantity(it) => it.display(),
        Worth::Word(it) => it.clone(),
        Worth::Date(it) => it.to_string(),
        Worth::Nothing => "none".to_owned(),
        Worth::Missing => "unknown".to_owned(),
    }
}

/// A condition as a reader would say it.
pub fn text(expr: &Expr) -> String {
    match &expr.kind {
        ExprKind::Path(path) => match path.parts.as_slice() {
            [place, name] => format!("{} {}", spaced(&place.value), spaced(&name.value)),
            _ => spaced(&path.to_string()),
        },
        ExprKind::Figure(figure) => made(figure).map_or_else(|_| "?".to_owned(), |it| it.display()),
        ExprKind::Text(it) | ExprKind::Marking(it) => it.to_string(),
        ExprKind::Date(it) => it.to_string(),
        ExprKind::Arithmetic(op, a, b) => format!("{} {} {}", text(a), sign(*op), text(b)),
        ExprKind::Compare { op, left, right, .. } => format!("{} {} {}", text(left), sign(*op), text(right)),
        ExprKind::Call(name, args) => {
            format!("{name}({})", args.iter().map(text).collect::<Vec<_>>().join(", "))
        }
        ExprKind::And(a, b) => format!("{} and {}", text(a), text(b)),
        ExprKind::Or(a, b) => format!("{} or {}", text(a), text(b)),
        ExprKind::Not(a) => format!("not {}", text(a)),
        ExprKind::Is(a, b) => format!("{} is {}", spaced(&a.to_string()), spaced(&b.to_string())),
        ExprKind::Sends(a, b) => format!("{} sends {b}", spaced(&a.to_string())),
        ExprKind::Hears(a, b) => format!("{} hears {b}", spaced(&a.to_string())),
        ExprKind::Has(a, b) => format!("{} has {}", spaced(&a.to_string()), spaced(b)),
        ExprKind::Fitted(a) => format!("{} fitted", spaced(&a.to_string())),
    }
}
