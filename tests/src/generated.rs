//! Makes specifications of any size, always the same for the same size.

use std::fmt::Write;

/// A made workspace.
pub struct Workspace {
    /// Path and text of each file.
    pub files: Vec<(String, String)>,
    /// The file in which keystrokes are measured.
    pub edited: usize,
    /// The files whose verdicts an editor would show then.
    pub shown: Vec<String>,
}

/// The places of a made family, with the kind of each.
const PLACES: [(&str, &str); 10] = [
    ("engine", "engine"),
    ("flywheel", "flywheel"),
    ("clutch", "clutch"),
    ("gearbox", "gearbox"),
    ("propshaft", "propshaft"),
    ("final_drive", "final_drive"),
    ("selector", "selector"),
    ("brake_controller", "brake_controller"),
    ("gearbox_controller", "gearbox_controller"),
    ("body_controller", "body_controller"),
];

/// A workspace of about so many lines: families of about 2,500 lines, each with its parts,
/// modules, looms, a vehicle, a donor and a conversion.
pub fn workspace(lines: usize) -> Workspace {
    let each = 2_500;
    let families = lines.div_ceil(each).max(1);
    let per_family = lines / families;
    let mut files = vec![("sources.trunnion".to_owned(), sources())];
    for nth in 0..families {
        family(nth, per_family, &mut files);
    }
    let edited = files.iter().position(|it| it.0.ends_with("driveline_0.trunnion")).unwrap_or(0);
    let folder = files[edited].0.split('/').next().unwrap_or_default().to_owned();
    let shown = vec![files[edited].0.clone(), format!("{folder}/conversion.trunnion")];
    Workspace { files, edited, shown }
}

fn sources() -> String {
    "source manual \"Workshop manual\" documented 2016-03\nsource bench \"Measured\" measured 2026-02-11\n"
        .to_owned()
}

fn family(nth: usize, lines: usize, files: &mut Vec<(String, String)>) {
    let name = format!("Family{nth}");
    let folder = format!("family{nth}");
    let mut text = String::from("use \"../sources\"\n\n");
    let _ = writeln!(
        text,
        "family {name} {{\n  built 2009-06 to 2018-12   per manual\n  driven rear\n  frame unitary\n  option gearbox is manual_five, auto_six"
    );
    for (place, kind) in PLACES {
        let _ = writeln!(text, "  place {place} is {kind}");
    }
    text.push_str("  joint engine.crank to flywheel.crank\n  joint engine.rear to gearbox.front\n  joint gearbox.tail to propshaft.front\n  joint propshaft.rear to final_drive.nose\n  bus drive is CAN at 500 kbit/s\n  zone bay, cabin\n  run bay to cabin 2.1 m through bulkhead, bore 22 mm\n}\n\npattern flange_96 { holes 4 on 96 mm, thread M10x1.5 }\npattern bell { holes 8 on 320 mm, thread M10x1.5 }\npattern crank_six { holes 6 on 76 mm, thread M12x1.5, register 44 mm H7 }\nconnector shell38 { cavities 38, terminal blade_15, sealed }\n");
    files.push((format!("{folder}/family.trunnion"), text));
    // The rest of the lines are parts and modules, in files of a few hundred lines.
    let mut left = lines.saturating_sub(60);
    let (mut count, mut file) = (0, 0);
    while left > 40 {
        let mut text = String::from("use \"family\"\n");
        let mut room = 500.min(left);
        while room > 12 {
            let (place, kind) = PLACES[count % PLACES.len()];
            let before = text.lines().count();
            if kind.ends_with("controller") {
                module(&mut text, &name, place, kind, count);
            } else {
                part(&mut text, &name, place, kind, count);
            }
            let used = text.lines().count() - before;
            room = room.saturating_sub(used);
            left = left.saturating_sub(used);
            count += 1;
        }
        files.push((format!("{folder}/driveline_{file}.trunnion"), text));
        file += 1;
    }
    let uses: String = (0..file).map(|it| format!("use \"driveline_{it}\"\n")).collect();
    let conversion = format!(
        "{uses}\nvehicle van is {name} {{ built 2012-04 per bench, gearbox manual_five }}\nvehicle breaker is {name} {{ built 2015-09, gearbox auto_six, price 1450 EUR }}\nconversion change {{\n  recipient van\n  donor breaker\n  take gearbox, gearbox_controller from breaker\n}}\n"
    );
    files.push((format!("{folder}/conversion.trunnion"), conversion));
}

/// The months of the window are shared out: only the first of each place is on the van.
fn window(count: usize) -> String {
    let round = count / PLACES.len();
    match round {
        0 => "to 2013-08".to_owned(),
        1 => "from 2013-09".to_owned(),
        _ => format!("from {}-01 to {}-12", 2030 + round, 2030 + round),
    }
}

fn part(text: &mut String, family: &str, place: &str, kind: &str, count: usize) {
    let _ = write!(
        text,
        "\npart {place}_{count} \"{place} no {count}\" is {kind} fills {place} {{\n  fitted on {family} {}   per manual\n  mass 47 kg   per manual\n  torque limit {} Nm   per manual\n",
        window(count),
        300 + count % 90
    );
    match place {
        "engine" => text.push_str("  face crank is crank_six\n  face rear is bell\n  peak torque 340 Nm per manual\n"),
        "flywheel" => text.push_str("  face crank is crank_six\n  teeth 132\n"),
        "gearbox" => text.push_str("  face front is bell\n  face tail is flange_96\n  ratios 4.3, 2.4, 1.5, 1.1, 0.8\n  needs final_drive.ratio = 3.69 within 2 %   per manual\n"),
        "propshaft" => text.push_str("  face front is flange_96\n  face rear is flange_96\n  length 1420 mm ± 2 mm   per manual\n  plunge 12 mm\n"),
        "final_drive" => text.push_str("  face nose is flange_96\n  ratio 3.69   per manual\n"),
        _ => text.push_str("  condition \"used\"\n"),
    }
    text.push_str("}\n");
}

fn module(text: &mut String, family: &str, place: &str, kind: &str, count: usize) {
    let _ = write!(
        text,
        "\nmodule {place}_{count} \"{place} no {count}\" is {kind} fills {place} {{\n  fitted on {family} {}   per manual\n  plug B1 is shell38 {{\n    1 supply 12 V draw 20 A\n    2 ground\n    14 can_high drive\n    15 can_low drive\n",
        window(count)
    );
    for n in 16..26 {
        let _ = writeln!(text, "    {n} signal line_{n}");
    }
    let _ = write!(
        text,
        "  }}\n  sends message_{count} on drive every 10 ms\n}}\n\nloom loom_{count} of {family} {{\n  fitted {}   per manual\n",
        window(count)
    );
    for n in 16..26 {
        let _ =
            writeln!(text, "  wire {place}.B1[{n}] to body_controller.B1[{n}]  0.5 mm2 GN  by bay, cabin");
    }
    text.push_str("}\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_size_gives_the_same_text_of_about_that_many_lines() {
        let made = workspace(10_000);
        assert_eq!(made.files, workspace(10_000).files);
        let lines: usize = made.files.iter().map(|it| it.1.lines().count()).sum();
        assert!((8_000..12_000).contains(&lines), "{lines}");
    }
}
