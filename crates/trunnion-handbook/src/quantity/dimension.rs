//! What sort of thing a quantity measures, as exponents of base dimensions.

use std::fmt;

/// Exponents of the base dimensions of a quantity.
///
/// Angle is a dimension of its own here, which SI leaves to the reader: torque is energy per
/// angle, so that torque times speed of rotation is exactly power, J cannot be added to Nm, rpm
/// cannot be added to Hz, and a speed of rotation times a circumference is not taken for a road
/// speed (which would be wrong by 2π). See [`Dimension::stands_for`] for the one relief.
///
/// `point` marks a temperature on a scale (20 °C) as against a difference (20 K).
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub struct Dimension {
    /// Exponent of length (SI: m).
    pub length: i8,
    /// Exponent of mass (SI: kg).
    pub mass: i8,
    /// Exponent of time (SI: s).
    pub time: i8,
    /// Exponent of electric current (SI: A).
    pub current: i8,
    /// Exponent of temperature (SI: K).
    pub temperature: i8,
    /// Exponent of angle (rad).
    pub angle: i8,
    /// Exponent of information (bit).
    pub information: i8,
    /// Exponent of luminous intensity (SI: cd).
    pub light: i8,
    /// Exponent of logarithmic level (dB), so that a level never mixes with a plain ratio.
    pub level: i8,
    /// Exponent of money; which money, the quantity says.
    pub money: i8,
    /// A temperature on a scale whose zero is set by agreement.
    pub point: bool,
}

const N: Dimension = Dimension::NONE;

/// Exponents of length, mass, time, current, temperature, angle.
const fn d(length: i8, mass: i8, time: i8, current: i8, temperature: i8, angle: i8) -> Dimension {
    Dimension { length, mass, time, current, temperature, angle, ..N }
}

#[allow(missing_docs)] // Each constant is its own name; the words are in `WORDS`.
impl Dimension {
    pub const NONE: Self = Self {
        length: 0,
        mass: 0,
        time: 0,
        current: 0,
        temperature: 0,
        angle: 0,
        information: 0,
        light: 0,
        level: 0,
        money: 0,
        point: false,
    };
    pub const LENGTH: Self = d(1, 0, 0, 0, 0, 0);
    pub const AREA: Self = d(2, 0, 0, 0, 0, 0);
    pub const VOLUME: Self = d(3, 0, 0, 0, 0, 0);
    pub const MASS: Self = d(0, 1, 0, 0, 0, 0);
    pub const TIME: Self = d(0, 0, 1, 0, 0, 0);
    pub const ANGLE: Self = d(0, 0, 0, 0, 0, 1);
    pub const SPEED: Self = d(1, 0, -1, 0, 0, 0);
    pub const ACCELERATION: Self = d(1, 0, -2, 0, 0, 0);
    pub const FREQUENCY: Self = d(0, 0, -1, 0, 0, 0);
    pub const ROTATION: Self = d(0, 0, -1, 0, 0, 1);
    pub const FORCE: Self = d(1, 1, -2, 0, 0, 0);
    pub const TORQUE: Self = d(2, 1, -2, 0, 0, -1);
    pub const ENERGY: Self = d(2, 1, -2, 0, 0, 0);
    pub const POWER: Self = d(2, 1, -3, 0, 0, 0);
    pub const PRESSURE: Self = d(-1, 1, -2, 0, 0, 0);
    pub const STIFFNESS: Self = d(0, 1, -2, 0, 0, 0);
    pub const DENSITY: Self = d(-3, 1, 0, 0, 0, 0);
    pub const FLOW: Self = d(3, 0, -1, 0, 0, 0);
    pub const LINE_MASS: Self = d(-1, 1, 0, 0, 0, 0);
    pub const INERTIA: Self = d(2, 1, 0, 0, 0, -2);
    pub const CURRENT: Self = d(0, 0, 0, 1, 0, 0);
    pub const CHARGE: Self = d(0, 0, 1, 1, 0, 0);
    pub const SQUARED_CURRENT_TIME: Self = d(0, 0, 1, 2, 0, 0);
    pub const VOLTAGE: Self = d(2, 1, -3, -1, 0, 0);
    pub const RESISTANCE: Self = d(2, 1, -3, -2, 0, 0);
    pub const LINE_RESISTANCE: Self = d(1, 1, -3, -2, 0, 0);
    pub const CAPACITANCE: Self = d(-2, -1, 4, 2, 0, 0);
    pub const INDUCTANCE: Self = d(2, 1, -2, -2, 0, 0);
    pub const RESISTANCE_PER_VOLT: Self = d(0, 0, 0, -1, 0, 0);
    pub const TEMPERATURE: Self = Self { point: true, ..d(0, 0, 0, 0, 1, 0) };
    pub const TEMPERATURE_DIFFERENCE: Self = d(0, 0, 0, 0, 1, 0);
    pub const HEAT_CONDUCTANCE: Self = d(2, 1, -3, 0, -1, 0);
    pub const SPECIFIC_HEAT: Self = d(2, 0, -2, 0, -1, 0);
    pub const PER_TURN: Self = d(0, 0, 0, 0, 0, -1);
    pub const PER_DISTANCE: Self = d(-1, 0, 0, 0, 0, 0);
    pub const INFORMATION: Self = Self { information: 1, ..N };
    pub const BIT_RATE: Self = Self { information: 1, ..d(0, 0, -1, 0, 0, 0) };
    pub const ILLUMINANCE: Self = Self { light: 1, ..d(-2, 0, 0, 0, 0, 0) };
    pub const LEVEL: Self = Self { level: 1, ..N };
    pub const MONEY: Self = Self { money: 1, ..N };
}

