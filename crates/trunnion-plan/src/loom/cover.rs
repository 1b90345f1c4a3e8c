//! The cheapest way to take enough out of one full bore: a covering knapsack.

/// More partial choices than this are not kept; the bound is then that of fractions.
const KEPT: usize = 4096;

/// A lower bound of what it costs to take out at least `needed`, from items of (size, cost); none if all
/// of them together are not enough. It is exact unless very many choices are worth keeping.
pub(super) fn cover(items: &[(u64, u64)], needed: u64) -> Option<u64> {
    if needed == 0 {
        return Some(0);
    }
    let sum = items.iter().fold(0u64, |sum, it| sum.saturating_add(it.0));
    if sum < needed {
        return None;
    }
    // Choices of which none is both smaller and dearer than another: (size, cost), smallest first.
    let mut front: Vec<(u64, u64)> = vec![(0, 0)];
    for (size, cost) in items {
        let with =
            front.iter().map(|it| (it.0.saturating_add(*size).min(needed), it.1.saturating_add(*cost)));
        let mut all: Vec<(u64, u64)> = front.iter().copied().chain(with).collect();
        // Two sorted halves, which a stable sort merges.
        all.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut least = u64::MAX;
        all.retain(|it| {
            it.1 < least && {
                least = it.1;
                true
            }
        });
        if all.len() > KEPT {
            return Some(fractions(items, needed));
        }
        front = all;
    }
    front.iter().find(|it| it.0 >= needed).map(|it| it.1)
}

/// The bound if the last item could be taken in part.
fn fractions(items: &[(u64, u64)], needed: u64) -> u64 {
    let mut items: Vec<(u64, u64)> = items.iter().copied().filter(|it| it.0 > 0).collect();
    items.sort_by(|a, b| {
        (u128::from(a.1) * u128::from(b.0)).cmp(&(u128::from(b.1) * u128::from(a.0))).then(a.cmp(b))
    });
    let (mut left, mut cost) = (needed, 0u64);
    for (size, price) in items {
        if size >= left {
            let part = u128::from(price) * u128::from(left) / u128::from(size);
            return cost.saturating_add(u64::try_from(part).unwrap_or(u64::MAX));
        }
        left -= size;
        cost = cost.saturating_add(price);
    }
    cost
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against every subset, on items that follow from a counter.
    #[test]
    fn it_is_the_least_over_all_subsets() {
        for case in 0..400u64 {
            let item = |nth: u64| ((case * 7 + nth * 13) % 11 + 1, (case * 5 + nth * nth * 3) % 17);
            let items: Vec<(u64, u64)> = (0..case % 9).map(item).collect();
            let needed = case % 23;
            let mut least = None;
            for subset in 0..1u32 << items.len() {
                let taken = items.iter().enumerate().filter(|(nth, _)| subset >> nth & 1 == 1);
                let (size, cost) = taken.fold((0, 0), |sum, (_, it)| (sum.0 + it.0, sum.1 + it.1));
                if size >= needed && least.is_none_or(|it| cost < it) {
                    least = Some(cost);
                }
            }
            assert_eq!(cover(&items, needed), least, "{items:?} {needed}");
            if let Some(least) = least {
                assert!(fractions(&items, needed) <= least, "{items:?} {needed}");
            }
        }
    }
}
