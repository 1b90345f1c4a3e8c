//! Names in what is said about circuits: states, cavities of contacts and diodes.

use trunnion_model::built::family;
use trunnion_model::db::Db;
use trunnion_model::decl::{Body, Conversion, Decl, EndClass, Feed, Part, StateDuty};
use trunnion_model::fact::Ref;
use trunnion_model::name::{Id, Scope, Space, nearest};
use trunnion_model::states::{STATES, is_usual, supply_words};
use trunnion_model::verdict::Problem;

use crate::checks::rule::named_states;
use trunnion_syntax::tree::{At, Name, Span};

/// What is wrong with the names a declaration uses of states and cavities.
pub fn problems(db: &dyn Db, scope: &Scope, decl: &Decl) -> Vec<Problem> {
    let families: Vec<Id> = scope.each(Space::Family).map(|(_, id)| id).collect();
    let families = || families.iter().filter_map(|it| family(db, *it));
    let supplies: Vec<String> = supply_words(families()).iter().map(ToString::to_string).collect();
    let own = families().flat_map(|it| &it.states).map(|it| it.0.value.to_string());
    let states: Vec<String> = STATES.iter().map(|it| it.0.to_owned()).chain(own).collect();
    let mut names = Names { supplies, states, problems: Vec::new() };
    names.decl(decl);
    names.problems
}

struct Names {
    /// What may stand after `from` of a supply.
    supplies: Vec<String>,
    states: Vec<String>,
    problems: Vec<Problem>,
}

impl Names {
    fn decl(&mut self, decl: &Decl) {
        match &decl.body {
            Body::Family(it) => {
                self.feeds(&it.feeds);
                for like in it.states.iter().filter_map(|it| it.1.as_ref()) {
                    if !is_usual(&like.value) {
                        let usual = STATES.iter().map(|it| it.0).collect::<Vec<_>>().join(", ");
                        let message =
                            format!("A state is like one of {usual}; `{}` is none of them.", like.value);
                        self.problems.push(Problem::new("name/unknown", like.span, message));
                    }
                }
            }
            Body::Feed(it) => self.feeds(std::slice::from_ref(it)),
            Body::Vehicle(it) => self.feeds(&it.feeds),
            Body::Conversion(it) => self.conversion(it),
            Body::Kind(it) => {
                it.supplies.iter().for_each(|it| self.supply(it));
                self.duties(&it.duties);
            }
            Body::Part(it) => self.part(it),
            Body::Rule(it) => {
                let conditions = it.when.iter().chain(&it.needs).map(|it| &it.condition);
                conditions.flat_map(named_states).for_each(|it| self.state(it));
            }
            _ => {}
        }
    }

    fn conversion(&mut self, conversion: &Conversion) {
        self.feeds(&conversion.feeds);
        for way in &conversion.ways {
            self.feeds(&way.body.feeds);
        }
    }

    fn feeds(&mut self, feeds: &[Feed]) {
        feeds.iter().filter_map(|it| it.state.as_ref()).for_each(|it| self.supply(it));
    }

    fn supply(&mut self, word: &At<Name>) {
        if !self.supplies.iter().any(|it| *it == word.value) {
            let told = "A supply comes from the battery, the ignition or the like, or in a state";
            self.unknown(word, &format!("{told}; `{}` is neither", word.value), &self.supplies.clone());
        }
    }

    fn duties(&mut self, duties: &[StateDuty]) {
        duties.iter().flat_map(|it| &it.during).for_each(|it| self.state(it));
    }

    fn state(&mut self, state: &At<Name>) {
        if !self.states.iter().any(|it| *it == state.value) {
            self.unknown(state, &format!("There is no state `{}`", state.value), &self.states.clone());
        }
    }

    fn unknown(&mut self, word: &At<Name>, told: &str, known: &[String]) {
        let near = nearest(&word.value, known.iter().map(String::as_str));
        let hint = match &near {
            Some(near) => format!("`{near}` is one"),
            None => format!("declare it in the family: `state {}`", word.value),
        };
        let mut problem = Problem::new("name/unknown", word.span, format!("{told}; {hint}."));
        if let Some(near) = near {
            problem = problem.with_mend(format!("write {near}"), word.span, near);
        }
        self.problems.push(problem);
    }

    fn part(&mut self, part: &Part) {
        part.supplies.iter().for_each(|it| self.supply(it));
        self.duties(&part.duties);
        for contact in &part.contacts {
            let pins = std::iter::once(&contact.a).chain(&contact.b).chain(&contact.coil);
            pins.for_each(|it| self.pin(part, it));
        }
        for diode in &part.diodes {
            self.pin(part, &diode.a);
            self.pin(part, &diode.b);
        }
    }

    /// A cavity of one of the part's own plugs.
    fn pin(&mut self, part: &Part, pin: &Ref) {
        let mut told = |span: Span, message: String| {
            self.problems.push(Problem::new("name/unknown", span, message));
        };
        let Some(index) = &pin.index else {
            told(pin.span, format!("A contact joins cavities: write which, as in `{}[1]`.", pin.text()));
            return;
        };
        let plugs = || part.ends.iter().filter(|it| it.class == EndClass::Plug && !it.absent);
        let name = &pin.parts[pin.parts.len() - 1];
        let Some(plug) = plugs().find(|it| it.name.value == name.value) else {
            let near = nearest(&name.value, plugs().map(|it| it.name.value.as_str()));
            let hint = near.map(|it| format!("; `{it}` is one")).unwrap_or_default();
            told(name.span, format!("This part has no plug `{}`{hint}.", name.value));
            return;
        };
        let listed = plug.cavities.iter().any(|it| it.number.value.to_string() == index.value.as_str());
        if !listed {
            let message =
                format!("The plug {} lists no cavity {}: say there what it is for.", name.value, index.value);
            told(index.span, message);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    #[test]
    fn what_is_none_is_told_with_what_is_near() {
        let found = check(
            "name/unknown",
            "family Dunlin { built 2009-06 to 2018-12, feed F1 is 12 V from ignitoin\n  state parked like runn }\n\
             part a { plug S1 { 1 supply 12 V in, 2 supply 12 V out }, contact S1[1] to S2[2], contact S1[1] to S1[3]\n\
             contact S1 to S1[2], duty lamp never during parkd }\n\
             rule r { when state is rnu, needs lamp fitted }",
        );
        let messages: Vec<&str> = found.verdicts().iter().map(|it| it.message.as_str()).collect();
        assert_eq!(
            messages,
            [
                "A supply comes from the battery, the ignition or the like, or in a state; `ignitoin` is neither; `ignition` is one.",
                "A state is like one of off, on, crank, run, charging; `runn` is none of them.",
                "This part has no plug `S2`; `S1` is one.",
                "The plug S1 lists no cavity 3: say there what it is for.",
                "A contact joins cavities: write which, as in `S1[1]`.",
                "There is no state `parkd`; `parked` is one.",
                "There is no state `rnu`; `run` is one.",
            ]
        );
    }
}
