//! The conversions of a file, with what clashes and what is open in each.

use trunnion_check::run::{of_world, verdicts_of, verdicts_of_conversion};
use trunnion_model::name::Id;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::{conversion, world};
use trunnion_syntax::tree::Span;

use crate::Session;

/// A conversion that a file declares.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conversion {
    /// Its name.
    pub name: String,
    /// Its display name.
    pub title: String,
    /// The whole statement.
    pub span: Span,
    /// Its name.
    pub name_span: Span,
    /// How it stands by each of its ways; one entry without a way where it has none.
    pub by: Vec<By>,
}

/// A conversion by one of its ways.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct By {
    /// The way's name.
    pub way: Option<String>,
    /// What was counted; none where nothing can be judged, for the recipient is not known.
    pub counts: Option<Counts>,
}

/// How much clashes, and how much nobody knows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Clashes.
    pub clash: usize,
    /// Open points that were not accepted.
    pub open: usize,
    /// Of these, parts without a kind: nothing can be asked of them.
    pub not_looked_at: usize,
}

impl Counts {
    fn of<'v>(verdicts: impl Iterator<Item = &'v Verdict>) -> Self {
        let mut counts = Self::default();
        for verdict in verdicts {
            match verdict.outcome {
                Outcome::Clash => counts.clash += 1,
                Outcome::Open if verdict.accepted.is_some() => {}
                Outcome::Open => {
                    counts.open += 1;
                    counts.not_looked_at += usize::from(verdict.check == "kind/none");
                }
                Outcome::Clear(_) => {}
            }
        }
        counts
    }

    /// In a few words: "2 clashes, 12 open".
    pub fn shown(&self) -> String {
        let mut words = Vec::new();
        match self.clash {
            0 => {}
            1 => words.push("1 clash".to_owned()),
            it => words.push(format!("{it} clashes")),
        }
        if self.open > 0 {
            words.push(format!("{} open", self.open));
        }
        if self.not_looked_at > 0 {
            words.push(format!("{} not looked at", self.not_looked_at));
        }
        if words.is_empty() {
            "no clash and nothing open in what was looked at".to_owned()
        } else {
            words.join(", ")
        }
    }
}

impl By {
    /// How it stands, in a few words, with the way that is meant.
    pub fn shown(&self) -> String {
        let counts = self.counts.map_or("recipient not known, nothing judged".to_owned(), |it| it.shown());
        match &self.way {
            Some(way) => format!("by way of {}: {counts}", way.replace('_', " ")),
            None => counts,
        }
    }
}

impl Session {
    /// The conversions of a file, in order.
    pub fn conversions(&self, path: &str) -> Vec<Conversion> {
        let host = self.host();
        let db = host.db();
        let ids = trunnion_plan::conversions(host, &[path.to_owned()]).into_iter();
        ids.filter_map(|id| {
            let span = host.locate(id.site(id.decl(db)?.span))?.span;
            let name_span = host.locate(id.name_site(db))?.span;
            let (name, title) = (id.name(db).to_string(), id.shown(db));
            Some(Conversion { name, title, span, name_span, by: self.by(path, id) })
        })
        .collect()
    }

    /// The conversions whose first line a range touches.
    pub fn conversions_at(&self, path: &str, range: Span) -> Vec<Conversion> {
        let text = self.text(path).unwrap_or_default();
        let touched = |it: &Conversion| {
            let line = first_line(text, it.name_span);
            line.start <= range.end && range.start <= line.end
        };
        self.conversions(path).into_iter().filter(touched).collect()
    }

    fn by(&self, path: &str, id: Id) -> Vec<By> {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        let said = verdicts_of_conversion(db, workspace, id);
        let file = host.file(path).map(|it| verdicts_of(db, workspace, it).as_slice()).unwrap_or_default();
        let span = id.decl(db).map(|it| it.span).unwrap_or_default();
        // What cannot be read or found in its text counts too, by whatever way.
        let inside = |it: &&Verdict| {
            let site = it.site;
            site.item == id.item && span.start <= site.span.start && site.span.end <= span.end
        };
        let written = file.iter().filter(inside).filter(|it| !said.contains(it));
        let idle = said.iter().filter(|it| it.check == "accept/idle");
        let always: Vec<&Verdict> = written.chain(idle).collect();
        let counted = |way: Option<u32>| {
            world(db, workspace, id.item, id.nth, way)?;
            let own = of_world(db, workspace, id, way);
            Some(Counts::of(own.iter().chain(always.iter().copied())))
        };
        let ways = conversion(db, id).map(|it| it.ways.as_slice()).unwrap_or_default();
        if ways.is_empty() {
            return vec![By { way: None, counts: counted(None) }];
        }
        let each = ways.iter().zip(0..);
        each.map(|(way, nth)| By { way: Some(way.name.value.to_string()), counts: counted(Some(nth)) })
            .collect()
    }
}

