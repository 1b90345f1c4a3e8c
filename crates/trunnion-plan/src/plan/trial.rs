//! A conversion tried with other statements: put into the host's text, judged, and taken back.

use std::cell::Cell;
use std::collections::BTreeSet;
use std::sync::Arc;

use trunnion_check::ctx::Ctx;
use trunnion_check::list::CHECKS;
use trunnion_check::run::{of_world, said_in};
use trunnion_model::built::Holding;
use trunnion_model::db::{Db, Host, Site};
use trunnion_model::lower::lowered;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::{World, world};

use crate::draft::{Draft, Sort, Step};
use crate::plan::candidates::{Candidate, Open};

/// With how many other sets of candidates it is tried that a clash does not need them.
pub const SHIFTS: usize = 2;

/// Whether two verdicts are the same clash.
pub fn is_same(a: &Verdict, b: &Verdict) -> bool {
    a.outcome == Outcome::Clash && (a.check, &a.subject, a.site) == (b.check, &b.subject, b.site)
}

/// Which candidate each open place takes, by index.
pub type Assignment = Vec<usize>;

/// What a clash rests on.
#[derive(Clone, Debug, Default)]
pub struct Rests {
    /// Statements of the user's files.
    pub grounds: Vec<Site>,
    /// What is said of it, whatever sits in the other places.
    pub sentence: String,
}

/// A conversion by one of its ways, with what is open in it.
pub struct Trial<'h> {
    /// Holds the text.
    pub host: &'h mut Host,
    /// The conversion.
    pub id: Id,
    /// Which of its ways.
    pub way: Option<u32>,
    /// Its text.
    pub draft: Draft,
    /// Steps that are made in every trial.
    pub always: Vec<Step>,
    /// The open places.
    pub opens: Vec<Open>,
    /// How often something was judged.
    pub judged: &'h Cell<usize>,
}

