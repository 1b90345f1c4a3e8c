//! The plan, as plain text, as a difference of texts, and as a record.

use std::fmt::Write;

use serde::Serialize;
use similar::TextDiff;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::{Host, Site};
use trunnion_plan::draft::{Sort, Step};
use trunnion_plan::plan::preference::Figures;
use trunnion_plan::plan::{Alternative, Pick, Plan, Total};

use crate::placed::file_and_line as place;

/// The page.
pub fn page(host: &Host, plan: &Plan) -> String {
    let mut out = String::new();
    let way = plan.way.as_ref().map(|it| format!(", by way of {it}")).unwrap_or_default();
    let title = format!("{}: the plan{way}", plan.title);
    let _ = writeln!(out, "{title}\n{}\n", "=".repeat(title.chars().count()));
    if let Some(it) = &plan.contradiction {
        let _ = writeln!(out, "There is no plan: these statements cannot all hold.\n");
        for (nth, statement) in it.statements.iter().enumerate() {
            let _ = writeln!(out, "{:>3}. {} ({})", nth + 1, statement.text, statement.of);
            let _ = writeln!(out, "     {}", place(host, statement.site));
        }
        let _ = writeln!(out, "\nFor:");
        for sentence in &it.chain {
            let _ = writeln!(out, "  {sentence}");
        }
        let _ = writeln!(out, "\nWhat would help:");
        for sentence in &it.ways_out {
            let _ = writeln!(out, "  {sentence}");
        }
        if !it.smallest {
            let _ = writeln!(
                out,
                "\nNone of these statements can be left out; that there is no shorter list is not proven."
            );
        }
        return out;
    }
    if plan.steps.is_empty() {
        let _ = writeln!(out, "Nothing has to be changed.");
    }
    let mut headed = None;
    for step in &plan.steps {
        if headed != Some(step.sort) {
            let gap = if headed.is_some() { "\n" } else { "" };
            let _ = writeln!(out, "{gap}{}:", step.sort.heading());
            headed = Some(step.sort);
        }
        step_line(&mut out, host, step);
    }
    picks(&mut out, plan);
    wiring(&mut out, plan);
    outcome(&mut out, plan);
    out
}

fn step_line(out: &mut String, host: &Host, step: &Step) {
    let gone = |site: &Site| place(host, *site);
    match (&step.text, step.replaces.as_slice()) {
        (Some(text), []) => {
            let _ = writeln!(out, "  + {text}");
        }
        (Some(text), sites) => {
            let at: Vec<String> = sites.iter().map(gone).collect();
            let _ = writeln!(out, "  ~ {text}  (instead of {})", at.join(", "));
        }
        (None, sites) => {
            let at: Vec<String> = sites.iter().map(gone).collect();
            let _ = writeln!(out, "  - what stands at {}", at.join(", "));
        }
    }
    if !step.because.is_empty() {
        let _ = writeln!(out, "      because {}", step.because);
    }
}

fn picks(out: &mut String, plan: &Plan) {
    if plan.picks.is_empty() {
        return;
    }
    let _ = writeln!(out, "\nWhy these, and not others (preferred: {}):", plan.preferred);
    for pick in &plan.picks {
        let _ = writeln!(
            out,
            "  {}: {}{}",
            pick.place,
            pick.picked,
            figures(&pick.figures, &plan.total.currency)
        );
        for drawback in &pick.drawbacks {
            let _ = writeln!(out, "      mind: {drawback}");
        }
        match &pick.alternative {
            Alternative::Other { picked, also, total } => {
                let _ = writeln!(out, "      else {picked}: {}", against(&plan.total, total));
                if !also.is_empty() {
                    let _ = writeln!(out, "        with {}", also.join("; "));
                }
            }
            Alternative::None { against } if against.is_empty() => {
                let _ = writeln!(out, "      nothing else goes");
            }
            Alternative::None { against } => {
                let _ = writeln!(out, "      nothing else goes:");
                for it in against {
                    let _ = writeln!(out, "        {it}");
                }
            }
            Alternative::Unknown => {
                let _ = writeln!(out, "      whether something else goes was not worked out to the end");
            }
        }
    }
    let _ = writeln!(out, "  In all: {}.", whole(&plan.total));
}

