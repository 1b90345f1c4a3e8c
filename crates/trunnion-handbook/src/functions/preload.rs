//! The force that a bolt of a thread and class clamps with after tightening, and how much of its proof
//! load that is.
//!
//! K is measured, not chosen: dry and rusty 0.3, plain 0.2, oiled 0.15 are common practice, and one batch
//! spreads by a quarter. Give it as a range: the least preload counts for what the joint carries, the
//! most for what the bolt bears.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};
use crate::thread::Thread;

/// See the module.
pub static FUNCTION: Function = Function {
    name: "preload",
    title: "Preload of a bolt by its marking",
    section: "fit",
    parameters: &[
        Parameter::word("thread", "a metric thread such as M10", "its thread"),
        Parameter::choice(
            "property_class",
            &["4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"],
            "as marked on the head",
        ),
        Parameter::new("torque", "Nm", Limits::NotNegative, "tightening torque"),
        Parameter::new("torque_factor", "", Limits::Between(0.05, 0.6), "K, of thread and head together"),
    ],
    outcome: Outcome { unit: "kN", meaning: "preload, least to most" },
    formula: "preload = torque / (torque_factor × diameter of thread), within the \
             proof load of property_class",
    sources: &[
        Source::definition("torque factor K = T / (F d), measured as ISO 16047 tests it"),
        Source::published("ISO 898-1", "2013", "Tables 3, 5 and 7"),
        Source::common_practice("K of 0.15 oiled, 0.2 plain, 0.3 dry"),
    ],
    assumes: &[
        "Use the maker's torque where there is one.",
        "Above about three quarters of the proof load a bolt that is used again \
             has no reserve, common practice.",
    ],
    example: "preload(M10, 8.8, 45 Nm, 0.16 to 0.24) = 18.75 to 28.12 kN",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let diameter = Quantity::exact(Thread::parse(words[0])?.major_mm(), "mm")?;
    let value = super::bolt_preload::FUNCTION.call(&[it[0], it[1], diameter])?.value;
    let proof = super::bolt_proof_load::FUNCTION.call_with(&[words[0].into(), words[1].into()])?.value;
    let share = value.div(&proof)?.shown_in("%")?;
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&format!("{share} of the proof load of {proof}")))
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// 45 Nm / (0.2 × 10 mm) is 22.5 kN; the proof load is 33.7 kN by ISO 898-1:2013, Table 5.
    #[test]
    fn a_usual_bolt() {
        assert!((figure_of("preload", &["M10", "8.8", "45 Nm", "0.2"], "kN") - 22.5).abs() < 1e-9);
        let made = call("preload", &["M10", "8.8", "45 Nm", "0.16 to 0.24"]).unwrap();
        assert!(made.with_numbers.ends_with("of the proof load of 33.63 kN"), "{}", made.with_numbers);
        assert!(call("preload", &["M13", "8.8", "45 Nm", "0.2"]).is_err());
        assert!(call("preload", &["M10", "8.8", "45 Nm", "2"]).is_err());
    }
}
