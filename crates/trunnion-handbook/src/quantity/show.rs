//! Quantities as the trade writes them.

use std::fmt;

use super::value::Form;
use super::{Dimension, Quantity, Scale, Unit, unit};

/// Digits kept of a figure that somebody stated, and of one that was computed.
const STATED: i32 = 10;
const COMPUTED: i32 = 4;

/// A figure with so many significant digits, no digit before the decimal point lost, and no
/// zeros at its end.
pub(crate) fn figure(it: f64, digits: i32) -> String {
    if it == 0.0 || !it.is_finite() {
        return format!("{it}").replace("-0", "0");
    }
    // A finite, non-zero figure has a logarithm between −324 and 308.
    #[allow(clippy::cast_possible_truncation)]
    let leading = it.abs().log10().floor() as i32;
    if !(-6..=14).contains(&leading) {
        return format!("{it:.*e}", (digits - 1).max(0).unsigned_abs() as usize);
    }
    let decimals = (digits - 1 - leading).clamp(0, 12);
    let text = format!("{it:.*}", decimals.unsigned_abs() as usize);
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    match text {
        "-0" | "" => "0".to_owned(),
        other => other.to_owned(),
    }
}

/// The unit a computed quantity of this dimension and size is shown in.
fn fitting(dimension: Dimension, si: f64) -> Option<&'static Unit> {
    let size = si.abs();
    let symbol = match dimension {
        Dimension::LENGTH if size < 10.0 => "mm",
        Dimension::LENGTH if size < 1e4 => "m",
        Dimension::LENGTH => "km",
        Dimension::AREA if size < 0.1 => "mm²",
        Dimension::AREA => "m²",
        Dimension::VOLUME => "l",
        Dimension::MASS => "kg",
        Dimension::TIME if size < 1.0 => "ms",
        Dimension::TIME if size < 120.0 => "s",
        Dimension::TIME if size < 7200.0 => "min",
        Dimension::TIME if size < 172_800.0 => "h",
        Dimension::TIME => "days",
        Dimension::ANGLE => "°",
        Dimension::SPEED => "km/h",
        Dimension::ACCELERATION => "m/s²",
        Dimension::FREQUENCY => "Hz",
        Dimension::ROTATION => "rpm",
        Dimension::FORCE if size < 1e4 => "N",
        Dimension::FORCE => "kN",
        Dimension::TORQUE => "Nm",
        Dimension::ENERGY if size < 1e4 => "J",
        Dimension::ENERGY if size < 3.6e6 => "kJ",
        Dimension::ENERGY => "kWh",
        Dimension::POWER if size < 1e4 => "W",
        Dimension::POWER => "kW",
        Dimension::PRESSURE if size < 1e5 => "kPa",
        Dimension::PRESSURE if size < 1e8 => "bar",
        Dimension::PRESSURE => "MPa",
        Dimension::STIFFNESS => "N/mm",
        Dimension::DENSITY => "kg/m³",
        Dimension::FLOW => "l/min",
        Dimension::LINE_MASS => "kg/m",
        Dimension::INERTIA => "kg·m²",
        Dimension::CURRENT if size < 1.0 => "mA",
        Dimension::CURRENT => "A",
        Dimension::CHARGE => "Ah",
        Dimension::SQUARED_CURRENT_TIME => "A²s",
        Dimension::VOLTAGE if size < 1.0 => "mV",
        Dimension::VOLTAGE => "V",
        Dimension::RESISTANCE if size < 1.0 => "mΩ",
        Dimension::RESISTANCE if size < 1e4 => "Ω",
        Dimension::RESISTANCE => "kΩ",
        Dimension::LINE_RESISTANCE => "mΩ/m",
        Dimension::RESISTANCE_PER_VOLT => "Ω/V",
        Dimension::CAPACITANCE => "µF",
        Dimension::INDUCTANCE => "mH",
        Dimension::TEMPERATURE => "°C",
        Dimension::TEMPERATURE_DIFFERENCE => "K",
        Dimension::HEAT_CONDUCTANCE => "W/K",
        Dimension::SPECIFIC_HEAT => "J/kgK",
        Dimension::PER_TURN => "pulses/rev",
        Dimension::PER_DISTANCE => "pulses/km",
        Dimension::INFORMATION => "bit",
        Dimension::BIT_RATE => "kbit/s",
        Dimension::ILLUMINANCE => "lx",
        Dimension::LEVEL => "dB",
        _ => return None,
    };
    unit(symbol)
}

impl Quantity {
    /// The quantity as the trade writes it, in its own unit: "1420 mm ± 5 mm", "3.65 to 3.72",
    /// "0.5 mm²", "1450 EUR". A stated figure comes back as stated; a computed one is rounded to
    /// four digits (money to the cent), never losing a digit before the decimal point.
    pub fn display(&self) -> String {
        let unit = self.unit().or_else(|| fitting(self.dimension(), self.nominal()));
        let ends =
            |it: &Unit| Some([it.from_si(self.lo())?, it.from_si(self.nominal())?, it.from_si(self.hi())?]);
        match unit.and_then(|it| ends(it).map(|ends| (it, ends))) {
            Some((unit, ends)) => self.worded(ends, Some(unit)),
            None => self.worded([self.lo(), self.nominal(), self.hi()], None),
        }
    }