fn wiring(out: &mut String, plan: &Plan) {
    let Some(loom) = &plan.loom else { return };
    if !loom.changes.is_empty() {
        let least = if loom.exact {
            "no other way takes less by the same figures".to_owned()
        } else {
            format!("none can take less than {}", hours(loom.bound.div_ceil(60)))
        };
        let _ = writeln!(out, "\nThe wiring is {} of work ({least}).", hours(loom.effort.div_ceil(60)));
    }
    let bought = plan.bought();
    if !bought.is_empty() {
        let all: Vec<String> = bought.iter().map(|(what, count)| format!("{count} {what}")).collect();
        let _ = writeln!(out, "To buy for it: {}.", all.join(", "));
    }
    if !loom.unsolved.is_empty() {
        let _ = writeln!(out, "\nNot in the plan:");
        for it in &loom.unsolved {
            let _ = writeln!(out, "  {}: {}", it.subject, it.sentence);
        }
    }
}

/// The figures of a pick after its name.
fn figures(it: &Figures, currency: &str) -> String {
    let mut words = Vec::new();
    match it.cost {
        Some((0, 0)) => {}
        Some(cost) => words.push(money(cost, currency)),
        None => words.push("nobody has said what it costs".to_owned()),
    }
    match it.wait {
        Some(0) => {}
        Some(wait) => words.push(format!("{} to wait", time(wait))),
        None => words.push("nobody has said how long it takes to come".to_owned()),
    }
    if it.unseen {
        words.push("nobody has seen which part it is: ask before you pay".to_owned());
    }
    if words.is_empty() { String::new() } else { format!(", {}", words.join(", ")) }
}

fn whole(total: &Total) -> String {
    let mut words = vec![money(total.cost, &total.currency)];
    if total.unpriced > 0 {
        words.push(format!("{} without a price", total.unpriced));
    }
    words.push(if total.wait == 0 {
        "nothing to wait for".to_owned()
    } else {
        format!("{} to wait", time(total.wait))
    });
    if total.unwaited > 0 {
        words.push(format!("{} of which nobody has said how long they take", total.unwaited));
    }
    if total.mass > 0 {
        words.push(format!("{} kg put in", total.mass as f64 / 1000.0));
    }
    if total.effort > 0 {
        words.push(format!("{} of work", hours(total.effort)));
    }
    words.join(", ")
}

/// What another plan costs more or less than this one.
fn against(own: &Total, other: &Total) -> String {
    let mut words = Vec::new();
    let least = other.cost.0 as i64 - own.cost.0 as i64;
    let most = other.cost.1 as i64 - own.cost.1 as i64;
    if (least, most) != (0, 0) {
        let amount = money((least.unsigned_abs(), most.unsigned_abs()), &own.currency);
        words.push(format!("{amount} {}", if most > 0 { "more" } else { "less" }));
    }
    if other.unpriced > own.unpriced {
        words.push("at a price nobody has said".to_owned());
    }
    match other.wait.cmp(&own.wait) {
        std::cmp::Ordering::Greater => {
            words.push(format!("{} to wait instead of {}", time(other.wait), time(own.wait)))
        }
        std::cmp::Ordering::Less => {
            words.push(format!("{} to wait instead of {}", time(other.wait), time(own.wait)))
        }
        std::cmp::Ordering::Equal => {}
    }
    let heavier = other.mass as i64 - own.mass as i64;
    if heavier != 0 && other.unweighed == own.unweighed {
        let word = if heavier > 0 { "heavier" } else { "lighter" };
        words.push(format!("{} kg {word}", heavier.unsigned_abs() as f64 / 1000.0));
    }
    let work = other.effort as i64 - own.effort as i64;
    if work != 0 {
        let word = if work > 0 { "more" } else { "less" };
        words.push(format!("{} {word} work", hours(work.unsigned_abs())));
    }
    let places = other.changes as i64 - own.changes as i64;
    match places {
        0 => {}
        1 => words.push("one place more to change".to_owned()),
        -1 => words.push("one place fewer to change".to_owned()),
        it if it > 0 => words.push(format!("{it} places more to change")),
        it => words.push(format!("{} places fewer to change", -it)),
    }
    if words.is_empty() { "alike in all that is stated".to_owned() } else { words.join(", ") }
}

