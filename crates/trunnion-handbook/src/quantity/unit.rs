//! Units: how each is spelt and what it is in SI.

use std::collections::HashMap;
use std::f64::consts::PI;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::OnceLock;

use super::currency::CODES;
use super::unit_list::LIST;
use super::{Dimension, QuantityError};

/// How a figure in a unit becomes SI.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Scale {
    /// Times the factor.
    Linear,
    /// A temperature scale: plus the offset, then times the factor.
    Shifted,
    /// The factor divided by the figure: miles per gallon, kept as volume per distance.
    Reciprocal,
    /// Wire gauge, kept as the cross-section of the solid round wire.
    WireGauge,
}

/// A unit of measure or a currency. There is one of each, so its symbol is its identity.
#[derive(Clone, Copy)]
pub struct Unit {
    /// As the trade writes it, and as it is shown.
    pub symbol: &'static str,
    /// Shown instead after exactly one, as "1 week"; the same as `symbol` for most.
    pub singular: &'static str,
    /// Every other spelling that is understood.
    pub spellings: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// SI per unit.
    pub factor: f64,
    /// Added to the figure before the factor, for °C and °F; otherwise 0.
    pub offset: f64,
    /// How the factor is applied.
    pub scale: Scale,
    /// The ISO 4217 code when this is a money.
    pub currency: Option<[u8; 3]>,
    /// What a reader should know about it (which gallon, which year), or empty.
    pub note: &'static str,
}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol)
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.symbol == other.symbol
    }
}

impl Eq for Unit {}

impl Hash for Unit {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.symbol.hash(state);
    }
}

/// ASTM B258-18, clause 5: diameter of gauge n = 0.005 in × 92^((36 − n)/39), in metres.
fn gauge_diameter(gauge: f64) -> f64 {
    0.127e-3 * 92f64.powf((36.0 - gauge) / 39.0)
}

impl Unit {
    /// The figure in SI. `None` when the unit has no such figure, or the result is not finite.
    pub fn to_si(&self, figure: f64) -> Option<f64> {
        let si = match self.scale {
            Scale::Linear => figure * self.factor,
            Scale::Shifted => {
                let si = (figure + self.offset) * self.factor;
                // The decimal that means absolute zero may fall short of it by its last bit.
                if (-1e-9..0.0).contains(&si) { 0.0 } else { si }
            }
            Scale::Reciprocal if figure > 0.0 => self.factor / figure,
            Scale::WireGauge if (-3.0..=56.0).contains(&figure) && figure.fract() == 0.0 => {
                PI / 4.0 * gauge_diameter(figure).powi(2)
            }
            Scale::Reciprocal | Scale::WireGauge => return None,
        };
        (si.is_finite() && !(self.scale == Scale::Shifted && si < 0.0)).then_some(si)
    }

    /// What the unit allows, for the error when [`Unit::to_si`] refuses a figure.
    pub(super) fn refusal(&self, figure: f64) -> QuantityError {
        let allowed = match self.scale {
            _ if !figure.is_finite() => return QuantityError::NotFinite,
            Scale::Linear => return QuantityError::NotFinite,
            Scale::Shifted => "down to absolute zero and no lower",
            Scale::Reciprocal => "above zero only",
            Scale::WireGauge => "in whole numbers from -3 (4/0) to 56",
        };
        QuantityError::NoSuchValue { unit: self.symbol, allowed }
    }

    /// An SI value as a figure in this unit. A cross-section gives a fractional gauge. `None` when
    /// the unit has no such figure.
    pub fn from_si(&self, si: f64) -> Option<f64> {
        let figure = match self.scale {
            Scale::Linear => si / self.factor,
            Scale::Shifted => si / self.factor - self.offset,
            Scale::Reciprocal if si > 0.0 => self.factor / si,
            Scale::WireGauge if si > 0.0 => {
                let diameter = (si * 4.0 / PI).sqrt();
                36.0 - 39.0 * (diameter / 0.127e-3).ln() / 92f64.ln()
            }
            Scale::Reciprocal | Scale::WireGauge => return None,
        };
        figure.is_finite().then_some(figure)
    }
}

/// Every unit and currency, each once.
pub fn units() -> &'static [Unit] {
    static UNITS: OnceLock<Vec<Unit>> = OnceLock::new();
    UNITS.get_or_init(|| LIST.iter().copied().chain(CODES.split(' ').map(money)).collect())
}

