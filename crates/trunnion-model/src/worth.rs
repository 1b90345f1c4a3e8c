//! What an expression is worth: figures, words, dates, arithmetic, handbook functions.
//!
//! There is one evaluator. A condition ([`crate::judge`]) asks it with the names of a world, the
//! shell ([`crate::calc`]) with no names at all.

use std::cmp::Ordering;

use trunnion_handbook::functions::FUNCTIONS;
use trunnion_handbook::quantity::{Order, Quantity};
use trunnion_handbook::registry::{Argument, Function, HandbookError, Parameter, function};
use trunnion_handbook::thread::{Mating, Thread, mates};
use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::tree::{Date, Figure, Measure, Op, Path, Span};

use crate::fact::Found;
use crate::judge::Missing;
use crate::lower::reader::made;
use crate::name::nearest;
use crate::worded::{sign, worded};

/// Yes, no, or nobody knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Truth {
    /// It holds.
    Yes,
    /// It does not.
    No,
    /// It cannot be told.
    Open,
}

impl Truth {
    /// The opposite; what cannot be told stays so.
    pub fn flip(self) -> Self {
        match self {
            Self::Yes => Self::No,
            Self::No => Self::Yes,
            Self::Open => Self::Open,
        }
    }
}

/// What an expression comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Worth {
    /// A figure.
    Quantity(Quantity),
    /// A word, a text, a thread or tyre marking.
    Word(String),
    /// A date.
    Date(Date),
    /// It was said that there is none.
    Nothing,
    /// Nobody knows, or it makes no sense; the [`Trail`] says which.
    Missing,
}

impl Worth {
    /// As a reader would write it.
    pub fn display(&self) -> String {
        match self {
            Self::Quantity(it) => it.display(),
            Self::Word(it) => it.clone(),
            Self::Date(it) => it.to_string(),
            Self::Nothing => "none".to_owned(),
            Self::Missing => "unknown".to_owned(),
        }
    }
}

/// Where the names in an expression lead.
pub trait Names {
    /// What a path stands for; what nobody knows is noted in the trail.
    fn path(&self, path: &Path, span: Span, trail: &mut Trail) -> Worth;
}

/// Something in an expression that makes no sense.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nonsense {
    /// Why, as a sentence part.
    pub message: String,
    /// Where, counted as the expression's own places are.
    pub span: Span,
    /// What would make sense.
    pub hint: Option<String>,
    /// What to write in its place, where that is as good as certain.
    pub mend: Option<String>,
}

impl std::fmt::Display for Nonsense {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)?;
        self.hint.as_ref().map_or(Ok(()), |it| write!(f, "; {it}"))
    }
}

/// One handbook function that was worked on the way.
#[derive(Clone, Debug)]
pub struct Step {
    /// The function.
    pub function: &'static Function,
    /// Its formula with the numbers put in.
    pub with_numbers: String,
}

/// What was collected on the way to a worth.
#[derive(Default)]
pub struct Trail {
    /// The claims it rests on.
    pub found: Vec<Found>,
    /// What nobody stated.
    pub missing: Vec<Missing>,
    /// The first thing that makes no sense.
    pub nonsense: Option<Nonsense>,
    /// The handbook functions, innermost first, each working once.
    pub steps: Vec<Step>,
}

impl Trail {
    /// Notes what makes no sense; the first is kept, since others follow from it.
    pub fn tell(&mut self, message: impl Into<String>, span: Span, hint: Option<String>) -> Worth {
        self.nonsense.get_or_insert(Nonsense { message: message.into(), span, hint, mend: None });
        Worth::Missing
    }
}

