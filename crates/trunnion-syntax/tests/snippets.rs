//! What is told of a text, where, and how it is mended: snippets with the diagnostics marked
//! under the offending text, word for word as a user reads them.
#![allow(missing_docs, reason = "a test has no readers but its own")]

use trunnion_syntax::form::statements;
use trunnion_syntax::layout::tidy;
use trunnion_syntax::parse::parse;
use trunnion_syntax::tree::{Line, Mend, SyntaxError};

fn read(context: &str, lines: &[Line], errors: &mut Vec<SyntaxError>) {
    for statement in statements(context, lines, errors) {
        if let (Some(context), Some(block)) = (statement.form.block, statement.block) {
            read(context, &block.lines, errors);
        }
    }
}

/// All that is told of a file.
fn errors(text: &str) -> Vec<SyntaxError> {
    let tree = parse(text);
    let mut errors = tree.errors;
    read("file", &tree.lines, &mut errors);
    errors.sort_by_key(|it| it.span);
    errors
}

fn is_mark(line: &str) -> bool {
    line.trim_start_matches('/').trim_start().starts_with('^')
}

/// The text with a line of marks under each line that something is told of.
fn marked(text: &str) -> String {
    let errors = errors(text);
    let mut out = String::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let end = start + line.len();
        out.push_str(line);
        for error in errors.iter().filter(|it| (start..end).contains(&(it.span.start as usize))) {
            let from = error.span.start as usize;
            let to = (error.span.end as usize).min(start + line.trim_end().len()).max(from);
            let column = text[start..from].chars().count();
            let marks = "^".repeat(text[from..to].chars().count().max(1));
            let lead = if column < 2 { " ".repeat(column) } else { format!("//{}", " ".repeat(column - 2)) };
            out.push_str(&format!("{lead}{marks} {}: {}\n", error.name, error.message));
        }
        start = end;
    }
    out
}

/// The text with every mend done.
fn mended(text: &str) -> String {
    let mut mends: Vec<Mend> = errors(text).into_iter().filter_map(|it| it.mend).collect();
    mends.sort_by_key(|it| it.span);
    assert!(mends.windows(2).all(|it| it[0].span.end <= it[1].span.start), "no two mends of one place");
    let mut out = text.to_owned();
    for mend in mends.iter().rev() {
        out.replace_range(mend.span.range(), &mend.text);
    }
    out
}

/// Exactly what is marked is told.
#[track_caller]
fn told(snippet: &str) -> String {
    let snippet = &snippet[1..];
    let text: String = snippet.split_inclusive('\n').filter(|it| !is_mark(it)).collect();
    assert_eq!(marked(&text), snippet);
    text
}

/// Exactly what is marked is told, and the mends make the other text of it.
#[track_caller]
fn mends(snippet: &str, right: &str) {
    let text = told(snippet);
    assert_eq!(mended(&text), &right[1..]);
    let without = errors(&text).iter().filter(|it| it.mend.is_none()).count();
    assert_eq!(errors(right).len(), without, "what has a mend is told no more");
}

#[test]
fn decimal_commas_have_points() {
    mends(
        r#"
part box {
  mass 86,5 kg
//     ^^^^ write/decimal-comma: Decimals are written with a point: `86.5`.
  wait 0,5 weeks
//     ^^^ write/decimal-comma: Decimals are written with a point: `0.5`.
  offer 1,450 EUR
//      ^^^^^ write/decimal-comma: Decimals are written with a point: `1.450`. If thousands are meant, write `1450`.
}
"#,
        r#"
part box {
  mass 86.5 kg
  wait 0.5 weeks
  offer 1.450 EUR
}
"#,
    );
}

#[test]
fn numbers_have_no_marks_between_the_thousands() {
    mends(
        r#"
part box {
  mass 1'086 kg
//     ^^^^^ write/number: Numbers are written without marks between the thousands: `1086`.
  offer 1 450 EUR
//      ^^^^^ write/number: Numbers are written without blanks between the thousands: `1450`.
  offer 1.450,50 EUR
//      ^^^^^^^^ write/number: Numbers are written without marks between the thousands: `1450.50`.
  ratios 4,31,2
//       ^^^^^^ write/number: Decimals have a point, and a list has blanks after its commas: `4, 31, 2`.
}
"#,
        r#"
part box {
  mass 1086 kg
  offer 1450 EUR
  offer 1450.50 EUR
  ratios 4, 31, 2
}
"#,
    );
}

