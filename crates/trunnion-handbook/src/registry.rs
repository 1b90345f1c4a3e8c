//! What a handbook function is: its parameters, its formula, its source, and how it is called.
//!
//! One definition serves the language, the shell, the hover and the reference pages.

use std::fmt;

use crate::functions::FUNCTIONS;
use crate::quantity::{Dimension, Quantity, QuantityError, Truth, unit};

/// How far a source can be leaned on.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Standing {
    /// A named document with edition and clause.
    Published,
    /// A rule of thumb that workshops use; no document stands behind it.
    CommonPractice,
    /// Set down from memory of a document that was not at hand; to be checked against it.
    FromMemory,
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Published => "published",
            Self::CommonPractice => "common practice, no source",
            Self::FromMemory => "from memory, unverified",
        })
    }
}

/// Where a formula or table comes from.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Source {
    /// The document's name or number, or what the practice is called.
    pub document: &'static str,
    /// Edition or year; empty when there is none.
    pub edition: &'static str,
    /// Clause, table or section; empty when the whole is meant.
    pub clause: &'static str,
    /// How far it can be leaned on.
    pub standing: Standing,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts = [self.document, self.edition, self.clause];
        let named: Vec<_> = parts.into_iter().filter(|it| !it.is_empty()).collect();
        f.write_str(&named.join(", "))?;
        match self.standing {
            Standing::Published => Ok(()),
            weaker => write!(f, " ({weaker})"),
        }
    }
}

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
                lo == hi
                    && known
                        .iter()
                        .any(|it| (it - lo).abs() <= 1e-9 * it.abs().max(1.0))
            }
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
}

/// What a function gives.
#[derive(Clone, Copy, Debug)]
pub struct Outcome {
    /// The unit it is given in; empty for a plain number.
    pub unit: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

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
    pub eval: fn(&[Quantity]) -> Result<Evaluation, HandbookError>,
}

/// A result with its arithmetic.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Evaluation {
    /// The result and its worst-case range.
    pub value: Quantity,
    /// The formula with the numbers put in.
    pub with_numbers: String,
}

/// A value that a published table does not hold. Nothing is ever extrapolated.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct OutOfTable {
    /// The table.
    pub table: &'static str,
    /// What was looked for.
    pub wanted: Box<str>,
    /// What the table holds.
    pub holds: Box<str>,
}

impl OutOfTable {
    /// A lookup that failed.
    pub fn new(
        table: &'static str,
        wanted: impl Into<Box<str>>,
        holds: impl Into<Box<str>>,
    ) -> Self {
        Self {
            table,
            wanted: wanted.into(),
            holds: holds.into(),
        }
    }
}

impl fmt::Display for OutOfTable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} has no {}; it holds {}",
            self.table, self.wanted, self.holds
        )
    }
}

impl std::error::Error for OutOfTable {}

/// Why a function gave no result.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum HandbookError {
    /// Too many or too few arguments.
    Count {
        /// The function.
        function: &'static str,
        /// How many it takes.
        wanted: usize,
        /// How many came.
        got: usize,
    },
    /// An argument of another kind.
    Kind {
        /// The parameter.
        parameter: &'static str,
        /// What it measures.
        wanted: Dimension,
        /// What came.
        got: Dimension,
    },
    /// An argument outside what the formula holds for.
    Limit {
        /// The parameter.
        parameter: &'static str,
        /// What it may be, in words with its unit.
        allowed: Box<str>,
        /// What came.
        got: Box<str>,
    },
    /// Not in the published table.
    OutOfTable(OutOfTable),
    /// The arguments contradict one another, or the formula has no answer for them.
    NoAnswer(&'static str),
    /// The arithmetic failed.
    Quantity(QuantityError),
}

impl fmt::Display for HandbookError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Count {
                function,
                wanted,
                got,
            } => {
                write!(f, "{function} takes {wanted} values, and {got} were given")
            }
            Self::Kind {
                parameter,
                wanted,
                got,
            } => {
                write!(f, "{parameter} is a {wanted}, and a {got} was given")
            }
            Self::Limit {
                parameter,
                allowed,
                got,
            } => {
                write!(f, "{parameter} may be {allowed}, and {got} was given")
            }
            Self::OutOfTable(it) => it.fmt(f),
            Self::NoAnswer(why) => f.write_str(why),
            Self::Quantity(it) => it.fmt(f),
        }
    }
}

impl std::error::Error for HandbookError {}

