//! What a handbook function is: its parameters, its formula, its source, and how it is called.
//!
//! One definition serves the language, the shell, the hover and the reference pages.

mod argument;
mod error;
mod source;

use std::fmt;

pub use argument::Argument;
pub use error::{HandbookError, OutOfTable};
pub use source::{Source, Standing};

use crate::functions::FUNCTIONS;
use crate::quantity::{Dimension, Quantity, QuantityError, unit};

/// The figures a parameter may take, in the parameter's unit.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Limits {
    /// Any figure.
    Any,
    /// Zero or more.
    NotNegative,
    /// More than zero.
    Positive,
    /// Both ends allowed.
    Between(f64, f64),
    /// Whole numbers, both ends allowed.
    Whole(f64, f64),
    /// One of these.
    OneOf(&'static [f64]),
    /// A word, one of these, written exactly so.
    Choice(&'static [&'static str]),
    /// A word of this form: the text says how it is written, as "a thread such as M12x1.5". The
    /// function reads it.
    Word(&'static str),
}

impl Limits {
    fn allows(self, ends: [f64; 3]) -> bool {
        let [lo, _, hi] = ends;
        // The figure went to SI and back, which may cost its last bits.
        let slack = 1e-9 * lo.abs().max(hi.abs());
        let whole = |it: f64| (it - it.round()).abs() <= 1e-9 * it.abs().max(1.0);
        match self {
            Self::Any => true,
            Self::NotNegative => lo >= 0.0,
            Self::Positive => lo > 0.0,
            Self::Between(from, to) => lo >= from - slack && hi <= to + slack,
            Self::Whole(from, to) => {
                let inside = lo >= from - slack && hi <= to + slack;
                inside && [lo, hi].into_iter().all(whole)
            }
            Self::OneOf(known) => {
                lo == hi && known.iter().any(|it| (it - lo).abs() <= 1e-9 * it.abs().max(1.0))
            }
            Self::Choice(_) | Self::Word(_) => false,
        }
    }
}

impl fmt::Display for Limits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Any => f.write_str("any"),
            Self::NotNegative => f.write_str("0 or more"),
            Self::Positive => f.write_str("more than 0"),
            Self::Between(from, to) => write!(f, "{from} to {to}"),
            Self::Whole(from, to) => write!(f, "whole numbers {from} to {to}"),
            Self::OneOf(known) => {
                let known: Vec<_> = known.iter().map(f64::to_string).collect();
                write!(f, "one of {}", known.join(", "))
            }
            Self::Choice(known) => write!(f, "one of {}", known.join(", ")),
            Self::Word(form) => f.write_str(form),
        }
    }
}

/// One input of a function.
#[derive(Clone, Copy, Debug)]
pub struct Parameter {
    /// Its name, as in the formula.
    pub name: &'static str,
    /// A unit of the right kind, in which its limits are given; empty for a plain number.
    pub unit: &'static str,
    /// What it may be.
    pub limits: Limits,
    /// What it means.
    pub meaning: &'static str,
    /// Whether it may be given several times; only the last one of a function may.
    pub repeated: bool,
}

/// What a function gives.
#[derive(Clone, Copy, Debug)]
pub struct Outcome {
    /// The unit it is given in; empty for a plain number.
    pub unit: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

/// The most arguments that a repeated parameter takes.
pub const MOST_REPEATED: usize = 120;

/// A handbook function.
#[derive(Debug)]
pub struct Function {
    /// Its name, in the language and in the shell.
    pub name: &'static str,
    /// Its title in the reference.
    pub title: &'static str,
    /// The section of the reference: `drive`, `wire`, `bus` …
    pub section: &'static str,
    /// What must be given, in order.
    pub parameters: &'static [Parameter],
    /// What comes out.
    pub outcome: Outcome,
    /// The formula in plain notation.
    pub formula: &'static str,
    /// Where it comes from.
    pub sources: &'static [Source],
    /// What it takes for granted, and cautions; one sentence each.
    pub assumes: &'static [&'static str],
    /// A call with its result, as the shell shows it; a test keeps it true.
    pub example: &'static str,
    /// The work, on arguments already checked for number, kind and limits.
    pub eval: Eval,
}

