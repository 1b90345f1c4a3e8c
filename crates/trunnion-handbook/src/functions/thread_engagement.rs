//! The least length of thread in mesh at which the bolt breaks before either thread strips.
//!
//! Length that both threads really share, chamfers left out. A soft housing needs more, in proportion to
//! the strengths.

use std::f64::consts::PI;

use crate::data::THREAD_LIMITS;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source, worst_case,
};
use crate::thread::Thread;

/// See the module.
pub static FUNCTION: Function = Function {
    name: "thread_engagement",
    title: "Thread engagement so that the bolt breaks first",
    section: "fit",
    parameters: &[
        Parameter::word("thread", "a coarse metric thread such as M10", "thread of bolt and nut"),
        Parameter::new("bolt_strength", "MPa", Limits::Positive, "tensile strength of the bolt"),
        Parameter::new("nut_strength", "MPa", Limits::Positive, "tensile strength of the nut or housing"),
    ],
    outcome: Outcome { unit: "mm", meaning: "least length in mesh" },
    formula: "length = 2 × stress area of thread / (π × D1 × (1/2 + (d2 − D1) / (P \
             √3))), times (bolt thread × bolt_strength) / (nut thread × nut_strength) where above \
             1",
    sources: &[
        Source::published(
            "FED-STD-H28/2B",
            "1991",
            "length of engagement, formulas (with the least diameters of the bolt and \
             the largest of the nut)",
        ),
        Source::published("ISO 965-2", "1998", "limits of 6g and 6H"),
    ],
    assumes: &["Both materials of the one shear to tensile ratio."],
    example: "thread_engagement(M10, 800 MPa, 400 MPa) = 10.8 mm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let thread = Thread::parse(words[0])?;
    let none = || {
        let wanted = format!("limits of {thread}");
        OutOfTable::new("ISO 965-2", wanted, "coarse metric threads M3 to M24")
    };
    let row = THREAD_LIMITS.table().row(&thread.name).ok_or_else(none)?;
    let figure = |column: &str| row.figure(column).ok_or_else(none);
    let (major, bolt_pitch) = (figure("major least")?, figure("bolt pitch least")?);
    let (minor, nut_pitch) = (figure("minor most")?, figure("nut pitch most")?);
    let area = thread.stress_area_mm2().ok_or_else(none)?;
    let per_pitch = 1.0 / (thread.pitch_mm() * 3f64.sqrt());
    // Sheared area for each mm in mesh: of the bolt at the nut's minor diameter, of the nut at the
    // bolt's major diameter.
    let bolt = PI * minor * (0.5 + (bolt_pitch - minor) * per_pitch);
    let nut = PI * major * (0.5 + (major - nut_pitch) * per_pitch);
    let length = 2.0 * area / bolt;
    let value = worst_case(it, Dimension::LENGTH, |v| {
        let weaker = bolt * v[0] / (nut * v[1]);
        length * weaker.max(1.0) / 1000.0
    })?;
    let note = format!("sheared per mm: bolt {bolt:.1} mm², nut {nut:.1} mm²");
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&note))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// A steel nut of the bolt's own strength: ISO 898-2 gives the usual nut of style 1 a height of 0.8 to
    /// 0.9 d, which must be more than what is needed; soft metal at a third needs about 1.5 d.
    #[test]
    fn usual_nuts_are_high_enough() {
        for (thread, height) in [("M8", 6.44), ("M10", 8.04), ("M12", 10.37), ("M16", 14.1), ("M20", 16.9)] {
            let made = figure_of("thread_engagement", &[thread, "800 MPa", "800 MPa"], "mm");
            assert!(made < height && made > 0.4 * height, "{thread}: {made}");
            let soft = figure_of("thread_engagement", &[thread, "900 MPa", "300 MPa"], "mm");
            assert!(soft > 1.5 * made, "{thread}: {soft}");
        }
        assert!(call("thread_engagement", &["G1/4", "800 MPa", "800 MPa"]).is_err());
    }
}
