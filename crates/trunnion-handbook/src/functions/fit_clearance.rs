//! Least and most clearance of a bore over a spigot or shaft, by their limits-and-fits classes.
//!
//! Below zero is interference: `25 mm H7/p6` gives −35 to −1 µm.

use crate::fit;
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "fit_clearance",
    title: "Clearance of a fit",
    section: "fit",
    parameters: &[
        Parameter::new("size", "mm", Limits::Between(0.0, 500.0), "nominal size of both"),
        Parameter::word("hole", "a hole class such as H7", "class of the bore, in capitals"),
        Parameter::word(
            "shaft",
            "a shaft class such as g6",
            "class of the spigot or shaft, in small letters",
        ),
    ],
    outcome: Outcome { unit: "µm", meaning: "least to most clearance; below zero it is interference" },
    formula: "clearance = limits of (size, hole) − limits of (size, shaft)",
    sources: &[Source::published(
        "ISO 286-1",
        "2010",
        "Tables 1 to 5; which cells rest on memory, the list of tables says",
    )],
    assumes: &["Both parts at 20 °C and within their limits."],
    example: "fit_clearance(36 mm, H7, g6) = 9 to 50 µm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let size = it[0].in_unit("mm").filter(|_| it[0].is_exact());
    let size = size.ok_or_else(|| OutOfTable::new("ISO 286", it[0].display(), "one nominal size"))?;
    let (hole, shaft) = (words[0], words[1]);
    let (least, most) = fit::clearance(size, hole, shaft)?;
    let value = Quantity::range(least, most, "µm")?;
    let [bore, spigot] = [fit::limits(size, hole)?, fit::limits(size, shaft)?];
    let note = format!("{hole} {} to {} µm, {shaft} {} to {} µm", bore.0, bore.1, spigot.0, spigot.1);
    Ok(FUNCTION.worked_with(it, words, value)?.noting(&note))
}

#[cfg(test)]
mod tests {
    use crate::registry::call;

    /// ANSI B4.2-1978 (R2009), Table 2, preferred hole-basis clearance fits, maximum and minimum
    /// clearance in mm; its limits are those of ISO 286: 25 H7/g6 0.041 and 0.007, 40 H7/g6 0.050
    /// and 0.009.
    #[test]
    fn printed_fits() {
        for (size, hole, shaft, clearance) in [
            ("40 mm", "H7", "g6", "9 to 50 µm"),
            ("36 mm", "H7", "g6", "9 to 50 µm"),
            ("25 mm", "H7", "g6", "7 to 41 µm"),
            ("25 mm", "H7", "h6", "0 to 34 µm"),
            ("25 mm", "H7", "p6", "-35 to -1 µm"),
        ] {
            let made = call("fit_clearance", &[size, hole, shaft]).unwrap();
            assert_eq!(made.value.display(), clearance, "{size} {hole}/{shaft}");
        }
        assert!(call("fit_clearance", &["25 mm", "g6", "H7"]).is_err());
        assert!(call("fit_clearance", &["25 to 26 mm", "H7", "g6"]).is_err());
        assert!(call("fit_clearance", &["0 mm", "H7", "g6"]).is_err());
    }

    #[test]
    fn the_numbers_are_put_in() {
        let made = call("fit_clearance", &["36 mm", "H7", "g6"]).unwrap();
        assert_eq!(
            made.with_numbers,
            "clearance = limits of (36 mm, H7) − limits of (36 mm, g6) = 9 to 50 µm; H7 0 to 25 µm, g6 -25 to -9 µm"
        );
    }
}
