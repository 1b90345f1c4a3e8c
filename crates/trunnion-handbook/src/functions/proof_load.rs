//! The load a bolt must bear without staying longer: proof stress of its property class times its
//! stress area.
//!
//! Class 8.8 splits at 16 mm: 580 MPa up to it, 600 MPa above. Class 9.8 ends there.

use crate::data::PROPERTY_CLASSES;
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

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
    assumes: &["Carbon and alloy steel at 10 to 35 °C; not stainless, not hot-dip \
             galvanised oversize threads."],
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

/// The stress under proof load of a class at a diameter.
fn proof_stress(class: f64, diameter: Quantity) -> Result<Quantity, HandbookError> {
    let wanted = || format!("class {class} at {diameter}");
    let none = || OutOfTable::new("ISO 898-1 Table 3", wanted(), "4.6 to 12.9, of which 9.8 to 16 mm");
    let split = 0.016 + 1e-12;
    let row = PROPERTY_CLASSES.table().row_at(class).ok_or_else(none)?;
    let column = if diameter.hi() <= split {
        "proof to 16"
    } else if diameter.lo() > split {
        "proof above"
    } else {
        return Err(none().into());
    };
    Ok(Quantity::exact(row.figure(column).ok_or_else(none)?, "MPa")?)
}

#[cfg(test)]
mod tests {
    use crate::data::PROOF_LOADS;
    use crate::registry::{call, figure_of};
    use crate::thread::Thread;

    /// ISO 898-1:2013, Table 5, proof loads in N, the whole table. The standard rounds to three
    /// figures, some up, some down from the rounded area, so the tolerance is 0.7 %.
    #[test]
    fn printed_proof_loads() {
        let mut held = 0;
        for row in PROOF_LOADS.table().all() {
            let thread = Thread::parse(row.word(0)).unwrap();
            let (diameter, pitch) = (thread.major_mm(), thread.pitch_mm());
            let (diameter, pitch) = (format!("{diameter} mm"), format!("{pitch:.6} mm"));
            for class in &PROOF_LOADS.table().columns()[2..] {
                let Some(newtons) = row.figure(class) else {
                    assert!(call("proof_load", &[&diameter, &pitch, class]).is_err(), "{diameter} {class}");
                    continue;
                };
                let made = figure_of("proof_load", &[&diameter, &pitch, class], "N");
                assert!((made - newtons).abs() / newtons < 0.007, "{diameter} {class}: {made}");
                held += 1;
            }
        }
        assert_eq!(held, 139);
    }

    #[test]
    fn no_class_outside_the_table() {
        assert!(call("proof_load", &["18 mm", "2.5 mm", "9.8"]).is_err());
        assert!(call("proof_load", &["12 mm", "1.75 mm", "9.9"]).is_err());
        assert!(call("proof_load", &["15 to 18 mm", "2 mm", "8.8"]).is_err());
        assert!(call("proof_load", &["42 mm", "4.5 mm", "8.8"]).is_err());
    }
}
