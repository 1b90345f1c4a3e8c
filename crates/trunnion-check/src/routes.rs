//! The way of a fluid or of vacuum through lines, from a port to what gives it.

use trunnion_model::world::{EndAt, LineAt, Place};

use crate::ctx::Ctx;

/// A way through lines.
pub(crate) struct Route<'a> {
    /// The lines, from the port on.
    pub lines: Vec<&'a LineAt>,
    /// Where it ends.
    pub place: &'a Place,
}

/// The shortest way from a port through lines, and through places that pass the same medium on, to
/// one that `gives`.
pub(crate) fn route<'a>(
    ctx: &Ctx<'a>,
    from: &EndAt,
    gives: impl Fn(&Place, &EndAt) -> bool,
) -> Option<Route<'a>> {
    let mut seen = vec![from.place.clone()];
    let mut ways: Vec<Vec<&'a LineAt>> = vec![Vec::new()];
    let mut ends = vec![from.clone()];
    while !ends.is_empty() {
        let (mut next_ways, mut next_ends) = (Vec::new(), Vec::new());
        for (way, at) in ways.iter().zip(&ends) {
            let medium = way.last().map(|it| medium(it));
            for line in ctx.world.lines.iter().filter(|it| it.joint.after) {
                let passes = medium.is_none_or(|it| it == self::medium(line));
                let Some(end) = line.joint.other(at).filter(|it| passes && !seen.contains(&it.place)) else {
                    continue;
                };
                let Some(place) = ctx.world.place(&end.place).filter(|it| it.after.is_filled()) else {
                    continue;
                };
                let lines: Vec<&'a LineAt> = way.iter().copied().chain([line]).collect();
                if gives(place, end) {
                    return Some(Route { lines, place });
                }
                seen.push(place.name.clone());
                let on = ctx.world.lines.iter().filter(|it| it.joint.after && medium_eq(it, line));
                let ports = on.flat_map(|it| [&it.joint.a, &it.joint.b]);
                for port in ports.filter(|it| it.place == place.name && *it != end) {
                    next_ways.push(lines.clone());
                    next_ends.push(port.clone());
                }
            }
        }
        (ways, ends) = (next_ways, next_ends);
    }
    None
}

/// The line at a port.
pub(crate) fn line_at<'a>(ctx: &Ctx<'a>, at: &EndAt) -> Option<&'a LineAt> {
    ctx.world.lines.iter().find(|it| it.joint.after && it.joint.other(at).is_some())
}

/// What a line carries, by name; none where that is not stated.
pub(crate) fn medium(line: &LineAt) -> Option<&str> {
    line.line.medium.as_ref().map(|it| it.head().as_str())
}

fn medium_eq(one: &LineAt, other: &LineAt) -> bool {
    medium(one) == medium(other)
}
