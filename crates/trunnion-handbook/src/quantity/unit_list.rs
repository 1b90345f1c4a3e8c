//! The units, each with its factor to SI.
//!
//! Exact by definition where a factor is written out in full: the inch, pound, pound-force and
//! their kin by NIST Special Publication 811 (2008 edition), Appendix B; the standard fall of
//! 9.806 65 m/s² by the same. The tests hold the table against rows printed there.

use std::f64::consts::TAU as TURN;

use super::dimension::Dimension as D;
use super::unit::{Scale, Unit};

/// NIST SP 811 (2008), B.8: pound-force (lbf) 4.448 222 E+00; exact: 0.453 592 37 × 9.806 65.
const LBF: f64 = 0.453_592_37 * 9.806_65;

const fn linear(symbol: &'static str, spellings: &'static [&'static str], dimension: D, factor: f64) -> Unit {
    Unit {
        symbol,
        singular: symbol,
        spellings,
        dimension,
        factor,
        offset: 0.0,
        scale: Scale::Linear,
        currency: None,
        note: "",
    }
}

/// All but the currencies.
pub(super) const LIST: &[Unit] = &[
    linear("mm", &[], D::LENGTH, 1e-3),
    linear("cm", &[], D::LENGTH, 1e-2),
    linear("m", &[], D::LENGTH, 1.0),
    linear("km", &[], D::LENGTH, 1e3),
    linear("µm", &["μm", "um"], D::LENGTH, 1e-6),
    linear("in", &[], D::LENGTH, 0.0254),
    linear("ft", &[], D::LENGTH, 0.3048),
    linear("mi", &[], D::LENGTH, 1609.344),
    linear("mm²", &["mm2"], D::AREA, 1e-6),
    linear("cm²", &["cm2"], D::AREA, 1e-4),
    linear("m²", &["m2"], D::AREA, 1.0),
    linear("in²", &["in2"], D::AREA, 0.0254 * 0.0254),
    linear("l", &["L"], D::VOLUME, 1e-3),
    linear("ml", &["mL"], D::VOLUME, 1e-6),
    linear("cm³", &["cm3", "cc"], D::VOLUME, 1e-6),
    linear("dm³", &["dm3"], D::VOLUME, 1e-3),
    linear("m³", &["m3"], D::VOLUME, 1.0),
    Unit {
        note: "US fluid ounce; the imperial one is 28.41 ml",
        ..linear("fl oz", &["fl. oz"], D::VOLUME, 29.573_529_562_5e-6)
    },
    Unit {
        note: "fuel used over distance, which is an area",
        ..linear("l/100km", &["L/100km", "l/100 km"], D::AREA, 1e-8)
    },
    linear("kg", &[], D::MASS, 1.0),
    linear("g", &[], D::MASS, 1e-3),
    linear("t", &[], D::MASS, 1e3),
    Unit { note: "mass; the force is lbf", ..linear("lb", &["lbs"], D::MASS, 0.453_592_37) },
    linear("oz", &[], D::MASS, 0.028_349_523_125),
    linear("N", &[], D::FORCE, 1.0),
    linear("kN", &[], D::FORCE, 1e3),
    linear("lbf", &[], D::FORCE, LBF),
    linear("kgf", &[], D::FORCE, 9.806_65),
    linear("Nm", &["N·m", "N m"], D::TORQUE, 1.0),
    linear("kNm", &["kN·m"], D::TORQUE, 1e3),
    linear("mNm", &["mN·m"], D::TORQUE, 1e-3),
    linear("lbf ft", &["lbf·ft", "ft lbf", "ft·lbf", "lb ft", "ft lb"], D::TORQUE, LBF * 0.3048),
    linear("lbf in", &["lbf·in", "in lbf", "in·lbf", "lb in", "in lb"], D::TORQUE, LBF * 0.0254),
    linear("bar", &[], D::PRESSURE, 1e5),
    linear("mbar", &[], D::PRESSURE, 1e2),
    linear("Pa", &[], D::PRESSURE, 1.0),
    linear("hPa", &[], D::PRESSURE, 1e2),
    linear("kPa", &[], D::PRESSURE, 1e3),
    linear("MPa", &[], D::PRESSURE, 1e6),
    linear("GPa", &[], D::PRESSURE, 1e9),
    linear("N/mm²", &["N/mm2"], D::PRESSURE, 1e6),
    linear("psi", &[], D::PRESSURE, LBF / (0.0254 * 0.0254)),
    Unit { note: "conventional inch of mercury", ..linear("inHg", &[], D::PRESSURE, 133.322_387_415 * 25.4) },
    Unit { note: "conventional millimetre of mercury", ..linear("mmHg", &[], D::PRESSURE, 133.322_387_415) },
    linear("N/mm", &[], D::STIFFNESS, 1e3),
    linear("N/m", &[], D::STIFFNESS, 1.0),
    linear("%", &[], D::NONE, 1e-2),
    linear("‰", &[], D::NONE, 1e-3),
    linear("mm/m", &[], D::NONE, 1e-3),
    linear("µs", &["μs", "us"], D::TIME, 1e-6),
    linear("ms", &[], D::TIME, 1e-3),
    linear("s", &[], D::TIME, 1.0),
    linear("min", &[], D::TIME, 60.0),
    linear("h", &[], D::TIME, 3600.0),
    Unit { singular: "day", ..linear("days", &[], D::TIME, 86_400.0) },
    Unit { singular: "week", ..linear("weeks", &[], D::TIME, 604_800.0) },
    Unit {
        singular: "month",
        note: "a twelfth of a year, on average",
        ..linear("months", &[], D::TIME, 2_629_800.0)
    },
    Unit { singular: "year", note: "365.25 days, on average", ..linear("years", &[], D::TIME, 31_557_600.0) },
    linear("V", &[], D::VOLTAGE, 1.0),
    linear("mV", &[], D::VOLTAGE, 1e-3),
    linear("kV", &[], D::VOLTAGE, 1e3),
    linear("A", &[], D::CURRENT, 1.0),
    linear("mA", &[], D::CURRENT, 1e-3),
    linear("µA", &["μA", "uA"], D::CURRENT, 1e-6),
    linear("kA", &[], D::CURRENT, 1e3),
    linear("Ω", &["Ω", "ohm", "ohms"], D::RESISTANCE, 1.0),
    linear("mΩ", &["mΩ", "mohm"], D::RESISTANCE, 1e-3),
    linear("kΩ", &["kΩ", "kohm"], D::RESISTANCE, 1e3),
    linear("MΩ", &["MΩ", "Mohm"], D::RESISTANCE, 1e6),
    linear("V/A", &[], D::RESISTANCE, 1.0),
    linear("Ω/V", &["Ω/V", "ohm/V"], D::RESISTANCE_PER_VOLT, 1.0),
    linear("Ω/km", &["Ω/km", "ohm/km"], D::LINE_RESISTANCE, 1e-3),
    linear("mΩ/m", &["mΩ/m", "mohm/m"], D::LINE_RESISTANCE, 1e-3),
    linear("Ω/m", &["Ω/m", "ohm/m"], D::LINE_RESISTANCE, 1.0),
    linear("W", &[], D::POWER, 1.0),
    linear("mW", &[], D::POWER, 1e-3),
    linear("kW", &[], D::POWER, 1e3),
    linear("MW", &[], D::POWER, 1e6),
    Unit {
        note: "mechanical horsepower, 550 lbf ft/s; PS is the metric one",
        ..linear("hp", &[], D::POWER, 550.0 * 0.3048 * LBF)
    },
    Unit { note: "metric horsepower, 75 kgf m/s", ..linear("PS", &[], D::POWER, 75.0 * 9.806_65) },
    linear("J", &[], D::ENERGY, 1.0),
    linear("kJ", &[], D::ENERGY, 1e3),
    linear("MJ", &[], D::ENERGY, 1e6),
    linear("Wh", &[], D::ENERGY, 3600.0),
    linear("kWh", &[], D::ENERGY, 3.6e6),
    linear("Ah", &[], D::CHARGE, 3600.0),
    linear("mAh", &[], D::CHARGE, 3.6),
    linear("A²s", &["A2s"], D::SQUARED_CURRENT_TIME, 1.0),
    linear("F", &[], D::CAPACITANCE, 1.0),
    linear("mF", &[], D::CAPACITANCE, 1e-3),
    linear("µF", &["μF", "uF"], D::CAPACITANCE, 1e-6),
    linear("nF", &[], D::CAPACITANCE, 1e-9),
    linear("pF", &[], D::CAPACITANCE, 1e-12),
    linear("H", &[], D::INDUCTANCE, 1.0),
    linear("mH", &[], D::INDUCTANCE, 1e-3),
    linear("µH", &["μH", "uH"], D::INDUCTANCE, 1e-6),
    linear("Hz", &[], D::FREQUENCY, 1.0),
    linear("kHz", &[], D::FREQUENCY, 1e3),
    linear("MHz", &[], D::FREQUENCY, 1e6),
    linear("bit", &[], D::INFORMATION, 1.0),
    linear("bit/s", &[], D::BIT_RATE, 1.0),
    linear("kbit/s", &[], D::BIT_RATE, 1e3),
    linear("Mbit/s", &[], D::BIT_RATE, 1e6),
    linear("rpm", &["1/min", "rev/min", "min⁻¹"], D::ROTATION, TURN / 60.0),
    linear("rad/s", &[], D::ROTATION, 1.0),
    linear("km/h", &[], D::SPEED, 1.0 / 3.6),
    linear("mph", &[], D::SPEED, 0.447_04),
    linear("m/s", &[], D::SPEED, 1.0),
    linear("m/s²", &["m/s2"], D::ACCELERATION, 1.0),
    Unit {
        note: "a difference; a temperature on a scale is in °C or °F",
        ..linear("K", &[], D::TEMPERATURE_DIFFERENCE, 1.0)
    },
    linear("°", &["deg"], D::ANGLE, TURN / 360.0),
    linear("arcmin", &[], D::ANGLE, TURN / 21_600.0),
    linear("rad", &[], D::ANGLE, 1.0),
    Unit { singular: "turn", ..linear("turns", &["rev", "revs"], D::ANGLE, TURN) },
    Unit { singular: "tooth", ..linear("teeth", &[], D::NONE, 1.0) },
    Unit { singular: "pulse", ..linear("pulses", &[], D::NONE, 1.0) },
    Unit { singular: "pulse/rev", ..linear("pulses/rev", &["pulses/turn"], D::PER_TURN, 1.0 / TURN) },
    Unit { singular: "pulse/km", ..linear("pulses/km", &[], D::PER_DISTANCE, 1e-3) },
    linear("kg/m³", &["kg/m3"], D::DENSITY, 1.0),
    linear("g/cm³", &["g/cm3", "kg/l"], D::DENSITY, 1e3),
    linear("kg/m", &[], D::LINE_MASS, 1.0),
    linear("kg·m²", &["kgm2", "kgm²", "kg·m2", "kg m²", "kg m2"], D::INERTIA, 1.0),
    linear("l/min", &["L/min"], D::FLOW, 1e-3 / 60.0),
    linear("l/h", &["L/h"], D::FLOW, 1e-3 / 3600.0),
    linear("m³/h", &["m3/h"], D::FLOW, 1.0 / 3600.0),
    linear("W/K", &[], D::HEAT_CONDUCTANCE, 1.0),
    linear("kW/K", &[], D::HEAT_CONDUCTANCE, 1e3),
    linear("J/kgK", &["J/(kg·K)", "J/kg K"], D::SPECIFIC_HEAT, 1.0),
    Unit { note: "energy used over distance, which is a force", ..linear("Wh/km", &[], D::FORCE, 3.6) },
    Unit {
        note: "energy used over distance, which is a force",
        ..linear("kWh/100km", &["kWh/100 km"], D::FORCE, 36.0)
    },
    linear("dB", &[], D::LEVEL, 1.0),
    linear("lx", &[], D::ILLUMINANCE, 1.0),
    Unit {
        scale: Scale::WireGauge,
        note: "solid round wire by ASTM B258; 2/0 is written -1, 3/0 -2, 4/0 -3",
        ..linear("AWG", &["awg"], D::AREA, 1.0)
    },
    Unit {
        scale: Scale::Reciprocal,
        note: "US gallon; the imperial one is 20 % larger",
        ..linear("mpg", &[], D::AREA, 3.785_411_784e-3 / 1609.344)
    },
    Unit { scale: Scale::Shifted, offset: 273.15, ..linear("°C", &["degC"], D::TEMPERATURE, 1.0) },
    Unit { scale: Scale::Shifted, offset: 459.67, ..linear("°F", &["degF"], D::TEMPERATURE, 5.0 / 9.0) },
];
