//! A sum: figures collected from what is stated, worked out by the handbook, put against a limit.
//!
//! A sum remembers what it rests on and what nobody has said. Where anything is missing, disputed or
//! outside a table it ends open; else the worst cases of both sides decide.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_handbook::registry;
use trunnion_model::db::Site;
use trunnion_model::fact::{Found, Known, Standing};
use trunnion_model::known;
use trunnion_model::verdict::{Fix, Gate, Named, Question, Verdict};
use trunnion_model::world::Place;

use crate::basis::basis_question;
use crate::ctx::{Ctx, capital, figure, listed};

/// A figure that nobody stated.
struct Lack {
    /// As in a sentence: "the peak torque of the engine".
    what: String,
    question: Question,
    fix: Option<Fix>,
}

/// What a sum comes to.
pub struct Answer {
    truth: Result<Truth, String>,
    /// What is needed and what is there.
    sides: Option<(String, String)>,
    margin: Option<String>,
    clear: String,
    clash: String,
}

impl Answer {
    /// That `have` is at most `limit`. `said` and `needed` are sentence parts: "the engine gives
    /// 340 Nm", "the gearbox carries 320 Nm".
    pub fn at_most(have: Quantity, limit: Quantity, said: &str, needed: &str) -> Self {
        let truth = have.at_most(&limit).map_err(|it| it.to_string());
        Self::of(truth, said, needed).with(&have, &limit, limit.sub(&have).ok())
    }

    /// That `have` is at least `limit`.
    pub fn at_least(have: Quantity, limit: Quantity, said: &str, needed: &str) -> Self {
        let truth = have.at_least(&limit).map_err(|it| it.to_string());
        Self::of(truth, said, needed).with(&have, &limit, have.sub(&limit).ok())
    }

    /// That `have` lies inside the range `window`.
    pub fn inside(have: Quantity, window: Quantity, said: &str, needed: &str) -> Self {
        let truth = have.inside(&window).map_err(|it| it.to_string());
        Self::of(truth, said, needed).with(&have, &window, None)
    }

    /// That `have` is `wanted` within a tolerance, as `2 %` or `3 mm`.
    pub fn within(have: Quantity, wanted: Quantity, allowed: Quantity, said: &str, needed: &str) -> Self {
        let truth = have.within(&wanted, &allowed).map_err(|it| it.to_string());
        Self::of(truth, said, needed).with(&have, &wanted, None)
    }

    /// An answer that was found some other way.
    pub fn told(truth: Truth, said: &str, needed: &str) -> Self {
        Self::of(Ok(truth), said, needed)
    }

    /// With whole sentences of its own for clear and clash.
    pub fn sentences(truth: Truth, clear: impl Into<String>, clash: impl Into<String>) -> Self {
        Self { truth: Ok(truth), sides: None, margin: None, clear: clear.into(), clash: clash.into() }
    }

    /// Says the margin in words.
    pub fn margin(mut self, margin: impl Into<String>) -> Self {
        self.margin = Some(margin.into());
        self
    }

    /// Says what is needed and what is there in words.
    pub fn need(mut self, need: impl Into<String>, have: impl Into<String>) -> Self {
        self.sides = Some((need.into(), have.into()));
        self
    }

    fn of(truth: Result<Truth, String>, said: &str, needed: &str) -> Self {
        let said = capital(said);
        let (clear, clash) = (format!("{said}; {needed}."), format!("{said}, but {needed}."));
        Self { truth, sides: None, margin: None, clear, clash }
    }

    fn with(mut self, have: &Quantity, limit: &Quantity, margin: Option<Quantity>) -> Self {
        self.sides = Some((limit.display(), have.display()));
        self.margin = margin.map(|it| it.display());
        self
    }
}

/// A sum in the making.
pub struct Sum<'c, 'a> {
    ctx: &'c Ctx<'a>,
    check: &'static str,
    subject: String,
    site: Site,
    hangs: String,
    found: Vec<Found>,
    /// What the owner chose: a decision, which makes no verdict weaker.
    chosen: Vec<Found>,
    lacks: Vec<Lack>,
    disputed: Option<(String, Vec<Found>, Question)>,
    refused: Option<String>,
    formulas: Vec<String>,
    sources: Vec<String>,
    notes: Vec<String>,
    figures: Vec<Named>,
    fixes: Vec<Fix>,
    safety: Vec<String>,
    good: Option<String>,
}

