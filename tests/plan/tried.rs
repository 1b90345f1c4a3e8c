//! Plans against trying every set of picks, each judged by all checks: small generated conversions.

use trunnion_check::run::of_world;
use trunnion_model::db::Host;
use trunnion_model::verdict::Outcome;
use trunnion_plan::conversions;
use trunnion_plan::plan::plan;

/// A small generator with a fixed seed: xorshift64*, Vigna 2016.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) % sides
    }
}

const PLACES: [&str; 4] = ["intake", "pump", "valve", "filter"];

/// One candidate of a place: its statement, and what it costs and how many days it takes.
struct Candidate {
    statement: Option<String>,
    cost: u64,
    days: u64,
    changes: u64,
}

struct Case {
    text: String,
    candidates: Vec<Vec<Candidate>>,
}

/// Places with a figure each, parts that demand figures of other places, prices, waits, perhaps a donor and
/// a budget. One place is changed by the conversion itself, so that the rest has to follow.
fn case(seed: u64) -> Case {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let mut text =
        String::from("kind unit { asks ratio }\nmeasure ratio\nfamily Ruff {\n  built 2009-06 to 2018-12\n");
    for place in PLACES {
        text.push_str(&format!("  place {place} is unit\n"));
    }
    text.push_str("}\n");
    let mut parts = String::new();
    let demand = |dice: &mut Dice, place: usize| {
        let other = (place + 1 + dice.roll(3) as usize) % PLACES.len();
        let (sign, limit) = ([">=", "<="][dice.roll(2) as usize], 2 + dice.roll(4));
        format!("  needs {}.ratio {sign} {limit}\n", PLACES[other])
    };
    let mut candidates: Vec<Vec<Candidate>> = Vec::new();
    let mut has = String::new();
    for (nth, place) in PLACES.iter().enumerate() {
        let ratio = 1 + dice.roll(6);
        let mut own =
            format!("part {place}_old is unit fills {place} {{\n  fitted on Ruff\n  ratio {ratio}\n");
        if dice.roll(3) == 0 {
            own.push_str(&demand(&mut dice, nth));
        }
        parts.push_str(&format!("{own}}}\n"));
        let mut all = vec![Candidate { statement: None, cost: 0, days: 0, changes: 0 }];
        if dice.roll(3) == 0 {
            let ratio = 1 + dice.roll(6);
            parts.push_str(&format!("part {place}_donor is unit fills {place} {{\n  ratio {ratio}\n}}\n"));
            has.push_str(&format!(", has {place} {place}_donor"));
            let statement = Some(format!("take {place} from breaker"));
            all.push(Candidate { statement, cost: 0, days: 0, changes: 1 });
        }
        for made in 0..dice.roll(3) {
            let (ratio, cost, days) = (1 + dice.roll(6), 10 * (1 + dice.roll(9)), 1 + dice.roll(20));
            let mut part = format!("part {place}_{made} is unit fills {place} {{\n  ratio {ratio}\n");
            if dice.roll(2) == 0 {
                part.push_str(&demand(&mut dice, nth));
            }
            parts.push_str(&format!("{part}  offer {cost} EUR, wait {days} days\n}}\n"));
            let statement = Some(format!("replace {place} with {place}_{made}"));
            all.push(Candidate { statement, cost, days, changes: 1 });
        }
        candidates.push(all);
    }
    // The wish: a new part in one place that demands something of two others.
    let wish = dice.roll(PLACES.len() as u64) as usize;
    let (a, b) = (demand(&mut dice, wish), demand(&mut dice, wish));
    let ratio = 1 + dice.roll(6);
    parts.push_str(&format!(
        "part wish is unit fills {} {{\n  ratio {ratio}\n{a}{b}  offer 50 EUR, wait 1 days\n}}\n",
        PLACES[wish]
    ));
    candidates[wish] = vec![Candidate { statement: None, cost: 0, days: 0, changes: 0 }];
    let budget = (dice.roll(3) == 0).then(|| 50 + 10 * dice.roll(12));
    let money = budget.map(|it| format!("  budget {it} EUR\n")).unwrap_or_default();
    text.push_str(&parts);
    text.push_str(&format!(
        "vehicle van is Ruff {{ built 2012-04 }}\nvehicle breaker is Ruff {{ built 2013-04{has}, price 0 EUR }}\n\
         conversion easy {{\n  recipient van\n  donor breaker\n{money}  fit wish\n}}\n"
    ));
    Case { text, candidates }
}

/// Every set of picks against which no check has anything to say: the least cost, wait and changes.
fn tried(case: &Case) -> Option<(u64, u64, u64)> {
    let mut host = Host::new();
    let path = "test.trunnion";
    host.set_file(path, &case.text);
    let end = case.text.rfind('}').expect("the conversion's end");
    let mut best: Option<(u64, u64, u64)> = None;
    let count: usize = case.candidates.iter().map(Vec::len).product();
    for mut nth in 0..count {
        let mut text = case.text.clone();
        let mut figures = (0, 0, 0);
        for all in &case.candidates {
            let it = &all[nth % all.len()];
            nth /= all.len();
            figures = (figures.0 + it.cost, figures.1.max(it.days), figures.2 + it.changes);
            if let Some(statement) = &it.statement {
                text.insert_str(end, &format!("  {statement}\n"));
            }
        }
        host.set_file(path, &text);
        let id = conversions(&host, &[path.to_owned()])[0];
        let clashes = of_world(host.db(), host.workspace(), id, None);
        if clashes.iter().all(|it| it.outcome != Outcome::Clash) {
            best = Some(best.map_or(figures, |it| it.min(figures)));
        }
    }
    best
}

#[test]
fn plans_are_as_good_as_the_best_of_all() {
    let (mut possible, mut impossible, mut bought) = (0, 0, 0);
    for seed in 1..=80 {
        let case = case(seed);
        let mut host = Host::new();
        host.set_file("test.trunnion", &case.text);
        let id = conversions(&host, &["test.trunnion".to_owned()])[0];
        let made = plan(&mut host, id, None, None, &|_| true).expect("a conversion that can be read");
        assert_eq!(host.text("test.trunnion").map(|it| &**it), Some(case.text.as_str()), "seed {seed}");
        match tried(&case) {
            None => {
                impossible += 1;
                assert!(
                    made.contradiction.is_some(),
                    "seed {seed}: a plan where there is none\n{}",
                    case.text
                );
            }
            Some(best) => {
                possible += 1;
                bought += u64::from(best.0 > 0);
                assert!(made.is_whole(), "seed {seed}: {:?}\n{}", made.contradiction, case.text);
                let total = &made.total;
                let got = (total.cost.1 / 100, total.wait / 1440, total.changes as u64);
                assert_eq!(got, best, "seed {seed}\n{}", case.text);
                assert!(made.proven, "seed {seed}");
            }
        }
    }
    // The cases are of all sorts, or the test says little.
    assert!(possible > 20 && impossible > 20 && bought > 5, "{possible} {impossible} {bought}");
}
