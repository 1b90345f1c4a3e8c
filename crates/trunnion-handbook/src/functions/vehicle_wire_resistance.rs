//! Greatest resistance per length of a road-vehicle copper wire of metric size, at its temperature.
//!
//! Holds the small sizes of a loom, such as 0.35 mm², which general cable does not have.

use crate::data::VEHICLE_WIRE;
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "vehicle_wire_resistance",
    title: "Resistance of a road-vehicle wire",
    section: "wire",
    parameters: &[
        Parameter::new("size", "mm²", Limits::Positive, "nominal cross-section"),
        Parameter::new("temperature", "°C", Limits::Between(-50.0, 200.0), "of the copper"),
    ],
    outcome: Outcome { unit: "mΩ/m", meaning: "greatest resistance per length" },
    formula: "resistance = R20 of size × (1 + 0.00393 / K × (temperature − 20 °C))",
    sources: &[
        Source::from_memory(
            "ISO 6722-1",
            "2011",
            "maximum resistance at 20 °C of plain copper; largest outside diameter with thin wall",
        ),
        Source::published(
            "IEC 60028",
            "1925",
            "temperature coefficient of annealed copper 0.00393 / K at 20 °C",
        ),
    ],
    assumes: &["Sizes between those of the table are not worked out."],
    example: "vehicle_wire_resistance(0.35 mm², 80 °C) = 67.23 mΩ/m",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let size = it[0].in_unit("mm²").filter(|_| it[0].is_exact());
    let row = size.and_then(|size| VEHICLE_WIRE.table().row_at(size));
    let none = || OutOfTable::new("ISO 6722-1", format!("wire of {}", it[0]), "0.13 to 120 mm² in steps");
    let ohms = row.and_then(|it| it.figure("resistance")).ok_or_else(none)?;
    let value = worst_case(&it[1..], Dimension::LINE_RESISTANCE, |v| {
        ohms / 1000.0 * (1.0 + 0.003_93 * (v[0] - 293.15))
    })?;
    Ok(FUNCTION.worked(it, value)?.noting(&format!("R20 = {ohms} mΩ/m")))
}

#[cfg(test)]
mod tests {
    use crate::data::VEHICLE_WIRE;
    use crate::registry::{call, figure_of};

    /// Every row must be a copper wire of about its nominal size: between solid annealed copper,
    /// 17.24 Ω mm²/km (IEC 60028), and a sixth more. This catches a slip of memory, not its last digit.
    #[test]
    fn every_row_is_copper_of_its_size() {
        let rows: Vec<(f64, f64)> =
            VEHICLE_WIRE.table().all().filter_map(|row| Some((row.at(0)?, row.at(1)?))).collect();
        assert_eq!(rows.len(), 28);
        for (size, ohms) in &rows {
            assert!((17.24..20.2).contains(&(size * ohms)), "{size}: {}", size * ohms);
        }
        assert!(rows.windows(2).all(|it| it[0].0 < it[1].0 && it[0].1 > it[1].1));
    }

    #[test]
    fn copper_warms() {
        let at = |temperature| figure_of("vehicle_wire_resistance", &["1 mm²", temperature], "mΩ/m");
        assert!((at("20 °C") - 18.5).abs() < 1e-9);
        assert!((at("120 °C") / at("20 °C") - 1.393).abs() < 1e-9);
        assert!(call("vehicle_wire_resistance", &["0.4 mm²", "20 °C"]).is_err());
    }
}
