//! How a spigot and a bore go together: clearance or interference, by tolerance class or by the
//! stated sizes. Limits of the classes: ISO 286-1:2010, ISO 286-2:2010.

use trunnion_handbook::fit;
use trunnion_model::decl::{Geometry, Register, Side};

use crate::ctx::trimmed;

/// The play in mm, on the diameter, above which a register no longer centres: common practice,
/// no source.
pub(crate) const PLAY: f64 = 0.1;
/// Differences below this, in mm, come from the arithmetic of the machine.
const NIL: f64 = 1e-6;

#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    Bore,
    Spigot,
}

/// A register with its limits of size in mm.
pub(crate) struct Sized {
    pub(crate) form: Option<Form>,
    pub(crate) lo: f64,
    pub(crate) nominal: f64,
    pub(crate) hi: f64,
    pub(crate) class: Option<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Answer {
    Clear,
    Open,
    Clash,
}

pub(crate) struct Fit {
    pub(crate) answer: Answer,
    pub(crate) words: String,
    pub(crate) formula: Option<String>,
    pub(crate) margin: Option<String>,
    pub(crate) sources: Vec<String>,
}

impl Fit {
    fn bare(answer: Answer, words: impl Into<String>) -> Self {
        Self { answer, words: words.into(), formula: None, margin: None, sources: Vec::new() }
    }
}

pub(crate) fn shown(registers: &[Register]) -> String {
    let one = |it: &Register| match &it.class {
        Some(class) => format!("{} {}", it.size.display(), class.value),
        None => it.size.display(),
    };
    registers.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// A register with its limits; an error says which class the tables lack.
pub(crate) fn sized(geometry: &Geometry, register: &Register) -> Result<Sized, String> {
    let size =
        register.size.ends_in("mm").ok_or_else(|| format!("{} is no length", register.size.display()))?;
    let [lo, nominal, hi] = size;
    if let Some(class) = &register.class {
        let capital = class.value.starts_with(|it: char| it.is_ascii_uppercase());
        let (lower, upper) = fit::limits(nominal, &class.value).map_err(|it| it.to_string())?;
        let form = Some(if capital { Form::Bore } else { Form::Spigot });
        let (lo, hi) = (nominal + lower / 1e3, nominal + upper / 1e3);
        return Ok(Sized { form, lo, nominal, hi, class: Some(class.value.to_string()) });
    }
    let form = geometry.side.map(|it| if it == Side::Female { Form::Bore } else { Form::Spigot });
    Ok(Sized { form, lo, nominal, hi, class: None })
}

/// How the registers of two faces go together: each of the side with fewer with the nearest of
/// the other, and the worst of them speaks.
pub(crate) fn together(a: &Geometry, b: &Geometry) -> Fit {
    let (few, many) = if a.registers.len() <= b.registers.len() { (a, b) } else { (b, a) };
    let mut all = few.registers.iter().filter_map(|one| {
        let far = |it: &Register| (it.size.nominal() - one.size.nominal()).abs();
        let near = many.registers.iter().min_by(|x, y| far(x).total_cmp(&far(y)))?;
        Some(match (sized(few, one), sized(many, near)) {
            (Ok(one), Ok(other)) => pair(&one, &other),
            (Err(why), _) | (_, Err(why)) => Fit::bare(Answer::Open, why),
        })
    });
    let first = all.next().unwrap_or_else(|| Fit::bare(Answer::Open, "nobody has said the sizes"));
    all.fold(first, |worst, it| if it.answer > worst.answer { it } else { worst })
}

fn pair(a: &Sized, b: &Sized) -> Fit {
    let (bore, spigot) = match (a.form, b.form) {
        (Some(Form::Bore), Some(Form::Bore)) => return Fit::bare(Answer::Clash, "both are bores"),
        (Some(Form::Spigot), Some(Form::Spigot)) => {
            return Fit::bare(Answer::Clash, "both are spigots");
        }
        (Some(Form::Spigot), _) | (None, Some(Form::Bore)) => (b, a),
        (None, None) if a.nominal < b.nominal => (b, a),
        _ => (a, b),
    };
    let (least, most) = (bore.lo - spigot.hi, bore.hi - spigot.lo);
    let mm = |it: f64| trimmed(it.abs(), 3);
    let designed = a.class.is_some() && b.class.is_some() && (a.nominal - b.nominal).abs() < NIL;
    let (answer, words) = if designed && least > -NIL {
        (Answer::Clear, format!("{} to {} mm of clearance", mm(least), mm(most)))
    } else if designed && most < NIL {
        (Answer::Clear, format!("{} to {} mm of interference, pressed or shrunk on", mm(most), mm(least)))
    } else if designed {
        (Answer::Clear, format!("from {} mm of interference to {} mm of clearance", mm(least), mm(most)))
    } else if most < -NIL {
        (Answer::Clash, format!("the spigot is at least {} mm larger than the bore", mm(most)))
    } else if least > PLAY + NIL {
        (
            Answer::Clash,
            format!("at least {} mm of play, and above {PLAY} mm it no longer centres", mm(least)),
        )
    } else if least > -NIL && most < PLAY + NIL {
        (Answer::Clear, format!("{} to {} mm of clearance", mm(least), mm(most)))
    } else {
        let side = if least < 0.0 { "interference" } else { "clearance" };
        (
            Answer::Open,
            format!("the sizes leave {} mm of {side} to {} mm of clearance possible", mm(least), mm(most)),
        )
    };
    let mut fit = Fit::bare(answer, words);
    fit.formula = Some(format!(
        "bore {} = {} to {} mm, spigot {} = {} to {} mm; least {} − {} = {} mm, most {} − {} = {} mm",
        name(bore),
        trimmed(bore.lo, 3),
        trimmed(bore.hi, 3),
        name(spigot),
        trimmed(spigot.lo, 3),
        trimmed(spigot.hi, 3),
        trimmed(bore.lo, 3),
        trimmed(spigot.hi, 3),
        signed(least),
        trimmed(bore.hi, 3),
        trimmed(spigot.lo, 3),
        signed(most),
    ));
    fit.margin = (answer == Answer::Clear).then(|| format!("{} to {} mm", signed(least), signed(most)));
    if a.class.is_some() || b.class.is_some() {
        fit.sources.extend(fit::SOURCES.iter().map(|it| format!("{}:{}", it.document, it.edition)));
    }
    if !designed {
        fit.sources.push(format!("at most {PLAY} mm of play: common practice, no source"));
    }
    fit
}

fn name(sized: &Sized) -> String {
    let class = sized.class.as_ref().map(|it| format!(" {it}")).unwrap_or_default();
    format!("{}{class}", trimmed(sized.nominal, 3))
}

fn signed(mm: f64) -> String {
    let sign = if mm < -NIL { "−" } else { "" };
    format!("{sign}{}", trimmed(mm.abs(), 3))
}
