//! Longest a LIN frame may take: header of 34 bits and 10 bits for each byte and the checksum, and
//! four tenths more for the gaps between.

use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "lin_frame_time",
    title: "Longest time of a LIN frame",
    section: "bus",
    parameters: &[
        Parameter::new("data_bytes", "", Limits::Whole(1.0, 8.0), "length of the data"),
        Parameter::new("bit_rate", "kbit/s", Limits::Between(1.0, 20.0), "speed of the bus"),
    ],
    outcome: Outcome { unit: "ms", meaning: "longest time on the wire" },
    formula: "time = 1.4 × (34 + 10 × (data_bytes + 1)) / bit_rate",
    sources: &[Source::published(
        "LIN Specification Package",
        "2.2A, 2010",
        "nominal header 34 bits, response 10 (n + 1) bits, each times 1.4 at most",
    )],
    assumes: &[],
    example: "lin_frame_time(8, 19.2 kbit/s) = 9.042 ms",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let value = worst_case(it, Dimension::TIME, |v| 1.4 * (34.0 + 10.0 * (v[0] + 1.0)) / v[1])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn by_hand() {
        // 1.4 × 54 bits at 10 kbit/s.
        assert!((figure_of("lin_frame_time", &["1", "10 kbit/s"], "ms") - 7.56).abs() < 1e-9);
        assert!(call("lin_frame_time", &["9", "10 kbit/s"]).is_err());
    }
}