    fn worded(&self, ends: [f64; 3], shown: Option<&'static Unit>) -> String {
        let [one, nominal, other] = ends;
        let (lo, hi) = (one.min(other), one.max(other));
        let number = |it: f64| self.rounded(it, shown);
        let with = |it: f64| match shown {
            Some(unit) => join(&number(it), unit),
            None => format!("{}{}", number(it), self.loose_unit()),
        };
        if number(lo) == number(hi) {
            return with(nominal);
        }
        let (below, above) = (nominal - lo, hi - nominal);
        // The ends came through SI and back: their sides may differ in the last bits.
        let even = (below - above).abs() <= 1e-9 * nominal.abs().max(hi - lo);
        match self.form {
            Form::Stated if even => {
                format!("{} ± {}", with(nominal), difference(&number(above), shown))
            }
            Form::Stated => format!(
                "{} +{} −{}",
                with(nominal),
                difference(&number(above), shown),
                difference(&number(below), shown)
            ),
            Form::Range | Form::Computed => format!("{} to {}", number(lo), with(hi)),
        }
    }

    fn rounded(&self, it: f64, shown: Option<&Unit>) -> String {
        match (self.form, shown) {
            (_, Some(unit)) if unit.scale == Scale::WireGauge && (it - it.round()).abs() < 1e-6 => {
                figure(it.round(), STATED)
            }
            (Form::Computed, Some(unit)) if unit.currency.is_some() => {
                let cents = format!("{it:.2}");
                cents.strip_suffix(".00").map_or(cents.clone(), str::to_owned)
            }
            (Form::Computed, _) => figure(it, COMPUTED),
            (Form::Stated | Form::Range, _) => figure(it, STATED),
        }
    }

    /// What follows a figure whose dimension has no unit of its own.
    fn loose_unit(&self) -> String {
        let money = self.currency().map(|it| String::from_utf8_lossy(&it).into_owned());
        match (self.dimension().is_plain(), money) {
            (true, _) => String::new(),
            (false, None) => format!(" SI ({})", self.dimension()),
            (false, Some(code)) => match (Dimension { money: 0, ..self.dimension() }).is_plain() {
                true => format!(" {code}"),
                false => format!(" {code} SI ({})", self.dimension()),
            },
        }
    }
}

fn join(number: &str, unit: &Unit) -> String {
    let symbol = if number == "1" { unit.singular } else { unit.symbol };
    match symbol {
        "°" => format!("{number}°"),
        _ => format!("{number} {symbol}"),
    }
}

/// A tolerance: a temperature's is a difference, which keeps its degrees.
fn difference(number: &str, shown: Option<&'static Unit>) -> String {
    shown.map_or(number.to_owned(), |unit| join(number, unit))
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.display())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn q(figure: f64, unit: &str) -> Quantity {
        Quantity::exact(figure, unit).unwrap()
    }

    #[test]
    fn stated_figures_come_back_as_stated() {
        let shown = [
            (q(1420.0, "mm"), "1420 mm"),
            (q(0.5, "mm2"), "0.5 mm²"),
            (q(0.1, "in"), "0.1 in"),
            (q(1450.0, "EUR"), "1450 EUR"),
            (q(12.5, "EUR"), "12.5 EUR"),
            (q(1_234_567.0, "km"), "1234567 km"),
            (q(1.0, "week"), "1 week"),
            (q(10.0, "week"), "10 weeks"),
            (q(1.0, "tooth"), "1 tooth"),
            (q(18.0, "AWG"), "18 AWG"),
            (q(90.0, "°C"), "90 °C"),
            (q(-40.0, "°F"), "-40 °F"),
            (q(3.0, "deg"), "3°"),
            (q(30.0, "mpg"), "30 mpg"),
            (q(0.0, "V"), "0 V"),
            (q(3.69, ""), "3.69"),
            (q(2.0, "%"), "2 %"),
            (q(6000.0, "rpm"), "6000 rpm"),
            (Quantity::tolerance(1420.0, 5.0, "mm").unwrap(), "1420 mm ± 5 mm"),
            (Quantity::tolerance(90.0, 5.0, "°C").unwrap(), "90 °C ± 5 °C"),
            (Quantity::tolerances(44.0, 0.025, 0.0, "mm").unwrap(), "44 mm +0.025 mm −0 mm"),
            (Quantity::range(3.65, 3.72, "").unwrap(), "3.65 to 3.72"),
            (Quantity::range(25.0, 30.0, "mpg").unwrap(), "25 to 30 mpg"),
            (Quantity::range(11.0, 14.4, "V").unwrap(), "11 to 14.4 V"),
        ];
        for (quantity, text) in shown {
            assert_eq!(quantity.display(), text);
        }
    }

    #[test]
    fn computed_figures_are_rounded_in_a_fitting_unit() {
        let power = q(200.0, "Nm").mul(&q(3000.0, "rpm")).unwrap();
        assert_eq!(power.display(), "62.83 kW");
        let third = q(100.0, "EUR").div(&q(3.0, "")).unwrap();
        assert_eq!(third.display(), "33.33 EUR");
        let drop = q(20.0, "A").mul(&q(13.0, "mΩ")).unwrap();
        assert_eq!(drop.display(), "260 mV");
        let long = q(123_456.0, "").mul(&q(1.0, "")).unwrap();
        assert_eq!(long.display(), "123456");
        let price = q(3.0, "EUR").div(&q(2.0, "kg")).unwrap();
        assert_eq!(price.display(), "1.5 EUR SI (money per mass)");
    }

    #[test]
    fn small_and_large_figures() {
        assert_eq!(figure(1.0e-9, 4), "1.000e-9");
        assert_eq!(figure(0.000_123_456, 4), "0.0001235");
        assert_eq!(figure(1e20, 4), "1.000e20");
        assert_eq!(figure(-0.0, 4), "0");
    }
}
