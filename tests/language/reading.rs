//! Reads a statement as it would stand in its place, and says what is wrong with it.

use std::cell::RefCell;
use std::sync::LazyLock;

use trunnion_check::naming::name_problems;
use trunnion_model::db::Host;
use trunnion_model::lower::lowered;
use trunnion_model::verdict::Problem;
use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::form::{Piece, SlotType, Statement, statements};
use trunnion_syntax::parse::parse;

/// Where a statement may stand: the word used in the papers, the group of forms, and what must
/// stand around it. `…` is the place of the statement.
const CONTEXTS: &[(&str, &str, &str)] = &[
    ("file", "file", "…"),
    ("family", "family", "family Dunlin {\n…\n}"),
    ("kind", "kind", "kind thing {\n…\n}"),
    ("pattern", "pattern", "pattern flange {\n…\n}"),
    ("terminal", "facts", "terminal blade {\n…\n}"),
    ("connector", "connector", "connector shell {\n…\n}"),
    ("part", "part", "part thing {\n…\n}"),
    ("plug", "plug", "part thing {\nplug B1 {\n…\n}\n}"),
    ("line", "facts", "line hose joins a.out to b.in {\n…\n}"),
    ("loom", "loom", "loom console {\n…\n}"),
    ("work", "work", "work gearbox_out {\n…\n}"),
    ("rule", "rule", "rule own {\nneeds gearbox.mass > 1 kg\n…\n}"),
    ("basis", "facts", "basis {\n…\n}"),
    ("person", "facts", "person driver {\n…\n}"),
    ("vehicle", "vehicle", "vehicle van {\nkind panel_van\nrear driven\n…\n}"),
    ("conversion", "conversion", "conversion easy {\nrecipient van\n…\n}"),
    ("log", "log", "log of van {\n…\n}"),
];

const PAPER: &str = "paper.trunnion";

thread_local! {
    /// Holds the shipped library once; the text is put in anew each time.
    static HOST: RefCell<Host> = RefCell::new(Host::new());
}

/// The words for the contexts.
pub fn contexts() -> impl Iterator<Item = &'static str> {
    CONTEXTS.iter().map(|it| it.0)
}

/// What is wrong with a text that stands in a context: it cannot be read, it fits no form, a
/// figure has the wrong dimension, or a measure is used that nobody declared.
pub fn problems(context: &str, text: &str) -> Vec<String> {
    let Some((_, group, around)) = CONTEXTS.iter().find(|it| it.0 == context) else {
        return vec![format!(
            "`{context}` is no context; it may be: {}",
            contexts().collect::<Vec<_>>().join(", ")
        )];
    };
    let mut problems = Vec::new();
    let tree = parse(text);
    let mut errors = tree.errors.clone();
    let found = statements(group, &tree.lines, &mut errors);
    if found.is_empty() && errors.is_empty() {
        problems.push("there is no statement".to_owned());
    }
    problems.extend(errors.iter().map(|it| format!("{}: {}", it.name, it.message)));
    let measures = measures(text, context);
    for statement in &found {
        in_conditions(statement, &measures, &mut problems);
    }
    // A word that leads a statement of the file would end an open block at the start of a line.
    let indent = if *group == "file" { "" } else { "  " };
    let lines: Vec<String> = text.lines().map(|it| format!("{indent}{it}")).collect();
    problems.extend(in_the_model(&around.replace('…', &lines.join("\n"))));
    problems
}

/// What the model says against a file with this text: writing, units, measures.
fn in_the_model(text: &str) -> Vec<String> {
    HOST.with_borrow_mut(|host| {
        host.set_file(PAPER, text);
        let (db, file) = (host.db(), host.file(PAPER).expect("just set"));
        let mut found = Vec::new();
        for item in file.items(db).iter() {
            found.extend(lowered(db, *item).problems.iter().cloned());
            // Other names need not be declared here: the statements are taken out of their files.
            let names = name_problems(db, host.workspace(), *item).iter();
            let told = |it: &&Problem| it.name.starts_with("unit/") || it.message.starts_with("No measure");
            found.extend(names.filter(told).cloned());
        }
        found.iter().map(|it| format!("{}: {}", it.name, it.message)).collect()
    })
}

