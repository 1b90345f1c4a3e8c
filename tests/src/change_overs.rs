//! A family with many change-over dates, always the same for the same size.

use std::fmt::Write;

/// How the options are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Options {
    /// One option of so many values.
    Values(usize),
    /// So many options of two values.
    Pairs(usize),
}

/// The places of the family, with the kind of each.
const PLACES: [(&str, &str); 8] = [
    ("engine", "engine"),
    ("flywheel", "flywheel"),
    ("clutch", "clutch"),
    ("gearbox", "gearbox"),
    ("propshaft", "propshaft"),
    ("final_drive", "final_drive"),
    ("selector", "selector"),
    ("brake_controller", "brake_controller"),
];

/// One file: a family with so many change-over dates, each of one part under one value of one option; a vehicle, a
/// donor, and a conversion that takes the donor's gearbox.
pub fn specification(dates: usize, options: Options) -> String {
    let mut text = String::from(
        "source manual \"Workshop manual\" documented 2016-03\n\nfamily Dunlin {\n  built 2000-01 to 2018-12  per manual\n  driven rear\n  frame unitary\n",
    );
    let all: Vec<(String, usize)> = match options {
        Options::Values(many) => vec![("engine_size".to_owned(), many)],
        Options::Pairs(many) => (0..many).map(|nth| (format!("option_{nth}"), 2)).collect(),
    };
    for (name, many) in &all {
        let values: Vec<String> = (0..*many).map(|it| format!("{name}_{it}")).collect();
        let _ = writeln!(text, "  option {name} is {}", values.join(", "));
    }
    for (place, kind) in PLACES {
        let _ = writeln!(text, "  place {place} is {kind}");
    }
    text.push_str("  joint engine.crank to flywheel.crank\n  joint engine.rear to gearbox.front\n  joint gearbox.tail to propshaft.front\n  joint propshaft.rear to final_drive.nose\n}\n\npattern flange_96 { holes 4 on 96 mm, thread M10x1.5 }\npattern bell { holes 8 on 320 mm, thread M10x1.5 }\npattern crank_six { holes 6 on 76 mm, thread M12x1.5, register 44 mm H7 }\n");
    // Each value of each option has its own line of parts in one place after another; the change-overs are dealt
    // out among them, a month each.
    let values: Vec<(String, String)> = all
        .iter()
        .flat_map(|(name, many)| (0..*many).map(move |it| (name.clone(), format!("{name}_{it}"))))
        .collect();
    let mut last: Vec<Option<String>> = vec![None; values.len() * PLACES.len()];
    for nth in 0..dates {
        let at = nth % last.len();
        let (option, value) = &values[at % values.len()];
        let (place, kind) = PLACES[at / values.len() % PLACES.len()];
        let month = month(nth + 1);
        let from = last[at].as_ref().map(|it| format!(" from {it}")).unwrap_or_default();
        part(
            &mut text,
            place,
            kind,
            nth,
            &format!("fitted on Dunlin{from} to {} with {option} {value}", month.0),
        );
        last[at] = Some(month.1);
    }
    let _ = write!(text, "\nvehicle van is Dunlin {{\n  built 2012-04  per manual\n");
    for (name, _) in &all {
        let _ = writeln!(text, "  {name} {name}_0");
    }
    text.push_str("}\npart gearbox_new is gearbox fills gearbox { suits gearbox of Dunlin, face front is bell, face tail is flange_96, offer 900 EUR }\nvehicle breaker is Dunlin { built 2015-09, has gearbox gearbox_new, price 1450 EUR }\nconversion change {\n  recipient van\n  donor breaker\n  take gearbox from breaker\n}\n");
    text
}

/// The last month before the change-over of that number, and the month of it.
fn month(nth: usize) -> (String, String) {
    let of = |nth: usize| format!("{:04}-{:02}", 2000 + nth / 12, 1 + nth % 12);
    (of(nth - 1), of(nth))
}

fn part(text: &mut String, place: &str, kind: &str, nth: usize, window: &str) {
    let _ = write!(
        text,
        "\npart {place}_{nth} \"{place} no {nth}\" is {kind} fills {place} {{\n  {window}  per manual\n  mass {} kg  per manual\n",
        40 + nth % 7
    );
    match place {
        "engine" => text
            .push_str("  face crank is crank_six\n  face rear is bell\n  peak torque 340 Nm  per manual\n"),
        "flywheel" => text.push_str("  face crank is crank_six\n  teeth 132\n"),
        "gearbox" => text.push_str("  face front is bell\n  face tail is flange_96\n"),
        "propshaft" => text.push_str("  face front is flange_96\n  face rear is flange_96\n"),
        "final_drive" => text.push_str("  face nose is flange_96\n  ratio 3.69  per manual\n"),
        _ => text.push_str("  condition \"used\"\n"),
    }
    text.push_str("}\n");
}
