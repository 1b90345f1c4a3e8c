//! Times of activities against longest paths by networkx: `networks_fixture.py` makes the file.

use trunnion_plan::critical_path::{Activity, schedule};

fn numbers(cell: &str) -> Vec<u64> {
    cell.split(' ').map(|it| it.parse().expect("a number")).collect()
}

#[test]
fn times_agree_with_longest_paths() {
    let text = include_str!("networks.csv");
    let mut count = 0;
    for line in text.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let (takes, start, latest) = (numbers(cells[0]), numbers(cells[2]), numbers(cells[3]));
        let after: Vec<Vec<usize>> =
            cells[1].split(' ').map(|it| it.split('+').filter_map(|it| it.parse().ok()).collect()).collect();
        let activities: Vec<Activity> = takes
            .iter()
            .zip(after)
            .map(|(takes, after)| Activity { takes: *takes, after, not_before: 0 })
            .collect();
        let made = schedule(&activities).expect("no cycle");
        let starts: Vec<u64> = made.times.iter().map(|it| it.start).collect();
        let latests: Vec<u64> = made.times.iter().map(|it| it.latest_start).collect();
        assert_eq!(
            (starts, latests, made.finish),
            (start, latest, cells[4].parse().expect("a number")),
            "{line}"
        );
        count += 1;
    }
    assert_eq!(count, 400);
}
