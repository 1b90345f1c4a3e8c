//! What is said about the writing itself, each with its page: what it means, an example, the mend.
//!
//! These are no checks on a vehicle. They say that a line cannot be read, a name leads nowhere, a
//! figure has the wrong unit, a file cannot be used.

/// A page about something that is said of the writing.
pub struct Told {
    /// The stable name.
    pub name: &'static str,
    /// What it means, in a sentence or two.
    pub means: &'static str,
    /// A file of which it is said; empty where no text alone shows it.
    pub wrong: &'static str,
    /// The same, mended.
    pub right: &'static str,
    /// How it is mended.
    pub mend: &'static str,
}

const VAN: &str = "vehicle van { kind panel_van, rear driven, built 2012-04 }";

/// All of them, in order of name.
pub static TOLD: &[Told] = &[
    Told {
        name: "accept/idle",
        means: "An `accept` names a check and a subject of which no check says anything. Most often one of the two is misspelt, or the point was settled since.",
        wrong: "vehicle van { kind panel_van, rear driven, built 2012-04 }\nconversion easy { recipient van\n  accept fit/lenght propshaft by \"M. O.\" because \"measured\" }",
        right: "vehicle van { kind panel_van, rear driven, built 2012-04 }\nconversion easy { recipient van }",
        mend: "Write the name of the check and the subject as the verdict shows them, or take the line out.",
    },
    Told {
        name: "file/encoding",
        means: "The file is not saved as UTF-8: some of its bytes stand for no letter.",
        wrong: "",
        right: "",
        mend: "Save the file as UTF-8 in your editor. What cannot be read is left alone; `tidy` does not touch the file.",
    },
    Told {
        name: "file/reading",
        means: "The file is there and could not be read: it may be open elsewhere, or you may not have leave to read it.",
        wrong: "",
        right: "",
        mend: "Look at who owns the file and who may read it.",
    },
    Told {
        name: "file/size",
        means: "The file is larger than a specification can be; it is most likely something else with this ending.",
        wrong: "",
        right: "",
        mend: "Part it into several files that `use` one another, or give it another ending.",
    },
    Told {
        name: "name/scheme",
        means: "The vehicle names no family, and its kind and driven axle fit none of the shipped general schemes, so that nobody knows which places it has.",
        wrong: "vehicle van { built 2012-04 }",
        right: VAN,
        mend: "Say what kind of vehicle it is and which axle is driven, or name its family: `vehicle van is FAMILY`.",
    },
    Told {
        name: "name/twice",
        means: "Two declarations of the same sort have the same name, so that a use of it could mean either.",
        wrong: "vehicle van { kind panel_van, rear driven, built 2012-04 }\nvehicle van { kind panel_van, rear driven, built 2015-09 }",
        right: "vehicle van { kind panel_van, rear driven, built 2012-04 }\nvehicle breaker { kind panel_van, rear driven, built 2015-09 }",
        mend: "Give one of the two another name, or put what both say into one.",
    },
    Told {
        name: "name/unknown",
        means: "A name leads nowhere: nothing of that sort is declared in this file, in those it uses, or in the shipped library.",
        wrong: "vehicle van { kind panel_wan, rear driven, built 2012-04 }",
        right: VAN,
        mend: "Write the name as it is declared; the nearest one is offered. A measure of your own is declared with `measure NAME in UNIT`.",
    },
    Told {
        name: "name/unused-file",
        means: "The name is declared in a file of the workspace that this one does not use.",
        wrong: "",
        right: "",
        mend: "Add the line `use \"…\"` that the message shows.",
    },
    Told {
        name: "unit/dimension",
        means: "The figure measures something other than is asked for: a mass in volts, a length in kilograms.",
        wrong: "part box { mass 86 V }",
        right: "part box { mass 86 kg }",
        mend: "Write the figure in the unit of the measure, or in another of the same dimension; `trunnion explain MEASURE` names it.",
    },
    Told {
        name: "unit/figure",
        means: "The figure itself makes no sense: its ends run downwards, its tolerance is below zero or of another dimension, it lies below absolute zero.",
        wrong: "part box { length 20 mm to 10 mm }",
        right: "part box { length 10 mm to 20 mm }",
        mend: "Write the smaller end first; give a tolerance the unit of its figure, or a share in %.",
    },
    Told {
        name: "unit/missing",
        means: "The figure has no unit, and what it measures needs one. A bare number is never taken for millimetres or for anything else.",
        wrong: "part box { mass 86 }",
        right: "part box { mass 86 kg }",
        mend: "Add the unit; the usual one is offered.",
    },
    Told {
        name: "use/circle",
        means: "The file uses itself, by way of others or directly, so that none of them can be read first.",
        wrong: "use \"example\"",
        right: "// nothing is used",
        mend: "Take one `use` out; put what both need into a third file.",
    },
    Told {
        name: "use/missing",
        means: "`use` names a file that is not in the workspace.",
        wrong: "use \"catalogue/dunlin\"",
        right: "// nothing is used",
        mend: "Write the path from this file, without the ending `.trunnion`; the nearest file is offered.",
    },
    Told {
        name: "use/outside",
        means: "`use` names a path that leaves the workspace. Only files inside it are read, so that a specification can be handed on whole.",
        wrong: "use \"../../elsewhere/dunlin\"",
        right: "// nothing is used",
        mend: "Copy the file into the workspace, or mark a folder above both as its root with an empty file `trunnion.root`.",
    },
    Told {
        name: "write/brace",
        means: "A block is opened and not closed, closed and not opened, or nested deeper than can be read.",
        wrong: "part box { mass 86 kg",
        right: "part box { mass 86 kg }",
        mend: "Put the missing brace where the block ends, or take the lone one out.",
    },
    Told {
        name: "write/bracket",
        means: "A bracket has no partner, stands after a blank, or holds nothing. Square brackets hold a cavity or the place in a list and stand directly after a name; round ones hold the values of a function or part of a condition.",
        wrong: "part box { needs (engine.mass > 3 kg }",
        right: "part box { needs (engine.mass > 3 kg) }",
        mend: "Close the bracket, or take it out; `van.B1 [8]` is written `van.B1[8]`.",
    },
    Told {
        name: "write/character",
        means: "A character belongs to nothing in the language, or cannot be seen and turns the direction of writing.",
        wrong: "part box { mass 86 kg ; }",
        right: "part box { mass 86 kg }",
        mend: "Take it out. A line ends by itself; several statements on one line have commas between.",
    },
    Told {
        name: "write/coil",
        means: "What is said of a contact's coil is half: one end of it only, or both `with` and `without`.",
        wrong: "part cube { plug K { 1 coil pull in, 2 ground, 3 supply 12 V in, 4 supply 12 V out }, contact K[3] to K[4] with coil K[1] }",
        right: "part cube { plug K { 1 coil pull in, 2 ground, 3 supply 12 V in, 4 supply 12 V out }, contact K[3] to K[4] with coil K[1], K[2] }",
        mend: "Name the two cavities of the coil; write one line for the contact that closes and one for that which opens.",
    },
    Told {
        name: "write/comma",
        means: "A comma parts nothing: it stands first, last in a block, or beside another.",
        wrong: "part box { , mass 86 kg }",
        right: "part box { mass 86 kg }",
        mend: "Take it out.",
    },
    Told {
        name: "write/date",
        means: "The date is written another way than year first, or no calendar has it.",
        wrong: "part box { fitted from 04/2012 }",
        right: "part box { fitted from 2012-04 }",
        mend: "Write `2012-04` for a month, `2012-04-30` for a day. Where day and month could be taken for one another, choose one of the two that are shown.",
    },
    Told {
        name: "write/decimal-comma",
        means: "The number has a decimal comma. Commas part the values of a list here.",
        wrong: "part box { mass 86,5 kg }",
        right: "part box { mass 86.5 kg }",
        mend: "Write a point; if thousands were meant, write the number without marks.",
    },
    Told {
        name: "write/expression",
        means: "The condition cannot be read: a side is missing, a word belongs to nothing, or it nests deeper than can be read.",
        wrong: "part box { needs engine.mass > }",
        right: "part box { needs engine.mass > 3 kg }",
        mend: "A condition compares a figure (`engine.mass > 3 kg`, `road_speed(…) <= 130 km/h`) or says what is there (`clutch fitted`, `gearbox is automatic_gearbox`, `gearbox has cooler_out`, `brake_controller sends torque_cut`).",
    },
    Told {
        name: "write/missing",
        means: "The statement begins well and lacks something that it cannot do without.",
        wrong: "vehicle van { kind panel_van, rear driven, built 2012-04 }\nconversion easy { budget 2600 EUR }",
        right: "vehicle van { kind panel_van, rear driven, built 2012-04 }\nconversion easy { recipient van, budget 2600 EUR }",
        mend: "Write what the message asks for; it shows the whole form of the statement.",
    },
    Told {
        name: "write/number",
        means: "The number is written in a way that could be misread: marks or blanks between thousands, a dash for a range, no blanks in a list; or a whole number is wanted.",
        wrong: "part box { length 690-694 mm }",
        right: "part box { length 690 to 694 mm }",
        mend: "Write thousands without marks, a range with `to`, a list with a blank after each comma.",
    },
    Told {
        name: "write/path",
        means: "A name is missing after a dot.",
        wrong: "part box { needs engine. > 3 kg }",
        right: "part box { needs engine.mass > 3 kg }",
        mend: "Write what is meant of the place, or take the dot out.",
    },
    Told {
        name: "write/rest",
        means: "The statement is complete, and something that does not belong to it follows.",
        wrong: "part box { mass 86 kg heavy }",
        right: "part box { mass 86 kg }",
        mend: "Take the rest out, or put a comma before it where it is a statement of its own. The message lists what may follow.",
    },
    Told {
        name: "write/statement",
        means: "No statement begins like this in this place.",
        wrong: "vehicel van { kind panel_van, rear driven, built 2012-04 }",
        right: VAN,
        mend: "Write the word that leads the statement; the nearest one is offered, or the message says where the word does stand.",
    },
    Told {
        name: "write/text",
        means: "A text is not closed, stands in curled quotes, or should stand in quotes.",
        wrong: "part box “the box” { mass 86 kg }",
        right: "part box \"the box\" { mass 86 kg }",
        mend: "Write straight quotes around it, on one line.",
    },
    Told {
        name: "write/unit",
        means: "The unit is written another way, or stands before its number.",
        wrong: "part box { peak torque 300 nm }",
        right: "part box { peak torque 300 Nm }",
        mend: "Write it as the message shows. Upper and lower case tell units apart: `Nm` is a torque.",
    },
];

