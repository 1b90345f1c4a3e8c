//! The critical path method: earliest and latest times of activities that wait for one another.
//!
//! Forward pass: an activity starts when the last one that it waits for is finished. Backward pass: it
//! may finish as late as the first one that waits for it must start. What has no slack is critical.
//! Source: the method as taught in operations research; the test reproduces the worked example of
//! Hillier and Lieberman, Introduction to Operations Research, 7th edition, chapter 10.

use petgraph::algo::toposort;
use petgraph::graph::{DiGraph, NodeIndex};

/// One activity.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Activity {
    /// How long it takes, in any one unit.
    pub takes: u64,
    /// Which it waits for, by their index.
    pub after: Vec<usize>,
    /// Not before this time, for what must arrive first.
    pub not_before: u64,
}

/// When an activity starts and finishes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Times {
    /// The earliest it can start.
    pub start: u64,
    /// The earliest it can be finished.
    pub finish: u64,
    /// The latest it may start without making the whole later.
    pub latest_start: u64,
    /// The latest it may be finished without making the whole later.
    pub latest_finish: u64,
}

impl Times {
    /// How much later it may start without making the whole later.
    pub fn slack(&self) -> u64 {
        self.latest_start - self.start
    }

    /// Whether any delay of it makes the whole later.
    pub fn is_critical(&self) -> bool {
        self.slack() == 0
    }
}

/// The times of all activities, and when the last is finished.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Schedule {
    /// In the order of the activities.
    pub times: Vec<Times>,
    /// When the last is finished.
    pub finish: u64,
    /// An order in which they can be done: earliest start first, then by index.
    pub order: Vec<usize>,
}

/// An activity that waits for itself, by way of others or not: its index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cycle(pub usize);

/// Works out the times.
///
/// # Errors
/// An activity that waits for itself by way of others.
pub fn schedule(activities: &[Activity]) -> Result<Schedule, Cycle> {
    let mut graph: DiGraph<(), ()> = DiGraph::with_capacity(activities.len(), activities.len());
    for _ in activities {
        graph.add_node(());
    }
    for (nth, activity) in activities.iter().enumerate() {
        for before in activity.after.iter().filter(|it| **it < activities.len()) {
            graph.update_edge(NodeIndex::new(*before), NodeIndex::new(nth), ());
        }
    }
    let sorted = toposort(&graph, None).map_err(|it| Cycle(it.node_id().index()))?;
    let mut times = vec![Times::default(); activities.len()];
    for node in &sorted {
        let nth = node.index();
        let before = graph.neighbors_directed(*node, petgraph::Incoming);
        let ready = before.map(|it| times[it.index()].finish).max().unwrap_or(0);
        times[nth].start = ready.max(activities[nth].not_before);
        times[nth].finish = times[nth].start.saturating_add(activities[nth].takes);
    }
    let finish = times.iter().map(|it| it.finish).max().unwrap_or(0);
    for node in sorted.iter().rev() {
        let nth = node.index();
        let after = graph.neighbors_directed(*node, petgraph::Outgoing);
        let latest = after.map(|it| times[it.index()].latest_start).min().unwrap_or(finish);
        times[nth].latest_finish = latest;
        // A latest start is never before the earliest, so this cannot go below nothing.
        times[nth].latest_start = latest.saturating_sub(activities[nth].takes);
    }
    let mut order: Vec<usize> = (0..activities.len()).collect();
    let rank: Vec<usize> = {
        let mut rank = vec![0; activities.len()];
        for (at, node) in sorted.iter().enumerate() {
            rank[node.index()] = at;
        }
        rank
    };
    order.sort_by_key(|nth| (times[*nth].start, rank[*nth]));
    Ok(Schedule { times, finish, order })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hillier and Lieberman, Introduction to Operations Research, 7th edition, chapter 10, the
    /// construction project: activities A to N in weeks; 44 weeks, critical A B C E F J L N.
    #[test]
    fn the_construction_project_takes_44_weeks() {
        let project: [(u64, &[usize]); 14] = [
            (2, &[]),
            (4, &[0]),
            (10, &[1]),
            (6, &[2]),
            (4, &[2]),
            (5, &[4]),
            (7, &[3]),
            (9, &[4, 6]),
            (7, &[2]),
            (8, &[5, 8]),
            (4, &[9]),
            (5, &[9]),
            (2, &[7]),
            (6, &[10, 11]),
        ];
        let activities: Vec<Activity> = project
            .iter()
            .map(|(takes, after)| Activity { takes: *takes, after: after.to_vec(), not_before: 0 })
            .collect();
        let made = schedule(&activities).expect("no cycle");
        assert_eq!(made.finish, 44);
        let critical: String = (0..14)
            .filter(|it| made.times[*it].is_critical())
            .map(|it| char::from(b'A' + it as u8))
            .collect();
        assert_eq!(critical, "ABCEFJLN");
        // Printed slacks: D, G, H, M 4 weeks; I 2; K 1.
        let slack = |letter: u8| made.times[usize::from(letter - b'A')].slack();
        assert_eq!([b'D', b'G', b'H', b'M', b'I', b'K'].map(slack), [4, 4, 4, 4, 2, 1]);
    }

    #[test]
    fn what_waits_for_itself_is_found() {
        let activities = [
            Activity { takes: 1, after: vec![1], not_before: 0 },
            Activity { takes: 1, after: vec![0], not_before: 0 },
        ];
        assert!(schedule(&activities).is_err());
        assert!(schedule(&[Activity { takes: 1, after: vec![0], not_before: 0 }]).is_err());
    }

    #[test]
    fn nothing_takes_no_time_and_what_arrives_late_holds_up() {
        assert_eq!(schedule(&[]).map(|it| it.finish), Ok(0));
        let late = Activity { takes: 2, after: Vec::new(), not_before: 10 };
        let next = Activity { takes: 3, after: vec![0], not_before: 0 };
        let made = schedule(&[late, next]).expect("no cycle");
        assert_eq!((made.finish, made.times[1].start, made.order.clone()), (15, 12, vec![0, 1]));
    }
}
