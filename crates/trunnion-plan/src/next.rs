//! What to do now: the chain, the questions for the seller, the measurements, by gate.

use trunnion_check::run::verdicts_of_conversion;
use trunnion_model::db::{Db, Workspace};
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Outcome, Verdict, Who};
use trunnion_model::world::{conversion, world};

use crate::chain::{Link, chain};
use crate::gates::{Gates, gates};
use crate::order::{DAY, Options, Order, order};
use crate::progress::{Progress, progress};
use crate::tonight::{EVENING, Evening, Tonight, tonight};
use crate::ways::{Ways, ways};

/// One thing to find out. Several verdicts may hang on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Task {
    /// What nobody knows.
    pub what: String,
    /// Which values would be good.
    pub good: Option<String>,
    /// The tool.
    pub tool: Option<String>,
    /// How precise it must be.
    pub precision: Option<String>,
    /// How many minutes it takes.
    pub minutes: Option<u32>,
    /// By when.
    pub gate: Gate,
    /// What hangs on it: one sentence part for each verdict.
    pub hangs: Vec<String>,
    /// What to type when it is known.
    pub type_in: Option<String>,
    /// Whether a safety-relevant verdict hangs on it.
    pub safety: bool,
    /// The place it is about.
    pub about: String,
    /// What is asked of that place, where it is a measure or an end of it.
    pub measure: Option<String>,
}

/// What to do now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Next {
    /// The conversion's display name.
    pub title: String,
    /// The places that change.
    pub chain: Vec<Link>,
    /// What the seller can tell, most pressing first.
    pub seller: Vec<Task>,
    /// When the seller wants to know.
    pub ask_by: Option<String>,
    /// What can be looked at or measured.
    pub tape: Vec<Task>,
    /// What the maker's papers tell.
    pub maker: Vec<Task>,
    /// What the owner decides.
    pub owner: Vec<Task>,
    /// The clashes, as sentences with their check.
    pub clashes: Vec<(String, String)>,
    /// How many points are open for each gate.
    pub gates: Vec<(Gate, usize)>,
    /// How many parts nobody looked at.
    pub not_looked_at: usize,
}

/// What else is asked for on the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// How many minutes of a day are worked.
    pub day: u64,
    /// How many minutes there are tonight.
    pub time: Option<u64>,
    /// How many people there are.
    pub hands: Option<u32>,
}

impl Default for Asked {
    fn default() -> Self {
        Self { day: DAY, time: None, hands: None }
    }
}

/// Everything on the page: what to do now, tonight, in what order, and what the log says.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// What to find out, what clashes, what is open.
    pub next: Next,
    /// What can be done tonight, where time or hands were named.
    pub tonight: Option<Tonight>,
    /// The order of work, by the first of several ways.
    pub order: Order,
    /// What the log says.
    pub progress: Progress,
    /// The ways side by side, with the money of each; a conversion without ways is one.
    pub ways: Ways,
    /// What stands before each gate.
    pub gates: Gates,
}

/// The whole page of a conversion. Where it has ways, work and log are held against the first of them.
pub fn whole(db: &dyn Db, workspace: Workspace, id: Id, asked: &Asked) -> Option<Whole> {
    let next = next(db, workspace, id)?;
    let way = (!conversion(db, id)?.ways.is_empty()).then_some(0);
    let options = Options { day: asked.day, hands: asked.hands, ..Options::default() };
    let order = order(db, workspace, id, way, &options)?;
    let wanted = asked.time.is_some() || asked.hands.is_some();
    let tonight = match wanted {
        true => {
            let evening = Evening { time: asked.time.unwrap_or(EVENING), hands: asked.hands.unwrap_or(1) };
            Some(tonight(db, workspace, id, way, &next, &order, evening)?)
        }
        false => None,
    };
    let progress = progress(db, workspace, id, way)?;
    let (ways, gates) = (ways(db, workspace, id)?, gates(db, workspace, id)?);
    Some(Whole { next, tonight, order, progress, ways, gates })
}

/// What to do now for a conversion.
pub fn next(db: &dyn Db, workspace: Workspace, id: Id) -> Option<Next> {
    let decl = conversion(db, id)?;
    let way = (!decl.ways.is_empty()).then_some(0);
    let world = world(db, workspace, id.item, id.nth, way)?;
    let verdicts = verdicts_of_conversion(db, workspace, id);
    let open: Vec<&Verdict> =
        verdicts.iter().filter(|it| it.outcome == Outcome::Open && it.accepted.is_none()).collect();
    let chain = chain(db, workspace, &world);
    let of = |who: Who| tasks(&open, who, &chain);
    let ask_by = world
        .donors
        .iter()
        .find_map(|it| trunnion_model::built::vehicle(db, it.vehicle)?.ask_by.map(|it| it.to_string()));
    let gates = Gate::ALL.map(|gate| {
        let of_gate = |it: &&&Verdict| it.question.as_ref().is_some_and(|it| it.gate == gate);
        (gate, open.iter().filter(of_gate).count())
    });
    let clashes = verdicts.iter().filter(|it| it.outcome == Outcome::Clash);
    Some(Next {
        title: id.shown(db),
        seller: of(Who::Seller),
        ask_by,
        tape: of(Who::Tape),
        maker: of(Who::Maker),
        owner: of(Who::Owner),
        clashes: clashes.map(|it| (it.check.to_owned(), it.message.clone())).collect(),
        gates: gates.to_vec(),
        not_looked_at: open.iter().filter(|it| it.check == "kind/none").count(),
        chain,
    })
}

/// The things of one sort to find out; what is asked more than once is asked once.
pub(crate) fn tasks(open: &[&Verdict], who: Who, chain: &[Link]) -> Vec<Task> {
    let mut tasks: Vec<Task> = Vec::new();
    for verdict in open {
        let Some(question) = verdict.question.as_ref().filter(|it| it.who == who) else { continue };
        let safety = !verdict.safety.is_empty();
        match tasks.iter_mut().find(|it| it.what == question.what) {
            Some(task) => {
                if !task.hangs.contains(&question.hangs) {
                    task.hangs.push(question.hangs.clone());
                }
                task.gate = task.gate.min(question.gate);
                task.safety |= safety;
                if task.good.is_none() {
                    task.good.clone_from(&question.good);
                }
            }
            None => tasks.push(Task {
                what: question.what.clone(),
                good: question.good.clone(),
                tool: question.tool.clone(),
                precision: question.precision.clone(),
                minutes: question.minutes,
                gate: question.gate,
                hangs: vec![question.hangs.clone()],
                type_in: question.type_in.clone(),
                safety,
                about: verdict.subject.split(['.', '-']).next().unwrap_or_default().to_owned(),
                measure: verdict.subject.split_once('.').map(|it| it.1.to_owned()),
            }),
        }
    }
    // Soonest gate first, then what a tool answers, then nearest to what changes, then what most
    // hangs on, then the quick.
    let far = |task: &Task| chain.iter().find(|it| it.place == task.about).map_or(u32::MAX, |it| it.far);
    tasks.sort_by_key(|it| {
        let most = std::cmp::Reverse(it.hangs.len());
        let measured = it.tool.is_some() && it.precision.is_some() && it.minutes.is_some();
        (it.gate, !measured, far(it), most, it.minutes.unwrap_or(u32::MAX), it.what.clone())
    });
    tasks
}
