//! What could be written at an offset.

use trunnion_handbook::functions::FUNCTIONS;
use trunnion_model::built::{family, scope_of};
use trunnion_model::decl::Body;
use trunnion_model::name::{Id, Space};
use trunnion_model::worth::signature;
use trunnion_syntax::form::forms;

use crate::Session;

/// One proposal.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Proposal {
    /// What is put there.
    pub text: String,
    /// What it is.
    pub detail: String,
    /// What sort of thing it is.
    pub sort: Sort,
}

/// The sorts of proposals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// A word of the language.
    Word,
    /// A name of a declaration.
    Name,
    /// A place.
    Place,
    /// A unit.
    Unit,
    /// A handbook function.
    Function,
}

impl Session {
    /// What could be written at an offset, sorted.
    pub fn complete(&self, path: &str, offset: u32) -> Vec<Proposal> {
        let Some(text) = self.text(path) else { return Vec::new() };
        let before = text.get(..offset as usize).unwrap_or_default();
        let line = &before[statement_start(before)..];
        let typed = line.len() - line.trim_end_matches(|c: char| c.is_alphanumeric() || c == '_').len();
        let words: Vec<&str> = line[..line.len() - typed].split_whitespace().collect();
        let context = self.context_at(path, offset);
        let mut proposals = match words.last() {
            None => leads(context),
            Some(last) if last.parse::<f64>().is_ok() => units(),
            Some(last) => {
                let mut named = self.names(path, context, words[0], last);
                if matches!(words[0], "needs" | "when") {
                    named.extend(functions());
                    named.extend(self.place_names(path));
                }
                named.extend(options(context, words[0]));
                named
            }
        };
        proposals.sort();
        proposals.dedup();
        proposals
    }

    fn names(&self, path: &str, context: &str, lead: &str, last: &str) -> Vec<Proposal> {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        let items = host.file(path).map(|it| it.items(db)).unwrap_or_default();
        let Some(item) = items.first().copied() else { return Vec::new() };
        let scope = scope_of(db, workspace, Id { item, nth: 0 });
        let of = |space: Space| -> Vec<Proposal> {
            scope
                .each(space)
                .map(|(name, id)| Proposal { text: name.to_string(), detail: id.shown(db), sort: Sort::Name })
                .collect()
        };
        let places = || self.place_names(path);
        match (lead, last) {
            (_, "per") => of(Space::Source),
            (_, "recipient" | "donor") => of(Space::Vehicle),
            ("take" | "replace", "from") | ("fit", "from") => of(Space::Vehicle),
            ("choose", "from") => of(Space::Part),
            (_, "fills" | "in" | "for") => places(),
            ("part" | "module", "is") => of(Space::Kind),
            ("place" | "kind", "is") => of(Space::Kind),
            ("vehicle", "is") => of(Space::Family),
            ("face" | "port" | "mount" | "link" | "opening", "is") => of(Space::Pattern),
            ("plug", "is") => of(Space::Connector),
            (_, "carrying") => of(Space::Medium),
            ("terminal" | "cavity", "terminal") => of(Space::Terminal),
            ("connector", "mates") | ("mates", _) => of(Space::Connector),
            (_, "of") => of(Space::Family).into_iter().chain(of(Space::Vehicle)).collect(),
            ("fitted", "on") => of(Space::Family),
            (
                "take" | "remove" | "replace" | "choose" | "setup" | "pair" | "has" | "joint" | "join"
                | "blank",
                _,
            ) if last == lead || last.ends_with(',') || last == "to" => places(),
            ("replace", "with") | ("fit" | "make", _) => {
                self.parts_for(context, lead, &of(Space::Part), scope)
            }
            _ => Vec::new(),
        }
    }

    /// The places of the families that are seen from a file; of the shipped ones where there is
    /// no other.
    fn place_names(&self, path: &str) -> Vec<Proposal> {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        let items = host.file(path).map(|it| it.items(db)).unwrap_or_default();
        let Some(item) = items.first().copied() else { return Vec::new() };
        let scope = scope_of(db, workspace, Id { item, nth: 0 });
        let mut own: Vec<Id> = scope.each(Space::Family).map(|(_, id)| id).collect();
        let written = |id: &Id| !trunnion_model::library::is_library(&id.path(db));
        if own.iter().any(written) {
            own.retain(written);
        }
        let places = own.iter().filter_map(|it| family(db, *it)).flat_map(|it| &it.places);
        let place =
            |name: &str| Proposal { text: name.to_owned(), detail: "place".to_owned(), sort: Sort::Place };
        places.map(|it| place(&it.name.value)).collect()
    }