/// The line that a conversion's name stands in, without its end.
fn first_line(text: &str, name: Span) -> Span {
    let ends = ['\n', '\r'];
    let at = (name.start as usize).min(text.len());
    let start = text.get(..at).and_then(|it| it.rfind(ends)).map_or(0, |it| it + 1);
    let end = text.get(at..).and_then(|it| it.find(ends)).map_or(text.len(), |it| at + it);
    Span::new(start as u32, end as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    const GROUND: &str = "kind unit { asks ratio }\nmeasure ratio\n\
         family Ruff { built 2009-06 to 2018-12, place gearbox is unit, place final_drive is unit }\n\
         part slow_axle is unit fills final_drive { fitted on Ruff, ratio 4.28 }\n\
         part box is unit fills gearbox { needs final_drive.ratio = 3.69 within 2 % }\n\
         vehicle van is Ruff { built 2012-04 }\n";

    fn opened(more: &str) -> (Session, String) {
        let mut session = Session::new();
        let text = format!("{GROUND}{more}");
        session.edit("a.trunnion", text.clone());
        (session, text)
    }

    /// What the verdicts themselves come to, counted another way.
    fn recounted(session: &Session) -> (usize, usize) {
        let diagnostics = session.diagnostics("a.trunnion");
        let clashes = diagnostics.iter().filter(|it| it.code != "open").count();
        let open = diagnostics.iter().filter(|it| it.code == "open");
        let open = open.map(|it| {
            let (_, rest) = it.message.split_once(": ").expect("a subject");
            rest.split(' ').next().and_then(|it| it.parse::<usize>().ok()).expect("a number")
        });
        (clashes, open.sum())
    }

    #[test]
    fn counts_are_those_of_the_diagnostics() {
        let (session, text) = opened("conversion easy \"Easy\" {\n  recipient van\n  fit box\n}\n");
        let found = session.conversions("a.trunnion");
        let [it] = found.as_slice() else { panic!("{found:?}") };
        assert_eq!((it.name.as_str(), it.title.as_str()), ("easy", "Easy"));
        assert_eq!(&text[it.name_span.range()], "easy");
        assert!(
            text[it.span.range()].starts_with("conversion easy") && it.span.end as usize >= text.len() - 1
        );
        let counts = it.by[0].counts.expect("counted");
        assert_eq!((counts.clash, counts.open), recounted(&session));
        assert!(counts.clash > 0 && counts.open > 0, "{counts:?}");
    }

    #[test]
    fn what_cannot_be_read_counts_and_no_recipient_is_no_pass() {
        let (session, _) = opened("conversion easy {\n  recipient van\n  fit there_is_none\n}\n");
        let counts = session.conversions("a.trunnion")[0].by[0].counts.expect("counted");
        assert_eq!((counts.clash, counts.open), recounted(&session));
        assert!(counts.clash > 0);
        let (session, _) = opened("conversion easy {\n  recipient nobody\n}\n");
        let by = &session.conversions("a.trunnion")[0].by[0];
        assert_eq!(by.shown(), "recipient not known, nothing judged");
    }

    #[test]
    fn each_way_is_counted_by_itself() {
        let (session, _) = opened(
            "conversion easy {\n  recipient van\n  way with_box { fit box }\n  way as_it_is { remove gearbox }\n}\n",
        );
        let by = &session.conversions("a.trunnion")[0].by;
        assert_eq!(
            by.iter().map(|it| it.way.as_deref()).collect::<Vec<_>>(),
            [Some("with_box"), Some("as_it_is")]
        );
        let clashes: Vec<usize> = by.iter().filter_map(|it| Some(it.counts?.clash)).collect();
        assert!(clashes[0] > clashes[1], "{by:?}");
        assert!(by[0].shown().starts_with("by way of with box: "), "{}", by[0].shown());
    }

    #[test]
    fn words_never_tell_of_a_pass_while_something_is_open() {
        let shown = |clash, open, not_looked_at| Counts { clash, open, not_looked_at }.shown();
        assert_eq!(shown(2, 12, 0), "2 clashes, 12 open");
        assert_eq!(shown(1, 4, 3), "1 clash, 4 open, 3 not looked at");
        assert_eq!(shown(0, 5, 0), "5 open");
        assert_eq!(shown(0, 0, 0), "no clash and nothing open in what was looked at");
    }

    #[test]
    fn a_conversion_is_found_from_anywhere_in_its_first_line() {
        let (session, text) = opened("/// why\nconversion easy \"Easy\" { // whole\n  recipient van\n}\n");
        let at = |needle: &str| {
            let offset = text.rfind(needle).expect("there") as u32;
            session.conversions_at("a.trunnion", Span::new(offset, offset)).len()
        };
        assert_eq!([at("conversion"), at("easy"), at("Easy"), at(" // whole"), at(" whole")], [1; 5]);
        assert_eq!([at("why"), at("recipient van"), at("vehicle")], [0; 3]);
    }
}
