//! The summary: how many of what, for which gate, and what to do first. It never reads as a
//! pass while points are open or parts are not looked at.

use serde::Serialize;
use trunnion_model::verdict::{Gate, Outcome, Verdict, Won};

/// How many of what.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Summary {
    /// Clear verdicts.
    pub clear: usize,
    /// Clashes.
    pub clash: usize,
    /// Open points that nobody accepted.
    pub open: usize,
    /// Open points that were accepted, with a reason.
    pub accepted: usize,
    /// Parts of which nobody said what sort of thing they are.
    pub not_looked_at: usize,
    /// Clear verdicts won by measuring.
    pub measured: usize,
    /// Clear verdicts won on paper.
    pub on_paper: usize,
    /// Clear verdicts won by hearsay.
    pub by_hearsay: usize,
    /// Open points to settle before buying.
    pub before_buying: usize,
    /// Open points to settle before there is no way back.
    pub before_no_return: usize,
    /// Open points to settle before power.
    pub before_power: usize,
    /// Open points to settle before the road.
    pub before_road: usize,
    /// Files that could not be read as they are.
    pub unreadable: usize,
}

impl Summary {
    /// Counts verdicts.
    pub fn of(verdicts: &[&Verdict]) -> Self {
        let mut sum = Self::default();
        for verdict in verdicts {
            match verdict.outcome {
                Outcome::Clash => {
                    sum.clash += 1;
                    sum.unreadable += usize::from(verdict.check.starts_with("file/"));
                }
                Outcome::Clear(won) => {
                    sum.clear += 1;
                    match won {
                        Won::Measured => sum.measured += 1,
                        Won::Paper => sum.on_paper += 1,
                        Won::Hearsay => sum.by_hearsay += 1,
                    }
                }
                Outcome::Open if verdict.accepted.is_some() => sum.accepted += 1,
                Outcome::Open => {
                    sum.open += 1;
                    sum.not_looked_at += usize::from(verdict.check == "kind/none");
                    match verdict.question.as_ref().map(|it| it.gate) {
                        Some(Gate::Buying) | None => sum.before_buying += 1,
                        Some(Gate::NoReturn) => sum.before_no_return += 1,
                        Some(Gate::Power) => sum.before_power += 1,
                        Some(Gate::Road) => sum.before_road += 1,
                    }
                }
            }
        }
        sum
    }

    /// In one line.
    pub fn line(&self) -> String {
        let mut parts = vec![plural(self.clash, "clash", "clashes")];
        let gates = [
            (self.before_buying, "before buying"),
            (self.before_no_return, "before there is no way back"),
            (self.before_power, "before power"),
            (self.before_road, "before the road"),
        ];
        let gates: Vec<String> =
            gates.iter().filter(|it| it.0 > 0).map(|(count, gate)| format!("{count} {gate}")).collect();
        let open = if gates.is_empty() { String::new() } else { format!(" ({})", gates.join(", ")) };
        parts.push(format!("{} open{open}", self.open));
        if self.accepted > 0 {
            parts.push(format!("{} accepted as they are", self.accepted));
        }
        if self.not_looked_at > 0 {
            parts.push(format!("{} not looked at", self.not_looked_at));
        }
        let won = [(self.measured, "measured"), (self.on_paper, "on paper"), (self.by_hearsay, "by hearsay")];
        let won: Vec<String> =
            won.iter().filter(|it| it.0 > 0).map(|(count, how)| format!("{count} {how}")).collect();
        let clear = if won.is_empty() { String::new() } else { format!(" ({})", won.join(", ")) };
        parts.push(format!("{} clear{clear}", self.clear));
        format!("{}.", parts.join(", "))
    }

    /// What to do first.
    pub fn first(&self) -> &'static str {
        if self.clash > 0 {
            "First: mend the clashes; each names a way out where there is one."
        } else if self.before_buying > 0 {
            "First: settle what is open before buying. `trunnion next` lists what to ask and what to measure."
        } else if self.open > 0 {
            "Nothing is known to clash, but points are open. `trunnion next` lists what to ask and what to measure."
        } else if self.clear == 0 {
            "There was nothing to judge: no conversion, and no vehicle with anything stated about it."
        } else {
            "Nothing clashes and nothing is open among what was looked at."
        }
    }
}

fn plural(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}