/// The measures that the library and the text declare, words joined by `_`.
fn measures(text: &str, context: &str) -> Vec<String> {
    let mut all = SHIPPED.clone();
    if context == "file" {
        for line in text.lines().filter_map(|it| it.trim().strip_prefix("measure ")) {
            let name = line.split([',', '"']).next().unwrap_or_default();
            let name = name.split(" in ").next().unwrap_or_default();
            all.push(name.trim().replace(' ', "_"));
        }
    }
    all
}

/// The measures that the library declares, words joined by `_`.
static SHIPPED: LazyLock<Vec<String>> = LazyLock::new(|| {
    let files = trunnion_model::library::FILES.iter();
    let mut all = Vec::new();
    for (_, text) in files {
        let tree = parse(text);
        for statement in statements("file", &tree.lines, &mut Vec::new()) {
            if statement.form.lead() == Some("measure") {
                all.extend(statement.word("name").map(|it| it.value.to_string()));
            }
        }
    }
    all
});

/// The figures that conditions speak of must have a measure.
fn in_conditions(statement: &Statement<'_>, measures: &[String], problems: &mut Vec<String>) {
    let slots = statement.form.head.iter().filter_map(|it| match it {
        Piece::Slot(name, SlotType::Expr) => Some(*name),
        _ => None,
    });
    for expr in slots.filter_map(|it| statement.expr(it)) {
        in_expr(expr, measures, problems);
    }
    let Some((group, block)) = statement.form.block.zip(statement.block) else { return };
    for inner in statements(group, &block.lines, &mut Vec::new()) {
        in_conditions(&inner, measures, problems);
    }
}

fn in_expr(expr: &Expr, measures: &[String], problems: &mut Vec<String>) {
    match &expr.kind {
        ExprKind::Path(path) if path.parts.len() > 1 && path.index.is_none() => {
            let last = &path.parts[path.parts.len() - 1].value;
            if !measures.iter().any(|it| it == last.as_str()) {
                problems.push(format!("No measure is called `{last}` in the condition `{path}`."));
            }
        }
        ExprKind::Arithmetic(_, a, b) | ExprKind::And(a, b) | ExprKind::Or(a, b) => {
            in_expr(a, measures, problems);
            in_expr(b, measures, problems);
        }
        ExprKind::Compare { left, right, .. } => {
            in_expr(left, measures, problems);
            in_expr(right, measures, problems);
        }
        ExprKind::Not(inner) => in_expr(inner, measures, problems),
        ExprKind::Call(_, all) => all.iter().for_each(|it| in_expr(it, measures, problems)),
        _ => {}
    }
}

/// What a text becomes once its mends are applied and it is laid out, and whether there were any.
pub fn mended(context: &str, text: &str) -> (String, bool) {
    let Some((_, group, _)) = CONTEXTS.iter().find(|it| it.0 == context) else {
        panic!("no context `{context}`")
    };
    let tree = parse(text);
    let mut errors = tree.errors.clone();
    statements(group, &tree.lines, &mut errors);
    let mut mended = text.to_owned();
    errors.sort_by_key(|it| std::cmp::Reverse(it.span));
    for mend in errors.iter().filter_map(|it| it.mend.as_ref()) {
        mended.replace_range(mend.span.range(), &mend.text);
    }
    (trunnion_syntax::layout::tidy(&mended).trim_end().to_owned(), !errors.is_empty())
}

#[test]
fn what_is_wrong_is_said() {
    assert_eq!(problems("part", "mass 86 kg"), Vec::<String>::new());
    assert!(problems("part", "mass 86 V")[0].starts_with("unit/dimension"), "wrong dimension");
    assert!(problems("part", "colour of money 3 mm")[0].contains("No measure"), "no such measure");
    assert!(problems("vehicle", "propshaft.gapp 3 mm")[0].contains("No measure"), "nor of a place");
    assert!(problems("conversion", "propshaft.gapp 3 mm")[0].contains("No measure"));
    assert!(problems("log", "2026-03-02 measured propshaft.gapp 3 mm")[0].contains("No measure"));
    assert!(problems("rule", "needs gearbox.color > 3 mm")[0].contains("No measure"));
    assert!(problems("file", "rule own { needs gearbox.color > 3 mm }")[0].contains("No measure"));
    assert!(problems("kind", "take gearbox from breaker")[0].starts_with("write/"), "another context");
    assert!(problems("conversion", "mass 0,5 kg")[0].starts_with("write/"), "to be mended");
    assert!(problems("garden", "mass 3 kg")[0].contains("is no context"));
    assert!(!problems("part", "").is_empty());
}
