//! Sum of masses, each with its tolerance; what comes out is given below zero.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "mass_total",
    title: "Total mass",
    section: "mass",
    parameters: &[
        Parameter::new("masses", "kg", Limits::Any, "each mass; below zero for what comes out").repeated()
    ],
    outcome: Outcome { unit: "kg", meaning: "total" },
    formula: "total = sum of (masses)",
    sources: &[Source::definition("a sum")],
    assumes: &["Fluids and fasteners count."],
    example: "mass_total(1640 kg, -210 kg, 265 kg ± 5 kg) = 1690 to 1700 kg",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let mut total = it[0];
    for mass in &it[1..] {
        total = total.add(mass)?;
    }
    FUNCTION.worked(it, total)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        let made = figure_of("mass_total", &["1000 kg", "-100 kg", "50 kg"], "kg");
        let wanted: f64 = 950.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("mass_total", &["5 kg"], "kg");
        let wanted: f64 = 5.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("mass_total", &["1 kg", "1 m"]).is_err());
    }
}
