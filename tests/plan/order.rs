//! Timetables with few hands: against trying every start time, against the known optimum for one person, and
//! held to what they must keep; and the order of work of whole specifications.

use trunnion_model::db::Host;
use trunnion_model::verdict::Outcome;
use trunnion_plan::conversions;
use trunnion_plan::next::{Asked, Whole, whole};
use trunnion_plan::order::hands::{EXACT, Piece, Timetable, timetable};
use trunnion_plan::tonight::What;
use trunnion_tests::loaded;

/// Numerical Recipes' linear congruential generator; its upper bits are random enough here.
struct Dice(u32);

impl Dice {
    fn below(&mut self, count: u64) -> u64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        u64::from(self.0 >> 16) % count.max(1)
    }

    /// Pieces that wait only for earlier ones.
    fn pieces(&mut self, count: usize, hands: u32, longest: u64, latest: u64) -> Vec<Piece> {
        (0..count)
            .map(|nth| Piece {
                takes: self.below(longest + 1),
                hands: 1 + self.below(u64::from(hands)) as u32,
                after: (0..nth).filter(|_| self.below(4) == 0).collect(),
                not_before: if self.below(3) == 0 { self.below(latest + 1) } else { 0 },
            })
            .collect()
    }
}

/// Whether all can be finished by a time: every start of every piece is tried, one piece after the other.
fn possible(pieces: &[Piece], hands: u32, by: u64, starts: &mut Vec<u64>) -> bool {
    let nth = starts.len();
    let Some(piece) = pieces.get(nth) else { return true };
    let before = piece.after.iter().map(|it| starts[*it] + pieces[*it].takes);
    let ready = before.max().unwrap_or(0).max(piece.not_before);
    for at in ready..=by.saturating_sub(piece.takes) {
        let room = (at..at + piece.takes).all(|time| {
            let busy =
                starts.iter().zip(pieces).filter(|(start, it)| **start <= time && time < *start + it.takes);
            busy.map(|it| it.1.hands).sum::<u32>() + piece.hands <= hands
        });
        if room && at + piece.takes <= by {
            starts.push(at);
            if possible(pieces, hands, by, starts) {
                return true;
            }
            starts.pop();
        }
    }
    false
}

/// The shortest time there is.
fn shortest(pieces: &[Piece], hands: u32) -> u64 {
    (0..).find(|by| possible(pieces, hands, *by, &mut Vec::new())).expect("all hands come free some day")
}

/// That a timetable keeps to what comes first, to the arrivals and to the hands, also when everything starts
/// as late as it says it may.
fn keeps(pieces: &[Piece], hands: u32, made: &Timetable) {
    let late: Vec<u64> = made.times.iter().map(|it| it.latest_start).collect();
    let soon: Vec<u64> = made.times.iter().map(|it| it.start).collect();
    for starts in [soon, late] {
        for (nth, piece) in pieces.iter().enumerate() {
            assert!(starts[nth] >= piece.not_before, "{nth} before its parts are there: {pieces:?}");
            assert!(starts[nth] + piece.takes <= made.finish);
            for before in &piece.after {
                assert!(starts[*before] + pieces[*before].takes <= starts[nth], "{before} {nth}: {pieces:?}");
            }
            let at_work = |time: u64| -> u32 {
                let busy = starts.iter().zip(pieces).filter(|(at, it)| **at <= time && time < *at + it.takes);
                busy.map(|it| it.1.hands).sum()
            };
            assert!(piece.takes == 0 || at_work(starts[nth]) <= hands, "at {}: {pieces:?}", starts[nth]);
        }
    }
    assert!(made.path <= made.bound && made.bound <= made.finish);
    assert_eq!(made.times.iter().map(|it| it.finish).max().unwrap_or(0), made.finish);
}

#[test]
fn small_timetables_are_the_shortest_there_are() {
    let mut dice = Dice(20_260_301);
    let mut waited = 0;
    for _ in 0..4000 {
        let hands = 1 + dice.below(3) as u32;
        let count = 1 + dice.below(5) as usize;
        let pieces = dice.pieces(count, hands, 3, 5);
        let made = timetable(&pieces, hands).expect("earlier ones only, hands enough");
        keeps(&pieces, hands, &made);
        assert_eq!(made.finish, shortest(&pieces, hands), "{hands} hands: {pieces:?}");
        assert!(made.is_shortest(), "{hands} hands, not proven: {pieces:?}");
        waited += usize::from(made.finish > made.path);
    }
    assert!(waited > 500, "hands bind in {waited} of them");
}

