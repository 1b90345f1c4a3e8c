//! What a meter will read at the cavity or plug that stands at an offset.

use trunnion_check::ctx::Ctx;
use trunnion_check::readings::{Reading, readings};
use trunnion_model::db::{Db, Item};
use trunnion_model::decl::{Body, EndClass};
use trunnion_model::library::is_library;
use trunnion_model::lower::lowered;
use trunnion_model::name::Id;
use trunnion_model::world::{World, world};
use trunnion_syntax::tree::{Name, Span};

use crate::Session;

/// The most cavities of a plug that are shown.
const IN_VIEW: usize = 40;

impl Session {
    /// The expected readings, as Markdown: of the cavity whose line stands there, or of all cavities
    /// of the plug.
    pub(crate) fn readings_section(&self, path: &str, offset: u32) -> Option<String> {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        let (item, inner) = host.item_at(path, offset)?;
        let (id, plug, cavity) = plug_at(db, item, inner)?;
        let world = self.world_with(path, id)?;
        let ctx = Ctx { db, workspace, world: &world };
        let here = |it: &Reading| {
            let own = it.stated.is_some_and(|it| it.0 == id) && it.plug.end == plug;
            own && cavity.is_none_or(|span| it.stated.is_some_and(|it| it.1 == span))
        };
        let all: Vec<Reading> = readings(&ctx).into_iter().filter(here).collect();
        if all.is_empty() {
            return None;
        }
        let of = world.root().shown(db);
        let mut text = format!("**expected readings** ({of})");
        for it in all.iter().take(IN_VIEW) {
            text.push_str(&format!("\n\n{}[{}] {}", it.plug.text(), it.number, it.what));
            for expected in &it.expected {
                text.push_str(&format!("\n- {}: {}", expected.when.join("; "), expected.reading));
            }
        }
        if all.len() > IN_VIEW {
            text.push_str(&format!("\n\n… and {} more", all.len() - IN_VIEW));
        }
        Some(text)
    }

    /// The first vehicle or conversion in which a part sits: of this file, else of another.
    fn world_with(&self, path: &str, id: Id) -> Option<std::sync::Arc<World>> {
        let host = self.host();
        let (db, workspace) = (host.db(), host.workspace());
        let own = host.file(path);
        let files = workspace.files(db);
        let others = files.iter().filter(|(path, _)| !is_library(path)).map(|it| *it.1);
        let (mut converted, mut alone) = (Vec::new(), Vec::new());
        for file in own.into_iter().chain(others) {
            for item in file.items(db).iter() {
                for (nth, decl) in lowered(db, *item).decls.iter().enumerate() {
                    match decl.body {
                        Body::Conversion(_) => converted.push((*item, nth as u32)),
                        Body::Vehicle(_) => alone.push((*item, nth as u32)),
                        _ => {}
                    }
                }
            }
        }
        let worlds = converted.into_iter().chain(alone);
        let mut worlds = worlds.filter_map(|(item, nth)| world(db, workspace, item, nth, None));
        worlds.find(|it| it.places.iter().any(|it| it.after.parts().contains(&id)))
    }
}

/// The plug at a place in an item, and its cavity's line where that is meant.
fn plug_at(db: &dyn Db, item: Item, inner: u32) -> Option<(Id, Name, Option<Span>)> {
    for (nth, decl) in lowered(db, item).decls.iter().enumerate() {
        let Body::Part(part) = &decl.body else { continue };
        let mut plugs = part.ends.iter().filter(|it| it.class == EndClass::Plug);
        if let Some(end) = plugs.find(|it| it.span.touches(inner)) {
            let cavity = end.cavities.iter().find(|it| it.span.touches(inner)).map(|it| it.span);
            let id = Id { item, nth: nth as u32 };
            return Some((id, end.name.value.clone(), cavity));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "family Dunlin { built 2009-06 to 2018-12, place lamp, zone cabin\n  \
         feed F31 is 12 V from ignition\n  ground G2 at cabin }\n\
         part bulb fills lamp {\n  plug L1 {\n    1 lamp roof 12 V draw 1 A in\n    2 ground\n  }\n}\n\
         vehicle van is Dunlin { built 2012-04 }\n\
         conversion light {\n  recipient van\n  fit bulb\n  wire F31 to lamp.L1[1]\n  wire lamp.L1[2] to G2\n}\n";

    fn hover(at: &str) -> String {
        let mut session = Session::new();
        session.edit("light.trunnion", TEXT.to_owned());
        let offset = TEXT.find(at).expect("there") as u32;
        session.hover("light.trunnion", offset).expect("something").text
    }

    #[test]
    fn a_cavity_shows_its_readings() {
        let text = hover("roof 12 V");
        assert!(text.contains("**expected readings** (light)"), "{text}");
        assert!(
            text.contains(
                "lamp.L1[1] lamp roof\n- off: 0 V, to ground through a load\n- on, run: 12 V (10.5 to 15 V)"
            ),
            "{text}"
        );
        assert!(!text.contains("lamp.L1[2]"), "{text}");
    }

    #[test]
    fn a_plug_shows_all_of_them() {
        let text = hover("L1 {");
        assert!(text.contains("lamp.L1[1] lamp roof"), "{text}");
        assert!(
            text.contains("lamp.L1[2] ground\n- off, on, crank, run: 0 V, below 0.1 Ω to ground"),
            "{text}"
        );
    }
}
