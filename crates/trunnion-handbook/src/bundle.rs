//! How wide a bundle of wires of different sizes is.

use crate::registry::Source;

/// What the figures rest on.
pub const SOURCES: &[Source] = &[Source::definition(
    "bundle of mixed wires: at least the two widest side by side and the root of the sum of \
     squares; at most a packing that is shown to hold",
)];

/// Between what no packing can beat and what one packing reaches, in the unit of the wires.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Width {
    /// No round hole narrower than this takes the bundle.
    pub at_least: f64,
    /// A round hole this wide takes it, laid with care.
    pub at_most: f64,
}

/// More wires than this are one loom too many; the search grows with their third power, slowly: most of it
/// looks at neighbours only.
pub const MOST_WIRES: usize = 120;

#[derive(Clone, Copy)]
struct Disc {
    x: f64,
    y: f64,
    r: f64,
}

/// The width of the smallest round hole for wires of the given outer diameters, as two bounds.
///
/// `None` for no wire, more than [`MOST_WIRES`], or a diameter that is not finite and above zero.
pub fn width(diameters: &[f64]) -> Option<Width> {
    let sound = diameters.iter().all(|it| it.is_finite() && *it > 0.0);
    if diameters.is_empty() || diameters.len() > MOST_WIRES || !sound {
        return None;
    }
    let mut radii: Vec<f64> = diameters.iter().map(|it| it / 2.0).collect();
    radii.sort_by(|one, other| other.total_cmp(one));
    let area = diameters.iter().map(|it| it * it).sum::<f64>().sqrt();
    let two_widest = 2.0 * radii.iter().take(2).sum::<f64>();
    let at_least = area.max(two_widest);
    // Laying the discs and rounding may end a hair under the bound that no packing beats.
    let at_most = (2.0 * around(&laid(&radii))).max(at_least);
    Some(Width { at_least, at_most })
}

/// Lays the discs, widest first, each touching two others as near the middle as it goes.
fn laid(radii: &[f64]) -> Vec<Disc> {
    let mut discs: Vec<Disc> = Vec::with_capacity(radii.len());
    for &r in radii {
        let next = match discs[..] {
            [] => Disc { x: 0.0, y: 0.0, r },
            [first] => Disc { x: first.r + r, y: 0.0, r },
            _ => nearest_gap(&discs, r),
        };
        discs.push(next);
    }
    discs
}

/// The free spot for a disc of radius `r` touching two laid ones, nearest their common middle.
fn nearest_gap(discs: &[Disc], r: f64) -> Disc {
    let (mut x, mut y, mut weight) = (0.0, 0.0, 0.0);
    for it in discs {
        x += it.x * it.r * it.r;
        y += it.y * it.r * it.r;
        weight += it.r * it.r;
    }
    let (x, y) = (x / weight, y / weight);
    let reach = |it: &Disc| (it.x - x).hypot(it.y - y) + it.r;
    let gap = |one: &Disc, other: &Disc| (one.x - other.x).hypot(one.y - other.y);
    let mut best: Option<(f64, Disc)> = None;
    let mut near: Vec<&Disc> = Vec::with_capacity(discs.len());
    for (at, one) in discs.iter().enumerate() {
        // Only these can touch, or be in the way of, a disc that touches this one.
        near.clear();
        near.extend(discs.iter().filter(|it| gap(it, one) <= (one.r + it.r + 2.0 * r) * (1.0 + 1e-9)));
        let beside = |it: &Disc| gap(it, one) <= one.r + it.r + 2.0 * r;
        for other in discs[at + 1..].iter().filter(|it| beside(it)) {
            for spot in touching(one, other, r).into_iter().flatten() {
                let far = reach(&spot);
                if best.as_ref().is_some_and(|(least, _)| far >= *least) {
                    continue;
                }
                if near.iter().all(|it| gap(it, &spot) >= (it.r + spot.r) * (1.0 - 1e-9)) {
                    best = Some((far, spot));
                }
            }
        }
    }
    let free = best.map(|it| it.1);
    // Beside the outermost disc there is always room.
    free.unwrap_or_else(|| {
        let far = discs.iter().map(|it| it.x + it.r).fold(f64::NEG_INFINITY, f64::max);
        Disc { x: far + r, y: 0.0, r }
    })
}

