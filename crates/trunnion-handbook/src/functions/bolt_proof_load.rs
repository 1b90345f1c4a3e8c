//! The load that a bolt bears without staying longer, from its thread and the class on its head. As
//! proof_load, which takes diameter and pitch.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, OutOfTable, Outcome, Parameter, Source};
use crate::thread::{System, Thread};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "bolt_proof_load",
    title: "Proof load of a bolt by its marking",
    section: "fit",
    parameters: &[
        Parameter::word("thread", "a metric thread such as M10", "its thread"),
        Parameter::choice(
            "property_class",
            &["4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"],
            "as marked on the head",
        ),
    ],
    outcome: Outcome { unit: "kN", meaning: "proof load" },
    formula: "load = stress under proof load of property_class × stress area of thread",
    sources: &[Source::published("ISO 898-1", "2013", "Tables 3, 5 and 7")],
    assumes: &["Carbon and alloy steel at 10 to 35 °C."],
    example: "bolt_proof_load(M10, 8.8) = 33.63 kN",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let thread = Thread::parse(words[0])?;
    if thread.system != System::Metric {
        return Err(OutOfTable::new("ISO 898-1", thread.name, "metric threads").into());
    }
    // One of the listed classes.
    let class: f64 = words[1].parse().unwrap_or(f64::NAN);
    let (diameter, pitch) = (thread.major_mm(), thread.pitch_mm());
    let given = [Quantity::exact(diameter, "mm")?, Quantity::exact(pitch, "mm")?, Quantity::number(class)?];
    let made = super::proof_load::FUNCTION.call(&given)?;
    FUNCTION.worked_with(it, words, made.value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// ISO 898-1:2013, Table 5; three figures.
    #[test]
    fn printed_loads() {
        for (thread, class, newtons) in
            [("M10", "8.8", 33_700.0), ("M8", "10.9", 30_400.0), ("M18", "8.8", 115_000.0)]
        {
            let made = figure_of("bolt_proof_load", &[thread, class], "N");
            assert!((made - newtons).abs() < 0.007 * newtons, "{thread} {class}");
        }
        assert!(call("bolt_proof_load", &["M18", "9.8"]).is_err());
        assert!(call("bolt_proof_load", &["G1/4", "8.8"]).is_err());
        assert!(call("bolt_proof_load", &["M10", "8"]).is_err());
    }
}
