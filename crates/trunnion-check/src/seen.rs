//! Readings of all states and positions, put together where they are the same.

use trunnion_model::circuit::{Circuit, Evaluated, Evaluations, MOST, Situation};

use crate::readings::Expected;

/// What is read at a node in every state and position, those together that say the same.
pub fn each_state(
    circuit: &Circuit,
    evaluations: &Evaluations<'_>,
    node: usize,
    read: &dyn Fn(&Evaluated<'_>, &Situation) -> (String, bool),
) -> Vec<Expected> {
    let controls = circuit.controls_of(node);
    let mut all: Vec<Seen> = Vec::new();
    let mut put = |when: (String, Vec<String>), reading: String, known: bool| match all
        .iter_mut()
        .find(|it| it.reading == reading)
    {
        Some(it) => it.when.push(when),
        None => all.push(Seen { when: vec![when], reading, known }),
    };
    for (nth, state) in circuit.states.iter().enumerate() {
        let name = state.name.replace('_', " ");
        let Some(situations) = circuit.situations(nth, &controls) else {
            let text = format!("nobody has said: which of more than {MOST} positions together can occur");
            put((name, Vec::new()), text, false);
            continue;
        };
        let read: Vec<(Situation, (String, bool))> = situations
            .into_iter()
            .map(|it| {
                let read = read(&evaluations.of(&it), &it);
                (it, read)
            })
            .collect();
        let matter: Vec<usize> = controls.iter().copied().filter(|it| matters(*it, &read)).collect();
        let mut shown: Vec<Vec<String>> = Vec::new();
        for (situation, (reading, known)) in read {
            let positions = |it: &usize| circuit.controls[*it].shown(situation.positions[*it]);
            let positions: Vec<String> = matter.iter().map(positions).collect();
            if !shown.contains(&positions) {
                shown.push(positions.clone());
                put((name.clone(), positions), reading, known);
            }
        }
    }
    all.into_iter().map(Seen::together).collect()
}

/// Whether a reading is another where only this control is put elsewhere.
fn matters(control: usize, read: &[(Situation, (String, bool))]) -> bool {
    let others = |it: &Situation| {
        let positions = it.positions.iter().enumerate().filter(|(nth, _)| *nth != control);
        positions.map(|it| *it.1).collect::<Vec<_>>()
    };
    read.iter().any(|(a, x)| read.iter().any(|(b, y)| x != y && others(a) == others(b)))
}

/// A reading, and each state with the positions in which it is seen.
struct Seen {
    when: Vec<(String, Vec<String>)>,
    reading: String,
    known: bool,
}

impl Seen {
    /// The states of which the positions are the same together, and the positions of one control
    /// in a row: "off, on with the gear in park or neutral".
    fn together(self) -> Expected {
        let mut states: Vec<(String, Vec<Vec<String>>)> = Vec::new();
        for (state, positions) in self.when {
            match states.iter_mut().find(|it| it.0 == state) {
                Some(it) => it.1.push(positions),
                None => states.push((state, vec![positions])),
            }
        }
        let mut alike: Vec<(Vec<String>, Vec<Vec<String>>)> = Vec::new();
        for (state, positions) in states {
            match alike.iter_mut().find(|it| it.1 == positions) {
                Some(it) => it.0.push(state),
                None => alike.push((vec![state], positions)),
            }
        }
        let when = alike.into_iter().map(|(states, positions)| {
            let states = states.join(", ");
            format!("{states} {}", in_a_row(&positions)).trim_end().to_owned()
        });
        Expected { when: when.collect(), reading: self.reading, known: self.known }
    }
}

/// "with the gear in park or neutral"; where several controls matter, each set of positions.
fn in_a_row(positions: &[Vec<String>]) -> String {
    let singles: Option<Vec<&String>> =
        positions.iter().map(|it| if it.len() == 1 { it.first() } else { None }).collect();
    if let Some([first, rest @ ..]) = singles.as_deref()
        && let Some(cut) = first.rfind(' ')
    {
        let (lead, word) = first.split_at(cut + 1);
        let others: Option<Vec<&str>> = rest.iter().map(|it| it.strip_prefix(lead)).collect();
        if let Some(others) = others.filter(|it| it.iter().all(|it| !it.contains(' '))) {
            let words: Vec<&str> = std::iter::once(word).chain(others).collect();
            return format!("{lead}{}", words.join(" or "));
        }
    }
    let each = positions.iter().map(|it| it.join(" and ").replace(" and with ", " and "));
    each.collect::<Vec<_>>().join(" or ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_of_one_control_stand_in_a_row() {
        let one = |it: &str| vec![it.to_owned()];
        assert_eq!(
            in_a_row(&[one("with the gear in park"), one("with the gear in neutral")]),
            "with the gear in park or neutral"
        );
        let two = |a: &str, b: &str| vec![a.to_owned(), b.to_owned()];
        assert_eq!(
            in_a_row(&[two("with the gear in park", "with the pedal pressed")]),
            "with the gear in park and the pedal pressed"
        );
        assert_eq!(in_a_row(&[Vec::new()]), "");
    }
}