#[test]
fn a_range_is_written_with_to() {
    mends(
        r#"
part box {
  length 10-20 mm
//         ^ write/number: A range is written with `to`; a minus has blanks on both sides.
}
"#,
        r#"
part box {
  length 10 to 20 mm
}
"#,
    );
}

#[test]
fn numbers_out_of_reach() {
    told(
        r#"
part box {
  length 1e999 mm
//       ^^^^^ write/number: This number is too large.
  length 1/0 in
//       ^^^ write/number: This fraction divides by zero.
}
"#,
    );
}

#[test]
fn dates_are_written_year_first() {
    mends(
        r#"
vehicle van {
  built 04/2012
//      ^^^^^^^ write/date: A date is written year first: `2012-04`.
  ask by 14.08.2013
//       ^^^^^^^^^^ write/date: A date is written year first: `2013-08-14`.
  built 08/14/2013
//      ^^^^^^^^^^ write/date: A date is written year first: `2013-08-14`.
  built 2013-8
//      ^^^^^^ write/date: A date is written year first: `2013-08`.
}
log of van {
  02.03.2026 measured propshaft.length 1418 mm
//^^^^^^^^^^ write/date: A date is written year first: `2026-03-02`.
}
"#,
        r#"
vehicle van {
  built 2012-04
  ask by 2013-08-14
  built 2013-08-14
  built 2013-08
}
log of van {
  2026-03-02 measured propshaft.length 1418 mm
}
"#,
    );
}

#[test]
fn a_date_that_may_be_two_is_not_guessed() {
    told(
        r#"
vehicle van {
  built 04/08/2013
//      ^^^^^^^^^^ write/date: Day or month may stand first here: write `2013-08-04` or `2013-04-08`.
}
"#,
    );
}

#[test]
fn dates_that_no_calendar_has() {
    told(
        r#"
vehicle van {
  built 2013-13
//      ^^^^^^^ write/date: There is no month 13.
  ask by 2013-02-30
//       ^^^^^^^^^^ write/date: 2013-02 has no day 30.
}
"#,
    );
}

#[test]
fn units_have_one_spelling() {
    mends(
        r#"
part box {
  power 8 KW
//        ^^ write/unit: This unit is written `kW`.
  torque limit 40 ft lb
//                ^^^^^ write/unit: This unit is written `lbf ft`.
  mass 86kgs
//       ^^^ write/unit: This unit is written `kg`.
  length 3/4inch
//          ^^^^ write/unit: This unit is written `in`.
  offer €310
//      ^^^^ write/unit: The unit stands after the number: `310 EUR`.
  offer £80 from "a breaker"
//      ^^^ write/unit: The unit stands after the number: `80 GBP`.
  length 3/4"
//       ^^^^ write/unit: An inch is written `in`.
}
kind box { asks pull_out, tool "gauge" to 0.1 mm, takes 5 mins }
//                                                        ^^^^ write/unit: This unit is written `min`.
"#,
        r#"
part box {
  power 8 kW
  torque limit 40 lbf ft
  mass 86 kg
  length 3/4 in
  offer 310 EUR
  offer 80 GBP from "a breaker"
  length 3/4 in
}
kind box { asks pull_out, tool "gauge" to 0.1 mm, takes 5 min }
"#,
    );
}

#[test]
fn text_that_is_not_closed() {
    mends(
        r#"
part box "six-speed {
//       ^^^^^^^^^^ write/text: This text is not closed: a `"` is missing.
  drawback "hours unknown
//         ^^^^^^^^^^^^^^ write/text: This text is not closed: a `"` is missing.
  mass 86 kg
}
"#,
        r#"
part box "six-speed" {
  drawback "hours unknown"
  mass 86 kg
}
"#,
    );
}

#[test]
fn text_stands_in_straight_quotes() {
    mends(
        r#"
part box “six-speed” {
//       ^^^^^^^^^^^ write/text: Text stands in straight quotes: `"`.
  software 1.4.2
//         ^^^^^ write/text: This is written as text: `"1.4.2"`.
}
"#,
        r#"
part box "six-speed" {
  software "1.4.2"
}
"#,
    );
}