/// What an expression comes to. A condition has no worth but a truth, and makes no sense here.
pub fn worth(expr: &Expr, names: &dyn Names, trail: &mut Trail) -> Worth {
    match &expr.kind {
        ExprKind::Figure(figure) => match made(figure) {
            Ok(it) => Worth::Quantity(it),
            Err(error) => trail.tell(error.to_string(), expr.span, None),
        },
        ExprKind::Text(it) | ExprKind::Marking(it) => Worth::Word(it.to_string()),
        ExprKind::Date(it) => Worth::Date(*it),
        ExprKind::Path(path) => names.path(path, expr.span, trail),
        ExprKind::Arithmetic(op, a, b) => {
            let (left, right) = (figure(a, names, trail), figure(b, names, trail));
            let (Some(left), Some(right)) = (left, right) else { return Worth::Missing };
            let made = match op {
                Op::Plus => left.add(&right),
                Op::Minus => left.sub(&right),
                Op::Times => left.mul(&right),
                _ => left.div(&right),
            };
            match made {
                Ok(it) => Worth::Quantity(it),
                Err(error) => trail.tell(error.to_string(), expr.span, None),
            }
        }
        ExprKind::Call(name, args) => call(name, args, expr.span, names, trail),
        _ => trail.tell("a condition stands where a value is wanted", expr.span, None),
    }
}

/// A figure to calculate with. `None` when it is missing or is no figure.
fn figure(expr: &Expr, names: &dyn Names, trail: &mut Trail) -> Option<Quantity> {
    match worth(expr, names, trail) {
        Worth::Quantity(it) => Some(it),
        Worth::Missing => None,
        other => {
            let message = format!("a figure is wanted here, and {} is none", named(expr, &other));
            trail.tell(message, expr.span, None);
            None
        }
    }
}

/// An operand with what it came to, for messages.
fn named(expr: &Expr, worth: &Worth) -> String {
    let (written, is) = (worded(expr, &|_| None), worth.display());
    if written == is { format!("`{is}`") } else { format!("{written} (`{is}`)") }
}

fn call(name: &str, args: &[Expr], span: Span, names: &dyn Names, trail: &mut Trail) -> Worth {
    let at_name = Span::new(span.start, span.start + name.len() as u32);
    let Some(function) = function(name) else {
        let near = nearest(name, FUNCTIONS.iter().map(|it| it.name));
        let hint = match &near {
            Some(near) => format!("`{near}` is one"),
            None => "`trunnion calc` lists those that there are".to_owned(),
        };
        let message = format!("there is no handbook function `{name}`");
        let told = Nonsense { message, span: at_name, hint: Some(hint), mend: near };
        trail.nonsense.get_or_insert(told);
        return Worth::Missing;
    };
    let given: Vec<Worth> =
        args.iter().enumerate().map(|(at, it)| argument(function.parameter(at), it, names, trail)).collect();
    let argument = |it| match it {
        &Worth::Quantity(it) => Some(Argument::Quantity(it)),
        Worth::Word(it) => Some(Argument::Word(it)),
        _ => None,
    };
    let Some(given) = given.iter().map(argument).collect::<Option<Vec<_>>>() else { return Worth::Missing };
    match function.call_with(&given) {
        Ok(made) => {
            let known = trail.steps.iter().any(|it| it.with_numbers == made.with_numbers);
            if !known {
                trail.steps.push(Step { function, with_numbers: made.with_numbers });
            }
            Worth::Quantity(made.value)
        }
        Err(error) => {
            let at = place(function, &given, &error)
                .and_then(|nth| args.get(nth))
                .map_or(if matches!(error, HandbookError::Count { .. }) { at_name } else { span }, |it| {
                    it.span
                });
            let called = !matches!(
                error,
                HandbookError::Limit { .. } | HandbookError::OutOfTable(_) | HandbookError::NoAnswer(_)
            );
            trail.tell(error.to_string(), at, called.then(|| format!("it is `{}`", signature(function))))
        }
    }
}

