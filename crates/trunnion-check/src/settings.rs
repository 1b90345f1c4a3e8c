//! Settings of control units: what they can be set to, what the conversion makes, what was read.

use trunnion_model::db::Site;
use trunnion_model::decl::Verb;
use trunnion_model::fact::{Found, Value};
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::world::Place;
use trunnion_syntax::tree::Span;

use crate::ctx::Ctx;

/// A `setup` of the conversion.
pub struct Made {
    /// The value it sets.
    pub value: String,
    /// Where the setting's name stands in it.
    pub name_site: Site,
    /// Where the value stands in it.
    pub value_site: Site,
    /// The statement as a claim.
    pub found: Found,
}

/// A setting of what sits in a place after the changes.
pub struct Setting<'a> {
    /// The place.
    pub place: &'a Place,
    /// Its name, as in the tester.
    pub name: String,
    /// What it can be set to.
    pub values: Vec<String>,
    /// The statement that it has it.
    pub stated: Found,
    /// What the conversion sets it to: the last statement on it is the last here.
    pub made: Vec<Made>,
    /// What it was found set to, by its coding.
    pub read: Option<(String, Found)>,
}

impl Setting<'_> {
    /// As it is shown: the setting "gearbox type" of the brake controller.
    pub fn shown(&self) -> String {
        format!("\"{}\" of the {}", self.name, self.place.shown())
    }

    /// What it is set to once the work is done, and by whose word.
    pub fn after(&self) -> Option<(&str, &Found)> {
        let made = self.made.last().map(|it| (it.value.as_str(), &it.found));
        made.or_else(|| self.read.as_ref().map(|(value, found)| (value.as_str(), found)))
    }

    /// The one value that says what sits in the place that the setting is named after, with that place:
    /// "automatic" of a "gearbox type", where an automatic gearbox sits there.
    pub fn fitting<'a>(&self, ctx: &Ctx<'a>) -> Option<(String, &'a Place)> {
        let place = ctx.world.places.iter().find(|it| holds_words(&self.name, &it.shown()))?;
        let (kind, _) = ctx.kind_after(place)?;
        let kind = kind.name(ctx.db);
        let mut said =
            self.values.iter().filter(|it| holds_words(&kind, it) && !holds_words(&place.name, it));
        let value = said.next()?;
        said.next().is_none().then(|| (value.clone(), place))
    }

    /// Whether the changes ask for it: it is set, its unit comes in, or it is named after a place that changes.
    pub fn concerned(&self, ctx: &Ctx<'_>) -> bool {
        let about = |it: &Place| holds_words(&self.name, &it.shown());
        !self.made.is_empty()
            || self.place.changed()
            || ctx.world.places.iter().any(|it| it.changed() && about(it))
    }
}

/// The settings of all that sits in the vehicle after the changes; of a place that may hold one of several
/// parts, those that all of them have.
pub fn settings<'a>(ctx: &Ctx<'a>) -> Vec<Setting<'a>> {
    let mut all = Vec::new();
    for place in &ctx.world.places {
        let Some((id, others)) = place.after.parts().split_first() else { continue };
        for (name, values, claim) in ctx.part(*id).into_iter().flat_map(|it| &it.settings) {
            let values: Vec<String> = values.iter().map(Value::display).collect();
            let has = |id: &Id| {
                let settings = ctx.part(*id).map(|it| it.settings.as_slice()).unwrap_or_default();
                settings.iter().any(|it| {
                    same(&it.0.value, &name.value)
                        && it.1.iter().map(Value::display).eq(values.iter().cloned())
                })
            };
            if !others.iter().all(has) {
                continue;
            }
            let made =
                made(ctx, place).into_iter().filter(|it| same(&it.0, &name.value)).map(|it| it.1).collect();
            let read = read(ctx, place, &name.value, &values);
            let stated = known::said(ctx.db, ctx.workspace, *id, claim, name.span);
            all.push(Setting { place, name: name.value.to_string(), values, stated, made, read });
        }
    }
    all
}

/// The `setup` statements on a place, each with the setting's name.
pub fn made(ctx: &Ctx<'_>, at: &Place) -> Vec<(String, Made)> {
    let Some(id) = ctx.world.conversion else { return Vec::new() };
    let changes = ctx.world.changes.iter();
    changes
        .filter_map(|change| {
            let Verb::Setup { place, setting, value } = &change.verb else { return None };
            let site = |span: Span| id.site(span);
            let found = known::said(ctx.db, ctx.workspace, id, &change.claim, change.span);
            let made = Made {
                value: value.display(),
                name_site: site(setting.span),
                value_site: site(value.span),
                found,
            };
            (*place.head() == at.name).then(|| (setting.value.to_string(), made))
        })
        .collect()
}

/// Whether two settings, or two values, are the same whatever their capitals.
pub fn same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// The value that the coding names: the only one of which all words stand in it.
fn read(ctx: &Ctx<'_>, place: &Place, name: &str, values: &[String]) -> Option<(String, Found)> {
    let known = ctx.fact(place, "coding");
    let found = known.best()?;
    let text: Vec<String> = found.values.iter().filter_map(|it| Some(it.word()?.to_string())).collect();
    let parts: Vec<&str> = text.iter().flat_map(|it| it.split([',', ';'])).collect();
    // Where the coding names the setting itself, what stands beside it counts alone.
    let own: Vec<&str> = parts.iter().copied().filter(|it| holds_words(it, name)).collect();
    let parts = if own.is_empty() { parts } else { own };
    let mut named = values.iter().filter(|value| parts.iter().any(|it| holds_words(it, value)));
    let value = named.next()?;
    named.next().is_none().then(|| (value.clone(), found.clone()))
}

/// Whether the words of one text stand in another one after the other.
fn holds_words(text: &str, words: &str) -> bool {
    let split = |it: &str| -> Vec<String> {
        it.split(|c: char| c.is_whitespace() || c == '_')
            .filter(|it| !it.is_empty())
            .map(str::to_lowercase)
            .collect()
    };
    let (text, words) = (split(text), split(words));
    !words.is_empty() && text.windows(words.len()).any(|it| it == words.as_slice())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_whole_and_in_order() {
        assert!(holds_words("final drive 3.69", "3.69"));
        assert!(holds_words("Gearbox type", "gearbox"));
        assert!(holds_words("final drive", "final_drive"));
        assert!(!holds_words("automatically", "automatic"));
        assert!(!holds_words("drive final", "final drive"));
        assert!(!holds_words("anything", ""));
    }
}