impl<'c, 'a> Sum<'c, 'a> {
    /// A sum about a subject. `hangs` says what hangs on it: "whether the clutch carries the engine".
    pub fn new(
        ctx: &'c Ctx<'a>,
        check: &'static str,
        subject: impl Into<String>,
        site: Site,
        hangs: impl Into<String>,
    ) -> Self {
        Self {
            ctx,
            check,
            subject: subject.into(),
            site,
            hangs: hangs.into(),
            found: Vec::new(),
            chosen: Vec::new(),
            lacks: Vec::new(),
            disputed: None,
            refused: None,
            formulas: Vec::new(),
            sources: Vec::new(),
            notes: Vec::new(),
            figures: Vec::new(),
            fixes: Vec::new(),
            safety: Vec::new(),
            good: None,
        }
    }

    /// A figure of what sits in a place after the changes. None, and the sum ends open, where nobody
    /// stated it, claims differ, it is no figure, or there is none.
    pub fn figure(&mut self, place: &Place, measure: &str) -> Option<Quantity> {
        let known = self.ctx.fact(place, measure);
        self.first(place, measure, &known)
    }

    /// The same as it was before the changes.
    pub fn figure_before(&mut self, place: &Place, measure: &str) -> Option<Quantity> {
        let known = self.ctx.fact_before(place, measure);
        self.first(place, measure, &known)
    }

    /// Every figure of a list: the ratios of a gearbox.
    pub fn figures(&mut self, place: &Place, measure: &str) -> Option<Vec<Quantity>> {
        let known = self.ctx.fact(place, measure);
        self.first(place, measure, &known)?;
        let best = known.best()?;
        Some(best.values.iter().filter_map(trunnion_model::fact::Value::quantity).collect())
    }

    /// A word or text of what sits in a place: a property class, a tyre.
    pub fn word(&mut self, place: &Place, measure: &str) -> Option<String> {
        let known = self.ctx.fact(place, measure);
        let found = self.settled(place, measure, &known)?;
        found.values.first()?.word().map(|it| it.to_string())
    }

    /// A figure that may be left out: not stated is no lack, disputed is.
    pub fn maybe(&mut self, place: &Place, measure: &str) -> Option<Quantity> {
        let known = self.ctx.fact(place, measure);
        match known {
            Known::Unknown | Known::Nothing(_) => None,
            _ => self.first(place, measure, &known),
        }
    }

    /// A figure of the whole vehicle: its wheelbase, its plated mass.
    pub fn of_vehicle(&mut self, measure: &str) -> Option<Quantity> {
        let known = known::of_vehicle(self.ctx.db, self.ctx.workspace, self.ctx.world, measure);
        let question = self.vehicle_question(measure);
        let fix = self.ctx.insert(
            self.ctx.world.recipient.vehicle,
            &format!("{} …{}", measure.replace('_', " "), unit_of(self.ctx, measure)),
        );
        let fix = fix.map(|edit| Fix {
            title: format!("state the {} of the vehicle", measure.replace('_', " ")),
            edits: vec![edit],
        });
        let found = self.settle_with(&known, question, fix)?;
        let figure = found.quantity();
        if figure.is_none() {
            self.refuse(format!(
                "the {} is {}, which is no figure",
                measure.replace('_', " "),
                found.display()
            ));
        }
        figure
    }

    /// The same where it may be left out.
    pub fn maybe_of_vehicle(&mut self, measure: &str) -> Option<Quantity> {
        let known = known::of_vehicle(self.ctx.db, self.ctx.workspace, self.ctx.world, measure);
        if matches!(known, Known::Unknown | Known::Nothing(_)) { None } else { self.of_vehicle(measure) }
    }

    /// A figure of the `basis`, which has no default: open until the owner chooses.
    pub fn basis(&mut self, name: &str, choices: &str) -> Option<Quantity> {
        self.choice(name, choices)?.quantity()
    }

    /// A word of the `basis`, which has no default: which of several rules is taken.
    pub fn basis_word(&mut self, name: &str, choices: &str) -> Option<String> {
        self.choice(name, choices)?.values.first()?.word().map(|it| it.to_string())
    }

