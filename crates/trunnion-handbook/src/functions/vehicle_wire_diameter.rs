//! Largest outside diameter of a wire with thin-wall insulation, for seals, bundles and bores.

use crate::data::VEHICLE_WIRE;
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "vehicle_wire_diameter",
    title: "Diameter of a road-vehicle wire",
    section: "wire",
    parameters: &[Parameter::new("size", "mm²", Limits::Positive, "nominal cross-section")],
    outcome: Outcome { unit: "mm", meaning: "largest outside diameter" },
    formula: "diameter = thin-wall table at size",
    sources: &[Source::from_memory(
        "ISO 6722-1",
        "2011",
        "maximum resistance at 20 °C of plain copper; largest outside diameter with thin wall",
    )],
    assumes: &["A caliper on the wire itself beats it."],
    example: "vehicle_wire_diameter(1.5 mm²) = 2.4 mm",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let size = it[0].in_unit("mm²").filter(|_| it[0].is_exact());
    let row = size.and_then(|size| VEHICLE_WIRE.table().row_at(size));
    let none = || OutOfTable::new("ISO 6722-1, thin wall", it[0].display(), "0.13 to 25 mm² in steps");
    FUNCTION.worked(it, Quantity::exact(row.and_then(|row| row.figure("thin")).ok_or_else(none)?, "mm")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    use crate::data::VEHICLE_WIRE;

    /// The copper alone is narrower than the wire, by two walls of at least 0.2 mm; and thicker wires
    /// are wider. This catches a slip of memory, not its last digit.
    #[test]
    fn the_copper_fits_within() {
        let rows: Vec<(f64, f64)> =
            VEHICLE_WIRE.table().all().filter_map(|row| Some((row.at(0)?, row.figure("thin")?))).collect();
        assert_eq!(rows.len(), 20);
        for (size, across) in &rows {
            let copper = (4.0 * size / std::f64::consts::PI).sqrt();
            assert!(across - copper > 0.4 && across - copper < 3.1, "{size}");
        }
        assert!(rows.windows(2).all(|it| it[0].1 < it[1].1));
        assert!((figure_of("vehicle_wire_diameter", &["1.5 mm²"], "mm") - 2.4).abs() < 1e-9);
        assert!(call("vehicle_wire_diameter", &["1.6 mm²"]).is_err());
    }
}
