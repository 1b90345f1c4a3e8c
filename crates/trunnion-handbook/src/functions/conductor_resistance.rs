//! Greatest resistance per length of a copper conductor of metric size, at its temperature.
//!
//! General cable by class (1 solid, 2 stranded, 5 flexible), plain or tinned. Road-vehicle cable has
//! its own table in ISO 6722-1 and differs by a few per cent.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source, worst_case};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "conductor_resistance",
    title: "Resistance of a conductor by size",
    section: "wire",
    parameters: &[
        Parameter::new("size", "mm²", Limits::Positive, "nominal cross-section"),
        Parameter::new(
            "conductor_class",
            "",
            Limits::OneOf(&[1.0, 2.0, 5.0]),
            "1 solid, 2 stranded, 5 flexible",
        ),
        Parameter::new("tinned", "", Limits::OneOf(&[0.0, 1.0]), "1 when the strands are metal-coated"),
        Parameter::new("temperature", "°C", Limits::Between(-50.0, 200.0), "of the copper"),
    ],
    outcome: Outcome { unit: "mΩ/m", meaning: "greatest resistance per length" },
    formula: "resistance = R20 of (size, conductor_class, tinned) × (1 + 0.00393 / K × (temperature − 20 °C))",
    sources: &[
        Source::published("IEC 60228", "2004", "Tables 1, 2 and 3, maximum resistance at 20 °C"),
        Source::published(
            "IEC 60028",
            "1925",
            "temperature coefficient of annealed copper 0.00393 / K at 20 °C; IEC 60228's own table of corrections rounds it to 0.004",
        ),
    ],
    assumes: &["Sizes between those of the table are not worked out."],
    example: "conductor_resistance(2.5 mm², 5, 0, 70 °C) = 9.548 mΩ/m",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let ohms = at_20(it)?;
    let value = worst_case(&it[3..], Dimension::LINE_RESISTANCE, |v| {
        ohms / 1000.0 * (1.0 + ALPHA * (v[0] - 293.15))
    })?;
    Ok(FUNCTION.worked(it, value)?.noting(&format!("R20 = {ohms} Ω/km")))
}

/// IEC 60028: per kelvin, at 20 °C.
const ALPHA: f64 = 0.003_93;

/// A size in mm², then Ω/km at 20 °C: class 1 and 2 plain, tinned; class 5 plain, tinned.
type Row = (f64, f64, f64, f64, f64);

/// IEC 60228:2004, Tables 1 to 3.
const TABLE: [Row; 14] = [
    (0.5, 36.0, 36.7, 39.0, 40.1),
    (0.75, 24.5, 24.8, 26.0, 26.7),
    (1.0, 18.1, 18.2, 19.5, 20.0),
    (1.5, 12.1, 12.2, 13.3, 13.7),
    (2.5, 7.41, 7.56, 7.98, 8.21),
    (4.0, 4.61, 4.70, 4.95, 5.09),
    (6.0, 3.08, 3.11, 3.30, 3.39),
    (10.0, 1.83, 1.84, 1.91, 1.95),
    (16.0, 1.15, 1.16, 1.21, 1.24),
    (25.0, 0.727, 0.734, 0.780, 0.795),
    (35.0, 0.524, 0.529, 0.554, 0.565),
    (50.0, 0.387, 0.391, 0.386, 0.393),
    (70.0, 0.268, 0.270, 0.272, 0.277),
    (95.0, 0.193, 0.195, 0.206, 0.210),
];

/// Solid tinned conductors are listed to this size.
const SOLID_TINNED_TO: f64 = 16.0;

fn at_20(it: &[Quantity]) -> Result<f64, HandbookError> {
    let none = || OutOfTable::new("IEC 60228", format!("conductor of {}", it[0]), "0.5 to 95 mm² in steps");
    let size = it[0].nominal() * 1e6;
    let row = TABLE.iter().find(|row| it[0].is_exact() && (row.0 - size).abs() < 1e-9);
    let row = row.ok_or_else(none)?;
    let (solid, flexible) = (it[1].nominal() < 1.5, it[1].nominal() > 4.5);
    let tinned = it[2].nominal() > 0.5;
    match (flexible, tinned) {
        (false, true) if solid && row.0 > SOLID_TINNED_TO => Err(none().into()),
        (false, false) => Ok(row.1),
        (false, true) => Ok(row.2),
        (true, false) => Ok(row.3),
        (true, true) => Ok(row.4),
    }
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn at_twenty_degrees_as_printed() {
        for (size, class, tinned, ohms) in [
            ("0.5 mm²", "5", "0", 39.0),
            ("1.5 mm²", "5", "1", 13.7),
            ("2.5 mm²", "2", "0", 7.41),
            ("10 mm²", "2", "1", 1.84),
            ("35 mm²", "5", "0", 0.554),
        ] {
            let made = figure_of("conductor_resistance", &[size, class, tinned, "20 °C"], "Ω/km");
            assert!((made - ohms).abs() < 1e-9, "{size}");
        }
    }

    /// IEC 60228's own corrections (its coefficient is 0.004): 0.833 at 70 °C, 0.926 at 40 °C.
    #[test]
    fn near_the_rounded_corrections() {
        for (temperature, factor) in [("40 °C", 0.926), ("70 °C", 0.833)] {
            let made = figure_of("conductor_resistance", &["1 mm²", "5", "0", temperature], "Ω/km");
            assert!((19.5 / made - factor).abs() < 0.004);
        }
    }

    #[test]
    fn no_size_between() {
        for size in ["0.35 mm²", "3 mm²", "1000 mm²", "1 to 1.5 mm²"] {
            assert!(call("conductor_resistance", &[size, "5", "0", "20 °C"]).is_err(), "{size}");
        }
        // Solid tinned conductors end at 16 mm².
        assert!(call("conductor_resistance", &["25 mm²", "1", "1", "20 °C"]).is_err());
    }
}