fn money(symbol: &'static str) -> Unit {
    let mut code = [b' '; 3];
    code.iter_mut().zip(symbol.bytes()).for_each(|(to, from)| *to = from);
    Unit {
        symbol,
        singular: symbol,
        spellings: &[],
        dimension: Dimension::MONEY,
        factor: 1.0,
        offset: 0.0,
        scale: Scale::Linear,
        currency: Some(code),
        note: "",
    }
}

/// The unit spelt exactly so (upper and lower case differ: mW is not MW).
pub fn unit(symbol: &str) -> Option<&'static Unit> {
    static INDEX: OnceLock<HashMap<&'static str, &'static Unit>> = OnceLock::new();
    let index = INDEX.get_or_init(|| {
        let spelt = |unit: &'static Unit| {
            let others = unit.spellings.iter().copied();
            others.chain([unit.symbol, unit.singular]).map(move |it| (it, unit))
        };
        units().iter().flat_map(spelt).collect()
    });
    index.get(symbol).copied()
}

/// The unit, or an error that offers a spelling which differs only in case.
pub(super) fn find(symbol: &str) -> Result<&'static Unit, QuantityError> {
    unit(symbol).ok_or_else(|| {
        let wanted = symbol.to_lowercase();
        let all = units().iter().flat_map(|it| it.spellings.iter().copied().chain([it.symbol]));
        let near = all.into_iter().find(|known| known.to_lowercase() == wanted);
        QuantityError::UnknownUnit { symbol: symbol.into(), near }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every spelling the language promises.
    const PROMISED: &str = "mm|cm|m|km|in|ft|mi|mm2|mm²|cm2|cm²|in2|in²|m2|m²|AWG|l|L|ml|cc|cm3|cm³|\
        dm3|kg|g|t|lb|oz|N|kN|lbf|kgf|Nm|N·m|kNm|mNm|lbf ft|lbf in|bar|mbar|Pa|kPa|MPa|GPa|psi|inHg|\
        mmHg|%|‰|ms|s|min|h|day|days|week|weeks|month|months|year|years|V|mV|kV|A|mA|µA|kA|Ω|ohm|ohms|\
        mΩ|kΩ|MΩ|W|kW|hp|PS|J|kJ|MJ|Wh|kWh|Ah|mAh|F|µF|nF|pF|mF|H|mH|Hz|kHz|MHz|bit/s|kbit/s|Mbit/s|\
        rpm|1/min|km/h|mph|m/s|°C|°F|K|°|deg|rad|arcmin|kg/m3|kg/m³|g/cm3|l/min|l/h|m3/h|l/100km|mpg|\
        Ω/V|Ω/km|mΩ/m|V/A|W/K|kW/K|J/kgK|N/mm|N/mm2|N/mm²|kg/m|kg·m²|kgm2|mm/m|dB|lx|teeth|turns|\
        pulses|pulses/rev|pulses/km|fl oz|EUR|USD|GBP|CHF|JPY";

    #[test]
    fn every_promised_spelling_is_known() {
        for symbol in PROMISED.split('|').map(str::trim) {
            assert!(unit(symbol).is_some(), "{symbol}");
        }
    }

    #[test]
    fn no_spelling_means_two_units() {
        let mut seen = HashMap::new();
        for (at, it) in units().iter().enumerate() {
            for name in it.spellings.iter().chain([&it.symbol, &it.singular]) {
                let before = seen.insert(*name, at);
                assert!(before.is_none_or(|before| before == at), "{name}");
            }
        }
        assert!(units().len() > 250);
    }

    #[test]
    fn there_and_back_is_the_same() {
        for it in units() {
            let si = it.to_si(7.0).unwrap_or_else(|| panic!("{}", it.symbol));
            let back = it.from_si(si).unwrap();
            assert!((back - 7.0).abs() < 1e-9, "{}: {back}", it.symbol);
        }
    }

    #[test]
    fn case_is_told_apart_and_offered() {
        let error = find("kHZ").unwrap_err();
        assert_eq!(error.to_string(), "no unit is spelt `kHZ`; `kHz` is one");
        assert!(find("cubit").unwrap_err().to_string().ends_with("`cubit`"));
    }

    #[test]
    fn money_has_its_code() {
        assert_eq!(unit("EUR").unwrap().currency, Some(*b"EUR"));
        for code in CODES.split(' ') {
            assert!(code.len() == 3 && code.bytes().all(|it| it.is_ascii_uppercase()), "{code}");
        }
    }
}
