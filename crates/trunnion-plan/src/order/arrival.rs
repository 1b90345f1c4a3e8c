//! When the parts are there that a piece of work needs.

use std::collections::BTreeMap;

use trunnion_check::awaited::{Awaited, awaited, days, told};
use trunnion_check::calendar::{between, first_day, last_day, later};
use trunnion_check::ctx::{Ctx, capital};
use trunnion_check::works::Job;
use trunnion_model::decl::Event;
use trunnion_model::known::logs;
use trunnion_model::name::Id;
use trunnion_model::world::Place;
use trunnion_syntax::tree::{Date, Name};

/// Something that must be there before a piece of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrival {
    /// What, in words: "the flywheel (flexplate, new)".
    pub shown: String,
    /// The place it goes into; empty for what a service needs.
    pub place: String,
    /// Whether it is here.
    pub here: bool,
    /// Whether it is ordered.
    pub ordered: bool,
    /// In how many days it comes at the latest; none where it is here or nobody knows.
    pub days: Option<u64>,
    /// What nobody has said of it, as a sentence.
    pub unknown: Option<String>,
    /// Where a choice is left: the others that are offered, each with its wait.
    pub others: Vec<String>,
}

impl Arrival {
    /// From when on it can be worked on, in minutes of work. None where nobody knows.
    pub fn ready(&self, day: u64) -> Option<u64> {
        if self.here { Some(0) } else { self.days.map(|it| it * day) }
    }

    /// In a few words: "the flexplate, 3 days"; "the flexplate, nobody has said when it comes".
    pub fn phrase(&self) -> String {
        match self.days {
            _ if self.here => format!("{}, here", self.shown),
            Some(1) => format!("{}, 1 day", self.shown),
            Some(days) => format!("{}, {days} days", self.shown),
            None => format!("{}, nobody has said when it is here", self.shown),
        }
    }
}

/// Everything that is waited for in a world.
pub(crate) struct Expected<'a> {
    all: Vec<Awaited>,
    picked: &'a BTreeMap<Name, Id>,
    newest: Option<Date>,
}

impl<'a> Expected<'a> {
    pub(crate) fn of(ctx: &Ctx<'_>, picked: &'a BTreeMap<Name, Id>) -> Self {
        Self { all: awaited(ctx), picked, newest: told(ctx, &[]).newest }
    }

    /// The newest day of the log.
    pub(super) fn newest(&self) -> Option<Date> {
        self.newest
    }

    /// The parts that a piece of work needs: those that go into the places it works on, and what a
    /// service is offered with. What opens something takes it apart, and waits for no part.
    pub(super) fn by(&self, ctx: &Ctx<'_>, job: &Job<'_>) -> Vec<Arrival> {
        let mut arrivals = Vec::new();
        if let Some(it) = self.all.iter().find(|it| it.id == job.id) {
            arrivals.push(self.one(ctx, it, ""));
        }
        if !job.work.opens.is_empty() || job.work.service {
            return arrivals;
        }
        for place in job.work.on.iter().filter_map(|it| ctx.world.place(it.head())) {
            arrivals.extend(self.into(ctx, place));
        }
        arrivals
    }

    /// What comes into a place, if something new does.
    pub(crate) fn into(&self, ctx: &Ctx<'_>, place: &Place) -> Option<Arrival> {
        if let Some(donor) = place.donor() {
            return Some(from_donor(ctx, place, donor));
        }
        let own = |it: &&Awaited| it.names.get(1).is_some_and(|it| *it == place.name.as_str());
        let picked = |it: &&Awaited| self.picked.get(&place.name).is_none_or(|id| *id == it.id);
        let here: Vec<Arrival> =
            self.all.iter().filter(own).filter(picked).map(|it| self.one(ctx, it, &place.name)).collect();
        // Of several that may be picked one that is here will do; else the slowest is counted on.
        let slow = |it: &&Arrival| (!it.here, it.unknown.is_some(), it.days);
        let mut taken = here.iter().find(|it| it.here).or_else(|| here.iter().max_by_key(slow))?.clone();
        taken.others = here.iter().filter(|it| it.shown != taken.shown).map(Arrival::phrase).collect();
        Some(taken)
    }

    fn one(&self, ctx: &Ctx<'_>, it: &Awaited, place: &str) -> Arrival {
        let told = told(ctx, &it.names);
        let mut arrival = Arrival {
            shown: it.shown.clone(),
            place: place.to_owned(),
            here: it.here || told.arrived.is_some() || put_in(ctx, place),
            ordered: told.ordered.is_some(),
            days: None,
            unknown: None,
            others: Vec::new(),
        };
        if arrival.here {
            return arrival;
        }
        let who = capital(&it.shown);
        let wait = it.wait.as_ref().and_then(days);
        match (wait, &told.ordered, self.newest) {
            (None, ..) if !it.offered => {
                arrival.unknown = Some(format!("Nobody has said where {} comes from.", it.shown));
            }
            (None, ..) => {
                arrival.unknown = Some(format!("Nobody has said how long {} takes to come.", it.shown));
            }
            (Some((_, latest)), Some((on, _)), Some(newest)) => {
                let due = later(last_day(*on), latest);
                match u64::try_from(between(first_day(newest), due)) {
                    Ok(left) => arrival.days = Some(left),
                    Err(_) => {
                        arrival.unknown =
                            Some(format!("{who} was due on {due}, and the log does not say that it came."));
                    }
                }
            }
            // A wait counts days, none of them below nothing.
            (Some((_, latest)), ..) => arrival.days = u64::try_from(latest).ok(),
        }
        arrival
    }
}

/// Whether the log says that what comes into a place was made or is in it already.
fn put_in(ctx: &Ctx<'_>, place: &str) -> bool {
    let is = |what: &str, word: &str| words(what).any(|it| it == word);
    entries(ctx).iter().any(|event| match event {
        Event::Done { what, .. } => {
            let verb = ["make", "fit", "replace"].iter().any(|it| is(what, it));
            !place.is_empty() && verb && is(what, place)
        }
        _ => false,
    })
}

/// A part of a donor: here once the log says that it was taken, or that the donor came.
fn from_donor(ctx: &Ctx<'_>, place: &Place, donor: Id) -> Arrival {
    let (name, giver) = (place.name.as_str(), donor.name(ctx.db));
    let here = entries(ctx).iter().any(|event| match event {
        Event::Done { what, .. } => {
            let is = |word: &str| words(what).any(|it| it == word);
            is(name) && (is("take") || is(&giver))
        }
        Event::Arrived { what } => what.head() == name || *what.head() == giver,
        _ => false,
    });
    let shown = format!("the {} of {}", place.shown(), donor.shown(ctx.db));
    let unknown = (!here).then(|| format!("Nobody has said when {shown} is here."));
    Arrival { place: name.to_owned(), here, ordered: false, days: None, unknown, others: Vec::new(), shown }
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '_')
}

/// What the recipient's log tells.
fn entries<'a>(ctx: &Ctx<'a>) -> Vec<&'a Event> {
    let logs = logs(ctx.db, ctx.workspace, ctx.world, ctx.world.recipient.vehicle);
    logs.into_iter().flat_map(|(_, log)| log.entries.iter().map(|it| &it.event)).collect()
}
