//! Greatest resistance per length of a copper conductor of metric size, at its temperature.
//!
//! General cable by class (1 solid, 2 stranded, 5 flexible), plain or tinned. Road-vehicle cable has
//! its own table in ISO 6722-1 and differs by a few per cent.

use crate::data::CONDUCTOR;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source, worst_case,
};

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
    formula: "resistance = R20 of (size, conductor_class, tinned) × (1 + 0.00393 / K × \
             (temperature − 20 °C))",
    sources: &[
        Source::published("IEC 60228", "2004", "Tables 1, 2 and 3, maximum resistance at 20 °C"),
        Source::published(
            "IEC 60028",
            "1925",
            "temperature coefficient of annealed copper 0.00393 / K at 20 °C; IEC \
             60228's own table of corrections rounds it to 0.004",
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

fn at_20(it: &[Quantity]) -> Result<f64, HandbookError> {
    let none = || OutOfTable::new("IEC 60228", format!("conductor of {}", it[0]), "0.5 to 185 mm² in steps");
    let size = it[0].in_unit("mm²").filter(|_| it[0].is_exact());
    let row = size.and_then(|size| CONDUCTOR.table().row_at(size)).ok_or_else(none)?;
    let coated = if it[2].nominal() > 0.5 { "t" } else { "" };
    // 1, 2 or 5 by its limits.
    let column = format!("{}{coated}", it[1].nominal().round());
    Ok(row.figure(&column).ok_or_else(none)?)
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
