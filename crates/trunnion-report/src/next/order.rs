//! The order of work: when each piece is done, what it waits for, what is open then.

use std::fmt::Write;

use trunnion_check::ctx::{capital, listed};
use trunnion_plan::order::{Access, Arrival, Item, Order, Wait, hours};

use super::{View, more};

/// How many pieces, waits and accesses are in view.
const IN_VIEW: usize = 8;

pub(super) fn section(out: &mut String, order: &Order, view: View) {
    if order.items.is_empty() && order.trouble.is_empty() && order.done.is_empty() {
        return;
    }
    let way = order.way.as_ref().map(|it| format!(", by way of {it}")).unwrap_or_default();
    let _ = writeln!(out, "\nThe order of work{way}:");
    for it in &order.trouble {
        let _ = writeln!(out, "  {it}");
    }
    if !order.items.is_empty() {
        let _ = writeln!(out, "  {}", head(order));
    } else if order.trouble.is_empty() {
        let _ = writeln!(out, "  All of it is done, {} pieces.", order.done.len());
    }
    let shown = view.of(IN_VIEW, order.items.len());
    let mut turned = false;
    for item in &order.items[..shown] {
        if item.no_way_back && !turned {
            turned = true;
            let _ = writeln!(out, "  --- no way back from here ---");
        }
        one(out, order, item, view);
    }
    more(out, order.items.len() - shown);
    for (shown, needed) in &order.help {
        let _ = writeln!(out, "  {} needs {needed} people: somebody must come for it.", capital(shown));
    }
    waits(out, order, view);
    accesses(out, &order.accesses, view);
    unknown(out, order, view);
}

/// How much it is, and how long it takes.
fn head(order: &Order) -> String {
    let count = match order.items.len() {
        1 => "One piece".to_owned(),
        many => format!("{many} pieces"),
    };
    let people = if order.hands == 1 { "one person".to_owned() } else { format!("{} people", order.hands) };
    let least = if order.at_least { "at least " } else { "" };
    let from = order.from.map(|it| format!(", counted from {it}")).unwrap_or_default();
    let mut head = format!(
        "{count}, {least}{} until the last is finished, with {people} at {} a day{from}.",
        when(order.length, order.day),
        hours(order.day)
    );
    if order.path < order.length {
        let _ = write!(
            head,
            " By the critical path alone, with any number of people: {}.",
            when(order.path, order.day)
        );
    }
    if order.bound < order.length {
        let _ = write!(
            head,
            " No order is shorter than {}; whether one of that length exists is not proven.",
            when(order.bound, order.day)
        );
    }
    head
}

/// A time of work as days and hours: "day 3, 2 h".
pub(super) fn when(minutes: u64, day: u64) -> String {
    match (minutes / day, minutes % day) {
        (0, rest) => hours(rest),
        (1, 0) => "1 day".to_owned(),
        (days, 0) => format!("{days} days"),
        (1, rest) => format!("1 day and {}", hours(rest)),
        (days, rest) => format!("{days} days and {}", hours(rest)),
    }
}

/// A moment: "day 3 + 2 h", day 0 being the first.
pub(super) fn moment(minutes: u64, day: u64) -> String {
    match minutes % day {
        0 => format!("day {}", minutes / day),
        rest => format!("day {} + {}", minutes / day, hours(rest)),
    }
}