/// The work of a function.
#[derive(Clone, Copy, Debug)]
pub enum Eval {
    /// All arguments are quantities.
    Figures(fn(&[Quantity]) -> Result<Evaluation, HandbookError>),
    /// Some are words: the quantities in their order, then the words in theirs.
    Mixed(fn(&[Quantity], &[&str]) -> Result<Evaluation, HandbookError>),
}

/// A result with its arithmetic.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Evaluation {
    /// The result and its worst-case range.
    pub value: Quantity,
    /// The formula with the numbers put in.
    pub with_numbers: String,
}

impl Parameter {
    /// A quantity with its unit, what it may be, and what it means.
    pub const fn new(name: &'static str, unit: &'static str, limits: Limits, meaning: &'static str) -> Self {
        Self { name, unit, limits, meaning, repeated: false }
    }

    /// A word out of a list.
    pub const fn choice(name: &'static str, known: &'static [&'static str], meaning: &'static str) -> Self {
        Self::new(name, "", Limits::Choice(known), meaning)
    }

    /// A word of a form: how it is written, as "a thread such as M12x1.5".
    pub const fn word(name: &'static str, form: &'static str, meaning: &'static str) -> Self {
        Self::new(name, "", Limits::Word(form), meaning)
    }

    /// The same, given once or more.
    pub const fn repeated(self) -> Self {
        Self { repeated: true, ..self }
    }

    /// Whether a word is wanted, not a quantity.
    pub const fn takes_word(&self) -> bool {
        matches!(self.limits, Limits::Choice(_) | Limits::Word(_))
    }

    /// The dimension that its unit measures.
    pub fn dimension(&self) -> Dimension {
        unit(self.unit).map_or(Dimension::NONE, |it| it.dimension)
    }

    /// Whether an argument is of the right kind and inside the limits.
    ///
    /// # Errors
    /// It is not.
    pub fn check(&self, given: &Argument<'_>) -> Result<(), HandbookError> {
        match (given, self.takes_word()) {
            (Argument::Quantity(given), false) => self.check_quantity(given),
            (Argument::Word(given), true) => match self.limits {
                Limits::Choice(known) if !known.contains(given) => Err(self.refusal(given)),
                _ => Ok(()),
            },
            _ => Err(HandbookError::WordOrFigure {
                parameter: self.name,
                wants_word: self.takes_word(),
                got: given.to_string().into(),
            }),
        }
    }

    fn refusal(&self, got: &str) -> HandbookError {
        let allowed = format!("{} {}", self.limits, self.unit);
        HandbookError::Limit { parameter: self.name, allowed: allowed.trim_end().into(), got: got.into() }
    }

    fn check_quantity(&self, given: &Quantity) -> Result<(), HandbookError> {
        let wanted = self.dimension();
        let ends = match self.unit {
            "" if given.dimension().is_plain() => Some([given.lo(), given.nominal(), given.hi()]),
            "" => None,
            symbol => given.ends_in(symbol),
        };
        // K can write a temperature on a scale, but a difference is not one.
        let ends = ends.filter(|_| given.dimension().point == wanted.point).ok_or(HandbookError::Kind {
            parameter: self.name,
            wanted,
            got: given.dimension(),
        })?;
        match self.limits.allows(ends) {
            true => Ok(()),
            false => Err(self.refusal(&given.display())),
        }
    }
}

impl Function {
    /// Checks the arguments, then evaluates, where none of them is a word.
    ///
    /// # Errors
    /// As [`Function::call_with`]; a function that wants a word.
    pub fn call(&self, arguments: &[Quantity]) -> Result<Evaluation, HandbookError> {
        let arguments: Vec<_> = arguments.iter().copied().map(Argument::Quantity).collect();
        self.call_with(&arguments)
    }