impl Trial<'_> {
    /// The steps that an assignment means, with no reasons yet.
    pub fn picks(&self, assignment: &Assignment) -> Vec<Step> {
        let db = self.host.db();
        let each = self.opens.iter().zip(assignment);
        each.filter_map(|(open, nth)| {
            let statement = open.candidates.get(*nth)?.statement(db, open)?;
            Some(step(Some(statement), open))
        })
        .collect()
    }

    /// Puts an assignment and more steps into the text.
    pub fn put(&mut self, assignment: &Assignment, more: &[Step]) {
        let mut steps = self.always.clone();
        steps.extend(self.picks(assignment));
        steps.extend(more.iter().cloned());
        self.put_steps(&steps);
    }

    fn put_steps(&mut self, steps: &[Step]) {
        let text = self.draft.tried(self.host, steps);
        self.draft.put(self.host, &text);
        self.judged.set(self.judged.get() + 1);
    }

    /// Takes everything back.
    pub fn restore(&mut self) {
        self.draft.restore(self.host);
    }

    /// What all checks say of what was put.
    pub fn verdicts(&self) -> Vec<Verdict> {
        of_world(self.host.db(), self.host.workspace(), self.id, self.way)
    }

    /// What clashes in the world of what was put, by those checks that count.
    pub fn clashes(&self, world: &World, counts: fn(&str) -> bool) -> Vec<Verdict> {
        let ctx = Ctx { db: self.host.db(), workspace: self.host.workspace(), world };
        let names = CHECKS.iter().map(|it| it.name).filter(|it| counts(it));
        let said = names.flat_map(|it| said_in(&ctx, it));
        said.filter(|it| it.outcome == Outcome::Clash).collect()
    }

    /// The world of what was put.
    pub fn world(&self) -> Option<Arc<World>> {
        world(self.host.db(), self.host.workspace(), self.id.item, self.id.nth, self.way)
    }

    /// What a clash rests on when only some of the open places are as assigned; none where it does not
    /// stay. The others hold what nobody knows: a check that still says clash then does not need them. That
    /// it does not is tried besides with other candidates there.
    pub fn persists(
        &self,
        world: &World,
        clash: &Verdict,
        assignment: &Assignment,
        kept: &BTreeSet<usize>,
    ) -> Option<Rests> {
        let rounds: Vec<usize> = (0..=SHIFTS).collect();
        self.stays(world, clash, assignment, kept, &rounds)
    }

    /// The same, for some of the rounds of [`Self::said`].
    pub fn stays(
        &self,
        world: &World,
        clash: &Verdict,
        assignment: &Assignment,
        kept: &BTreeSet<usize>,
        rounds: &[usize],
    ) -> Option<Rests> {
        let found = |said: Vec<Verdict>| said.into_iter().find(|it| is_same(it, clash));
        let mut last = None;
        for round in rounds {
            last = Some(found(self.said(world, assignment, kept, *round, clash.check))?);
        }
        last.map(|it| self.rests(world, it, kept))
    }

    /// What a clash rests on that stays while only some places are as assigned.
    pub fn rests(&self, world: &World, clash: Verdict, kept: &BTreeSet<usize>) -> Rests {
        Rests { grounds: self.grounds(world, &clash, kept), sentence: clash.message }
    }

    /// What a check says when the places that are not kept hold other candidates, each round others; in the
    /// last round they hold what nobody knows.
    pub fn said(
        &self,
        world: &World,
        assignment: &Assignment,
        kept: &BTreeSet<usize>,
        round: usize,
        check: &str,
    ) -> Vec<Verdict> {
        let other = |open: &Open, nth: usize| match round {
            SHIFTS => Holding::Unknown,
            _ => open.candidates[(nth + round + 1) % open.candidates.len()].holding(world, &open.place),
        };
        let changed = self.otherwise(world, assignment, kept, &other);
        let ctx = Ctx { db: self.host.db(), workspace: self.host.workspace(), world: &changed };
        said_in(&ctx, check)
    }

    /// A world in which the places that are not kept hold something else.
    fn otherwise(
        &self,
        world: &World,
        assignment: &Assignment,
        kept: &BTreeSet<usize>,
        other: &dyn Fn(&Open, usize) -> Holding,
    ) -> World {
        let mut changed = world.clone();
        for (nth, open) in self.opens.iter().enumerate() {
            // What the family calls for follows from an option: such a place is always kept.
            if !kept.contains(&nth)
                && !open.is_option
                && let Some(place) = changed.places.iter_mut().find(|it| it.name == open.place.as_str())
            {
                place.after = other(open, assignment[nth]);
            }
        }
        changed
    }

    /// The open places that a verdict names: in its subject, by the parts whose statements it rests on,
    /// or in words.
    pub fn named(&self, verdict: &Verdict, assignment: &Assignment) -> BTreeSet<usize> {
        let db = self.host.db();
        let about: Vec<&str> = verdict.subject.split(['.', '-', '[', ']', ' ']).collect();
        let parts: Vec<Id> = sites(verdict).filter_map(|it| declared_at(db, it)).collect();
        let words = format!("{} {}", verdict.message, verdict.need.as_deref().unwrap_or_default());
        let words = words.to_lowercase();
        let names = |open: &Open, nth: usize| {
            let part = open.candidates.get(assignment[nth]).and_then(Candidate::part);
            about.contains(&open.place.as_str())
                || part.is_some_and(|it| parts.contains(&it))
                || words.contains(&open.place.replace('_', " "))
        };
        self.opens.iter().enumerate().filter(|(nth, open)| names(open, *nth)).map(|it| it.0).collect()
    }

    /// The statements of the user's files that a clash rests on: its place, its claims, and the changes
    /// of the places that are not open.
    fn grounds(&self, world: &World, verdict: &Verdict, kept: &BTreeSet<usize>) -> Vec<Site> {
        let db = self.host.db();
        let mut all: Vec<Site> = Vec::new();
        let own = std::iter::once(verdict.site).chain(verdict.rests.iter().map(|it| it.site));
        let users = |it: &Site| !it.item.file(db).path(db).starts_with("library:");
        all.extend(own.filter(users).filter_map(|it| self.draft.original(db, it)));
        let parts: Vec<Id> = sites(verdict).filter_map(|it| declared_at(db, it)).collect();
        let about: Vec<&str> = verdict.subject.split(['.', '-', '[', ']', ' ']).collect();
        for place in world.places.iter().filter(|it| it.changed()) {
            let open = self.opens.iter().any(|it| it.place == place.name.as_str());
            let concerned = about.contains(&place.name.as_str())
                || place.after.parts().iter().any(|it| parts.contains(it));
            if !open && concerned {
                let done = place.done.last().map(|it| it.site);
                all.extend(done.and_then(|it| self.draft.original(db, it)));
            }
        }
        for nth in kept {
            all.extend(self.opens[*nth].chosen_by);
        }
        all.sort_by_key(|it| (it.item.file(db).path(db), it.span));
        all.dedup();
        all
    }
}

fn step(text: Option<String>, open: &Open) -> Step {
    Step { text, replaces: open.chosen_by.into_iter().collect(), because: String::new(), sort: Sort::Part }
}

fn sites(verdict: &Verdict) -> impl Iterator<Item = Site> + '_ {
    let rests = verdict.rests.iter().map(|it| it.site);
    std::iter::once(verdict.site).chain(verdict.related.iter().map(|it| it.site)).chain(rests)
}

/// The declaration that a place stands in.
pub fn declared_at(db: &dyn Db, site: Site) -> Option<Id> {
    let decls = &lowered(db, site.item).decls;
    let at = decls.iter().position(|it| it.span.start <= site.span.start && site.span.end <= it.span.end)?;
    Some(Id { item: site.item, nth: at as u32 })
}