#[test]
fn a_block_that_is_not_closed() {
    mends(
        r#"
part box {
//       ^ write/brace: This block is not closed: `}` is missing.
  mass 86 kg
"#,
        r#"
part box {
  mass 86 kg
}
"#,
    );
}

#[test]
fn a_block_that_ends_where_another_part_begins() {
    mends(
        r#"
part box {
//       ^ write/brace: This block and 1 in it are not closed: `}` is missing.
  plug B1 {
    1 supply
part other { mass 3 kg }
"#,
        r#"
part box {
  plug B1 {
    1 supply
}
}
part other { mass 3 kg }
"#,
    );
}

#[test]
fn the_block_that_is_not_closed_is_told_by_its_indent() {
    told(
        r#"
part box {
  plug B1 {
//        ^ write/brace: This block is not closed: `}` is missing.
    1 supply
  face front
//^^^^ write/statement: `face` does not stand here, but inside a part or inside a module.
}
"#,
    );
}

#[test]
fn a_brace_that_closes_nothing() {
    mends(
        r#"
part box { mass 86 kg } }
//                      ^ write/brace: This closes nothing: there is no open block here.
part other { mass 3 kg }
}}
^^ write/brace: This closes nothing: there is no open block here.
"#,
        r#"
part box { mass 86 kg } 
part other { mass 3 kg }

"#,
    );
}

#[test]
fn brackets_that_do_not_pair() {
    mends(
        r#"
conversion a {
  move van.B1[8 to van.B1[11]
//           ^ write/bracket: This bracket is not closed: `]` is missing.
}
"#,
        r#"
conversion a {
  move van.B1[8] to van.B1[11]
}
"#,
    );
}

#[test]
fn brackets_that_pair_with_nothing() {
    mends(
        r#"
conversion a {
  remove gearbox]
//              ^ write/bracket: This closes nothing: there is no open bracket here.
  remove gearbox )
//               ^ write/bracket: This closes nothing: there is no open bracket here.
}
rule slow {
  when (vehicle.tows > 1500 kg
//     ^ write/bracket: This bracket is not closed: `)` is missing.
}
"#,
        r#"
conversion a {
  remove gearbox
  remove gearbox 
}
rule slow {
  when (vehicle.tows > 1500 kg
}
"#,
    );
}

#[test]
fn square_brackets_hold_a_cavity() {
    mends(
        r#"
conversion a {
  move van.B1 [8] to van.B1[11]
//            ^^^ write/bracket: Square brackets hold a cavity and stand directly after a plug: `van.B1[8]`.
  move van.B1[] to van.B1[11]
//           ^ write/bracket: The number of the cavity is missing in these brackets.
}
"#,
        r#"
conversion a {
  move van.B1[8] to van.B1[11]
  move van.B1[] to van.B1[11]
}
"#,
    );
}

#[test]
fn a_path_that_ends_in_a_dot() {
    mends(
        r#"
conversion a {
  remove gearbox.
//              ^ write/path: A name is missing after this dot.
}
"#,
        r#"
conversion a {
  remove gearbox
}
"#,
    );
}

#[test]
fn characters_that_belong_to_nothing() {
    mends(
        r#"
part box {
  mass 86 kg §
//           ^ write/character: `§` belongs to nothing here.
  wait 3 days;
//           ^ write/character: `;` belongs to nothing here.
  stock 3 @@ @
//        ^^^^ write/character: `@` belongs to nothing here.
}
"#,
        r#"
part box {
  mass 86 kg 
  wait 3 days
  stock 3 
}
"#,
    );
}

#[test]
fn commas_that_part_nothing() {
    mends(
        r#"
part box {
  ratios 4.31, 2.47,, 1.59
//                 ^ write/comma: Nothing stands after this comma.
  , mass 86 kg
//^ write/comma: Nothing stands before this comma.
}
conversion a { recipient van, donor breaker, }
//                                         ^ write/comma: Nothing stands after this comma.
"#,
        r#"
part box {
  ratios 4.31, 2.47, 1.59
   mass 86 kg
}
conversion a { recipient van, donor breaker }
"#,
    );
}

#[test]
fn a_leading_word_that_is_misspelt() {
    mends(
        r#"
vehicel van { built 2012-04 }
^^^^^^^ write/statement: No statement begins with `vehicel`; `vehicle` does.
conversion a {
  reicpient van
//^^^^^^^^^ write/statement: No statement begins with `reicpient`; `recipient` does.
  repalce final_drive with axle_369
//^^^^^^^ write/statement: No statement begins with `repalce`; `replace` does.
}
"#,
        r#"
vehicle van { built 2012-04 }
conversion a {
  recipient van
  replace final_drive with axle_369
}
"#,
    );
}

#[test]
fn a_leading_word_of_another_place() {
    told(
        r#"
zone bay
^^^^ write/statement: `zone` does not stand here, but inside a family or inside a scheme.
recipient van
^^^^^^^^^ write/statement: `recipient` does not stand here, but inside a conversion or inside a way.
source a measured {
//                ^ write/rest: No block belongs to `source NAME STANDING`.
  mass 3 kg
}
"#,
    );
}

#[test]
fn words_that_lead_nothing() {
    told(
        r#"
part box {
  86 kg
//^^^^^ write/statement: A statement begins with a word.
  mass
//^^^^ write/statement: `mass` leads no statement here and names no fact with a value: `mass 12 mm`.
}
wobble
^^^^^^ write/statement: No statement begins with `wobble`.
86 kg
^^^^^ write/statement: A statement begins with a word.
"#,
    );
}

#[test]
fn a_part_that_is_missing() {
    mends(
        r#"
conversion a {
  take gearbox breaker
//             ^^^^^^^ write/missing: Here `from` is wanted: `take PLACES from DONOR`.
  take gearbox form breaker
//             ^^^^ write/missing: Here `from` is wanted: `take PLACES from DONOR`.
  replace final_drive axle_369
//                    ^^^^^^^^ write/missing: Here `with` is wanted: `replace PLACE with PART`.
  budget
//      ^ write/missing: Here a figure with its unit is wanted: `budget AMOUNT`.
  wire a.B1[3]
//            ^ write/missing: Here `to` is wanted: `wire A to B`.
  choose flywheel
//               ^ write/missing: Here `from` is wanted: `choose PLACE from PARTS`.
}
exchange 1 EUR
//            ^ write/missing: Here `is` is wanted: `exchange ONE is OTHER`.
use dunlin
//  ^^^^^^ write/missing: Here text in double quotes is wanted: `use PATH`.
"#,
        r#"
conversion a {
  take gearbox breaker
  take gearbox from breaker
  replace final_drive axle_369
  budget
  wire a.B1[3]
  choose flywheel
}
exchange 1 EUR
use dunlin
"#,
    );
}

#[test]
fn a_line_of_a_log_that_says_nothing() {
    mends(
        r#"
log of van {
  2026-03-05 don take gearbox
//           ^^^ write/missing: Here `measured`, `done`, `ordered`, `paid`, `arrived`, `sold`, `found`, `failed` or `photographed` is wanted.
  2026-03-05
//          ^ write/missing: Here `measured`, `done`, `ordered`, `paid`, `arrived`, `sold`, `found`, `failed` or `photographed` is wanted.
}
"#,
        r#"
log of van {
  2026-03-05 done take gearbox
  2026-03-05
}
"#,
    );
}

#[test]
fn a_name_that_reads_as_a_thread() {
    told(
        r#"
part M12 { mass 3 kg }
//   ^^^ write/missing: `M12` reads as a thread; here a name is wanted.
"#,
    );
}

#[test]
fn words_that_are_left_over() {
    mends(
        r#"
vehicle van {
  built 2012-04 fom 2013
//              ^^^^^^^^ write/rest: This does not belong here; after `built FROM` may follow `to`, `per` or `because`.
  tyre "205/65 R16" blue
//                  ^^^^ write/rest: This does not belong here; after `tyre TYRE` may follow `per` or `because`.
  built 2012-04 { }
//              ^^^ write/rest: No block belongs to `built FROM`.
}
conversion a {
  wire a.B1[3] to b 0.5 mm2 gn by bay
//                          ^^^^^^^^^ write/rest: This does not belong here; after `wire A to B` may follow a wire colour such as `YE/GN`, `by`, a figure with its unit, `per` or `because`.
}
"#,
        r#"
vehicle van {
  built 2012-04 fom 2013
  tyre "205/65 R16" blue
  built 2012-04 { }
}
conversion a {
  wire a.B1[3] to b 0.5 mm2 GN by bay
}
"#,
    );
}

#[test]
fn conditions_that_cannot_be_read() {
    told(
        r#"
rule a {
  when vehicle.tows >
//                  ^ write/expression: After this a place, a figure or a name is missing.
  needs gearbox.cooler >= 8 kW 3
//                             ^ write/expression: This does not belong to the condition before it.
  needs a is
//        ^^ write/expression: After `is` a name is wanted.
  needs ratio = 3.69 within some
//                          ^^^^ write/expression: After `within` a figure is wanted: `within 2 %`.
  needs f(a b) > 3
//          ^ write/expression: Values have a comma between: this does not belong to the one before it.
  needs = 3
//      ^ write/expression: A place, a figure or a name is wanted before this sign.
  needs (a, b) > 3
//      ^^^^^^ write/expression: One condition is wanted in these brackets.
}
"#,
    );
}

/// A line of a context that is read without a word, and the same after its layout.
#[track_caller]
fn reads(context: &str, line: &str) {
    let tree = parse(line);
    let mut told = tree.errors.clone();
    read(context, &tree.lines, &mut told);
    assert!(told.is_empty(), "{line}: {told:?}");
    let once = tidy(line);
    let mut told = Vec::new();
    let again = parse(&once);
    read(context, &again.lines, &mut told);
    assert!(again.errors.is_empty() && told.is_empty(), "{once}: {told:?}");
    assert_eq!(tidy(&once), once);
}

#[test]
fn what_a_mechanic_writes_is_read() {
    reads("vehicle", "built 2013-08");
    reads("vehicle", "built 2013-08-14 to 2013-09");
    reads("vehicle", "tyre 205/65R16");
    reads("vehicle", "tyre 205/65 R 16 C 107/105T");
    reads("vehicle", "tyre \"205/65 R16\"");
    reads("pattern", "thread M12 x 1.5");
    reads("pattern", "thread 1/4 NPT");
    reads("pattern", "holes 6 on 76 mm, thread M12x1.5, bore 1 1/4 in");
    reads("part", "length 1420 mm ± 5 mm");
    reads("part", "length 1420 mm +2 -1 mm");
    reads("part", "length 1420 mm +/- 5");
    reads("part", "ratio 3.65 to 3.72");
    reads("part", "lowest temperature -40 °C");
    reads("part", "working temperature -40 to 120 °C");
    reads("part", "torque limit 400 lbf ft");
    reads("part", "size 1 1/4 in");
    reads("part", "offer 310 EUR");
    reads("rule", "needs gearbox.speed >= 3000 1/min");
    reads("conversion", "wire a.K1[3] to b.B1[14] 0.5 mm² YE/GN by bay, cabin, 3 m long");
}

#[test]
fn a_plug_may_be_named_as_a_thread_is() {
    for line in ["move M1.x to M12.B1[8]", "move M1[3] to van.M1[4]"] {
        reads("conversion", line);
        assert_eq!(tidy(line), format!("{line}\n"));
    }
}

#[test]
fn two_facts_on_one_line_are_two_statements() {
    let tree = parse("engine diesel_22, gearbox manual_five");
    let mut told = Vec::new();
    let found = statements("vehicle", &tree.lines, &mut told);
    let facts: Vec<_> =
        found.iter().filter_map(|it| it.word("fact")).map(|it| it.value.to_string()).collect();
    assert_eq!(facts, ["engine", "gearbox"]);
    assert!(told.is_empty());
}

/// The sketches of the language, whole.
const SKETCHES: &[(&str, &str)] = &[
    ("catalogue", include_str!("sketches/catalogue.trunnion")),
    ("conversion", include_str!("sketches/conversion.trunnion")),
    ("rest_of_the_job", include_str!("sketches/rest_of_the_job.trunnion")),
    ("log", include_str!("sketches/log.trunnion")),
    ("first_evening", include_str!("sketches/first_evening.trunnion")),
    ("library", include_str!("sketches/library.trunnion")),
];

#[test]
fn the_sketches_are_read_without_a_word() {
    for (name, text) in SKETCHES {
        assert_eq!(&marked(text), text, "{name}");
        let once = tidy(text);
        assert_eq!(marked(&once), once, "{name}");
        assert_eq!(tidy(&once), once, "{name}");
    }
}
