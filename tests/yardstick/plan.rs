//! How long a plan takes: 200 open picks of 10 candidates, with all checks; 300 nets among 2,000 wires.

use std::fmt::Write;
use std::time::Instant;

use trunnion_model::db::Host;
use trunnion_model::world::world;
use trunnion_plan::conversions;
use trunnion_plan::loom::loom;
use trunnion_plan::plan::plan;

/// Knuth's multiplicative step, as in MMIX.
struct Draw(u64);

impl Draw {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }
}

/// 200 places with what sits there and nine offers each. A part in one more place demands something of
/// every second of them, and half of the offers something of the place beside.
fn specification(places: usize) -> String {
    let mut draw = Draw(7);
    let mut text =
        String::from("kind unit { asks ratio }\nmeasure ratio\nfamily Ruff {\n  built 2009-06 to 2018-12\n");
    for nth in 0..places {
        let _ = writeln!(text, "  place p{nth} is unit");
    }
    text.push_str("  place centre is unit\n}\n");
    for nth in 0..places {
        let _ = writeln!(text, "part p{nth}_old is unit fills p{nth} {{ fitted on Ruff, ratio 1 }}");
        for offer in 0..9 {
            let beside = nth % 4 != 3 && draw.below(2) == 0;
            let needs = match beside {
                true => format!(", needs p{}.ratio >= {}", nth + 1, 2 + draw.below(3)),
                false => String::new(),
            };
            let _ = writeln!(
                text,
                "part p{nth}_{offer} is unit fills p{nth} {{ ratio {}{needs}, offer {} EUR, wait {} days }}",
                2 + draw.below(5),
                10 + draw.below(90),
                1 + draw.below(30)
            );
        }
    }
    text.push_str("part wish is unit fills centre {\n  ratio 3\n");
    for nth in (0..places).step_by(2) {
        let _ = writeln!(text, "  needs p{nth}.ratio >= 3");
    }
    text.push_str("  offer 10 EUR, wait 1 days\n}\nvehicle van is Ruff { built 2012-04 }\n");
    text.push_str("conversion easy { recipient van, fit wish }\n");
    text
}

/// 2,000 wires in 40 zones, and 300 signals that want a way.
fn wired() -> String {
    let mut draw = Draw(11);
    let mut text = String::from("family Ruff {\n  built 2009-06 to 2018-12\n");
    let zones: Vec<String> = (0..40).map(|nth| format!("z{nth}")).collect();
    let _ = writeln!(text, "  zone {}", zones.join(", "));
    for nth in 1..40_u64 {
        let _ = writeln!(text, "  run z{} to z{nth} {} m", draw.below(nth), 1 + draw.below(3));
    }
    for nth in 0..30 {
        let _ = writeln!(text, "  run z{} to z{} 2 m", nth, (nth * 7 + 3) % 40);
    }
    for nth in 0..20 {
        let _ = writeln!(
            text,
            "  place old{nth} is engine_controller in z{nth}\n  place new{nth} is engine_controller in z{}",
            39 - nth
        );
    }
    text.push_str("}\n");
    for nth in 0..20 {
        let pins = |sort: &str, count: usize, way: &str| -> String {
            (1..=count)
                .fold(String::new(), |all, pin| all + &format!("    {pin} {sort} s{nth}_{pin} {way}\n"))
        };
        let _ = writeln!(
            text,
            "module old_unit{nth} is engine_controller fills old{nth} {{\n  fitted on Ruff\n  plug A {{\n{}  }}\n}}",
            pins("signal", 100, "out")
        );
        let _ = writeln!(
            text,
            "module new_unit{nth} is engine_controller fills new{nth} {{\n  plug B {{\n{}  }}\n  offer 10 EUR\n}}",
            pins("signal", 15, "in")
        );
    }
    text.push_str("loom main of Ruff {\n");
    for nth in 0..20 {
        for pin in 1..=100 {
            let _ = writeln!(text, "  splice S{nth}_{pin} at z{nth}");
            let _ = writeln!(text, "  wire old{nth}.A[{pin}] to S{nth}_{pin} 0.5 mm2 GN by z{nth}");
        }
    }
    text.push_str("}\nvehicle van is Ruff { built 2012-04 }\nconversion easy {\n  recipient van\n");
    for nth in 0..20 {
        let _ = writeln!(text, "  fit new_unit{nth}");
    }
    text.push_str("}\n");
    text
}

/// Prints both.
pub fn measure() {
    println!("\na plan:");
    for places in [50, 100, 200] {
        let mut host = Host::new();
        host.set_file("made.trunnion", &specification(places));
        let id = conversions(&host, &["made.trunnion".to_owned()])[0];
        let start = Instant::now();
        let made = plan(&mut host, id, None, None, &|_| true).expect("a plan or a reason");
        println!(
            "  {places} picks of 10 candidates: {:.2?}; {} texts judged, {} places change, {}, {}",
            start.elapsed(),
            made.judged,
            made.total.changes,
            if made.is_whole() { "whole" } else { "not whole" },
            if made.proven { "proven best" } else { "not proven" }
        );
    }
    let mut host = Host::new();
    host.set_file("made.trunnion", &wired());
    let id = conversions(&host, &["made.trunnion".to_owned()])[0];
    let (db, workspace) = (host.db(), host.workspace());
    let found = world(db, workspace, id.item, id.nth, None).expect("a conversion");
    let start = Instant::now();
    let made = loom(db, workspace, &found, &|| true);
    println!(
        "  the wiring of {} nets among {} wires: {:.2?}; {}",
        made.changes.len(),
        found.wires.len(),
        start.elapsed(),
        if made.exact { "proven least" } else { "not proven" }
    );
}
