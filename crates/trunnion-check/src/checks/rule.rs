//! # rule
//!
//! Every rule of your own holds: where all its `when` lines are true, what it `needs` is there.
//!
//! ## Why it matters
//!
//! No tool knows that this driver's left hand holds sixty newtons, or that this workshop never
//! tows without a cooler. What you know and wrote down once is asked of every conversion after.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks cooler }
//! family Dunlin { built 2009-06 to 2018-12
//!   place radiator is unit }
//! part small is unit fills radiator { cooler 5 kW }
//! rule tow_cooler "cooler for towing" {
//!   when vehicle.tows > 1500 kg
//!   needs radiator.cooler >= 8 kW
//!   because "the converter heats the oil on long climbs"
//! }
//! vehicle van is Dunlin { built 2012-04, tows 2000 kg }
//! conversion easy { recipient van, fit small }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks cooler }
//! family Dunlin { built 2009-06 to 2018-12
//!   place radiator is unit }
//! part large is unit fills radiator { cooler 9 kW }
//! rule tow_cooler "cooler for towing" {
//!   when vehicle.tows > 1500 kg
//!   needs radiator.cooler >= 8 kW
//!   because "the converter heats the oil on long climbs"
//! }
//! vehicle van is Dunlin { built 2012-04, tows 2000 kg }
//! conversion easy { recipient van, fit large }
//! ```
//!
//! ## References
//!
//! The rule itself, and the source it names. Figures with tolerances are compared by their worst
//! cases: where both outcomes are possible the verdict is open.
//!
//! A condition may call the handbook, as in `road_speed(2600 rpm, gearbox.ratios[6], final_drive.ratio,
//! 2050 mm) >= 110 km/h`; each function brings its formula and its sources.

use trunnion_model::built::scope_of;
use trunnion_model::circuit::{Circuit, MOST, circuit};
use trunnion_model::decl::{Body, Need, Rule};
use trunnion_model::judge::{Judge as Judging, Judged, Stand, Truth};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Outcome, Question, Verdict, Who};
use trunnion_model::world::{EndAt, When};
use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::tree::{At, Name};

use crate::check::{Check, Judge};
use crate::checks::need::{mend, open_question, ways_out};
use crate::ctx::{Ctx, capital, question};

