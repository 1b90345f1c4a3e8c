//! The `basis`: which published rule, and which limit, the checks take where several exist.

use trunnion_model::built::scope_of;
use trunnion_model::decl::Body;
use trunnion_model::fact::Known;
use trunnion_model::known::as_found;
use trunnion_model::verdict::{Gate, Question, Who};

use crate::ctx::Ctx;

impl Ctx<'_> {
    /// What the `basis` statements seen from here say of a name: `current`, `drop`, `speedometer`.
    pub fn basis(&self, name: &str) -> Known {
        let root = self.world.root();
        let mut claims = Vec::new();
        for id in scope_of(self.db, self.workspace, root).nameless() {
            let Some(Body::Basis(facts)) = id.decl(self.db).map(|it| &it.body) else { continue };
            let about = facts.iter().filter(|it| it.target.is_empty() && it.name.value == name);
            claims.extend(about.map(|it| as_found(self.db, self.workspace, *id, it)));
        }
        Known::settle(claims)
    }
}

/// The question for a basis that nobody chose; `choices` says what may be chosen.
pub fn basis_question(name: &str, choices: &str, hangs: &str) -> Question {
    let words = name.replace('_', " ");
    Question {
        what: format!("which basis is taken for the {words}"),
        good: (!choices.is_empty()).then(|| choices.to_owned()),
        tool: Some("the rules that hold where the vehicle is registered".to_owned()),
        precision: None,
        minutes: Some(10),
        who: Who::Owner,
        gate: Gate::Power,
        hangs: hangs.to_owned(),
        type_in: Some(format!("basis {{ {words} is … }}")),
    }
}