#[test]
#[ignore = "a stopwatch: run with --ignored --nocapture"]
#[allow(clippy::print_stdout, reason = "printing is what it is for")]
fn how_long_a_dozen_takes() {
    let mut dice = Dice(5);
    let (mut worst, mut proven) = (std::time::Duration::ZERO, 0);
    for _ in 0..200 {
        let hands = 2 + dice.below(3) as u32;
        let pieces = dice.pieces(EXACT, hands, 60, 200);
        let begun = std::time::Instant::now();
        let made = timetable(&pieces, hands).expect("earlier ones only");
        worst = worst.max(begun.elapsed());
        proven += usize::from(made.is_shortest());
    }
    println!("200 timetables of {EXACT} pieces: {proven} proven, the slowest took {worst:?}");
}

/// With one person all that matters is when each piece may begin: to do first what may begin first is best, a
/// textbook result for one machine with release times (from memory, unverified).
#[test]
fn one_person_takes_the_known_time() {
    let mut dice = Dice(7);
    for nth in 0..400 {
        let count = 1 + dice.below(if nth % 2 == 0 { 12 } else { 60 }) as usize;
        let pieces = dice.pieces(count, 1, 9, 60);
        let mut may: Vec<u64> = Vec::new();
        for piece in &pieces {
            let before = piece.after.iter().map(|it| may[*it] + pieces[*it].takes);
            may.push(before.max().unwrap_or(0).max(piece.not_before));
        }
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by_key(|it| may[*it]);
        let best = order.iter().fold(0, |time: u64, it| time.max(may[*it]) + pieces[*it].takes);
        let made = timetable(&pieces, 1).expect("earlier ones only");
        keeps(&pieces, 1, &made);
        assert_eq!(made.finish, best, "{pieces:?}");
    }
}

#[test]
fn with_hands_enough_the_critical_path_is_kept() {
    let mut dice = Dice(11);
    for _ in 0..300 {
        let count = 1 + dice.below(40) as usize;
        let pieces = dice.pieces(count, 2, 20, 50);
        let made = timetable(&pieces, 100).expect("earlier ones only");
        assert_eq!((made.finish, made.is_shortest()), (made.path, true));
    }
}

#[test]
fn large_timetables_keep_to_everything_and_claim_no_more_than_they_proved() {
    let mut dice = Dice(99);
    let mut proven = 0;
    for _ in 0..150 {
        let hands = 1 + dice.below(4) as u32;
        let count = EXACT + 1 + dice.below(50) as usize;
        let pieces = dice.pieces(count, hands, 30, 120);
        let made = timetable(&pieces, hands).expect("earlier ones only");
        keeps(&pieces, hands, &made);
        assert_eq!(timetable(&pieces, hands), Ok(made.clone()), "the same on every run");
        proven += usize::from(made.is_shortest());
    }
    assert!((1..=150).contains(&proven), "{proven}");
}

fn page(host: &Host, path: &str, asked: &Asked) -> Whole {
    let id = conversions(host, &[path.to_owned()])[0];
    whole(host.db(), host.workspace(), id, asked).expect("a conversion")
}

const SEALED: &str = include_str!("specs/sealed_in.trunnion");

fn sealed(log: &str) -> Host {
    let mut host = Host::new();
    host.set_file("sealed_in.trunnion", &format!("{SEALED}\n{log}"));
    host
}

/// The cover goes on for good; so it waits for the sensor's ten weeks, 70 days of 8 h.
#[test]
fn what_would_be_sealed_in_is_waited_for() {
    let host = sealed("");
    let order = page(&host, "sealed_in.trunnion", &Asked::default()).order;
    let names: Vec<&str> = order.items.iter().map(|it| it.name.as_str()).collect();
    assert_eq!(names, ["open_up", "paint_case", "sensor_in", "cover_on"]);
    let starts: Vec<u64> = order.items.iter().map(|it| it.times.start).collect();
    assert_eq!(starts, [0, 60, 70 * 480, 70 * 480 + 20]);
    assert_eq!((order.length, order.at_least), (70 * 480 + 60, false));
    let cover = &order.items[3];
    assert!(cover.no_way_back && cover.is_critical());
    let why: Vec<&str> = cover.after.iter().map(|it| it.1.as_str()).collect();
    assert!(why.contains(&"sensor in, before casing inside is sealed"), "{why:?}");
    assert!(why.contains(&"paint the casing, before casing inside is sealed"), "{why:?}");
    let wait = &order.waits[0];
    assert_eq!(wait.arrival.phrase(), "the sensor (speed sensor, new), 70 days");
    assert_eq!(wait.meanwhile, ["take the cover off", "paint the casing"]);
    assert_eq!(wait.idle, 70 * 480 - 180);
    // Painting may be put off until the sensor comes: then the one person is busy with that.
    assert_eq!(order.items[1].times.slack(), 70 * 480 - 180);
}

