//! Longest a classic CAN data frame can take on the wire, with every stuff bit that its content may force.
//!
//! 55 + 10 n bits with an 11-bit identifier, 80 + 10 n with 29 bits, for n data bytes.

use crate::bus::{Identifier, frame_bits};
use crate::quantity::{Dimension, Quantity};
use crate::registry::{
    Eval, Evaluation, Function, HandbookError, Limits, Outcome, Parameter, Source, worst_case,
};

/// See the module.
pub static FUNCTION: Function = Function {
    name: "can_frame_time",
    title: "Longest time of a CAN frame",
    section: "bus",
    parameters: &[
        Parameter::new("data_bytes", "", Limits::Whole(0.0, 8.0), "length of the data"),
        Parameter::new("identifier", "", Limits::OneOf(&[11.0, 29.0]), "bits of the identifier"),
        Parameter::new("bit_rate", "kbit/s", Limits::Between(5.0, 1000.0), "speed of the bus"),
    ],
    outcome: Outcome { unit: "ms", meaning: "longest time on the wire" },
    formula: "time = (g + 8 × data_bytes + 13 + ⌊(g + 8 × data_bytes − 1) / 4⌋) / \
             bit_rate, g = 34 or 54 by identifier",
    sources: &[Source::published(
        "R. I. Davis, A. Burns, R. J. Bril, J. J. Lukkien, Real-Time Systems 35(3)",
        "2007",
        "lengths of frames with 11-bit and 29-bit identifiers: 55 + 10 n and 80 + 10 n bits",
    )],
    assumes: &["Classic frames, no error."],
    example: "can_frame_time(8, 11, 500 kbit/s) = 0.27 ms",
    eval: Eval::Figures(eval),
};

fn eval(it: &[Quantity]) -> Result<Evaluation, HandbookError> {
    let identifier = match it[1].nominal() > 20.0 {
        true => Identifier::Extended,
        false => Identifier::Base,
    };
    let bits = |bytes: f64| {
        // Whole and within 0 to 8 by its limits.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let bytes = bytes.round() as u8;
        frame_bits(bytes, identifier).map_or(f64::NAN, f64::from)
    };
    let value = worst_case(it, Dimension::TIME, |v| bits(v[0]) / v[2])?;
    FUNCTION.worked(it, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    #[test]
    fn as_printed_in_the_paper() {
        for bytes in 0..=8u8 {
            let n = f64::from(bytes);
            let text = bytes.to_string();
            let short = figure_of("can_frame_time", &[&text, "11", "1 Mbit/s"], "µs");
            assert!((short - (55.0 + 10.0 * n)).abs() < 1e-9, "{bytes}");
            let long = figure_of("can_frame_time", &[&text, "29", "1 Mbit/s"], "µs");
            assert!((long - (80.0 + 10.0 * n)).abs() < 1e-9, "{bytes}");
        }
        assert!(call("can_frame_time", &["9", "11", "1 Mbit/s"]).is_err());
    }
}