/// The trade's word for each dimension that has one.
const WORDS: &[(Dimension, &str)] = &[
    (Dimension::NONE, "plain number"),
    (Dimension::LENGTH, "length"),
    (Dimension::AREA, "area"),
    (Dimension::VOLUME, "volume"),
    (Dimension::MASS, "mass"),
    (Dimension::TIME, "time"),
    (Dimension::ANGLE, "angle"),
    (Dimension::SPEED, "speed"),
    (Dimension::ACCELERATION, "acceleration"),
    (Dimension::FREQUENCY, "frequency"),
    (Dimension::ROTATION, "speed of rotation"),
    (Dimension::FORCE, "force"),
    (Dimension::TORQUE, "torque"),
    (Dimension::ENERGY, "energy"),
    (Dimension::POWER, "power"),
    (Dimension::PRESSURE, "pressure or stress"),
    (Dimension::STIFFNESS, "stiffness"),
    (Dimension::DENSITY, "density"),
    (Dimension::FLOW, "volume flow"),
    (Dimension::LINE_MASS, "mass per length"),
    (Dimension::INERTIA, "moment of inertia"),
    (Dimension::CURRENT, "electric current"),
    (Dimension::CHARGE, "electric charge"),
    (Dimension::SQUARED_CURRENT_TIME, "current squared times time"),
    (Dimension::VOLTAGE, "voltage"),
    (Dimension::RESISTANCE, "electrical resistance"),
    (Dimension::LINE_RESISTANCE, "resistance per length"),
    (Dimension::CAPACITANCE, "capacitance"),
    (Dimension::INDUCTANCE, "inductance"),
    (Dimension::RESISTANCE_PER_VOLT, "resistance per volt"),
    (Dimension::TEMPERATURE, "temperature"),
    (Dimension::TEMPERATURE_DIFFERENCE, "temperature difference"),
    (Dimension::HEAT_CONDUCTANCE, "heat flow per degree"),
    (Dimension::SPECIFIC_HEAT, "specific heat"),
    (Dimension::PER_TURN, "count per turn"),
    (Dimension::PER_DISTANCE, "count per distance"),
    (Dimension::INFORMATION, "information"),
    (Dimension::BIT_RATE, "bit rate"),
    (Dimension::ILLUMINANCE, "illuminance"),
    (Dimension::LEVEL, "level in decibels"),
    (Dimension::MONEY, "money"),
];

impl Dimension {
    fn exponents(self) -> [i8; 10] {
        let Self { length, mass, time, current, temperature, angle, .. } = self;
        let Self { information, light, level, money, .. } = self;
        [length, mass, time, current, temperature, angle, information, light, level, money]
    }

    fn from_exponents(it: [i8; 10]) -> Self {
        let [length, mass, time, current, temperature, angle, information, light, level, money] = it;
        Self {
            length,
            mass,
            time,
            current,
            temperature,
            angle,
            information,
            light,
            level,
            money,
            point: false,
        }
    }