    fn choice(&mut self, name: &str, choices: &str) -> Option<Found> {
        let known = self.ctx.basis(name);
        let question = basis_question(name, choices, &self.hangs);
        let before = self.found.len();
        let found = self.settle_with(&known, question, None)?;
        self.found.truncate(before);
        if !self.chosen.contains(&found) {
            self.chosen.push(found.clone());
        }
        Some(found)
    }

    /// A figure of the `basis`, or else one of common practice that the verdict names as such.
    pub fn basis_or(&mut self, name: &str, practice: f64, unit: &str) -> Option<Quantity> {
        match self.ctx.basis(name) {
            Known::Unknown => {
                let made = Quantity::exact(practice, unit).ok()?;
                let words = name.replace('_', " ");
                self.source(format!("{words} {}: common practice, no source", made.display()));
                Some(made)
            }
            _ => self.basis(name, ""),
        }
    }

    /// Works out a handbook function; its formula and sources go into the verdict. None, and the sum
    /// ends open, where the handbook has no answer: outside a table, nonsensical figures.
    pub fn call(&mut self, name: &str, arguments: &[Quantity]) -> Option<Quantity> {
        let Some(function) = registry::function(name) else {
            self.refuse(format!("the handbook has no `{name}`"));
            return None;
        };
        match function.call(arguments) {
            Ok(made) => {
                self.formulas.push(made.with_numbers);
                for source in function.sources {
                    self.source(source.to_string());
                }
                Some(made.value)
            }
            Err(error) => {
                self.refuse(error.to_string());
                None
            }
        }
    }

