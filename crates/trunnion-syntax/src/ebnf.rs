//! The grammar for people to read, in the notation of ISO/IEC 14977.
//!
//! What a statement may be is made from the table of forms; the words, figures and lines under it
//! are written here. `grammar/trunnion.ebnf` holds the outcome, kept true by a test.

use std::fmt::Write;

use crate::form::{Form, Piece, SlotType, contexts, forms};

/// What stands before the rules.
const HEAD: &str = "\
(* The Trunnion language, in the notation of ISO/IEC 14977.

   Made from the table of forms by the tests of trunnion-syntax; not to be edited.

   Blanks may stand between any two symbols and are left out here, but none stands inside a
   path, a date, a text or a unit of one word. Forms are tried in order; the first that fits is
   taken. In braces each choice is taken once at most, in any order, and may also stand before
   a later part of its statement. *)

";

/// Lines, and what every statement may end with.
const LINES: &str = "\
(* Lines. A line also goes on after a comma, in round brackets, and where the next one begins
   with `per` or `because` or is the `{` of its block. *)

line end = ? LF, CRLF or a lone CR ? ;
comment = \"//\", ? anything up to the line end ? ;
doc = \"///\", ? anything up to the line end; it belongs to the line below ? ;
ending = { [ \",\" ], ( \"per\", ref | \"because\", text ) } ;

";

/// The types of slots that the table does not define, and what they are made of.
const PARTS: &str = r#"(* What stands in the forms. *)

name = word ;
words = word, { word } ;
names = word, { ",", word } ;
ref = path ;
refs = path, { ",", path } ;
role = word ;
val = fig | path | text | date | thread | tyre ;
vals = val, { [ "per", ref ], ",", val } ;
asked = one asked, { ",", one asked } ;
one asked = [ class ], words, [ text ] ;
any = ? anything up to the end of the line, the next block, or what may follow and ends the line ? ;

(* Conditions. *)

expr = both, { "or", both } ;
both = single, { "and", single } ;
single = "not", single | relation ;
relation = path, "is", [ "not" ], ( path | text )
         | path, ( "sends" | "hears" | "has" ), path
         | path, ( "fitted" | "none" )
         | sum, [ comparison, sum, [ "within", fig ] ] ;
comparison = "=" | "!=" | "≠" | "<" | "<=" | "≤" | ">" | ">=" | "≥" ;
sum = product, { ( "+" | "-" ), product } ;
product = operand, { ( "*" | "×" | "/" ), operand } ;
operand = fig | path | text | date | thread | tyre | word, arguments | "(", expr, ")" ;
arguments = "(", [ expr, { ",", expr } ], ")" ;

(* Figures. Where one of two names no unit it has that of the other. *)

fig = measure, [ ( "±" | "+/-" ), size | "+", size, "-", size | "to", measure ] ;
measure = [ "-" ], size ;
size = number, [ unit ] ;
num = [ "-" ], number ;
number = digits, [ ".", digits ], [ ( "e" | "E" ), [ "+" | "-" ], digits ] | ".", digits
       | [ digits ], ( digits, "/", digits | "½" | "¼" | "¾" | "⅛" | "⅜" | "⅝" | "⅞" ) ;
unit = ? one of the units, of one word such as `mm²` or two such as `lbf ft`; or a currency ? ;

(* Dates, markings, text, names. *)

date = digit, digit, digit, digit, "-", digit, digit, [ "-", digit, digit ] ;
thread = "M", digits, [ ".", digits ], [ "x", digits, [ ".", digits ] ]
       | ( "G" | "R" | "Rc" | "Rp" ), inches
       | inches, ( "NPT" | "NPTF" )
       | ( digits | inches ), "-", digits, ( "UNF" | "UNC" | "UN" | "UNS" | "UNEF" )
       | text ;
inches = [ digits ], digits, "/", digits ;
tyre = digits, "/", digits, [ "Z" ], "R", digits, [ "C" ], [ digits, [ "/", digits ], letter ]
     | text ;
text = '"', { ? any character but `"`, `\` and a line end ? | "\", ? any character ? }, '"' ;
path = part of path, { ".", part of path }, [ "[", ? the number or name of a cavity ?, "]" ] ;
part of path = word | digits ;
word = letter, { letter | digit | ( "/" | "-" ), ( letter | digit ) } ;
letter = ? any Unicode letter ? | "_" | "°" | "%" | "‰" | "²" | "³" | "·" ;
digits = digit, { digit } ;
digit = "0" | "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" ;
"#;

/// The whole grammar.
pub fn ebnf() -> String {
    let mut out = String::from(HEAD);
    out.push_str(LINES);
    for context in contexts() {
        push_context(&mut out, context);
    }
    push_vocabularies(&mut out);
    out.push_str(PARTS);
    out
}

fn push_context(out: &mut String, context: &str) {
    let lines = format!("[ {context} line ], {{ line end, [ {context} line ] }}");
    let block = match context {
        "file" => format!("file = {lines} ;"),
        _ => format!("{context} block = \"{{\", {lines}, \"}}\" ;"),
    };
    let line = format!("{context} line = {context} statement, {{ \",\", {context} statement }} ;");
    // Writing to a string does not fail.
    let _ = writeln!(out, "(* {} *)\n\n{block}\n{line}\n{context} statement", heading(context));
    for (nth, form) in forms(context).iter().enumerate() {
        let sign = if nth == 0 { "= (" } else { "  |" };
        let _ = writeln!(out, "  {sign} {}", rule(form));
    }
    out.push_str("    ), ending ;\n\n");
}

fn heading(context: &str) -> String {
    let mut owners: Vec<&str> = Vec::new();
    for form in contexts().flat_map(forms).filter(|it| it.block == Some(context)) {
        owners.extend(form.lead().filter(|it| !owners.contains(it)));
    }
    match owners.as_slice() {
        [] => "What stands at the top of a file.".to_owned(),
        _ => format!("What stands in the block of: {}.", owners.join(", ")),
    }
}

/// One form.
fn rule(form: &Form) -> String {
    let mut parts: Vec<String> = form.head.iter().map(|it| symbol(*it)).collect();
    let sequence = |it: &Vec<Piece>| it.iter().map(|it| symbol(*it)).collect::<Vec<_>>().join(", ");
    // One that begins with a value cannot follow a comma: it would be a statement there.
    let (bare, led): (Vec<&Vec<Piece>>, Vec<&Vec<Piece>>) =
        form.options.iter().partition(|it| !it.is_empty() && !led(it));
    let bare = bare.into_iter().map(sequence);
    let led = led.into_iter().map(|it| format!("[ \",\" ], {}", sequence(it)));
    let options: Vec<String> = bare.chain(led).collect();
    match options.as_slice() {
        [] => {}
        [only] => parts.push(format!("[ {only} ]")),
        all => parts.push(format!("{{ {} }}", all.join(" | "))),
    }
    if let Some(block) = form.block {
        parts.push(format!("[ ending, {block} block ]"));
    }
    parts.join(", ")
}

fn led(option: &[Piece]) -> bool {
    matches!(option, [Piece::Word(_), ..] | [Piece::Slot(_, SlotType::Fig), Piece::Word(_)])
}

fn symbol(piece: Piece) -> String {
    match piece {
        Piece::Word(word) => format!("\"{word}\""),
        Piece::Slot(_, ty) => ty.name().to_owned(),
    }
}

/// The slots that take one of a closed set of words.
fn push_vocabularies(out: &mut String) {
    out.push_str("(* Closed sets of words. *)\n\n");
    for ty in SlotType::all().filter(|it| !it.vocabulary().is_empty()) {
        let phrase = |it: &&str| it.split(' ').map(|it| format!("\"{it}\"")).collect::<Vec<_>>().join(", ");
        let words = ty.vocabulary().iter().map(phrase).collect::<Vec<_>>().join(" | ");
        let _ = match ty {
            SlotType::Asked => writeln!(out, "class = {words} ;"),
            SlotType::Colour => writeln!(
                out,
                "colour = colour letters, {{ \"/\", colour letters }} ;\ncolour letters = {words} ;"
            ),
            _ => writeln!(out, "{} = {words} ;", ty.name()),
        };
    }
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// The committed grammar. `UPDATE_EXPECT=1` writes it anew.
    #[test]
    fn the_committed_grammar_is_this_one() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../grammar/trunnion.ebnf");
        let made = ebnf();
        if std::env::var_os("UPDATE_EXPECT").is_some() {
            std::fs::write(path, &made).expect("the grammar folder can be written to");
        }
        let committed = std::fs::read_to_string(path).unwrap_or_default().replace("\r\n", "\n");
        assert!(committed == made, "grammar/trunnion.ebnf is stale: run this test with UPDATE_EXPECT=1");
    }

    /// The names in a rule's text, terminals, special sequences and comments left out.
    fn names(text: &str) -> Vec<String> {
        let mut names = Vec::new();
        let mut rest = text;
        while let Some(first) = rest.chars().next() {
            let past = |end: &str, from: usize| {
                let at =
                    rest[from..].find(end).unwrap_or_else(|| panic!("{end} is missing after {rest:.40}"));
                from + at + end.len()
            };
            let taken = match first {
                '"' => past("\"", 1),
                '\'' => past("'", 1),
                '?' => past("?", 1),
                '(' if rest.starts_with("(*") => past("*)", 2),
                it if it.is_alphabetic() => {
                    let name: String =
                        rest.chars().take_while(|it| it.is_alphabetic() || *it == ' ').collect();
                    names.push(name.trim().to_owned());
                    name.len()
                }
                it => it.len_utf8(),
            };
            rest = &rest[taken..];
        }
        names
    }

    /// Each rule's name, with the names in it.
    fn rules() -> Vec<(String, Vec<String>)> {
        let text = ebnf();
        let mut rules = Vec::new();
        for rule in text.split(" ;\n") {
            // A rule's name may stand on a line of its own, and comments before it.
            let all = names(rule);
            if let Some((name, used)) = all.split_first() {
                rules.push((name.clone(), used.to_vec()));
            }
        }
        rules
    }

    #[test]
    fn every_name_is_defined_once_and_every_rule_is_used() {
        let rules = rules();
        let defined: BTreeSet<&str> = rules.iter().map(|it| it.0.as_str()).collect();
        assert_eq!(defined.len(), rules.len(), "no rule twice");
        let used: BTreeSet<&str> = rules.iter().flat_map(|it| &it.1).map(String::as_str).collect();
        let missing: Vec<_> = used.difference(&defined).collect();
        assert!(missing.is_empty(), "{missing:?}");
        let spare: Vec<_> = defined.difference(&used).copied().collect();
        assert_eq!(spare, ["comment", "doc", "file"], "comments stand anywhere, and a file is the whole");
    }

    #[test]
    fn brackets_pair() {
        for (open, close) in [("[ ", " ]"), ("{ ", " }"), ("(*", "*)")] {
            assert_eq!(ebnf().matches(open).count(), ebnf().matches(close).count(), "{open}");
        }
    }

    #[test]
    fn a_form_reads_as_in_the_table() {
        let rule = |context: &str, lead: &str| {
            let form = forms(context).iter().find(|it| it.lead() == Some(lead)).expect("in the table");
            rule(form)
        };
        assert_eq!(rule("conversion", "recipient"), r#""recipient", ref"#);
        assert_eq!(rule("conversion", "replace"), r#""replace", ref, "with", ref, [ [ "," ], "from", ref ]"#);
        assert_eq!(
            rule("file", "vehicle"),
            r#""vehicle", name, { text | [ "," ], "is", ref }, [ ending, vehicle block ]"#
        );
    }
}
