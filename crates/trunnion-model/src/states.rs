//! Key states, and which supplies are there in each.
//!
//! This is the one list of both. The guide prints it; a test holds the guide to it.

use smol_str::SmolStr;
use trunnion_syntax::tree::{At, Name};

use crate::decl::Family;

/// The states that every vehicle has, with what each means.
pub const STATES: [(&str, &str); 5] = [
    ("off", "key out"),
    ("on", "key on, engine standing"),
    ("crank", "starter turning"),
    ("run", "engine running, or ready to drive"),
    ("charging", "charging cable in"),
];

/// The words that say where a supply comes from, and the states in which it is there. Which supply
/// a maker drops while cranking differs: these are common practice, no source. A supply that comes
/// in one state only names that state.
pub const SUPPLIES: [(&str, &[&str]); 8] = [
    ("battery", &["off", "on", "crank", "run", "charging"]),
    ("ignition", &["on", "crank", "run"]),
    ("on", &["on", "crank", "run"]),
    ("accessory", &["on", "run"]),
    ("starter", &["crank"]),
    ("running", &["run"]),
    ("alternator", &["run"]),
    ("charger", &["charging"]),
];

/// The positions of the gear that a contact may name; `drive` stands for every forward gear.
pub const GEARS: [&str; 4] = ["park", "reverse", "neutral", "drive"];

/// One state of a vehicle.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct State {
    /// Its name.
    pub name: Name,
    /// The state of the usual five in which the same supplies are there; none where nobody said.
    pub like: Option<Name>,
}

/// Whether a supply is there in a state; none where that cannot be told.
///
/// A supply from the battery is there in every state. Else its word is one of [`SUPPLIES`], or the
/// name of one of the states there are, in which alone it is there then.
pub fn there(from: &str, state: &State, states: &[State]) -> Option<bool> {
    if from == "battery" || from == state.name {
        return Some(true);
    }
    if let Some((_, there)) = SUPPLIES.iter().find(|it| it.0 == from) {
        return state.like.as_deref().map(|it| there.contains(&it));
    }
    if is_usual(from) {
        return state.like.as_deref().map(|it| it == from);
    }
    // A state of the family's own: its supplies are there in it alone.
    states.iter().any(|it| it.name == from).then_some(false)
}

/// The states of a vehicle of these families: the usual ones, then those that a family adds.
/// `charging` counts only where something of the vehicle names it.
pub fn states<'a>(families: impl IntoIterator<Item = &'a Family>, charging: bool) -> Vec<State> {
    let usual = STATES.iter().filter(|it| charging || it.0 != "charging");
    let mut all: Vec<State> = usual.map(|it| State { name: it.0.into(), like: Some(it.0.into()) }).collect();
    for (name, like) in families.into_iter().flat_map(|it| &it.states) {
        if !all.iter().any(|it| it.name == name.value) {
            let like = like.as_ref().map(|it: &At<Name>| it.value.clone());
            all.push(State { name: name.value.clone(), like: like.filter(|it| is_usual(it)) });
        }
    }
    all
}

/// Whether it is one of the states that every vehicle has.
pub fn is_usual(word: &str) -> bool {
    STATES.iter().any(|it| it.0 == word)
}

/// Whether it says where a supply comes from without naming a state.
pub fn is_supply(word: &str) -> bool {
    SUPPLIES.iter().any(|it| it.0 == word)
}

/// Every word that may stand after `from` of a supply, with those of these families.
pub fn supply_words<'a>(families: impl IntoIterator<Item = &'a Family>) -> Vec<SmolStr> {
    let own = families.into_iter().flat_map(|it| &it.states).map(|it| it.0.value.clone());
    let shipped = SUPPLIES.iter().map(|it| it.0).chain(STATES.iter().map(|it| it.0));
    shipped.map(SmolStr::from).chain(own).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn usual(name: &str) -> State {
        State { name: name.into(), like: Some(name.into()) }
    }

    /// The rows by hand: key positions as they are on most vehicles, common practice.
    #[test]
    fn each_supply_is_there_in_its_states_and_no_other() {
        let in_states = |word: &str| -> Vec<&str> {
            let all = STATES.iter().map(|it| it.0);
            all.filter(|it| there(word, &usual(it), &[]) == Some(true)).collect()
        };
        assert_eq!(in_states("battery"), ["off", "on", "crank", "run", "charging"]);
        assert_eq!(in_states("ignition"), ["on", "crank", "run"]);
        assert_eq!(in_states("accessory"), ["on", "run"]);
        assert_eq!(in_states("starter"), ["crank"]);
        assert_eq!(in_states("run"), ["run"]);
        assert_eq!(in_states("off"), ["off"]);
        assert_eq!(in_states("charging"), ["charging"]);
    }

    #[test]
    fn a_state_of_the_family_is_like_another_or_nobody_knows() {
        let like = State { name: "reversing".into(), like: Some("run".into()) };
        let alone = State { name: "parked".into(), like: None };
        let all = [like.clone(), alone.clone()];
        assert_eq!(there("ignition", &like, &all), Some(true));
        assert_eq!(there("starter", &like, &all), Some(false));
        assert_eq!(there("reversing", &like, &all), Some(true));
        assert_eq!(there("battery", &alone, &all), Some(true));
        assert_eq!(there("ignition", &alone, &all), None);
        assert_eq!(there("run", &alone, &all), None);
        assert_eq!(there("parked", &usual("run"), &all), Some(false));
        assert_eq!(there("ignitoin", &usual("run"), &all), None);
    }
}