    /// Checks the arguments, then evaluates.
    ///
    /// # Errors
    /// The wrong number or kind of arguments, one outside its limits, or a case that the formula
    /// or table has no answer for.
    pub fn call_with(&self, arguments: &[Argument<'_>]) -> Result<Evaluation, HandbookError> {
        let (wanted, got) = (self.parameters.len(), arguments.len());
        let repeated = self.parameters.last().is_some_and(|it| it.repeated);
        if got != wanted && !(repeated && (wanted..=MOST_REPEATED).contains(&got)) {
            return Err(HandbookError::Count { function: self.name, wanted, got, repeated });
        }
        for (at, given) in arguments.iter().enumerate() {
            self.parameter(at).check(given)?;
        }
        let quantities: Vec<_> = arguments.iter().filter_map(Argument::quantity).collect();
        match self.eval {
            Eval::Figures(eval) => eval(&quantities),
            Eval::Mixed(eval) => {
                let words: Vec<_> = arguments.iter().filter_map(Argument::word).collect();
                eval(&quantities, &words)
            }
        }
    }

    /// The parameter that the argument at this place is for; the last one repeats.
    pub fn parameter(&self, at: usize) -> &'static Parameter {
        &self.parameters[at.min(self.parameters.len() - 1)]
    }

    /// A result with the formula's names replaced by the arguments, and the result at its end.
    ///
    /// # Errors
    /// The result measures something other than the function says.
    pub(crate) fn worked(
        &self,
        arguments: &[Quantity],
        value: Quantity,
    ) -> Result<Evaluation, HandbookError> {
        self.worked_with(arguments, &[], value)
    }

    /// As [`Function::worked`], where some arguments are words.
    ///
    /// # Errors
    /// The result measures something other than the function says.
    pub(crate) fn worked_with(
        &self,
        quantities: &[Quantity],
        words: &[&str],
        value: Quantity,
    ) -> Result<Evaluation, HandbookError> {
        let value = match self.outcome.unit {
            "" if value.dimension().is_plain() => value,
            "" => return Err(HandbookError::NoAnswer("the result is no plain number")),
            symbol => value.shown_in(symbol)?,
        };
        let (mut quantities, mut words) = (quantities.iter(), words.iter());
        let mut texts: Vec<(&str, String)> = Vec::new();
        for it in self.parameters {
            let mut next = || match it.takes_word() {
                true => words.next().map(|word| (*word).to_owned()),
                false => quantities.next().map(Quantity::display),
            };
            let own: Vec<_> =
                std::iter::from_fn(&mut next).take(if it.repeated { usize::MAX } else { 1 }).collect();
            texts.push((it.name, own.join(", ")));
        }
        let with_numbers = format!("{} = {value}", put_in(self.formula, texts));
        Ok(Evaluation { value, with_numbers })
    }

    /// The weakest standing among its sources.
    pub fn standing(&self) -> Standing {
        let weak = |it: Standing| self.sources.iter().any(|source| source.standing == it);
        if weak(Standing::FromMemory) {
            Standing::FromMemory
        } else if weak(Standing::CommonPractice) {
            Standing::CommonPractice
        } else {
            Standing::Published
        }
    }
}

/// A formula with each whole word that is a name replaced by its text.
fn put_in(formula: &str, texts: Vec<(&str, String)>) -> String {
    let mut out = String::new();
    let mut word = String::new();
    // A space at the end closes the last word.
    for letter in formula.chars().chain([' ']) {
        if letter == '_' || letter.is_alphanumeric() {
            word.push(letter);
            continue;
        }
        match texts.iter().find(|(name, _)| *name == word) {
            Some((_, text)) => out.push_str(text),
            None => out.push_str(&word),
        }
        word.clear();
        out.push(letter);
    }
    out.pop();
    out
}

impl Evaluation {
    /// Adds what a table gave, or which case applied.
    pub(crate) fn noting(mut self, note: &str) -> Self {
        self.with_numbers.push_str("; ");
        self.with_numbers.push_str(note);
        self
    }
}

/// The function of that name.
pub fn function(name: &str) -> Option<&'static Function> {
    FUNCTIONS.iter().copied().find(|it| it.name == name)
}