/// The check.
pub static CHECK: Check = Check { name: "rule", source: include_str!("rule.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let scope = scope_of(ctx.db, ctx.workspace, ctx.world.root());
    let rules = scope.each(Space::Rule).filter_map(|(_, id)| match id.decl(ctx.db).map(|it| &it.body) {
        Some(Body::Rule(rule)) => Some((id, rule.as_ref())),
        _ => None,
    });
    rules.flat_map(|(id, rule)| each(ctx, id, rule)).collect()
}

/// A rule about what differs from state to state is asked in each.
fn each(ctx: &Ctx<'_>, id: Id, rule: &Rule) -> Vec<Verdict> {
    let conditions = || rule.when.iter().chain(&rule.needs).map(|it| &it.condition);
    if !conditions().any(of_states) {
        return one(ctx, id, rule, None).1;
    }
    let mut circuit = circuit(ctx.db, ctx.workspace, ctx.world);
    conditions().for_each(|it| named_states(it).iter().for_each(|it| circuit.also(&it.value)));
    let mut controls = Vec::new();
    conditions().for_each(|it| hangs_on(&circuit, it, &mut controls));
    controls.sort_unstable();
    controls.dedup();
    let mut said: Vec<(String, bool, Vec<Verdict>)> = Vec::new();
    for state in 0..circuit.states.len() {
        let Some(situations) = circuit.situations(state, &controls) else {
            return vec![too_many(ctx, id, rule)];
        };
        for situation in situations {
            let evaluated = circuit.evaluate(&situation);
            let stand = Stand { circuit: &circuit, situation: &situation, evaluated: &evaluated };
            let (applies, verdicts) = one(ctx, id, rule, Some(&stand));
            said.push((circuit.shown(&situation, &controls), applies, verdicts));
        }
    }
    if !said.iter().any(|it| it.1) {
        let mut verdicts = said.into_iter().next().map(|it| it.2).unwrap_or_default();
        for it in &mut verdicts {
            let need = it.need.as_deref().unwrap_or_default();
            it.message = capital(&format!("{} applies in no state: it is for {need}.", id.shown(ctx.db)));
        }
        return verdicts;
    }
    said.retain(|it| it.1);
    let count = said.iter().map(|it| it.2.len()).max().unwrap_or_default();
    (0..count).filter_map(|nth| worst(nth, &said)).collect()
}

/// What is worst of one demand over all states.
fn worst(nth: usize, said: &[(String, bool, Vec<Verdict>)]) -> Option<Verdict> {
    let rank = |it: &Verdict| match it.outcome {
        Outcome::Clash => 0,
        Outcome::Open => 1,
        Outcome::Clear(_) => 2,
    };
    let all = || said.iter().filter_map(|(when, _, it)| Some((when, it.get(nth).or_else(|| it.first())?)));
    let (when, verdict) = all().min_by_key(|it| rank(it.1))?;
    let mut verdict = verdict.clone();
    let when = match verdict.outcome {
        Outcome::Clear(_) if said.len() > 1 => format!("all {} states and positions it is for", said.len()),
        _ => when.clone(),
    };
    verdict.message = format!("In {when}: {}", verdict.message);
    Some(verdict)
}

fn too_many(ctx: &Ctx<'_>, id: Id, rule: &Rule) -> Verdict {
    let title = id.shown(ctx.db);
    let what = format!("which of more than {MOST} positions together {title} is about");
    let mut asked = question(what.clone(), &Default::default(), format!("whether {title} holds"));
    asked.gate = rule.gate.unwrap_or(Gate::Road);
    let message = format!("Whether {title} holds cannot be told: nobody has said {what}.");
    ctx.open(CHECK.name, id.name(ctx.db), id.name_site(ctx.db), message, asked)
}

/// Whether a condition asks what differs from state to state.
fn of_states(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::And(a, b) | ExprKind::Or(a, b) => of_states(a) || of_states(b),
        ExprKind::Not(a) => of_states(a),
        ExprKind::Is(path, _) => {
            path.index.is_some() || path.word().is_some_and(|it| it == "state" || it == "gear")
        }
        _ => false,
    }
}

/// The states that a condition names.
pub(crate) fn named_states(expr: &Expr) -> Vec<&At<Name>> {
    match &expr.kind {
        ExprKind::And(a, b) | ExprKind::Or(a, b) => {
            named_states(a).into_iter().chain(named_states(b)).collect()
        }
        ExprKind::Not(a) => named_states(a),
        ExprKind::Is(path, what) if path.word().is_some_and(|it| it == "state") => {
            what.parts.iter().take(1).collect()
        }
        _ => Vec::new(),
    }
}

/// The controls on which a condition can hang.
fn hangs_on(circuit: &Circuit, expr: &Expr, into: &mut Vec<usize>) {
    match &expr.kind {
        ExprKind::And(a, b) | ExprKind::Or(a, b) => {
            hangs_on(circuit, a, into);
            hangs_on(circuit, b, into);
        }
        ExprKind::Not(a) => hangs_on(circuit, a, into),
        ExprKind::Is(path, _) => match (path.parts.as_slice(), &path.index) {
            ([place, plug], Some(n)) => {
                let end = EndAt { place: place.value.clone(), end: plug.value.clone() };
                let node = n.value.parse().ok().and_then(|n| circuit.seat(&end, n));
                into.extend(node.into_iter().flat_map(|it| circuit.controls_of(it)));
            }
            ([word], None) if word.value == "gear" => into.extend(circuit.control(None)),
            ([word], None) => into.extend(circuit.control(Some(&word.value))),
            _ => {}
        },
        _ => {}
    }
}