    /// Parts, those first that fill a place.
    fn parts_for(
        &self,
        _context: &str,
        _lead: &str,
        parts: &[Proposal],
        scope: &trunnion_model::name::Scope,
    ) -> Vec<Proposal> {
        let db = self.host().db();
        parts
            .iter()
            .map(|it| {
                let decl = scope.find(Space::Part, &it.text).and_then(|id| id.decl(db));
                let fills = match decl.map(|it| &it.body) {
                    Some(Body::Part(part)) => part.fills.as_ref().map(|it| it.text()),
                    _ => None,
                };
                let detail = match fills {
                    Some(place) => format!("{}, fills {place}", it.detail),
                    None => it.detail.clone(),
                };
                Proposal { detail, ..it.clone() }
            })
            .collect()
    }
}

/// Where the statement that a text ends in begins: after a line end, a brace, or a comma that
/// stands in no round brackets.
fn statement_start(before: &str) -> usize {
    let line = before.rfind(['\n', '{']).map_or(0, |it| it + 1);
    let (mut start, mut depth) = (line, 0_u32);
    for (at, it) in before[line..].char_indices() {
        match it {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            ',' if depth == 0 => start = line + at + 1,
            _ => {}
        }
    }
    start
}

/// The handbook functions, for conditions.
fn functions() -> impl Iterator<Item = Proposal> {
    FUNCTIONS.iter().map(|it| Proposal {
        text: it.name.to_owned(),
        detail: format!("{}: {}", it.title, signature(it)),
        sort: Sort::Function,
    })
}

fn leads(context: &str) -> Vec<Proposal> {
    let known = forms(context).iter();
    known
        .filter_map(|it| {
            Some(Proposal { text: it.lead()?.to_owned(), detail: it.note.to_owned(), sort: Sort::Word })
        })
        .collect()
}

/// The words that may follow in a statement that begins so.
fn options(context: &str, lead: &str) -> Vec<Proposal> {
    let known = forms(context).iter().filter(|it| it.lead() == Some(lead));
    known
        .flat_map(|it| it.option_words().chain(["per", "because"]))
        .map(|it| Proposal { text: it.to_owned(), detail: String::new(), sort: Sort::Word })
        .collect()
}

fn units() -> Vec<Proposal> {
    let unit = |text| Proposal { text, detail: "unit".to_owned(), sort: Sort::Unit };
    trunnion_syntax::unit::all().map(unit).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is proposed at the mark `|`.
    fn proposed(text: &str) -> Vec<Proposal> {
        let at = text.find('|').expect("a mark");
        let mut session = Session::new();
        session.edit("a.trunnion", text.replace('|', ""));
        session.complete("a.trunnion", at as u32)
    }

    fn functions_in(text: &str) -> usize {
        proposed(text).iter().filter(|it| it.sort == Sort::Function).count()
    }

    #[test]
    fn conditions_are_offered_the_handbook() {
        for text in [
            "part six { needs | }",
            "part six {\n  needs road|\n}",
            "part six { needs road_speed(3000 rpm, | }",
            "part six { needs (road_speed(3000 rpm, 1, 2, 2050 mm) > 3 km/h) and | }",
            "rule own { when |\n}",
        ] {
            assert_eq!(functions_in(text), FUNCTIONS.len(), "{text}");
        }
        let all = proposed("part six { needs | }");
        let speed = all.iter().find(|it| it.text == "road_speed").expect("offered");
        assert!(speed.detail.starts_with("Road speed: road_speed(engine_speed in rpm, "), "{}", speed.detail);
        assert!(all.iter().any(|it| it.sort == Sort::Place && it.text == "final_drive"), "places too");
    }

    #[test]
    fn elsewhere_they_are_not() {
        for text in [
            "part six { mass 3 kg, | }",
            "part six { mass | }",
            "part six { needs a > 3 | }",
            "conversion easy { take | }",
        ] {
            assert_eq!(functions_in(text), 0, "{text}");
        }
    }
}
