//! The closing dimension of a chain within which nearly all sets of parts lie.
//!
//! What adds up along an axis: crank flange to pilot, release travel, the pull-out of a converter.
//! Lengths that are taken away are given below zero.
//!
//! Where each tolerance stands for three standard deviations, 99.73 % of the sets lie within. Holds only
//! for parts that come independently, centred in their limits: not for one worn part, nor for parts of
//! one batch. The middle of a one-sided tolerance is taken as the figure meant.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};
use crate::stack::closing;

/// See the module.
pub static FUNCTION: Function = Function {
    name: "chain_statistical",
    title: "Dimension chain, root of the sum of squares",
    section: "fit",
    parameters: &[Parameter::new(
        "lengths",
        "mm",
        Limits::Any,
        "each with its tolerance; below zero where it is taken away",
    )
    .repeated()],
    outcome: Outcome { unit: "mm", meaning: "closing dimension, least to most" },
    formula: "closing = middle of (lengths) ± √(sum of half tolerances²)",
    sources: &[Source::common_practice(
        "root of the sum of squares: each dimension independent, centred, and of \
             a normal spread",
    )],
    assumes: &["Safety needs the worst case: see chain_worst_case."],
    example: "chain_statistical(100 mm ± 0.1 mm, -30 mm ± 0.1 mm, -60 mm ± 0.2 mm) = \
             9.755 to 10.24 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    FUNCTION.worked(it, closing(it, &[])?.statistical)
}

#[cfg(test)]
mod tests {
    use crate::registry::call;

    /// Four equal tolerances give half of their sum; and as many parts drawn from a normal spread of
    /// three standard deviations in each tolerance lie within it as the normal law says.
    #[test]
    fn holds_nearly_all_sets() {
        let given = ["100 mm ± 0.1 mm", "-30 mm ± 0.1 mm", "-40 mm ± 0.1 mm", "-20 mm ± 0.1 mm"];
        assert_eq!(call("chain_statistical", &given).unwrap().value.display(), "9.8 to 10.2 mm");
        let mut seed = 1u64;
        let mut even = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            f64::from(u32::try_from(seed >> 32).unwrap()) / 4_294_967_296.0
        };
        // Twelve even numbers less six are nearly normal, with a spread of one.
        let mut normal = || (0..12).map(|_| even()).sum::<f64>() - 6.0;
        let outside = (0..100_000).filter(|_| {
            let off: f64 = (0..4).map(|_| normal() * 0.1 / 3.0).sum();
            off.abs() > 0.2
        });
        // 270 are expected; three times their own spread of 16 to each side.
        let outside = outside.count();
        assert!((200..=340).contains(&outside), "{outside}");
    }
}