/// What an argument comes to. Where a word is wanted, one word stands for itself, and so does a
/// bare figure such as a property class; where that is not so, a figure is looked for.
fn argument(parameter: &Parameter, expr: &Expr, names: &dyn Names, trail: &mut Trail) -> Worth {
    let own = match &expr.kind {
        ExprKind::Path(path) if parameter.takes_word() => path.word().map(ToString::to_string),
        ExprKind::Figure(Figure::Exact(figure)) if parameter.takes_word() => one_word(figure, expr.span),
        _ => None,
    };
    match own.map_or_else(|| worth(expr, names, trail), Worth::Word) {
        it @ (Worth::Quantity(_) | Worth::Word(_) | Worth::Missing) => it,
        other => {
            let message = format!("{} is wanted here, and {} is none", parameter.name, named(expr, &other));
            trail.tell(message, expr.span, None)
        }
    }
}

/// A figure that was meant as a word: the property class `8.8`, the thread tolerance `6g`, which
/// reads as six grams.
fn one_word(figure: &Measure, span: Span) -> Option<String> {
    let word = match &figure.unit {
        Some(unit) => format!("{}{unit}", figure.number),
        None => return Some(figure.number.to_string()),
    };
    (word.len() as u32 == span.end - span.start).then_some(word)
}