impl From<QuantityError> for HandbookError {
    fn from(it: QuantityError) -> Self {
        Self::Quantity(it)
    }
}

impl From<OutOfTable> for HandbookError {
    fn from(it: OutOfTable) -> Self {
        Self::OutOfTable(it)
    }
}

impl Parameter {
    /// The dimension that its unit measures.
    pub fn dimension(&self) -> Dimension {
        unit(self.unit).map_or(Dimension::NONE, |it| it.dimension)
    }

    fn check(&self, given: &Quantity) -> Result<(), HandbookError> {
        let ends = match self.unit {
            "" if given.dimension().is_plain() => Some([given.lo(), given.nominal(), given.hi()]),
            "" => None,
            symbol => given.ends_in(symbol),
        };
        let wanted = self.dimension();
        let ends = ends.ok_or(HandbookError::Kind {
            parameter: self.name,
            wanted,
            got: given.dimension(),
        })?;
        if self.limits.allows(ends) {
            return Ok(());
        }
        let allowed = format!("{} {}", self.limits, self.unit);
        Err(HandbookError::Limit {
            parameter: self.name,
            allowed: allowed.trim_end().into(),
            got: given.display().into(),
        })
    }
}

impl Function {
    /// Checks the arguments, then evaluates.
    ///
    /// # Errors
    /// The wrong number or kind of arguments, one outside its limits, or a case that the formula
    /// or table has no answer for.
    pub fn call(&self, arguments: &[Quantity]) -> Result<Evaluation, HandbookError> {
        if arguments.len() != self.parameters.len() {
            return Err(HandbookError::Count {
                function: self.name,
                wanted: self.parameters.len(),
                got: arguments.len(),
            });
        }
        for (parameter, given) in self.parameters.iter().zip(arguments) {
            parameter.check(given)?;
        }
        let made = (self.eval)(arguments)?;
        let value = match self.outcome.unit {
            "" => made.value,
            symbol => made.value.shown_in(symbol)?,
        };
        Ok(Evaluation { value, ..made })
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
    let ranged: Vec<usize> = (0..arguments.len())
        .filter(|&at| !arguments[at].is_exact())
        .collect();
    let (mut least, mut most) = (nominal, nominal);
    for corner in 0..1u32 << ranged.len() {
        for (bit, &at) in ranged.iter().enumerate() {
            let high = corner & (1 << bit) != 0;
            figures[at] = if high {
                arguments[at].hi()
            } else {
                arguments[at].lo()
            };
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

/// Whether a quantity is zero or may be: for formulas that divide by it.
pub(crate) fn may_be_zero(it: &Quantity) -> Truth {
    match (it.lo() > 0.0 || it.hi() < 0.0, it.is_exact()) {
        (true, _) => Truth::No,
        (false, true) => Truth::Yes,
        (false, false) => Truth::Maybe,
    }
}

/// Calls a function with quantities written as `"3000 rpm"`, for tests and examples.
#[cfg(test)]
pub(crate) fn call(name: &str, arguments: &[&str]) -> Result<Evaluation, HandbookError> {
    let read = |it: &&str| crate::reference::read(it).unwrap_or_else(|| panic!("{it}"));
    let arguments: Vec<_> = arguments.iter().map(read).collect();
    function(name)
        .unwrap_or_else(|| panic!("{name}"))
        .call(&arguments)
}

/// The nominal result of a call in a unit.
#[cfg(test)]
pub(crate) fn figure_of(name: &str, arguments: &[&str], unit: &str) -> f64 {
    let made = call(name, arguments).unwrap_or_else(|error| panic!("{name}: {error}"));
    if unit.is_empty() {
        return made.value.nominal();
    }
    made.value
        .in_unit(unit)
        .unwrap_or_else(|| panic!("{:?} in {unit}", made.value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arguments_are_checked_before_the_formula() {
        let short = call("overall_ratio", &["3.69"]).unwrap_err();
        assert_eq!(
            short.to_string(),
            "overall_ratio takes 2 values, and 1 were given"
        );
        let wrong = call("overall_ratio", &["3.69", "2 m"]).unwrap_err();
        assert_eq!(
            wrong.to_string(),
            "final_drive is a plain number, and a length was given"
        );
        let zero = call("overall_ratio", &["0", "3.69"]).unwrap_err();
        assert_eq!(
            zero.to_string(),
            "gear_ratio may be more than 0, and 0 was given"
        );
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
        assert_eq!(may_be_zero(&one), Truth::Maybe);
    }
}