/// Whether a rule applies, and what is to be said of it.
fn one(ctx: &Ctx<'_>, id: Id, rule: &Rule, stand: Option<&Stand<'_>>) -> (bool, Vec<Verdict>) {
    let judging = Judging {
        db: ctx.db,
        workspace: ctx.workspace,
        world: ctx.world,
        own: None,
        when: When::After,
        stand,
    };
    let when: Vec<(&Need, Judged)> = rule.when.iter().map(|it| (it, judging.judge(&it.condition))).collect();
    let title = id.shown(ctx.db);
    if let Some((need, judged)) = when.iter().find(|it| it.1.truth == Truth::No) {
        let message = format!("{title} does not apply here: {}, and it is for {}.", judged.have, judged.need);
        let verdict = ctx.clear(CHECK.name, id.name(ctx.db), id.site(need.span), message, &judged.found);
        return (false, vec![dressed(ctx, rule, need, judged, verdict)]);
    }
    if let Some((need, judged)) = when.iter().find(|it| it.1.truth == Truth::Open) {
        let (question, why) = ask(ctx, rule, judged, format!("whether {title} applies"));
        let message = format!("Whether {title} applies cannot be told: it is for {}; {why}.", judged.need);
        let verdict = ctx.open(CHECK.name, id.name(ctx.db), id.site(need.span), message, question);
        let verdict = verdict.with_fixes(mend(judged, id.item)).with_fixes(state(ctx, judged));
        return (true, vec![dressed(ctx, rule, need, judged, verdict)]);
    }
    let applies: Vec<_> = when.iter().flat_map(|(_, it)| it.found.clone()).collect();
    let each = rule.needs.iter().map(|need| {
        let judged = judging.judge(&need.condition);
        let mut found = judged.found.clone();
        found.extend(applies.iter().cloned());
        if need.claim.per.is_some() {
            found.push(known::said(ctx.db, ctx.workspace, id, &need.claim, need.span));
        }
        let (name, site) = (id.name(ctx.db), id.site(need.span));
        let verdict = match judged.truth {
            Truth::Yes => {
                let message = format!("{title} needs {}: {}.", judged.need, judged.have);
                ctx.clear(CHECK.name, name, site, message, &found)
            }
            Truth::No => {
                let message = format!("{title} needs {}, but {}.", judged.need, judged.have);
                ctx.clash(CHECK.name, name, site, message, &found).with_fixes(ways_out(ctx, &judged))
            }
            Truth::Open => {
                let (question, why) =
                    ask(ctx, rule, &judged, format!("whether {title} holds: {}", judged.need));
                let message = format!("{title} needs {}; {why}.", judged.need);
                let verdict = ctx.open(CHECK.name, name, site, message, question);
                verdict.with_fixes(mend(&judged, id.item)).with_fixes(state(ctx, &judged))
            }
        };
        dressed(ctx, rule, need, &judged, verdict)
    });
    (true, each.collect())
}

/// Adds what every verdict of a rule carries: its figures, its reasons, and the vehicle or
/// conversion it was asked of.
fn dressed(ctx: &Ctx<'_>, rule: &Rule, need: &Need, judged: &Judged, mut verdict: Verdict) -> Verdict {
    verdict.message = capital(&verdict.message);
    verdict.need = Some(judged.need.clone());
    verdict.have = Some(judged.have.clone());
    verdict.formula = judged.formula.clone();
    verdict.margin = judged.margin.clone();
    for source in &judged.sources {
        verdict = verdict.with_source(source);
    }
    verdict.safety = rule.safety.iter().map(|it| it.value.to_string()).collect();
    for because in rule.because.iter().chain(&need.claim.because) {
        if !verdict.because.iter().any(|it| it == because.as_str()) {
            verdict = verdict.with_because(because.to_string());
        }
    }
    let asked =
        if ctx.world.conversion.is_some() { "asked of this conversion" } else { "asked of this vehicle" };
    verdict.with_related(ctx.root_site(), asked)
}

