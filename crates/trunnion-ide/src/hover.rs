//! What is known about the thing at an offset, as Markdown.

use trunnion_check::list;
use trunnion_handbook::registry::Function;
use trunnion_model::decl::Body;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::worth::signature;
use trunnion_syntax::form::forms;
use trunnion_syntax::tree::Span;

use crate::Session;
use crate::at::declared;

/// What is shown, and for which range of the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hover {
    /// The range it is about.
    pub span: Option<Span>,
    /// Markdown.
    pub text: String,
}

impl Session {
    /// What is known about the thing at an offset.
    pub fn hover(&self, path: &str, offset: u32) -> Option<Hover> {
        let mut sections: Vec<String> = Vec::new();
        let mut span = None;
        if let Some(word) = self.word_at(path, offset) {
            let site = trunnion_model::db::Site { item: word.item, span: word.span };
            span = self.host().locate(site).map(|it| it.span);
            let form =
                forms(word.context).iter().find(|it| it.lead() == word.path.last().map(|it| it.as_str()));
            if let Some(form) = form.filter(|it| word.leads && !it.note.is_empty()) {
                sections.push(form.note.to_owned());
            }
            let (db, workspace) = (self.host().db(), self.host().workspace());
            let called = word.path.last().filter(|_| word.calls);
            let function = called.and_then(|it| trunnion_handbook::registry::function(it));
            sections.extend(function.map(about_function));
            if !word.leads && function.is_none() {
                sections.extend(declared(db, workspace, &word).into_iter().map(|it| self.about(it)));
            }
            if function.is_none() {
                sections.extend(self.place_section(path, &word));
            }
        }
        sections.extend(self.readings_section(path, offset));
        let mut verdicts = self.verdicts_at(path, offset);
        verdicts.sort_by_key(|it| match it.outcome {
            Outcome::Clash => 0,
            Outcome::Open => 1,
            Outcome::Clear(_) => 2,
        });
        sections.extend(verdicts.iter().take(6).map(|it| verdict(it)));
        if sections.is_empty() {
            return None;
        }
        Some(Hover { span, text: sections.join("\n\n---\n\n") })
    }

    /// A declaration: its first lines, what it is, its comment.
    fn about(&self, id: Id) -> String {
        let db = self.host().db();
        let Some(decl) = id.decl(db) else { return String::new() };
        let text = id.item.text(db);
        let source = text.get(decl.span.range()).unwrap_or_default();
        let lines: Vec<&str> = source.lines().take(12).collect();
        let more = if source.lines().count() > 12 { "\n…" } else { "" };
        let word = Space::of(&decl.body).map_or("", Space::word);
        let mut out = format!("**{}** ({word})", id.shown(db));
        if let Some(doc) = &decl.doc {
            out.push_str(&format!("\n\n{doc}"));
        }
        if let Body::Source(source) = &decl.body {
            let date = source.date.map(|it| format!(", {it}")).unwrap_or_default();
            out.push_str(&format!("\n\n{}{date}", source.standing.word()));
        }
        out.push_str(&format!("\n\n```trunnion\n{}{more}\n```", lines.join("\n")));
        out
    }

    /// What sits in a place before and after, for the conversion the word stands in.
    fn place_section(&self, path: &str, word: &crate::at::WordAt) -> Option<String> {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        let name = word.path.first()?;
        let file = host.file(path)?;
        let items = file.items(db);
        let world = items.iter().find_map(|item| {
            let own = *item == word.item;
            trunnion_model::world::world(db, workspace, *item, 0, None)
                .filter(|it| own || it.conversion.is_some())
        })?;
        let place = world.place(name)?;
        let ctx = trunnion_check::ctx::Ctx { db, workspace, world: &world };
        let before = ctx.holding_shown(&place.before, place);
        let after = ctx.holding_shown(&place.after, place);
        let change = if place.changed() { format!("{before} → {after}") } else { before };
        let mut text = format!("**{}**: {change}", place.shown());
        if let (Some(measure), true) = (word.path.get(1), word.path.len() == 2) {
            for found in ctx.fact(place, measure).claims() {
                text.push_str(&format!(
                    "\n\n{} {}: {}",
                    measure.replace('_', " "),
                    found.display(),
                    found.source
                ));
            }
        }
        Some(text)
    }
}

