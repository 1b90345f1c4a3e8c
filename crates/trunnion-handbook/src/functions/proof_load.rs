//! The load a bolt must bear without staying longer: proof stress of its property class times its stress area.
//!
//! Class 8.8 splits at 16 mm: 580 MPa up to it, 600 MPa above. Class 9.8 ends there.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "proof_load",
    title: "Proof load of a bolt",
    section: "fit",
    parameters: &[
        Parameter::new("diameter", "mm", Limits::Between(3.0, 39.0), "nominal diameter"),
        Parameter::new("pitch", "mm", Limits::Positive, "pitch"),
        Parameter::new(
            "property_class",
            "",
            Limits::OneOf(&[4.6, 4.8, 5.6, 5.8, 6.8, 8.8, 9.8, 10.9, 12.9]),
            "as marked on the head",
        ),
    ],
    outcome: Outcome { unit: "kN", meaning: "proof load" },
    formula: "load = proof stress of property_class × stress area of (diameter, pitch)",
    sources: &[Source::published(
        "ISO 898-1",
        "2013",
        "Table 3 (mechanical properties), Tables 5 and 7 (proof loads)",
    )],
    assumes: &[
        "Carbon and alloy steel at 10 to 35 °C; not stainless, not hot-dip galvanised oversize threads.",
    ],
    example: "proof_load(12 mm, 1.75 mm, 8.8) = 48.87 kN",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let area = super::stress_area::FUNCTION.call(&it[..2])?.value;
    let stress = proof_stress(it[2].nominal(), it[0])?;
    let value = area.mul(&stress)?;
    let note = format!("proof stress {stress}, stress area {area}");
    Ok(FUNCTION.worked(it, value)?.noting(&note))
}

/// ISO 898-1:2013, Table 3, nominal stress under proof load, in MPa up to 16 mm and above.
const PROOF: [(f64, f64, Option<f64>); 9] = [
    (4.6, 225.0, Some(225.0)),
    (4.8, 310.0, Some(310.0)),
    (5.6, 280.0, Some(280.0)),
    (5.8, 380.0, Some(380.0)),
    (6.8, 440.0, Some(440.0)),
    (8.8, 580.0, Some(600.0)),
    (9.8, 650.0, None),
    (10.9, 830.0, Some(830.0)),
    (12.9, 970.0, Some(970.0)),
];

/// The proof stress of a class at a diameter.
fn proof_stress(class: f64, diameter: Quantity) -> Result<Quantity, HandbookError> {
    let wanted = || format!("class {class} at {diameter}");
    let none = || OutOfTable::new("ISO 898-1 Table 3", wanted(), "4.6 to 12.9, of which 9.8 to 16 mm");
    let split = 0.016 + 1e-12;
    let row = PROOF.iter().find(|(it, ..)| (it - class).abs() < 1e-9).ok_or_else(none)?;
    let stress = if diameter.hi() <= split {
        Some(row.1)
    } else if diameter.lo() > split {
        row.2
    } else {
        None
    };
    Ok(Quantity::exact(stress.ok_or_else(none)?, "MPa")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// ISO 898-1:2013, Table 5, proof loads in N. The standard rounds to three figures, some up, so
    /// the tolerance is half a per cent.
    #[test]
    fn printed_proof_loads() {
        for (diameter, pitch, class, newtons) in [
            ("5 mm", "0.8 mm", "8.8", 8230.0),
            ("8 mm", "1.25 mm", "8.8", 21200.0),
            ("10 mm", "1.5 mm", "10.9", 48100.0),
            ("12 mm", "1.75 mm", "8.8", 48900.0),
            ("12 mm", "1.75 mm", "12.9", 81800.0),
            ("14 mm", "2 mm", "5.6", 32200.0),
            ("16 mm", "2 mm", "8.8", 91000.0),
            ("18 mm", "2.5 mm", "8.8", 115_000.0),
            ("20 mm", "2.5 mm", "10.9", 203_000.0),
            ("24 mm", "3 mm", "4.6", 79400.0),
        ] {
            let made = figure_of("proof_load", &[diameter, pitch, class], "N");
            assert!((made - newtons).abs() / newtons < 0.005, "{diameter} {class}: {made}");
        }
    }

    #[test]
    fn no_class_outside_the_table() {
        assert!(call("proof_load", &["18 mm", "2.5 mm", "9.8"]).is_err());
        assert!(call("proof_load", &["12 mm", "1.75 mm", "9.9"]).is_err());
        assert!(call("proof_load", &["15 to 18 mm", "2 mm", "8.8"]).is_err());
        assert!(call("proof_load", &["42 mm", "4.5 mm", "8.8"]).is_err());
    }
}