/// The question that a rule leaves, by the rule's gate where it names one.
fn ask(ctx: &Ctx<'_>, rule: &Rule, judged: &Judged, hangs: String) -> (Question, String) {
    let of_vehicle = judged.missing.first().filter(|it| it.place == "vehicle" && judged.nonsense.is_none());
    let place = ctx.world.places.first();
    let (mut asked, why) = match (of_vehicle, place) {
        _ if judged.doubt.is_some() => {
            let what = judged.doubt.clone().unwrap_or_default();
            (question(what.clone(), &Default::default(), hangs), format!("nobody has said {what}"))
        }
        (Some(missing), _) => of_the_vehicle(ctx, &missing.measure, hangs),
        (None, Some(place)) if judged.nonsense.is_some() || !judged.missing.is_empty() => {
            open_question(ctx, place, judged, hangs)
        }
        _ => {
            let what = format!("the figures more precisely: {}", judged.have);
            let mut asked = question(what, &Default::default(), hangs);
            asked.good = Some(judged.need.clone());
            (asked, format!("what is known leaves both possible: {}", judged.have))
        }
    };
    if let Some(gate) = rule.gate {
        asked.gate = gate;
    }
    (asked, why)
}

/// A property of the whole vehicle that nobody stated.
fn of_the_vehicle(ctx: &Ctx<'_>, measure: &str, hangs: String) -> (Question, String) {
    let vehicle = ctx.built().vehicle;
    let declared = ctx.find(ctx.world.root(), Space::Measure, measure);
    let title = declared.map_or_else(|| measure.replace('_', " "), |it| it.shown(ctx.db));
    let what = format!("the {title} of {}", vehicle.shown(ctx.db));
    let why = format!("nobody has said {what}");
    let find_out =
        known::measure(ctx.db, ctx.workspace, ctx.world.root(), measure).map(|it| it.find_out.clone());
    let mut asked = question(what, &find_out.unwrap_or_default(), hangs);
    asked.who = if asked.who == Who::Seller { Who::Owner } else { asked.who };
    asked.gate = asked.gate.max(Gate::Buying);
    asked.type_in = Some(format!("in vehicle {}: {} …", vehicle.name(ctx.db), measure.replace('_', " ")));
    (asked, why)
}

/// Ways to state what nobody stated.
fn state(ctx: &Ctx<'_>, judged: &Judged) -> Vec<Fix> {
    let stated = judged.missing.iter().filter(|it| !it.measure.is_empty() && it.disputed.is_empty());
    let fix = |it: &trunnion_model::judge::Missing| {
        if it.place == "vehicle" {
            let vehicle = ctx.built().vehicle;
            let words = it.measure.replace('_', " ");
            let edit = ctx.insert(vehicle, &format!("{words} …"))?;
            return Some(Fix {
                title: format!("state the {words} of {}", vehicle.shown(ctx.db)),
                edits: vec![edit],
            });
        }
        ctx.state_fact(ctx.world.place(&it.place)?, &it.measure, None)
    };
    stated.filter_map(fix).collect()
}

#[cfg(test)]
mod tests {
    use trunnion_model::verdict::{Outcome, Won};

    use crate::testing::check;