/// A handbook function: how it is called, its formula, its sources, what it takes for granted.
fn about_function(it: &Function) -> String {
    let mut text = format!("**{}** {}\n\n```text\n{}\n```", it.name, it.title, it.formula);
    text.push_str(&format!("\n\n`{}`\n", signature(it)));
    for value in it.parameters {
        text.push_str(&format!("\n- {}: {}", value.name, value.meaning));
    }
    text.push_str(&format!("\n\nexample: `{}`", it.example));
    for source in it.sources {
        text.push_str(&format!("\n\nsource: {source}"));
    }
    for said in it.assumes {
        text.push_str(&format!("\n\nmind: {said}"));
    }
    text
}

/// A verdict with all it rests on.
fn verdict(it: &Verdict) -> String {
    let outcome = match it.outcome {
        Outcome::Clear(won) => won.phrase(),
        Outcome::Clash => "clash",
        Outcome::Open => "open",
    };
    let mut text = format!("**{outcome}** `{}` {}", it.check, it.message);
    let mut line = |label: &str, value: &str| text.push_str(&format!("\n\n{label}: {value}"));
    if let (Some(need), Some(have)) = (&it.need, &it.have) {
        line("needed", need);
        line("there", have);
    }
    if let Some(formula) = &it.formula {
        line("arithmetic", formula);
    }
    if let Some(margin) = &it.margin {
        line("margin", margin);
    }
    for because in &it.because {
        line("because", because);
    }
    for note in &it.notes {
        line("note", note);
    }
    for caution in it.cautions() {
        line("caution", caution);
    }
    if let Some(question) = &it.question {
        let good = question.good.as_ref().map(|it| format!(" (good: {it})")).unwrap_or_default();
        line("unknown", &format!("{}{good}", question.what));
        if let Some(tool) = &question.tool {
            let precision = question.precision.as_ref().map(|it| format!(" to {it}")).unwrap_or_default();
            let minutes = question.minutes.map(|it| format!(", {it} min")).unwrap_or_default();
            line("how to find out", &format!("{tool}{precision}{minutes}, {}", question.gate.phrase()));
        }
        line("hangs on it", &question.hangs);
    }
    if !it.sources.is_empty() {
        line("rests on", &it.sources.join("; "));
    }
    if let Some(check) = list::find(it.check) {
        line("decides", &check.decides());
    }
    text
}

#[cfg(test)]
mod tests {
    use crate::Session;

    const TEXT: &str = "part six {\n  needs road_speed(3000 rpm, gearbox.ratios[6], overall_ratio(1, 2), 2050 mm) > 1 km/h\n}\n";

    fn hover(at: &str) -> Option<(String, String)> {
        let mut session = Session::new();
        session.edit("a.trunnion", TEXT.to_owned());
        let offset = TEXT.find(at).expect("there") as u32 + 2;
        let hover = session.hover("a.trunnion", offset)?;
        Some((TEXT[hover.span?.range()].to_owned(), hover.text))
    }

    #[test]
    fn a_called_function_shows_its_formula_and_source() {
        let (word, text) = hover("road_speed").expect("a hover");
        assert_eq!(word, "road_speed");
        for words in [
            "**road_speed** Road speed",
            "speed = engine_speed / (gear_ratio × final_drive) × circumference per turn",
            "road_speed(engine_speed in rpm, gear_ratio, final_drive, circumference in mm)",
            "source: a wheel that rolls without slip (follows from its definitions)",
        ] {
            assert!(text.contains(words), "{words} in {text}");
        }
        let (word, text) = hover("overall_ratio").expect("inside the brackets");
        assert!(word == "overall_ratio" && text.contains("**overall_ratio**"), "{text}");
    }

    /// The name of a function that is not called is a name like any other.
    #[test]
    fn only_a_call_is_a_function() {
        let mut session = Session::new();
        let text = "part road_speed { mass 3 kg }\n";
        session.edit("a.trunnion", text.to_owned());
        let shown = session.hover("a.trunnion", 7).map(|it| it.text).unwrap_or_default();
        assert!(!shown.contains("per turn"), "{shown}");
    }
}