fn money((least, most): (u64, u64), currency: &str) -> String {
    let figure = |cents: u64| {
        let text = format!("{:.2}", cents as f64 / 100.0);
        text.strip_suffix(".00").map_or(text.clone(), str::to_owned)
    };
    if least == most {
        format!("{} {currency}", figure(least))
    } else {
        format!("{} to {} {currency}", figure(least), figure(most))
    }
}

fn time(minutes: u64) -> String {
    let shown = |number: u64, unit: &str| match Quantity::exact(number as f64, unit) {
        Ok(it) => it.display(),
        Err(_) => format!("{number} {unit}"),
    };
    match minutes {
        it if it > 0 && it % (7 * 1440) == 0 => shown(it / (7 * 1440), "weeks"),
        it if it % 1440 == 0 => shown(it / 1440, "days"),
        it => hours(it),
    }
}

fn hours(minutes: u64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

fn outcome(out: &mut String, plan: &Plan) {
    out.push('\n');
    if plan.clashes.is_empty() {
        let rest = if plan.is_whole() { "" } else { ", but not all of it is in the plan" };
        let _ = writeln!(out, "With these, nothing that is known clashes{rest}.");
    } else {
        let _ = writeln!(out, "With these, this still clashes; it has no one answer:");
        for it in &plan.clashes {
            let _ = writeln!(out, "  {} {}: {}", it.check, it.subject, it.message);
        }
    }
    let open: Vec<String> = plan
        .open
        .iter()
        .filter(|it| it.1 > 0)
        .map(|(gate, count)| format!("{count} {}", gate.phrase()))
        .collect();
    if !open.is_empty() {
        let _ = writeln!(out, "Open, and for you to settle: {} (`trunnion next` says how).", open.join(", "));
    }
    if !plan.proven {
        let _ = writeln!(
            out,
            "These picks are the best that were found; that there are none better is not proven."
        );
    }
    for note in &plan.notes {
        let _ = writeln!(out, "{note}");
    }
    let _ = writeln!(
        out,
        "A plan is on paper. Local codes and approval rules apply; brakes, steering, airbags, fuel and high voltage\n\
         call for a licensed person where your codes say so."
    );
}

/// What changes in the file, as a unified difference.
pub fn difference(plan: &Plan) -> String {
    let diff = TextDiff::from_lines(plan.before.as_str(), plan.after.as_str());
    diff.unified_diff().context_radius(2).header(&plan.path, &plan.path).to_string()
}

/// The plan as a record for other programs.
#[derive(Serialize)]
pub struct Record {
    version: u32,
    conversion: String,
    way: Option<String>,
    whole: bool,
    proven: bool,
    preferred: String,
    steps: Vec<StepRecord>,
    picks: Vec<PickRecord>,
    total: TotalRecord,
    clashes: Vec<ClashRecord>,
    open: Vec<OpenRecord>,
    contradiction: Option<ContradictionRecord>,
    file: String,
    before: String,
    after: String,
    wiring_minutes: u64,
    wiring_proven: bool,
    to_buy_for_wiring: Vec<BoughtRecord>,
    not_in_the_plan: Vec<UnsolvedRecord>,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct BoughtRecord {
    what: String,
    count: u32,
}

#[derive(Serialize)]
struct UnsolvedRecord {
    subject: String,
    message: String,
}

#[derive(Serialize)]
struct StepRecord {
    sort: &'static str,
    statement: Option<String>,
    instead_of: Vec<String>,
    because: String,
}

#[derive(Serialize)]
struct PickRecord {
    place: String,
    picked: String,
    statement: Option<String>,
    cost: Option<[f64; 2]>,
    wait_minutes: Option<u64>,
    because: String,
    candidates: usize,
    drawbacks: Vec<String>,
    instead: Option<InsteadRecord>,
    against_others: Vec<String>,
}

#[derive(Serialize)]
struct InsteadRecord {
    picked: String,
    also: Vec<String>,
    total: TotalRecord,
}

#[derive(Serialize)]
struct TotalRecord {
    cost: [f64; 2],
    currency: String,
    unpriced: usize,
    wait_minutes: u64,
    wait_not_said: usize,
    mass_kg: f64,
    mass_not_said: usize,
    effort_minutes: u64,
    places_changed: usize,
}

#[derive(Serialize)]
struct ClashRecord {
    check: &'static str,
    subject: String,
    message: String,
}

#[derive(Serialize)]
struct OpenRecord {
    before: &'static str,
    count: usize,
}

#[derive(Serialize)]
struct ContradictionRecord {
    statements: Vec<StatementRecord>,
    chain: Vec<String>,
    ways_out: Vec<String>,
    proven_smallest: bool,
}

#[derive(Serialize)]
struct StatementRecord {
    place: String,
    text: String,
    of: String,
}

/// The record.
pub fn record(host: &Host, plan: &Plan) -> Record {
    Record {
        version: 1,
        conversion: plan.title.clone(),
        way: plan.way.clone(),
        whole: plan.is_whole(),
        proven: plan.proven,
        preferred: plan.preferred.clone(),
        steps: plan.steps.iter().map(|it| step_record(host, it)).collect(),
        picks: plan.picks.iter().map(pick_record).collect(),
        total: total_record(&plan.total),
        clashes: plan
            .clashes
            .iter()
            .map(|it| ClashRecord {
                check: it.check,
                subject: it.subject.clone(),
                message: it.message.clone(),
            })
            .collect(),
        open: plan
            .open
            .iter()
            .map(|(gate, count)| OpenRecord { before: gate.word(), count: *count })
            .collect(),
        contradiction: plan.contradiction.as_ref().map(|it| ContradictionRecord {
            statements: it
                .statements
                .iter()
                .map(|it| StatementRecord {
                    place: place(host, it.site),
                    text: it.text.clone(),
                    of: it.of.clone(),
                })
                .collect(),
            chain: it.chain.clone(),
            ways_out: it.ways_out.clone(),
            proven_smallest: it.smallest,
        }),
        file: plan.path.clone(),
        before: plan.before.clone(),
        after: plan.after.clone(),
        wiring_minutes: plan.loom.as_ref().map_or(0, |it| it.effort.div_ceil(60)),
        wiring_proven: plan.loom.as_ref().is_none_or(|it| it.exact),
        to_buy_for_wiring: plan
            .bought()
            .into_iter()
            .map(|(what, count)| BoughtRecord { what, count })
            .collect(),
        not_in_the_plan: plan
            .loom
            .iter()
            .flat_map(|it| &it.unsolved)
            .map(|it| UnsolvedRecord { subject: it.subject.clone(), message: it.sentence.clone() })
            .collect(),
        notes: plan.notes.clone(),
    }
}

fn step_record(host: &Host, step: &Step) -> StepRecord {
    StepRecord {
        sort: match step.sort {
            Sort::Part => "part",
            Sort::Wire => "wire",
            Sort::Software => "software",
            Sort::Duty => "duty",
            Sort::End => "end",
        },
        statement: step.text.clone(),
        instead_of: step.replaces.iter().map(|it| place(host, *it)).collect(),
        because: step.because.clone(),
    }
}

fn pick_record(pick: &Pick) -> PickRecord {
    let money = |it: (u64, u64)| [it.0 as f64 / 100.0, it.1 as f64 / 100.0];
    let (instead, against_others) = match &pick.alternative {
        Alternative::Other { picked, also, total } => {
            let it = InsteadRecord { picked: picked.clone(), also: also.clone(), total: total_record(total) };
            (Some(it), Vec::new())
        }
        Alternative::None { against } => (None, against.clone()),
        Alternative::Unknown => (None, Vec::new()),
    };
    PickRecord {
        place: pick.place.clone(),
        picked: pick.picked.clone(),
        statement: pick.statement.clone(),
        cost: pick.figures.cost.map(money),
        wait_minutes: pick.figures.wait,
        because: pick.because.clone(),
        candidates: pick.candidates,
        drawbacks: pick.drawbacks.clone(),
        instead,
        against_others,
    }
}

fn total_record(total: &Total) -> TotalRecord {
    TotalRecord {
        cost: [total.cost.0 as f64 / 100.0, total.cost.1 as f64 / 100.0],
        currency: total.currency.clone(),
        unpriced: total.unpriced,
        wait_minutes: total.wait,
        wait_not_said: total.unwaited,
        mass_kg: total.mass as f64 / 1000.0,
        mass_not_said: total.unweighed,
        effort_minutes: total.effort,
        places_changed: total.changes,
    }
}