/// The two centres of a disc of radius `r` that touches two discs from outside.
fn touching(one: &Disc, other: &Disc, r: f64) -> [Option<Disc>; 2] {
    let (dx, dy) = (other.x - one.x, other.y - one.y);
    let gap = dx.hypot(dy);
    let (from_one, from_other) = (one.r + r, other.r + r);
    let along = (gap * gap + from_one * from_one - from_other * from_other) / (2.0 * gap);
    let aside_squared = from_one * from_one - along * along;
    if gap <= 0.0 || aside_squared < 0.0 {
        return [None, None];
    }
    let (ux, uy, aside) = (dx / gap, dy / gap, aside_squared.sqrt());
    let spot = |side: f64| Disc {
        x: one.x + along * ux - side * aside * uy,
        y: one.y + along * uy + side * aside * ux,
        r,
    };
    [Some(spot(1.0)), Some(spot(-1.0))]
}

/// The radius of the smallest circle around discs. The reach from a centre is convex in both its
/// coordinates, so a search by thirds finds the least.
fn around(discs: &[Disc]) -> f64 {
    let reach = |x: f64, y: f64| discs.iter().map(|it| (it.x - x).hypot(it.y - y) + it.r).fold(0.0, f64::max);
    let size = reach(0.0, 0.0);
    let best_at = |x: f64| least(-size, size, |y| reach(x, y));
    least(-size, size, best_at)
}

fn least(mut from: f64, mut to: f64, of: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..60 {
        let third = (to - from) / 3.0;
        if of(from + third) <= of(to - third) {
            to -= third;
        } else {
            from += third;
        }
    }
    of(f64::midpoint(from, to))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::registry::figure_of;
    use proptest::prelude::*;

    #[test]
    fn one_and_two_are_exact() {
        let made = width(&[2.0]).unwrap();
        assert!((made.at_least - 2.0).abs() < 1e-9 && (made.at_most - 2.0).abs() < 1e-6);
        let made = width(&[2.0, 3.0]).unwrap();
        assert!((made.at_least - 5.0).abs() < 1e-9 && (made.at_most - 5.0).abs() < 1e-6);
    }

    /// Against the published packings of equal circles, which are the best there are.
    #[test]
    fn equal_wires_hold_the_published_packing() {
        for count in 1..=20usize {
            let best = figure_of("bundle_diameter", &[&count.to_string(), "1 mm"], "mm");
            let made = width(&vec![1.0; count]).unwrap();
            // The published ratios are rounded up to three decimals.
            assert!(made.at_least <= best + 1e-9, "{count}: {made:?}");
            assert!(made.at_most >= best - 0.002, "{count}: {made:?}");
            assert!(made.at_most <= best * 1.16, "{count}: {made:?} against {best}");
        }
    }

    #[test]
    fn nonsense_has_no_width() {
        for bad in [vec![], vec![0.0], vec![-1.0], vec![f64::NAN], vec![f64::INFINITY], vec![1.0; 121]] {
            assert_eq!(width(&bad), None);
        }
    }

    /// For many wires the workshop's rule, common practice, lies above the lower bound and near the packing.
    #[test]
    fn a_whole_loom_is_about_as_wide_as_the_rule_says() {
        let loom: Vec<f64> = (0..120).map(|it| [1.4, 2.1, 3.2][it % 3]).collect();
        let made = width(&loom).unwrap();
        let rule = 1.2 * loom.iter().map(|it| it * it).sum::<f64>().sqrt();
        assert!(made.at_least < rule && made.at_most < rule * 1.05, "{made:?} {rule}");
    }

    proptest! {
        /// No two laid wires overlap, and all lie within the circle around them.
        #[test]
        fn the_packing_holds(diameters in proptest::collection::vec(0.8..8.0f64, 1..25)) {
            let mut radii: Vec<f64> = diameters.iter().map(|it| it / 2.0).collect();
            radii.sort_by(|one, other| other.total_cmp(one));
            let discs = laid(&radii);
            for (at, one) in discs.iter().enumerate() {
                for other in &discs[at + 1..] {
                    let apart = (one.x - other.x).hypot(one.y - other.y);
                    prop_assert!(apart >= (one.r + other.r) * (1.0 - 1e-8));
                }
            }
            let made = width(&diameters).unwrap();
            prop_assert!(made.at_least <= made.at_most);
            prop_assert!(made.at_most <= 2.0 * diameters.iter().sum::<f64>());
        }
    }
}
