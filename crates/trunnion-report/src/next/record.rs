//! The page as a record for other programs.

use serde::Serialize;
use trunnion_model::db::Host;
use trunnion_plan::next::{Task, Whole};
use trunnion_plan::order::{Item, Order};
use trunnion_plan::progress::{Line, Progress};
use trunnion_plan::tonight::Tonight;

use super::log::place;
use super::tonight::verb;

/// One conversion's page.
#[derive(Serialize)]
pub struct Record {
    version: u32,
    conversion: String,
    chain: Vec<LinkRecord>,
    clashes: Vec<ClashRecord>,
    ask_by: Option<String>,
    ask_the_seller: Vec<TaskRecord>,
    measure: Vec<TaskRecord>,
    look_up: Vec<TaskRecord>,
    decide: Vec<TaskRecord>,
    tonight: Option<TonightRecord>,
    order: OrderRecord,
    log: LogRecord,
    open: Vec<GateRecord>,
    not_looked_at: usize,
    money: Vec<crate::money::Record>,
    ways: crate::ways::Record,
    gates: crate::gates::Record,
}

#[derive(Serialize)]
struct LinkRecord {
    place: String,
    fate: &'static str,
    why: String,
    before: String,
    after: String,
    known: bool,
}

#[derive(Serialize)]
struct ClashRecord {
    check: String,
    message: String,
}

#[derive(Serialize)]
struct TaskRecord {
    what: String,
    good: Option<String>,
    tool: Option<String>,
    precision: Option<String>,
    minutes: Option<u32>,
    before: &'static str,
    hangs: Vec<String>,
    type_in: Option<String>,
    safety: bool,
}

#[derive(Serialize)]
struct GateRecord {
    before: &'static str,
    open: usize,
}

#[derive(Serialize)]
struct TonightRecord {
    minutes: u64,
    hands: u32,
    doable: Vec<DoableRecord>,
    sum_minutes: u64,
    finish_minutes: u64,
    not: Vec<NotRecord>,
    more: usize,
    untimed: usize,
}

#[derive(Serialize)]
struct DoableRecord {
    verb: &'static str,
    what: String,
    start: u64,
    minutes: u64,
    hands: u32,
    tool: Option<String>,
    type_in: Option<String>,
    before: Option<&'static str>,
    unlocks: usize,
    overnight: Option<String>,
    may_wait_minutes: Option<u64>,
    cautions: Vec<String>,
}

#[derive(Serialize)]
struct NotRecord {
    what: String,
    why: String,
}

#[derive(Serialize)]
struct OrderRecord {
    way: Option<String>,
    counted_from: Option<String>,
    hands: u32,
    minutes_a_day: u64,
    length_minutes: u64,
    at_least: bool,
    critical_path_minutes: u64,
    no_shorter_than_minutes: u64,
    items: Vec<ItemRecord>,
    done: Vec<DoneRecord>,
    waits: Vec<WaitRecord>,
    open: Vec<AccessRecord>,
    help: Vec<HelpRecord>,
    trouble: Vec<String>,
    unknown: Vec<String>,
}

#[derive(Serialize)]
struct ItemRecord {
    name: String,
    shown: String,
    place: String,
    minutes: Option<u64>,
    hands: Option<u32>,
    start: u64,
    finish: u64,
    latest_start: u64,
    slack: u64,
    critical: bool,
    after: Vec<AfterRecord>,
    hands_busy_with: Vec<String>,
    parts: Vec<PartRecord>,
    no_way_back: bool,
    unsettled: Option<String>,
    needs: Vec<String>,
    reached_in: Vec<String>,
    overnight: String,
    cautions: Vec<String>,
    torques: Vec<TorqueRecord>,
}

#[derive(Serialize)]
struct AfterRecord {
    name: String,
    why: String,
}

#[derive(Serialize)]
struct PartRecord {
    what: String,
    here: bool,
    ordered: bool,
    days: Option<u64>,
    unknown: Option<String>,
    others: Vec<String>,
}

#[derive(Serialize)]
struct TorqueRecord {
    what: String,
    torque: String,
    source: String,
}

#[derive(Serialize)]
struct DoneRecord {
    shown: String,
    date: String,
}

#[derive(Serialize)]
struct WaitRecord {
    what: String,
    ready: Option<u64>,
    holds: Vec<String>,
    meanwhile: Vec<String>,
    idle_minutes: u64,
}

#[derive(Serialize)]
struct AccessRecord {
    access: String,
    opened_by: String,
    inside: Vec<String>,
    also: Vec<AlsoRecord>,
}

#[derive(Serialize)]
struct AlsoRecord {
    name: String,
    shown: String,
    minutes: Option<u64>,
    price: Option<String>,
    because: Option<String>,
}