/// A result over every corner of the arguments' ranges.
///
/// The formula gets SI figures in the order of the arguments and must be monotone in each of them
/// alone, rising or falling; then its least and most lie at corners.
pub(crate) fn worst_case(
    arguments: &[Quantity],
    dimension: Dimension,
    formula: impl Fn(&[f64]) -> f64,
) -> Result<Quantity, QuantityError> {
    let mut figures: Vec<f64> = arguments.iter().map(Quantity::nominal).collect();
    let nominal = formula(&figures);
    let ranged: Vec<usize> = (0..arguments.len()).filter(|&at| !arguments[at].is_exact()).collect();
    debug_assert!(ranged.len() < 16, "a sum of many is worked out end by end, not corner by corner");
    let (mut least, mut most) = (nominal, nominal);
    for corner in 0..1u32 << ranged.len() {
        for (bit, &at) in ranged.iter().enumerate() {
            let high = corner & (1 << bit) != 0;
            figures[at] = if high { arguments[at].hi() } else { arguments[at].lo() };
        }
        let value = formula(&figures);
        if !value.is_finite() {
            return Err(QuantityError::NotFinite);
        }
        least = least.min(value);
        most = most.max(value);
    }
    Quantity::si_range(least, nominal, most, dimension)
}

/// Calls a function with quantities written as `"3000 rpm"`, for tests and examples.
#[cfg(test)]
pub(crate) fn call(name: &str, arguments: &[&str]) -> Result<Evaluation, HandbookError> {
    let function = function(name).unwrap_or_else(|| panic!("{name}"));
    let arguments = arguments.iter().copied().enumerate();
    let read =
        |(at, it)| crate::reference::read_for(function.parameter(at), it).unwrap_or_else(|| panic!("{it}"));
    function.call_with(&arguments.map(read).collect::<Vec<_>>())
}

/// The nominal result of a call in a unit.
#[cfg(test)]
pub(crate) fn figure_of(name: &str, arguments: &[&str], unit: &str) -> f64 {
    let made = call(name, arguments).unwrap_or_else(|error| panic!("{name}: {error}"));
    if unit.is_empty() {
        return made.value.nominal();
    }
    made.value.in_unit(unit).unwrap_or_else(|| panic!("{:?} in {unit}", made.value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arguments_are_checked_before_the_formula() {
        let short = call("overall_ratio", &["3.69"]).unwrap_err();
        assert_eq!(short.to_string(), "overall_ratio takes 2 values, and 1 were given");
        let wrong = call("overall_ratio", &["3.69", "2 m"]).unwrap_err();
        assert_eq!(wrong.to_string(), "final_drive is a plain number, and a length was given");
        let scale = call("heat_flow", &["8 l/min", "860 kg/m³", "2000 J/kgK", "25 °C"]);
        assert!(matches!(scale, Err(HandbookError::Kind { .. })));
        let zero = call("overall_ratio", &["0", "3.69"]).unwrap_err();
        assert_eq!(zero.to_string(), "gear_ratio may be more than 0, and 0 was given");
    }

    #[test]
    fn worst_case_takes_every_corner() {
        let one = Quantity::range(2.0, 3.0, "").unwrap();
        let other = Quantity::range(4.0, 5.0, "").unwrap();
        let made = worst_case(&[one, other], Dimension::NONE, |v| v[0] / v[1]).unwrap();
        assert!((made.lo() - 0.4).abs() < 1e-12 && (made.hi() - 0.75).abs() < 1e-12);
    }

    #[test]
    fn an_infinite_corner_is_refused() {
        let one = Quantity::range(0.0, 3.0, "").unwrap();
        assert!(worst_case(&[one], Dimension::NONE, |v| 1.0 / v[0]).is_err());
    }
}