    fn zip(self, other: Self, with: impl Fn(i8, i8) -> Option<i8>) -> Option<Self> {
        let mut out = self.exponents();
        for (mine, theirs) in out.iter_mut().zip(other.exponents()) {
            *mine = with(*mine, theirs)?;
        }
        Some(Self::from_exponents(out))
    }

    /// The dimension of a product. `None` when an exponent leaves −128 … 127.
    pub fn times(self, other: Self) -> Option<Self> {
        self.zip(other, i8::checked_add)
    }

    /// The dimension of a quotient. `None` when an exponent leaves −128 … 127.
    pub fn over(self, other: Self) -> Option<Self> {
        self.zip(other, i8::checked_sub)
    }

    /// The dimension of a power. `None` when an exponent leaves −128 … 127.
    pub fn power(self, exponent: i8) -> Option<Self> {
        self.zip(self, |mine, _| mine.checked_mul(exponent))
    }

    /// The dimension of a square root. `None` when an exponent is odd.
    pub fn root(self) -> Option<Self> {
        self.zip(self, |mine, _| (mine % 2 == 0).then_some(mine / 2))
    }

    /// True for a bare number.
    pub fn is_plain(self) -> bool {
        self == Self::NONE
    }

    /// Whether a *computed* quantity of this dimension may stand where `other` is wanted.
    ///
    /// The radian is 1 in SI, so a force times its arm is a torque, and a torque over a radius is
    /// a force. That holds wherever mass is in play. It is refused where it is not (rpm against
    /// Hz, seconds per radian against seconds), since there a turn is easily taken for a radian.
    pub fn stands_for(self, other: Self) -> bool {
        let apart_from_angle = Self { angle: other.angle, ..self } == other;
        self == other || (self.mass != 0 && apart_from_angle)
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((_, word)) = WORDS.iter().find(|(known, _)| known == self) {
            return f.write_str(word);
        }
        let names = [
            "length",
            "mass",
            "time",
            "current",
            "temperature",
            "angle",
            "information",
            "light",
            "level",
            "money",
        ];
        let parts = |sign: i8| {
            let named = names.into_iter().zip(self.exponents());
            let mine = named.filter(move |(_, it)| it.signum() == sign);
            let worded = mine.map(|(name, it)| match it.unsigned_abs() {
                1 => name.to_owned(),
                2 => format!("{name} squared"),
                3 => format!("{name} cubed"),
                more => format!("{name} to the power {more}"),
            });
            worded.collect::<Vec<_>>().join(" × ")
        };
        let (above, below) = (parts(1), parts(-1));
        match (above.is_empty(), below.is_empty()) {
            (true, _) => write!(f, "1 per {below}"),
            (false, true) => f.write_str(&above),
            (false, false) => write!(f, "{above} per {below}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_have_the_trades_words() {
        let power = Dimension::TORQUE.times(Dimension::ROTATION).unwrap();
        assert_eq!(power.to_string(), "power");
        let ohm = Dimension::VOLTAGE.over(Dimension::CURRENT).unwrap();
        assert_eq!(ohm.to_string(), "electrical resistance");
        let odd = Dimension::LENGTH.times(Dimension::CURRENT).unwrap();
        assert_eq!(odd.to_string(), "length × current");
        let jerk = Dimension::ACCELERATION.over(Dimension::TIME).unwrap();
        assert_eq!(jerk.to_string(), "length per time cubed");
    }

    #[test]
    fn the_words_are_one_to_one() {
        for (at, (one, word)) in WORDS.iter().enumerate() {
            for (other, other_word) in &WORDS[at + 1..] {
                assert_ne!(one, other, "{word} and {other_word}");
                assert_ne!(word, other_word);
            }
        }
    }

    #[test]
    fn an_angle_is_waived_only_where_mass_is_in_play() {
        let arm = Dimension::FORCE.times(Dimension::LENGTH).unwrap();
        assert!(arm.stands_for(Dimension::TORQUE));
        assert!(!Dimension::FREQUENCY.stands_for(Dimension::ROTATION));
        assert!(!Dimension::VOLTAGE.stands_for(Dimension::LENGTH));
    }

    #[test]
    fn exponents_do_not_wrap() {
        assert_eq!(Dimension::VOLUME.power(100), None);
        assert_eq!(Dimension::LENGTH.root(), None);
        assert_eq!(Dimension::AREA.root(), Some(Dimension::LENGTH));
    }
}