#[test]
fn what_was_sealed_in_before_its_part_came_is_a_clash() {
    let host = sealed(
        "log of van {\n  2026-03-02 ordered sensor_new 60 EUR\n  2026-03-04 done open_up, 1 h\n  \
         2026-03-05 done cover_on, 40 min\n}",
    );
    let verdicts = loaded::verdicts(&host, "sealed_in.trunnion");
    let clash: Vec<&str> = verdicts
        .iter()
        .filter(|it| it.check == "work/order" && it.outcome == Outcome::Clash)
        .map(|it| it.message.as_str())
        .collect();
    assert_eq!(
        clash,
        [
            "Paint the casing is reached only in casing inside, which glue and rivet the cover on sealed on \
             2026-03-05.",
            "Sensor in is reached only in casing inside, which glue and rivet the cover on sealed on 2026-03-05; the \
             sensor (speed sensor, new) is due on 2026-05-11 only.",
        ]
    );
    let order = page(&host, "sealed_in.trunnion", &Asked::default()).order;
    assert_eq!(order.trouble.len(), 2);
}

#[test]
fn an_evening_on_the_easy_van() {
    let host = loaded::host(&loaded::files("examples/easy_van"));
    let asked = Asked { time: Some(120), hands: Some(1), ..Asked::default() };
    let whole = page(&host, "easy_van.trunnion", &asked);
    let tonight = whole.tonight.expect("asked for");
    // By hand: what is decided and asked (10 and 5 min), then battery, stands, propshaft (20, 40 and 45 min).
    let done: Vec<(&str, u64)> = tonight.doable.iter().map(|it| (it.shown.as_str(), it.minutes)).collect();
    assert_eq!(
        done.iter().map(|it| it.1).collect::<std::collections::BTreeSet<_>>(),
        [5, 10, 20, 40, 45].into(),
        "{done:?}"
    );
    assert_eq!((tonight.sum, tonight.finish), (120, 120));
    let not = |name: &str| tonight.not.iter().find(|it| it.0 == name).map(|it| it.1.as_str());
    assert_eq!(not("gearbox out"), Some("needs 2 people"));
    assert_eq!(not("flexplate on"), Some("waits for the flywheel (flexplate, six bolts, new), 70 days"));
    let shaft = tonight.doable.iter().find(|it| it.shown == "propshaft out").expect("it fits");
    assert_eq!(shaft.what, What::Work);
    let overnight = shaft.overnight.as_deref().unwrap_or_default();
    assert!(
        overnight.contains("not to be driven until the work on the propshaft is finished"),
        "{overnight}"
    );
}

/// By hand from the log: 4 h told, one line of work without a time; the thirteen pieces add up to
/// 20+40+45+180+50+30+120+240+40+180+30+20+60 = 1055 min.
#[test]
fn the_log_of_the_easy_van_is_read_back() {
    let host = loaded::host(&loaded::files("examples/easy_van"));
    let progress = page(&host, "easy_van.trunnion", &Asked::default()).progress;
    assert_eq!((progress.spent, progress.untold), (240, 1));
    assert_eq!((progress.left, progress.remaining, progress.worked.len()), (13, 1055, 0));
    assert_eq!(progress.lines.len(), 9);
    let filter = &progress.traded[0];
    assert_eq!((filter.what.as_str(), filter.due.as_deref()), ("box_filter", Some("2026-03-08")));
    assert_eq!(filter.ordered.as_ref().and_then(|it| it.1.as_deref()), Some("118 EUR"));
    assert_eq!(progress.of("found").count(), 1);
    assert_eq!(
        progress.of("photographed").map(|it| it.what.as_str()).collect::<Vec<_>>(),
        ["gearbox, photos/box_on_trolley.jpg"]
    );
    let gap = progress.settled.iter().find(|it| it.check == "fit/length").expect("it rests on the gap");
    assert_eq!(
        (gap.outcome, gap.by.as_slice()),
        ("clear", &["job log, 2026-02-27 (measured)".to_owned()][..])
    );
    let tool = progress.of("measured").next().and_then(|it| it.tool.clone());
    assert_eq!(tool.as_deref(), Some("tape, flange to straight edge to 1 mm"));
    // 1387 mm ± 1 mm lies inside 1386 mm ± 2 mm.
    assert!(progress.contradictions.is_empty(), "{:?}", progress.contradictions);
}
