//! Lower and upper limit deviation of a hole (`H7`) or shaft (`k6`) from its nominal size.

use crate::fit;
use crate::quantity::Quantity;
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "limit_deviation",
    title: "Limits of a hole or shaft",
    section: "fit",
    parameters: &[
        Parameter::new("size", "mm", Limits::Between(0.0, 500.0), "nominal size"),
        Parameter::word("class", "a class such as H7 or k6", "hole in capitals, shaft in small letters"),
    ],
    outcome: Outcome { unit: "µm", meaning: "lower to upper deviation from the nominal size" },
    formula: "deviation = ISO 286 limits of (size, class)",
    sources: &[Source::published(
        "ISO 286-1",
        "2010",
        "Tables 1 to 5; which cells rest on memory, the list of tables says",
    )],
    assumes: &["At 20 °C."],
    example: "limit_deviation(40 mm, k6) = 2 to 18 µm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let size = it[0].in_unit("mm").filter(|_| it[0].is_exact());
    let size = size.ok_or_else(|| OutOfTable::new("ISO 286", it[0].display(), "one nominal size"))?;
    let (lower, upper) = fit::limits(size, words[0])?;
    FUNCTION.worked_with(it, words, Quantity::range(lower, upper, "µm")?)
}

#[cfg(test)]
mod tests {
    use crate::registry::call;

    /// ISO 286-2:2010, Tables 6, 13 and 19: H7 and k6 over 30 to 50 mm, N7 over 18 to 30 mm.
    #[test]
    fn printed_limits() {
        for (size, class, limits) in
            [("40 mm", "H7", "0 to 25 µm"), ("40 mm", "k6", "2 to 18 µm"), ("25 mm", "N7", "-28 to -7 µm")]
        {
            assert_eq!(call("limit_deviation", &[size, class]).unwrap().value.display(), limits);
        }
        assert!(call("limit_deviation", &["600 mm", "H7"]).is_err());
        assert!(call("limit_deviation", &["40 mm", "Q7"]).is_err());
    }
}
