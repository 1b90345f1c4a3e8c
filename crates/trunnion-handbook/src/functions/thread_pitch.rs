//! Pitch of a thread, from its name as a mechanic writes it: `M12x1.5`, `G1/4`, `7/16-20 UNF`. A
//! metric size without a pitch is coarse.

use crate::quantity::Quantity;
use crate::registry::{Eval, Evaluation, Function, HandbookError, Outcome, Parameter, Source};
use crate::thread::Thread;

/// See the module.
pub static FUNCTION: Function = Function {
    name: "thread_pitch",
    title: "Pitch of a thread",
    section: "fit",
    parameters: &[Parameter::word("thread", "a thread such as M12x1.5, G1/4 or 7/16-20 UNF", "its name")],
    outcome: Outcome { unit: "mm", meaning: "pitch" },
    formula: "pitch = list of threads for thread",
    sources: &[
        Source::from_memory("ISO 261", "1998", "fine pitches beyond ISO 262 and the sizes of third choice"),
        Source::published("ISO 228-1", "2000", "G1/8 to G3/8"),
        Source::from_memory("ISO 228-1", "2000", "G1/16 and G1 3/4"),
        Source::published("ASME B1.1", "2003", "UNC and UNF series, No. 4 to 1 in"),
    ],
    assumes: &[],
    example: "thread_pitch(M10) = 1.5 mm",
    eval: Eval::Mixed(eval),
};

fn eval(it: &[Quantity], words: &[&str]) -> Result<Evaluation, HandbookError> {
    let value = Quantity::exact(Thread::parse(words[0])?.pitch_mm(), "mm")?;
    FUNCTION.worked_with(it, words, value)
}

#[cfg(test)]
mod tests {
    use crate::registry::{call, figure_of};

    /// ISO 261 (coarse series), ISO 228-1 Table 1, ASME B1.1.
    #[test]
    fn printed_rows() {
        let made = figure_of("thread_pitch", &["M12"], "mm");
        let wanted: f64 = 1.75;
        assert!((made - wanted).abs() <= 1e-6 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("thread_pitch", &["M10x1.25"], "mm");
        let wanted: f64 = 1.25;
        assert!((made - wanted).abs() <= 1e-6 * wanted.abs().max(1.0), "{made}");
        let made = figure_of("thread_pitch", &["1/2-13 UNC"], "mm");
        let wanted: f64 = 25.4 / 13.0;
        assert!((made - wanted).abs() <= 1e-6 * wanted.abs().max(1.0), "{made}");
        assert!(call("thread_pitch", &["M13"]).is_err());
        assert!(call("thread_pitch", &["x"]).is_err());
    }
}