    fn towing(radiator: &str, vehicle: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
source bench "On the bench" measured
measure heat away "heat it takes away" in kW, tool "data sheet", from maker
measure trailer "trailer mass" in kg, tool "ask the owner", from seller
kind unit {{ asks mass, fluid }}
family Dunlin {{ built 2009-06 to 2018-12
  place radiator is unit }}
part other is unit fills radiator {{ {radiator} }}
rule tow_cooler "cooler for towing" {{
  when vehicle.trailer > 1500 kg
  needs radiator.heat_away >= 8 kW per manual
  before road
  safety brakes
  because "the converter heats the oil on long climbs"
}}
vehicle van is Dunlin "the van" {{ built 2012-04{vehicle} }}
conversion easy {{ recipient van, fit other }}"#
        )
    }

    #[test]
    fn a_rule_that_holds_is_clear() {
        let found = check("rule", &towing("heat away 9 kW per bench", ", trailer 2000 kg per manual"));
        found.clear("Cooler for towing needs radiator heat away ≥ 8 kW: radiator heat away 9 kW.");
        assert_eq!(found.text(), "needs radiator.heat_away >= 8 kW");
        assert_eq!(found.only().because, ["the converter heats the oil on long climbs"]);
        assert_eq!(
            found.only().outcome,
            trunnion_model::verdict::Outcome::Clear(trunnion_model::verdict::Won::Paper)
        );
    }

    #[test]
    fn a_rule_that_does_not_hold_is_a_clash() {
        let found = check("rule", &towing("heat away 5 kW", ", trailer 2000 kg"));
        found.clash("Cooler for towing needs radiator heat away ≥ 8 kW, but radiator heat away 5 kW.");
        assert_eq!(found.only().subject, "tow_cooler");
        assert_eq!(found.only().safety, ["brakes"]);
        assert!(found.only().related.iter().any(|it| it.note == "asked of this conversion"));
    }

    #[test]
    fn a_rule_that_does_not_apply_is_clear_and_says_why() {
        let found = check("rule", &towing("heat away 5 kW", ", trailer 750 kg"));
        found.clear("Cooler for towing does not apply here: vehicle trailer 750 kg, and it is for vehicle trailer > 1500 kg.");
        assert_eq!(found.text(), "when vehicle.trailer > 1500 kg");
    }

    #[test]
    fn what_nobody_said_is_open_before_the_gate_of_the_rule() {
        let found = check("rule", &towing("heat away 5 kW", ""));
        found.open(
            "Whether cooler for towing applies cannot be told: it is for vehicle trailer > 1500 kg; \
             nobody has said the trailer mass of the van.",
        );
        assert!(found.fixed(0).contains("{ built 2012-04, trailer … }"));
        let found = check("rule", &towing("mass 5 kg", ", trailer 2000 kg"));
        found.open(
            "Cooler for towing needs radiator heat away ≥ 8 kW; \
             nobody has said the heat it takes away of the radiator.",
        );
        let question = found.only().question.as_ref().expect("asked");
        assert_eq!(question.gate.word(), "road");
        assert_eq!(question.good.as_deref(), Some("radiator heat away ≥ 8 kW"));
        check("rule", &towing("heat away 7.5 to 8.5 kW", ", trailer 2000 kg")).open(
            "Cooler for towing needs radiator heat away ≥ 8 kW; \
             what is known leaves both possible: radiator heat away 7.5 to 8.5 kW.",
        );
    }

    #[test]
    fn a_vehicle_without_a_conversion_is_asked_too() {
        let text = towing("heat away 9 kW", ", trailer 2000 kg, has radiator other");
        let text = text.split("conversion").next().expect("the part before it");
        let found = check("rule", text);
        found.clear("Cooler for towing needs radiator heat away ≥ 8 kW: radiator heat away 9 kW.");
        assert!(found.only().related.iter().any(|it| it.note == "asked of this vehicle"));
    }

    /// A switch that lets the drive go on the ignition.
    fn stateful(rule: &str, contact: &str) -> crate::testing::Found {
        check(
            "rule",
            &format!(
                "family Dunlin {{ built 2009-06 to 2018-12, place inverter, switch, zone cabin\n\
                 feed F31 is 12 V from battery }}\n\
                 part key fills switch {{ plug S {{ 1 supply 12 V in, 2 signal drive out }}\n  {contact} }}\n\
                 part drive fills inverter {{ plug X1 {{ 3 signal drive in }} }}\n\
                 rule locked \"drive lock\" {{ {rule} }}\n\
                 vehicle van is Dunlin {{ built 2012-04, has inverter drive, has switch key\n\
                 wire F31 to switch.S[1]\n wire switch.S[2] to inverter.X1[3] }}"
            ),
        )
    }

    #[test]
    fn a_rule_of_one_state_is_asked_in_it() {
        const LOCKED: &str = "when state is charging, needs inverter.X1[3] is dead";
        stateful(LOCKED, "contact S[1] to S[2] when run, charging")
            .clash("In charging: Drive lock needs inverter.X1[3] is dead, but inverter.X1[3] is live.");
        stateful(LOCKED, "contact S[1] to S[2] when run")
            .clear("In charging: Drive lock needs inverter.X1[3] is dead: inverter.X1[3] is dead.");
        stateful(LOCKED, "contact S[1] to S[2] when pressed").clash(
            "In charging with the switch pressed: Drive lock needs inverter.X1[3] is dead, but inverter.X1[3] is live.",
        );
        let found = stateful(LOCKED, "mass 1 kg");
        found.open(
            "In charging: Drive lock needs inverter.X1[3] is dead; nobody has said when key gives at switch.S[2].",
        );
        assert_eq!(
            found.only().question.as_ref().map(|it| it.what.as_str()),
            Some("when key gives at switch.S[2]")
        );
    }

    #[test]
    fn a_rule_of_no_state_says_so() {
        let found = stateful(
            "when state is charging and gear is park, needs inverter.X1[3] is dead",
            "contact S[1] to S[2] when run",
        );
        assert!(
            found.only().message.starts_with("Whether") || found.only().message.contains("cannot"),
            "{}",
            found.listing()
        );
        stateful(
            "when state is run and state is off, needs inverter.X1[3] is dead",
            "contact S[1] to S[2] when run",
        )
        .clear("Drive lock applies in no state: it is for state is run and state is off.");
    }

    #[test]
    fn a_rule_about_the_gear_is_asked_in_each() {
        const GEAR: &str = "when gear is drive, needs inverter.X1[3] is live";
        stateful(GEAR, "contact S[1] to S[2] when drive").clear(
            "In all 4 states and positions it is for: Drive lock needs inverter.X1[3] is live: inverter.X1[3] is live.",
        );
        stateful(GEAR, "contact S[1] to S[2] when neutral").clash(
            "In off with the gear in drive: Drive lock needs inverter.X1[3] is live, but inverter.X1[3] is dead.",
        );
    }

    /// A rule asks the handbook with what the vehicle states, words and figures.
    #[test]
    fn a_rule_may_call_the_handbook() {
        let text = |condition: &str| {
            format!(
                "source plate \"Read off\" measured\n\
                 vehicle van {{ kind panel_van, rear driven, built 2012-04\n  tyre 205/65 R16 per plate\n  \
                 final_drive.ratio 3.69 per plate }}\n\
                 rule cruising {{\n  needs {condition}\n}}"
            )
        };
        let speed = "road_speed_on_tyre(3000 rpm, 1, final_drive.ratio, vehicle.tyre)";
        let found = check("rule", &text(&format!("{speed} >= 95 km/h")));
        // By hand: 3000 / 3.69 turns a minute of 3.05 × 672 mm, +1.5 % −2.5 %: 97.5 to 101.5 km/h.
        let it = found.only();
        assert_eq!(it.outcome, Outcome::Clear(Won::Measured), "{}", found.listing());
        assert!(
            it.formula.as_deref().is_some_and(|it| it.ends_with("97.48 to 101.5 km/h ≥ 95 km/h")),
            "{it:?}"
        );
        assert!(it.sources.iter().any(|it| it.contains("(from memory, unverified)")), "{:?}", it.sources);
        assert_eq!(check("rule", &text(&format!("{speed} >= 100 km/h"))).only().outcome, Outcome::Open);
        assert_eq!(check("rule", &text(&format!("{speed} >= 105 km/h"))).only().outcome, Outcome::Clash);
        let found = check("rule", &text("road_speed_on_tyr(1) > 1 km/h"));
        assert_eq!(found.only().outcome, Outcome::Open);
        assert!(found.fixed(0).contains("needs road_speed_on_tyre(1)"));
    }
}