#[derive(Serialize)]
struct HelpRecord {
    shown: String,
    hands: u32,
}

#[derive(Serialize)]
struct LogRecord {
    lines: Vec<LineRecord>,
    worked: Vec<WorkedRecord>,
    spent_minutes: u64,
    without_time: usize,
    left: usize,
    remaining_minutes: u64,
    untimed: Vec<String>,
    parts: Vec<TradedRecord>,
    settled: Vec<SettledRecord>,
    contradictions: Vec<ContradictionRecord>,
}

#[derive(Serialize)]
struct LineRecord {
    date: String,
    word: &'static str,
    what: String,
    minutes: Option<u64>,
    by: Option<String>,
    tool: Option<String>,
    place: String,
}

#[derive(Serialize)]
struct WorkedRecord {
    shown: String,
    date: String,
    planned_minutes: Option<u64>,
    took_minutes: Option<u64>,
}

#[derive(Serialize)]
struct TradedRecord {
    what: String,
    ordered: Option<PaidRecord>,
    paid: Vec<PaidRecord>,
    arrived: Option<String>,
    sold: Option<PaidRecord>,
    due: Option<String>,
    late: bool,
}

#[derive(Serialize)]
struct PaidRecord {
    date: String,
    amount: Option<String>,
}

#[derive(Serialize)]
struct SettledRecord {
    check: String,
    subject: String,
    verdict: &'static str,
    message: String,
    by: Vec<String>,
}

#[derive(Serialize)]
struct ContradictionRecord {
    what: String,
    measured: LineRecord,
    claim: String,
    source: String,
    place: String,
}

/// The record of a page.
pub fn record(host: &Host, whole: &Whole) -> Record {
    let next = &whole.next;
    let tasks = |all: &[Task]| all.iter().map(task).collect();
    Record {
        version: 1,
        conversion: next.title.clone(),
        chain: next
            .chain
            .iter()
            .map(|it| LinkRecord {
                place: it.place.clone(),
                fate: it.fate.phrase(),
                why: it.why.clone(),
                before: it.before.clone(),
                after: it.after.clone(),
                known: !it.hollow,
            })
            .collect(),
        clashes: next
            .clashes
            .iter()
            .map(|(check, message)| ClashRecord { check: check.clone(), message: message.clone() })
            .collect(),
        ask_by: next.ask_by.clone(),
        ask_the_seller: tasks(&next.seller),
        measure: tasks(&next.tape),
        look_up: tasks(&next.maker),
        decide: tasks(&next.owner),
        tonight: whole.tonight.as_ref().map(tonight),
        order: order(host, &whole.order),
        log: log(host, &whole.progress),
        open: next.gates.iter().map(|(gate, open)| GateRecord { before: gate.word(), open: *open }).collect(),
        not_looked_at: next.not_looked_at,
        money: whole.ways.ways.iter().map(|it| crate::money::record(host, &it.money)).collect(),
        ways: crate::ways::record(&whole.ways),
        gates: crate::gates::record(&whole.gates),
    }
}

fn task(it: &Task) -> TaskRecord {
    TaskRecord {
        what: it.what.clone(),
        good: it.good.clone(),
        tool: it.tool.clone(),
        precision: it.precision.clone(),
        minutes: it.minutes,
        before: it.gate.word(),
        hangs: it.hangs.clone(),
        type_in: it.type_in.clone(),
        safety: it.safety,
    }
}

fn tonight(it: &Tonight) -> TonightRecord {
    let doable = it.doable.iter().map(|it| DoableRecord {
        verb: verb(it.what),
        what: it.shown.clone(),
        start: it.start,
        minutes: it.minutes,
        hands: it.hands,
        tool: it.tool.clone(),
        type_in: it.type_in.clone(),
        before: it.gate.map(trunnion_model::verdict::Gate::word),
        unlocks: it.unlocks,
        overnight: it.overnight.clone(),
        may_wait_minutes: it.may_wait,
        cautions: it.cautions.clone(),
    });
    let not = it.not.iter().chain(&it.elsewhere);
    TonightRecord {
        minutes: it.time,
        hands: it.hands,
        doable: doable.collect(),
        sum_minutes: it.sum,
        finish_minutes: it.finish,
        not: not.map(|(what, why)| NotRecord { what: what.clone(), why: why.clone() }).collect(),
        more: it.more,
        untimed: it.untimed,
    }
}