/// The page of that name, as Markdown.
pub fn page(name: &str) -> Option<String> {
    let it = TOLD.iter().find(|it| it.name == name)?;
    let mut page = format!("# {}\n\n{}\n", it.name, it.means);
    if !it.wrong.is_empty() {
        page.push_str(&format!("\n## An example\n\n```trunnion\n{}\n```\n", it.wrong));
        page.push_str(&format!("\n## The same mended\n\n```trunnion\n{}\n```\n", it.right));
    }
    page.push_str(&format!("\n## The mend\n\n{}\n", it.mend));
    Some(page)
}

#[cfg(test)]
mod tests {
    use super::*;
    use trunnion_check::run::verdicts_of;
    use trunnion_model::db::Host;

    /// The names of what is said of a text, as a file of its own.
    fn said(text: &str) -> Vec<&'static str> {
        let mut host = Host::new();
        host.set_file("example.trunnion", text);
        let file = host.file("example.trunnion").expect("just set");
        let known = |it: &&str| TOLD.iter().any(|told| told.name == *it);
        verdicts_of(host.db(), host.workspace(), file).iter().map(|it| it.check).filter(known).collect()
    }

    #[test]
    fn every_example_shows_what_it_is_for_and_its_mend_does_not() {
        for it in TOLD.iter().filter(|it| !it.wrong.is_empty()) {
            assert!(said(it.wrong).contains(&it.name), "{}: {:?}", it.name, said(it.wrong));
            assert_eq!(said(it.right), [] as [&str; 0], "{}", it.name);
        }
    }

    #[test]
    fn the_list_is_in_order() {
        assert!(TOLD.windows(2).all(|it| it[0].name < it[1].name));
        assert!(TOLD.iter().all(|it| it.means.ends_with('.') && it.mend.ends_with('.')));
    }
}