/// Which argument an error speaks of.
fn place(function: &Function, given: &[Argument<'_>], error: &HandbookError) -> Option<usize> {
    let (HandbookError::Kind { parameter, .. }
    | HandbookError::Limit { parameter, .. }
    | HandbookError::WordOrFigure { parameter, .. }) = error
    else {
        return None;
    };
    // A parameter that repeats stands for several arguments: the one that is refused by itself.
    let named = |at: &usize| function.parameter(*at).name == *parameter;
    let refused = |at: &usize| match (error, &given[*at]) {
        (HandbookError::Kind { got, .. }, Argument::Quantity(it)) => it.dimension() == *got,
        (HandbookError::Limit { got, .. } | HandbookError::WordOrFigure { got, .. }, it) => {
            it.to_string() == **got
        }
        _ => false,
    };
    (0..given.len()).find(|at| named(at) && refused(at)).or((0..given.len()).find(named))
}

/// How a function is called: `bolt_preload(torque in Nm, torque_factor, diameter in mm)`.
pub fn signature(function: &Function) -> String {
    let parameter = |it: &Parameter| match it.unit {
        "" => it.name.to_owned(),
        unit => format!("{} in {unit}", it.name),
    };
    let all: Vec<String> = function.parameters.iter().map(parameter).collect();
    let more = if function.parameters.last().is_some_and(|it| it.repeated) { ", …" } else { "" };
    format!("{}({}{more})", function.name, all.join(", "))
}

/// A comparison with its arithmetic.
pub struct Compared {
    /// Whether it holds for every value of both sides.
    pub truth: Truth,
    /// The arithmetic with numbers put in.
    pub formula: String,
    /// How much room there is.
    pub margin: Option<String>,
}

/// Compares figures by their worst cases.
///
/// # Errors
/// They measure different things, or the tolerance does.
pub fn compared(
    op: Op,
    a: &Quantity,
    b: &Quantity,
    tolerance: Option<&Quantity>,
) -> Result<Compared, String> {
    let order = a.compare(b).map_err(|it| it.to_string())?;
    if let (Op::Equal | Op::Unequal, Some(tolerance)) = (op, tolerance) {
        return within(op, a, b, tolerance);
    }
    let truth = match (op, order) {
        (Op::Equal, Order::Equal) => Truth::Yes,
        (Op::Equal, Order::Less | Order::Greater) => Truth::No,
        (Op::Equal, Order::Overlap) => Truth::Open,
        (Op::Unequal, Order::Equal) => Truth::No,
        (Op::Unequal, Order::Less | Order::Greater) => Truth::Yes,
        (Op::Unequal, Order::Overlap) => Truth::Open,
        (Op::Less, Order::Less) | (Op::More, Order::Greater) => Truth::Yes,
        (Op::Less, Order::Greater | Order::Equal) | (Op::More, Order::Less | Order::Equal) => Truth::No,
        (Op::AtMost, Order::Less | Order::Equal) | (Op::AtLeast, Order::Greater | Order::Equal) => Truth::Yes,
        (Op::AtMost, Order::Greater) | (Op::AtLeast, Order::Less) => Truth::No,
        (Op::AtMost, Order::Overlap) if a.hi() <= b.lo() => Truth::Yes,
        (Op::AtLeast, Order::Overlap) if a.lo() >= b.hi() => Truth::Yes,
        _ => Truth::Open,
    };
    let margin = match op {
        Op::AtLeast | Op::More => a.sub(b).ok().map(|it| it.display()),
        Op::AtMost | Op::Less => b.sub(a).ok().map(|it| it.display()),
        _ => None,
    };
    Ok(Compared { truth, formula: format!("{} {} {}", a.display(), sign(op), b.display()), margin })
}

/// `a = b within tolerance`.
fn within(op: Op, a: &Quantity, b: &Quantity, tolerance: &Quantity) -> Result<Compared, String> {
    let band = b.plus_minus(tolerance).map_err(|it| it.to_string())?;
    let off =
        if b.nominal() == 0.0 { f64::INFINITY } else { (a.nominal() - b.nominal()) / b.nominal() * 100.0 };
    let inside = a.lo() >= band.lo() && a.hi() <= band.hi();
    let outside = a.hi() < band.lo() || a.lo() > band.hi();
    let truth = match (inside, outside) {
        (true, _) => Truth::Yes,
        (_, true) => Truth::No,
        _ => Truth::Open,
    };
    let truth = if op == Op::Unequal { truth.flip() } else { truth };
    let side = if off < 0.0 { "low" } else { "high" };
    let formula = format!(
        "({} − {}) / {} = {:.1} % {side}; allowed {}",
        a.display(),
        b.display(),
        b.display(),
        off.abs(),
        tolerance.display(),
    );
    Ok(Compared { truth, formula, margin: Some(format!("{:.1} % off", off.abs())) })
}

/// Whether two words are markings of one thread.
fn same_thread(a: &str, b: &str) -> bool {
    // In lower case it is a class of fit: `m6`.
    let read = |it: &str| Thread::parse(it).ok().filter(|_| !it.starts_with(char::is_lowercase));
    matches!((read(a), read(b)), (Some(a), Some(b)) if mates(&a, &b) == Mating::Mates)
}

/// Whether a comparison of two dates, or of two words, holds. `None` where words are put in order.
pub fn alike(op: Op, a: &Worth, b: &Worth) -> Option<Truth> {
    let order = match (a, b) {
        (Worth::Date(a), Worth::Date(b)) => a.cmp(b),
        _ => match op {
            // `M12` is `M12x1.75`: a thread without its pitch is coarse.
            Op::Equal | Op::Unequal if same_thread(&a.display(), &b.display()) => Ordering::Equal,
            Op::Equal | Op::Unequal => a.display().cmp(&b.display()),
            _ => return None,
        },
    };
    let holds = match op {
        Op::Equal => order.is_eq(),
        Op::Unequal => order.is_ne(),
        Op::Less => order.is_lt(),
        Op::AtMost => order.is_le(),
        Op::More => order.is_gt(),
        _ => order.is_ge(),
    };
    Some(if holds { Truth::Yes } else { Truth::No })
}

/// The arithmetic on the way to an expression's figure: each handbook function, then its own sum
/// or product with the numbers put in.
pub fn working(expr: &Expr, worth_of: &dyn Fn(&Expr) -> Worth) -> Option<String> {
    let ExprKind::Arithmetic(..) = expr.kind else { return None };
    let put = |it: &Expr| match it.kind {
        ExprKind::Call(..) | ExprKind::Path(_) => Some(worth_of(it).display()),
        _ => None,
    };
    Some(format!("{} = {}", worded(expr, &put), worth_of(expr).display()))
}