fn order(host: &Host, it: &Order) -> OrderRecord {
    OrderRecord {
        way: it.way.clone(),
        counted_from: it.from.map(|it| it.to_string()),
        hands: it.hands,
        minutes_a_day: it.day,
        length_minutes: it.length,
        at_least: it.at_least,
        critical_path_minutes: it.path,
        no_shorter_than_minutes: it.bound,
        items: it.items.iter().map(|item| one(host, it, item)).collect(),
        done: it
            .done
            .iter()
            .map(|(shown, date)| DoneRecord { shown: shown.clone(), date: date.to_string() })
            .collect(),
        waits: it
            .waits
            .iter()
            .map(|it| WaitRecord {
                what: it.arrival.phrase(),
                ready: it.ready,
                holds: it.holds.clone(),
                meanwhile: it.meanwhile.clone(),
                idle_minutes: it.idle,
            })
            .collect(),
        open: it
            .accesses
            .iter()
            .map(|it| AccessRecord {
                access: it.shown.clone(),
                opened_by: it.opened_by.clone(),
                inside: it.inside.clone(),
                also: it
                    .also
                    .iter()
                    .map(|it| AlsoRecord {
                        name: it.name.clone(),
                        shown: it.shown.clone(),
                        minutes: it.takes,
                        price: it.price.clone(),
                        because: it.because.clone(),
                    })
                    .collect(),
            })
            .collect(),
        help: it
            .help
            .iter()
            .map(|(shown, hands)| HelpRecord { shown: shown.clone(), hands: *hands })
            .collect(),
        trouble: it.trouble.clone(),
        unknown: it.unknown.clone(),
    }
}

fn one(host: &Host, order: &Order, it: &Item) -> ItemRecord {
    let name = |nth: &usize| order.items.get(*nth).map(|it| it.name.clone()).unwrap_or_default();
    ItemRecord {
        name: it.name.clone(),
        shown: it.shown.clone(),
        place: place(host, it.site),
        minutes: it.takes,
        hands: it.hands,
        start: it.times.start,
        finish: it.times.finish,
        latest_start: it.times.latest_start,
        slack: it.times.slack(),
        critical: it.is_critical(),
        after: it.after.iter().map(|(nth, why)| AfterRecord { name: name(nth), why: why.clone() }).collect(),
        hands_busy_with: it.held.iter().map(name).collect(),
        parts: it
            .arrivals
            .iter()
            .map(|it| PartRecord {
                what: it.shown.clone(),
                here: it.here,
                ordered: it.ordered,
                days: it.days,
                unknown: it.unknown.clone(),
                others: it.others.clone(),
            })
            .collect(),
        no_way_back: it.no_way_back,
        unsettled: it.unsettled.clone(),
        needs: it.needs.clone(),
        reached_in: it.reached_in.clone(),
        overnight: it.overnight.clone(),
        cautions: it.cautions.iter().map(|it| it.1.clone()).collect(),
        torques: it
            .torques
            .iter()
            .map(|(what, torque, source)| TorqueRecord {
                what: what.clone(),
                torque: torque.clone(),
                source: source.clone(),
            })
            .collect(),
    }
}

fn log(host: &Host, it: &Progress) -> LogRecord {
    let paid = |it: &(trunnion_syntax::tree::Date, Option<String>)| PaidRecord {
        date: it.0.to_string(),
        amount: it.1.clone(),
    };
    LogRecord {
        lines: it.lines.iter().map(|it| line(host, it)).collect(),
        worked: it
            .worked
            .iter()
            .map(|it| WorkedRecord {
                shown: it.shown.clone(),
                date: it.date.to_string(),
                planned_minutes: it.planned,
                took_minutes: it.took,
            })
            .collect(),
        spent_minutes: it.spent,
        without_time: it.untold,
        left: it.left,
        remaining_minutes: it.remaining,
        untimed: it.untimed.clone(),
        parts: it
            .traded
            .iter()
            .map(|it| TradedRecord {
                what: it.what.clone(),
                ordered: it.ordered.as_ref().map(paid),
                paid: it.paid.iter().map(paid).collect(),
                arrived: it.arrived.map(|it| it.to_string()),
                sold: it.sold.as_ref().map(paid),
                due: it.due.clone(),
                late: it.late,
            })
            .collect(),
        settled: it
            .settled
            .iter()
            .map(|it| SettledRecord {
                check: it.check.clone(),
                subject: it.subject.clone(),
                verdict: it.outcome,
                message: it.message.clone(),
                by: it.by.clone(),
            })
            .collect(),
        contradictions: it
            .contradictions
            .iter()
            .map(|it| ContradictionRecord {
                what: it.what.clone(),
                measured: line(host, &it.measured),
                claim: it.claim.clone(),
                source: it.source.clone(),
                place: place(host, it.site),
            })
            .collect(),
    }
}

fn line(host: &Host, it: &Line) -> LineRecord {
    LineRecord {
        date: it.date.to_string(),
        word: it.word,
        what: it.what.clone(),
        minutes: it.minutes,
        by: it.by.clone(),
        tool: it.tool.clone(),
        place: place(host, it.site),
    }
}
