//! What is open while something is done, and what else could be renewed then.

use trunnion_check::ctx::Ctx;
use trunnion_check::works::{Job, declared};
use trunnion_model::verdict::{Outcome, Verdict};

use super::minutes;

/// Something that is opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Access {
    /// As it is shown: "clutch housing".
    pub shown: String,
    /// What opens it.
    pub opened_by: String,
    /// What is done in it, by this conversion.
    pub inside: Vec<String>,
    /// What else can be reached only now, and nobody has decided on.
    pub also: Vec<Also>,
}

/// A service that could be done along with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Also {
    /// Its name, for `renew`.
    pub name: String,
    /// As it is shown.
    pub shown: String,
    /// How many minutes it takes; none where nobody said so.
    pub takes: Option<u64>,
    /// What it costs; none where nobody said so.
    pub price: Option<String>,
    /// Why, where somebody said so.
    pub because: Option<String>,
}

/// What the work that is left opens, in the order of the list.
pub(super) fn accesses(ctx: &Ctx<'_>, jobs: &[Job<'_>], verdicts: &[Verdict]) -> Vec<Access> {
    let undecided = |name: &str| {
        verdicts.iter().find(|it| {
            it.check == "work/while-open"
                && it.subject == name
                && it.outcome == Outcome::Open
                && it.accepted.is_none()
        })
    };
    let services: Vec<(Job<'_>, &Verdict)> =
        declared(ctx).into_iter().filter_map(|it| undecided(&it.name).map(|v| (it, v))).collect();
    let mut all = Vec::new();
    for job in jobs {
        for access in &job.work.opens {
            let name = access.value.as_str();
            let inside = jobs.iter().filter(|it| it.reached_in(name));
            let also: Vec<Also> = services
                .iter()
                .filter(|(it, _)| it.reached_in(name))
                .map(|(it, verdict)| Also {
                    name: it.name.clone(),
                    shown: it.shown(ctx),
                    takes: it.work.takes.as_ref().and_then(minutes),
                    price: it.work.offer.as_ref().and_then(|it| it.price).map(|it| it.display()),
                    because: verdict.because.first().cloned(),
                })
                .collect();
            let inside: Vec<String> = inside.map(|it| it.shown(ctx)).collect();
            if job.done.is_some() && also.is_empty() && inside.is_empty() {
                continue;
            }
            all.push(Access { shown: name.replace('_', " "), opened_by: job.shown(ctx), inside, also });
        }
    }
    all
}
