//! Overall ratio from crankshaft to wheel: gear ratio times final drive.

use crate::quantity::Quantity;
use crate::registry::{
    Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, Standing,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "overall_ratio",
    title: "Overall ratio",
    section: "drive",
    parameters: &[
        Parameter {
            name: "gear_ratio",
            unit: "",
            limits: Limits::Positive,
            meaning: "turns of the engine for one of the gearbox's output",
        },
        Parameter {
            name: "final_drive",
            unit: "",
            limits: Limits::Positive,
            meaning: "turns of the gearbox's output for one of the wheel",
        },
    ],
    outcome: Outcome {
        unit: "",
        meaning: "turns of the engine for one of the wheel",
    },
    formula: "overall = gear_ratio × final_drive",
    sources: &[Source {
        document: "kinematics of gears in series",
        edition: "",
        clause: "follows from its definition",
        standing: Standing::Published,
    }],
    assumes: &["No slip in clutch or converter."],
    example: "overall_ratio(0.88, 3.69) = 3.247",
    eval,
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let [gear, axle] = [it[0], it[1]];
    let value = gear.mul(&axle)?;
    Ok(Evaluation {
        value,
        with_numbers: format!("{gear} × {axle} = {value}"),
    })
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn ratios_multiply_and_carry_their_range() {
        assert!((figure_of("overall_ratio", &["2", "3.5"], "") - 7.0).abs() < 1e-12);
        let made = call("overall_ratio", &["2", "3.65 to 3.72"]).unwrap();
        assert_eq!(made.value.display(), "7.3 to 7.44");
        assert_eq!(made.with_numbers, "2 × 3.65 to 3.72 = 7.3 to 7.44");
    }
}
