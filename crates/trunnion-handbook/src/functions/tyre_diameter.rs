//! Design outer diameter from the marking: 205/65 R16 is 205 mm wide, 65 % high, on a 16 in rim.
//!
//! The free diameter on the measuring rim; what rolls under load is smaller: see
//! rolling_circumference.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "tyre_diameter",
    title: "Outer diameter of a tyre",
    section: "drive",
    parameters: &[
        Parameter::new("width", "mm", Limits::Between(100.0, 450.0), "nominal section width"),
        Parameter::new("aspect", "%", Limits::Between(20.0, 100.0), "section height as a share of the width"),
        Parameter::new("rim", "in", Limits::Between(8.0, 30.0), "rim diameter"),
    ],
    outcome: Outcome { unit: "mm", meaning: "outer diameter" },
    formula: "diameter = rim + 2 × width × aspect",
    sources: &[Source::from_memory(
        "UN Regulation No. 30",
        "02 series of amendments",
        "6.1.2.1: D = d + 2H, each rounded to 1 mm",
    )],
    assumes: &["Rim and section height are each rounded to a millimetre, as the regulation does."],
    example: "tyre_diameter(205 mm, 65 %, 16 in) = 672 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::LENGTH, |v| {
        // To whole millimetres; a hair below a half counts as the half.
        let whole = |metres: f64| (metres * 1000.0 + 1e-9).round();
        (whole(v[2]) + 2.0 * whole(v[0] * v[1])) / 1000.0
    })?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::figure_of;

    #[test]
    fn as_the_marking_reads() {
        use crate::tyre::Tyre;
        for (width, aspect, rim, mark) in [
            ("205 mm", "65 %", "16 in", "205/65 R16"),
            ("195 mm", "65 %", "15 in", "195/65 R15"),
            ("235 mm", "75 %", "15 in", "235/75 R15"),
            ("225 mm", "75 %", "16.5 in", "225/75 R16.5"),
        ] {
            let made = figure_of("tyre_diameter", &[width, aspect, rim], "mm");
            let marked = Tyre::parse(mark).unwrap().outer_diameter_mm().unwrap();
            assert!((made - marked).abs() < 1e-9, "{mark}");
        }
    }
}
