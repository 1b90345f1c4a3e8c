//! Force on each of two mounts that hold a unit against the torque it gives to the axle or propshaft.
//!
//! A gearbox across the vehicle with its axle in one is held against the whole axle torque; one along
//! the vehicle against the propshaft's only.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "mount_reaction",
    title: "Reaction of mounts to torque",
    section: "carry",
    parameters: &[
        Parameter::new("torque", "Nm", Limits::Any, "torque that leaves the unit: axle or propshaft"),
        Parameter::new("arm", "mm", Limits::Positive, "distance between the two mounts, square to the shaft"),
    ],
    outcome: Outcome { unit: "N", meaning: "force on each, up on one and down on the other" },
    formula: "force = torque / arm",
    sources: &[Source::definition("a couple")],
    assumes: &["Torque the engine takes in from outside is none."],
    example: "mount_reaction(2400 Nm, 800 mm) = 3000 N",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::FORCE, |v| v[0] / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("mount_reaction", &["100 Nm", "0.5 m"], "N");
        let wanted: f64 = 200.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("mount_reaction", &["100 Nm", "0 mm"]).is_err());
    }
}