    /// The same for a function that also takes words: a level, a degree, a group.
    pub fn call_with(&mut self, name: &str, arguments: &[registry::Argument<'_>]) -> Option<Quantity> {
        let Some(function) = registry::function(name) else {
            self.refuse(format!("the handbook has no `{name}`"));
            return None;
        };
        match function.call_with(arguments) {
            Ok(made) => {
                self.formulas.push(made.with_numbers);
                for source in function.sources {
                    self.source(source.to_string());
                }
                Some(made.value)
            }
            Err(error) => {
                self.refuse(error.to_string());
                None
            }
        }
    }

    /// What hangs on the sum, for questions that are asked for it.
    pub fn hangs(&self) -> String {
        self.hangs.clone()
    }

    /// Keeps a claim that was read some other way.
    pub fn rests_on(&mut self, found: &Found) {
        if !self.found.contains(found) {
            self.found.push(found.clone());
        }
    }

    /// Says that something was not stated, with how to find it out.
    pub fn lacks(&mut self, what: impl Into<String>, question: Question) {
        self.lacks.push(Lack { what: what.into(), question, fix: None });
    }

    /// Says why there is no answer: the sum ends open.
    pub fn refuse(&mut self, why: impl Into<String>) {
        self.refused.get_or_insert(why.into());
    }

    /// Adds arithmetic that no handbook function does.
    pub fn formula(&mut self, with_numbers: impl Into<String>) {
        self.formulas.push(with_numbers.into());
    }

    /// Adds a source.
    pub fn source(&mut self, source: impl Into<String>) {
        let source = source.into();
        if !self.sources.contains(&source) {
            self.sources.push(source);
        }
    }

    /// Adds a sentence that must be read with the verdict: an assumption, a caution.
    pub fn note(&mut self, note: impl Into<String>) {
        self.notes.push(note.into());
    }

    /// Adds a way out.
    pub fn fix(&mut self, fix: Option<Fix>) {
        self.fixes.extend(fix);
    }

    /// Adds ways out.
    pub fn fixes(&mut self, fixes: impl IntoIterator<Item = Fix>) {
        self.fixes.extend(fixes);
    }

    /// Says which areas of safety it concerns.
    pub fn safety(&mut self, areas: impl IntoIterator<Item = String>) {
        for area in areas {
            if !self.safety.contains(&area) {
                self.safety.push(area);
            }
        }
    }

    /// The safety areas of what sits in places.
    pub fn safety_of(&mut self, places: &[&Place]) {
        for place in places {
            let areas = self.ctx.safety(place);
            self.safety(areas);
        }
    }

    /// Which values of what is missing would be good.
    pub fn good(&mut self, good: impl Into<String>) {
        self.good = Some(good.into());
    }

    /// Names a figure of the verdict, in a unit.
    pub fn name(&mut self, name: &str, value: &Quantity, unit: &str) {
        let shown = figure(*value, unit);
        self.figures.push(Named { name: name.to_owned(), value: shown, unit: unit.to_owned() });
    }

    /// Whether anything is missing, disputed or refused.
    pub fn is_open(&self) -> bool {
        !self.lacks.is_empty() || self.disputed.is_some() || self.refused.is_some()
    }

    /// Does the sum. `steps` collects figures and works out the answer; where it finds none, or
    /// anything is missing, disputed or refused, the verdict is open. Collect every figure before
    /// the first `?`, so that all that nobody has said is asked at once.
    pub fn work(mut self, steps: impl FnOnce(&mut Self) -> Option<Answer>) -> Option<Verdict> {
        match steps(&mut self) {
            Some(answer) if !self.is_open() => self.answered(answer),
            _ => self.open(),
        }
    }

    fn answered(mut self, answer: Answer) -> Option<Verdict> {
        let truth = match answer.truth {
            Ok(it) => it,
            Err(why) => {
                self.refuse(why);
                return self.open();
            }
        };
        let mut verdict = match truth {
            Truth::Yes => self.ctx.clear(self.check, &*self.subject, self.site, answer.clear, &self.found),
            Truth::No => {
                let verdict =
                    self.ctx.clash(self.check, &*self.subject, self.site, answer.clash, &self.found);
                verdict.with_fixes(std::mem::take(&mut self.fixes))
            }
            Truth::Maybe => {
                let said = answer.clear.trim_end_matches('.');
                let message = format!("{said}: the tolerances leave both possible.");
                let verdict = self.ctx.open(self.check, &*self.subject, self.site, message, self.closer());
                crate::ctx::with_found(verdict, &self.found)
            }
        };
        if let Some((limit, have)) = answer.sides {
            verdict = verdict.with_need(limit, have);
        }
        if let Some(margin) = answer.margin {
            verdict = verdict.with_margin(margin.replace('-', "−"));
        }
        Some(self.dressed(verdict))
    }

    /// The open verdict: what nobody has said, what is disputed, or why there is no answer. None of
    /// a vehicle that is not changed: what left the factory is not put in question by silence.
    pub fn open(self) -> Option<Verdict> {
        self.ctx.world.conversion?;
        let (message, question) = if let Some((what, claims, question)) = &self.disputed {
            let said: Vec<_> =
                claims.iter().map(|it| format!("{} says {}", it.source, it.display())).collect();
            (format!("{} is disputed: {}.", capital(what), said.join(", ")), question.clone())
        } else if !self.lacks.is_empty() {
            let what = together(self.lacks.iter().map(|it| it.what.clone()).collect());
            let tail = self.good.as_ref().map(|it| format!("; good would be {it}")).unwrap_or_default();
            let mut question = self.lacks[0].question.clone();
            question.what.clone_from(&what);
            let gates = self.lacks.iter().map(|it| it.question.gate);
            question.gate = gates.min().unwrap_or(question.gate);
            if self.good.is_some() && self.lacks.len() == 1 {
                question.good.clone_from(&self.good);
            }
            (format!("Nobody has said {what}{tail}: it decides {}.", self.hangs), question)
        } else {
            let why = self.refused.clone().unwrap_or_else(|| "the figures do not go together".to_owned());
            (format!("It cannot be told {}: {why}.", self.hangs), self.closer())
        };
        let mut verdict = self.ctx.open(self.check, &*self.subject, self.site, message, question);
        if let Some((_, claims, _)) = &self.disputed {
            verdict = crate::ctx::with_found(verdict, claims);
        }
        verdict = crate::ctx::with_found(verdict, &self.found);
        verdict = verdict.with_fixes(self.lacks.iter().filter_map(|it| it.fix.clone()));
        Some(self.dressed(verdict))
    }

    /// What would have to be known more closely.
    fn closer(&self) -> Question {
        let told = self.found.iter().filter(|it| !it.values.is_empty());
        let weakest = told.min_by_key(|it| it.standing);
        Question {
            what: weakest.map_or_else(
                || "the figures more closely".to_owned(),
                |it| format!("{} more closely", it.display()),
            ),
            good: self.good.clone(),
            tool: None,
            precision: None,
            minutes: None,
            who: trunnion_model::verdict::Who::Tape,
            gate: Gate::NoReturn,
            hangs: self.hangs.clone(),
            type_in: None,
        }
    }

    fn dressed(self, mut verdict: Verdict) -> Verdict {
        for it in &self.chosen {
            verdict = verdict.with_related(it.site, format!("chosen here: {}", it.display()));
        }
        if !self.formulas.is_empty() {
            verdict.formula = Some(self.formulas.join("; "));
        }
        for source in self.sources {
            verdict = verdict.with_source(source);
        }
        verdict.notes.extend(self.notes);
        verdict.figures.extend(self.figures);
        verdict.safety = self.safety;
        verdict
    }

    fn first(&mut self, place: &Place, measure: &str, known: &Known) -> Option<Quantity> {
        let found = self.settled(place, measure, known)?;
        let Some(figure) = found.quantity() else {
            let words = measure.replace('_', " ");
            self.refuse(format!("the {words} of the {} is {}", place.shown(), found.display()));
            return None;
        };
        // A figure measured without a stated precision is no better than the usual tool for it.
        if found.standing == Standing::Measured
            && figure.is_exact()
            && let Some(precision) = self.ctx.find_out(place, measure).precision
        {
            return Some(figure.plus_minus(&precision).unwrap_or(figure));
        }
        Some(figure)
    }

    fn settled(&mut self, place: &Place, measure: &str, known: &Known) -> Option<Found> {
        let question = self.ctx.question(place, measure, self.hangs.clone());
        let unit = unit_of(self.ctx, measure);
        let unit = unit.trim();
        let fix = self.ctx.state_fact(place, measure, (!unit.is_empty()).then_some(unit));
        self.settle_with(known, question, fix)
    }

    /// A claim that was found some other way. None, and the sum ends open with this question and this
    /// way out, where nobody stated it; none also where claims differ or there is none of it.
    pub fn settle_with(&mut self, known: &Known, question: Question, fix: Option<Fix>) -> Option<Found> {
        match known {
            Known::Unknown => {
                if !self.lacks.iter().any(|it| it.what == question.what) {
                    self.lacks.push(Lack { what: question.what.clone(), question, fix });
                }
                None
            }
            Known::Nothing(found) => {
                self.refuse(format!("{} is stated as none", question.what));
                self.rests_on(found);
                None
            }
            Known::Disputed(claims) => {
                self.disputed.get_or_insert((question.what.clone(), claims.clone(), question));
                None
            }
            Known::Stated(claims) => {
                let best = claims.first()?.clone();
                self.rests_on(&best);
                Some(best)
            }
        }
    }

    fn vehicle_question(&self, measure: &str) -> Question {
        let ctx = self.ctx;
        let root = ctx.world.root();
        let declared = known::measure(ctx.db, ctx.workspace, root, measure);
        let find_out = declared.map(|it| it.find_out.clone()).unwrap_or_default();
        let shown = ctx
            .find(root, trunnion_model::name::Space::Measure, measure)
            .map_or_else(|| measure.replace('_', " "), |it| it.shown(ctx.db));
        let mut question =
            crate::ctx::question(format!("the {shown} of the vehicle"), &find_out, self.hangs.clone());
        let vehicle = ctx.world.recipient.vehicle.name(ctx.db);
        question.type_in = Some(format!("in vehicle {vehicle}: {} …", measure.replace('_', " ")));
        question
    }
}

/// The unit in which a measure is usually stated, with a space before it; empty for plain ones.
fn unit_of(ctx: &Ctx<'_>, measure: &str) -> String {
    let declared = known::measure(ctx.db, ctx.workspace, ctx.world.root(), measure);
    declared.and_then(|it| it.unit.as_ref()).map(|it| format!(" {}", it.value)).unwrap_or_default()
}

/// Noun phrases in a row; those of one thing said once: "stroke and bore of the pump".
fn together(phrases: Vec<String>) -> String {
    let of = |it: &str| it.rsplit_once(" of the ").map(|(_, thing)| thing.to_owned());
    let first = phrases.first().and_then(|it| of(it));
    if let Some(thing) = first
        && phrases.len() > 1
        && phrases.iter().all(|it| of(it).as_ref() == Some(&thing))
    {
        let tail = format!(" of the {thing}");
        let heads: Vec<String> = phrases.iter().map(|it| it.trim_end_matches(&tail).to_owned()).collect();
        return format!("{}{tail}", listed(&heads));
    }
    listed(&phrases)
}
