//! Pages about what the shipped library declares: kinds with their questions, measures.

use trunnion_model::db::Host;
use trunnion_model::decl::{Asked, Body, FindOut};
use trunnion_model::kinds::whole_kind;
use trunnion_model::lower::lowered;
use trunnion_model::name::Id;

/// Every declaration of the library that has a page.
fn ids(host: &Host) -> Vec<Id> {
    let db = host.db();
    let files = host.workspace().library(db);
    let items = files.iter().flat_map(|it| it.items(db).to_vec());
    items
        .flat_map(|item| (0..lowered(db, item).decls.len() as u32).map(move |nth| Id { item, nth }))
        .filter(|it| matches!(it.decl(db).map(|it| &it.body), Some(Body::Kind(_) | Body::Measure(_))))
        .collect()
}

/// The names of all kinds and measures.
pub fn names() -> Vec<String> {
    let host = Host::new();
    ids(&host).iter().map(|it| it.name(host.db()).to_string()).collect()
}

/// The kinds with their titles, in order of name.
pub fn kinds() -> Vec<(String, String)> {
    let host = Host::new();
    let db = host.db();
    let is_kind = |it: &Id| matches!(it.decl(db).map(|it| &it.body), Some(Body::Kind(_)));
    let named = |it: Id| (it.name(db).to_string(), it.shown(db));
    let mut all: Vec<_> = ids(&host).into_iter().filter(is_kind).map(named).collect();
    all.sort();
    all
}

/// The page of a kind or measure, as Markdown.
pub fn page(name: &str) -> Option<String> {
    let host = Host::new();
    let db = host.db();
    let wanted = name.replace(' ', "_");
    let id = ids(&host).into_iter().find(|it| it.name(db) == wanted)?;
    let decl = id.decl(db)?;
    let mut page = format!("# {wanted}\n\n{}\n", id.shown(db));
    if let Some(doc) = &decl.doc {
        page.push_str(&format!("\n{doc}\n"));
    }
    match &decl.body {
        Body::Measure(measure) => {
            let unit = measure.unit.as_ref().map_or("no unit", |it| it.value.as_str());
            page.push_str(&format!("\nA measure, given in: {unit}.\n{}\n", find_out(&measure.find_out)));
        }
        _ => {
            let kind = whole_kind(db, host.workspace(), id);
            if kind.line.len() > 1 {
                let line: Vec<String> = kind.line[1..].iter().map(|it| it.shown(db)).collect();
                page.push_str(&format!("\nIt is a {}.\n", line.join(", a ")));
            }
            page.push_str("\n## What the trade asks of it\n\n");
            for (_, ask) in &kind.asks {
                let what = match &ask.asked {
                    Asked::End(class, name) => format!("{} {}", class.word(), name.value),
                    Asked::Signal(name) => format!("signal {}", name.value),
                    Asked::Chain(name) => format!("chain {}", name.value),
                    Asked::Measure(name) => name.value.replace('_', " "),
                };
                let title = ask.title.as_ref().map(|it| format!(" ({it})")).unwrap_or_default();
                let because = ask.because.as_ref().map(|it| format!(" Because {it}.")).unwrap_or_default();
                page.push_str(&format!("- {what}{title}. {}{because}\n", find_out(&ask.find_out)));
            }
            if !kind.does.is_empty() {
                page.push_str("\n## What it also does for others\n\n");
                for (_, duty) in &kind.does {
                    page.push_str(&format!("- {}: {}\n", duty.name.value, duty.text));
                }
            }
        }
    }
    Some(page)
}

fn find_out(it: &FindOut) -> String {
    let mut words = Vec::new();
    if let Some(tool) = &it.tool {
        let precision = it.precision.map(|it| format!(" to {}", it.display())).unwrap_or_default();
        words.push(format!("Found out with: {tool}{precision}"));
    }
    words.extend(it.takes.map(|it| format!("takes {}", it.display())));
    words.extend(it.from.as_ref().map(|it| format!("from: {it}")));
    words.extend(it.good.map(|it| format!("good: {}", it.display())));
    words.extend(it.gate.map(|it| it.phrase().to_owned()));
    if words.is_empty() { String::new() } else { format!("{}.", words.join("; ")) }
}
