//! A figure that is there against one that is expected, within a tolerance.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::db::Site;
use trunnion_model::fact::Found;
use trunnion_model::verdict::{Question, Verdict};

use crate::ctx::{Ctx, trimmed};

/// The difference in % that is allowed where nobody stated one: common practice, no source.
pub(crate) const ALLOWED: f64 = 1.0;

/// A figure against what is expected: the answer and the arithmetic.
pub(crate) fn against(
    there: &Quantity,
    wanted: &Quantity,
    stated: Option<Quantity>,
) -> Option<(Truth, String)> {
    let (truth, allowed) = match stated {
        Some(it) => (there.within(wanted, &it), it.display()),
        None if wanted.is_exact() => {
            let allowed = Quantity::exact(ALLOWED, "%").ok()?;
            (there.within(wanted, &allowed), allowed.display())
        }
        None => (there.inside(wanted), wanted.display()),
    };
    let off = (there.nominal() - wanted.nominal()) / wanted.nominal() * 100.0;
    let bare = |it: &Quantity| it.ends_in("mm").map_or(it.nominal(), |[_, mid, _]| mid);
    let (a, b) = (trimmed(bare(there), 3), trimmed(bare(wanted), 3));
    let side = if off < 0.0 { "low" } else { "high" };
    Some((truth.ok()?, format!("({a} − {b}) / {b} = {:.1} % {side}; allowed {allowed}", off.abs())))
}

/// A figure against another, with all that the verdict says.
pub(crate) struct Compared<'a> {
    pub(crate) check: &'static str,
    pub(crate) subject: String,
    pub(crate) site: Site,
    /// What is expected, as the start of a sentence.
    pub(crate) need: String,
    /// What is there, as its end.
    pub(crate) have: String,
    pub(crate) there: &'a Quantity,
    pub(crate) wanted: &'a Quantity,
    pub(crate) allowed: Option<Quantity>,
    pub(crate) found: Vec<Found>,
    /// What to find out where both are possible.
    pub(crate) question: Question,
}

/// The verdict: clear within the tolerance, a clash outside, open where both are possible.
pub(crate) fn compared(ctx: &Ctx<'_>, it: Compared<'_>) -> Verdict {
    let Some((truth, formula)) = against(it.there, it.wanted, it.allowed) else {
        let message = format!("{}, and {} is no figure to compare with it.", it.need, it.have);
        return ctx.open(it.check, it.subject, it.site, message, it.question);
    };
    let verdict = match truth {
        Truth::Yes => {
            let message = format!("{}: {}.", it.need, it.have);
            ctx.clear(it.check, it.subject, it.site, message, &it.found)
        }
        Truth::No => {
            let message = format!("{}, but {}.", it.need, it.have);
            ctx.clash(it.check, it.subject, it.site, message, &it.found)
        }
        Truth::Maybe => {
            let message = format!("{}, and {} leaves both possible.", it.need, it.have);
            ctx.open(it.check, it.subject, it.site, message, it.question)
        }
    };
    let mut verdict = verdict.with_need(it.wanted.display(), it.there.display()).with_formula(formula);
    if it.allowed.is_none() && it.wanted.is_exact() {
        verdict = verdict
            .with_source(format!("{ALLOWED} % where no tolerance is stated: common practice, no source"));
    }
    verdict
}
