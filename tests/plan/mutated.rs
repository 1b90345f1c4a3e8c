//! Plans of conversions from which lines were taken at random: the text comes back as it was, what is written
//! reads well, and a plan that calls itself whole has no clash.

use trunnion_check::run::of_world;
use trunnion_model::verdict::Outcome;
use trunnion_model::world::conversion;
use trunnion_plan::conversions;
use trunnion_plan::plan::plan;
use trunnion_tests::loaded;

/// Knuth's multiplicative step, as in MMIX.
fn step(seed: u64) -> u64 {
    seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407)
}

/// A file without some of its lines that are not structure.
fn thinned(text: &str, seed: u64) -> String {
    let mut state = step(seed);
    let lines = text.lines().filter(|line| {
        state = step(state);
        let line = line.trim();
        let structure = line.ends_with('{') || line.starts_with('}') || line.starts_with("recipient");
        structure || !(state >> 33).is_multiple_of(12)
    });
    lines.fold(String::new(), |all, it| all + it + "\n")
}

fn hold(folder: &str, path: &str, thin: &str, seed: u64) -> bool {
    let mut files = loaded::files(folder);
    for (name, text) in &mut files {
        if name == thin {
            *text = thinned(text, seed);
        }
    }
    let mut host = loaded::host(&files);
    let Some(id) = conversions(&host, &[path.to_owned()]).first().copied() else { return false };
    let before = host.text(path).map(|it| it.to_string());
    let way = conversion(host.db(), id).filter(|it| !it.ways.is_empty()).map(|_| 0);
    let Some(made) = plan(&mut host, id, way, None, &|_| true) else { return false };
    let told = format!("{path} without some of {thin}, seed {seed}");
    assert_eq!(host.text(path).map(|it| it.to_string()), before, "{told}");
    if made.contradiction.is_some() {
        assert_eq!(made.before, made.after, "{told}");
        return false;
    }
    host.set_file(path, &made.after);
    let id = conversions(&host, &[path.to_owned()])[0];
    let clashes = of_world(host.db(), host.workspace(), id, way);
    let clashes: Vec<&str> =
        clashes.iter().filter(|it| it.outcome == Outcome::Clash).map(|it| it.message.as_str()).collect();
    let expected: Vec<&str> = made.clashes.iter().map(|it| it.message.as_str()).collect();
    assert_eq!(clashes, expected, "{told}\n{}", made.after);
    assert_eq!(trunnion_syntax::layout::tidy(&made.after), made.after, "{told}");
    !made.steps.is_empty()
}

#[test]
fn what_a_plan_says_of_itself_is_what_the_checks_say_of_its_text() {
    let seeds: u64 = std::env::var("TRUNNION_SEEDS").ok().and_then(|it| it.parse().ok()).unwrap_or(2);
    let mut planned = 0;
    for seed in 1..=seeds {
        let van = "examples/easy_van";
        let first = "first_written/easy_van.trunnion";
        planned += usize::from(hold(van, first, first, seed));
        planned += usize::from(hold(van, "easy_van.trunnion", "easy_van.trunnion", seed));
        planned += usize::from(hold(van, first, "catalogue/electrics.trunnion", seed));
        let engine = "examples/later_engine";
        planned += usize::from(hold(engine, "later_engine.trunnion", "later_engine.trunnion", seed));
    }
    assert!(planned > 2, "{planned}");
}