fn one(out: &mut String, order: &Order, item: &Item, view: View) {
    let mark = if item.is_critical() { '*' } else { ' ' };
    let takes = item.takes.map_or_else(|| "nobody has said how long".to_owned(), hours);
    let people = match item.hands {
        Some(1) => String::new(),
        Some(many) => format!(", {many} people"),
        None => ", people not stated".to_owned(),
    };
    let slack = match item.times.slack() {
        0 => "critical".to_owned(),
        slack => format!("may wait {}", when(slack, order.day)),
    };
    let begins = moment(item.times.start, order.day);
    let _ = writeln!(out, "  {mark} {begins:<19} {} ({takes}{people}; {slack})", item.shown);
    let mut waits: Vec<String> = item.after.iter().map(|it| it.1.clone()).collect();
    waits.extend(item.arrivals.iter().filter(|it| it.days.is_some()).map(Arrival::phrase));
    let unknown: Vec<String> =
        item.arrivals.iter().filter(|it| it.unknown.is_some()).map(|it| it.shown.clone()).collect();
    match unknown.as_slice() {
        [] => {}
        [only] => waits.push(format!("{only}, nobody has said when it is here")),
        all => waits.push(format!("{}, nobody has said when they are here", listed(all))),
    }
    let held = item.held.iter().filter_map(|it| order.items.get(*it));
    let bound = held.filter(|it| it.times.finish == item.times.start && it.takes.is_some());
    waits.extend(bound.map(|it| format!("hands (busy with {})", it.shown)));
    if !waits.is_empty() {
        let _ = writeln!(out, "      waits for: {}", waits.join("; "));
    }
    for it in &item.needs {
        let _ = writeln!(out, "      first: {it}");
    }
    if let Some(it) = &item.unsettled {
        let _ = writeln!(out, "      not yet: {it}");
    }
    if view == View::All {
        for (what, torque, source) in &item.torques {
            let _ = writeln!(out, "      {what}: {torque} ({source})");
        }
        let _ = writeln!(out, "      stopped after it: {}", item.overnight);
        for (_, sentence) in &item.cautions {
            let _ = writeln!(out, "      {sentence}");
        }
    } else if !item.cautions.is_empty() {
        let words: Vec<String> = item.cautions.iter().map(|it| it.0.replace('_', " ")).collect();
        let _ = writeln!(out, "      caution: {}", words.join(", "));
    }
}

fn waits(out: &mut String, order: &Order, view: View) {
    if order.waits.is_empty() {
        return;
    }
    let _ = writeln!(out, "  Waiting:");
    let shown = view.of(IN_VIEW, order.waits.len());
    for it in &order.waits[..shown] {
        wait(out, order, it, view);
    }
    more(out, order.waits.len() - shown);
}

fn wait(out: &mut String, order: &Order, it: &Wait, view: View) {
    let ordered = match (it.arrival.days, it.arrival.ordered) {
        (Some(_), true) => ", ordered",
        (Some(_), false) => ", counted from the day it is ordered",
        (None, _) => "",
    };
    let what = match &it.arrival.unknown {
        Some(why) => why.trim_end_matches('.').to_owned(),
        None => it.arrival.phrase(),
    };
    let _ = writeln!(out, "    {what}{ordered}: holds up {}", it.holds.join(", "));
    if !it.arrival.others.is_empty() {
        let _ = writeln!(out, "      or {}", it.arrival.others.join("; or "));
    }
    if !it.meanwhile.is_empty() && it.arrival.days.is_some() {
        let shown = view.of(3, it.meanwhile.len());
        let rest = it.meanwhile.len() - shown;
        let more = if rest > 0 { format!(", and {rest} more") } else { String::new() };
        let _ = writeln!(out, "      meanwhile: {}{more}", it.meanwhile[..shown].join(", "));
    }
    if it.idle > 0 {
        let _ = writeln!(out, "      then nothing to do for {}", when(it.idle, order.day));
    }
}

fn accesses(out: &mut String, accesses: &[Access], view: View) {
    let told: Vec<&Access> = accesses.iter().filter(|it| !it.also.is_empty() || view == View::All).collect();
    if told.is_empty() {
        return;
    }
    let _ = writeln!(out, "  While it is open:");
    for it in told {
        let inside = if it.inside.is_empty() { String::new() } else { format!(": {}", it.inside.join(", ")) };
        let _ = writeln!(out, "    {}, opened by {}{inside}", it.shown, it.opened_by);
        for also in &it.also {
            let takes = also.takes.map_or_else(|| "time not stated".to_owned(), hours);
            let price = also.price.clone().unwrap_or_else(|| "price not stated".to_owned());
            let because = also.because.as_ref().map(|it| format!(", because {it}")).unwrap_or_default();
            let _ = writeln!(
                out,
                "      also {} ({takes}, {price}){because}: `renew {}`?",
                also.shown, also.name
            );
        }
    }
}

fn unknown(out: &mut String, order: &Order, view: View) {
    // What is waited for without a day was told with what it holds up.
    let waited = |it: &&String| !order.waits.iter().any(|wait| wait.arrival.unknown.as_ref() == Some(*it));
    let unknown: Vec<&String> = order.unknown.iter().filter(waited).collect();
    if unknown.is_empty() {
        return;
    }
    let _ = writeln!(out, "  Not known:");
    let shown = view.of(IN_VIEW, unknown.len());
    for it in &unknown[..shown] {
        let _ = writeln!(out, "    {it}");
    }
    more(out, unknown.len() - shown);
}
