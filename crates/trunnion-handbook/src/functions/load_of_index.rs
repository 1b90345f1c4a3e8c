//! What a tyre's load index stands for.

use crate::data::LOAD_INDEX;
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "load_of_index",
    title: "Load of a load index",
    section: "drive",
    parameters: &[Parameter::new("index", "", Limits::Whole(0.0, 150.0), "load index")],
    outcome: Outcome { unit: "kg", meaning: "load of one tyre" },
    formula: "load = UN Regulation 30 table at index",
    sources: &[Source::published(
        "UN Regulation No. 30",
        "02 series of amendments",
        "Annex 4, load-capacity indices; No. 54 Annex 4 continues them",
    )],
    assumes: &["Wheels and hubs decide lives: check clearance at full lock and travel, \
             and the local rules."],
    example: "load_of_index(91) = 615 kg",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let row = LOAD_INDEX.table().row_at(it[0].nominal().round()).filter(|_| it[0].is_exact());
    let none = || OutOfTable::new("the table of load indices", it[0].display(), "0 to 150");
    FUNCTION.worked(it, Quantity::exact(row.and_then(|row| row.at(1)).ok_or_else(none)?, "kg")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// UN Regulation No. 30, Annex 4.
    #[test]
    fn printed_rows() {
        let made = figure_of("load_of_index", &["91"], "kg");
        let wanted: f64 = 615.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("load_of_index", &["0"], "kg");
        let wanted: f64 = 45.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("load_of_index", &["100"], "kg");
        let wanted: f64 = 800.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("load_of_index", &["121"], "kg");
        let wanted: f64 = 1450.0;
        assert!((made - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{made}");
        assert!(call("load_of_index", &["151"]).is_err());
        assert!(call("load_of_index", &["91.5"]).is_err());
        assert!(call("load_of_index", &["-1"]).is_err());
    }
}
