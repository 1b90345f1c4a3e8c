//! The unit spellings that a number may be followed by.
//!
//! What a unit means is not known here; this is only how it is written.

/// Every spelling of one word, sorted.
const WORDS: &[&str] = &[
    "%", "1/min", "A", "AWG", "Ah", "F", "GPa", "H", "Hz", "J", "J/kgK", "K", "L", "L/h", "L/min", "MHz", "MJ", "MPa",
    "Mbit/s", "MΩ", "N", "N/mm", "N/mm2", "N/mm²", "Nm", "N·m", "PS", "Pa", "V", "V/A", "W", "W/K", "Wh",
    "arcmin", "bar", "bit/s", "cc", "cm", "cm2", "cm3", "cm²", "cm³", "dB", "day", "days", "deg", "dm3",
    "ft", "g", "g/cm3", "h", "hp", "in", "in2", "inHg", "in²", "kA", "kHz", "kJ", "kN", "kNm", "kPa", "kV",
    "kW", "kW/K", "kWh", "kbit/s", "kg", "kg/m", "kg/m3", "kg/m³", "kgf", "kgm2", "kg·m²", "km", "km/h",
    "kΩ", "l", "l/100km", "l/h", "l/min", "lb", "lbf", "lx", "m", "m/s", "m2", "m3/h", "mA", "mAh", "mF",
    "mH", "mNm", "mV", "mbar", "mi", "min", "ml", "mm", "mm/m", "mm2", "mmHg", "mm²", "month", "months",
    "mpg", "mph", "ms", "mΩ", "mΩ/m", "m²", "nF", "ohm", "ohms", "oz", "pF", "psi", "pulses", "pulses/km",
    "pulses/rev", "rad", "rpm", "s", "t", "teeth", "turns", "week", "weeks", "year", "years", "°", "°C",
    "°F", "µA", "µF", "Ω", "Ω/V", "Ω/km", "‰",
];

/// Spellings of two words, sorted.
const PAIRS: &[(&str, &str)] = &[("fl", "oz"), ("lbf", "ft"), ("lbf", "in")];

/// The active codes of ISO 4217, but for AWG: here that is a wire gauge.
const CURRENCIES: &str = "AED AFN ALL AMD AOA ARS AUD AZN BAM BBD BDT BHD BIF BMD BND BOB BRL BSD BTN BWP BYN \
BZD CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF \
GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR \
LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK \
PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT \
TND TOP TRY TTD TWD TZS UAH UGX USD UYU UZS VED VES VND VUV WST XAF XCD XOF XPF YER ZAR ZMW ZWG";

/// Spellings that are often met and how they are written here.
const SLOPPY: &[(&str, &str)] = &[
    ("KW", "kW"), ("Kw", "kW"), ("Kg", "kg"), ("KG", "kg"), ("kgs", "kg"), ("nm", "Nm"), ("NM", "Nm"),
    ("Mm", "mm"), ("MM", "mm"), ("mms", "mm"), ("kmh", "km/h"), ("kph", "km/h"), ("km/hr", "km/h"),
    ("sqmm", "mm2"), ("qmm", "mm2"), ("mm^2", "mm2"), ("degC", "°C"), ("volts", "V"), ("volt", "V"),
    ("amps", "A"), ("amp", "A"), ("watts", "W"), ("watt", "W"), ("Psi", "psi"), ("PSI", "psi"),
    ("Bar", "bar"), ("RPM", "rpm"), ("Rpm", "rpm"), ("ltr", "l"), ("litres", "l"), ("litre", "l"),
    ("inch", "in"), ("inches", "in"), ("lbs", "lb"), ("hrs", "h"), ("hours", "h"), ("hour", "h"),
    ("mins", "min"), ("minutes", "min"), ("sec", "s"), ("seconds", "s"), ("kbps", "kbit/s"),
    ("kbit", "kbit/s"), ("Mbps", "Mbit/s"), ("Euro", "EUR"), ("euro", "EUR"), ("euros", "EUR"),
    ("lbft", "lbf ft"), ("ft-lb", "lbf ft"), ("ftlb", "lbf ft"), ("percent", "%"),
];

/// Whether a word alone is a unit.
pub fn is_unit(word: &str) -> bool {
    WORDS.contains(&word) || is_currency(word)
}

/// Whether a word is an ISO 4217 currency code.
pub fn is_currency(word: &str) -> bool {
    word.len() == 3 && CURRENCIES.split_ascii_whitespace().any(|it| it == word)
}

/// Whether two words together are a unit.
pub fn is_pair(first: &str, second: &str) -> bool {
    PAIRS.contains(&(first, second))
}

/// How a sloppy spelling is written here.
pub fn mended(word: &str) -> Option<&'static str> {
    SLOPPY.iter().find(|(sloppy, _)| *sloppy == word).map(|(_, right)| *right)
}

/// All spellings, for completion and for the tests of those who know their meaning.
pub fn all() -> impl Iterator<Item = String> {
    let words = WORDS.iter().map(|it| (*it).to_owned());
    let pairs = PAIRS.iter().map(|(a, b)| format!("{a} {b}"));
    words.chain(pairs).chain(CURRENCIES.split_ascii_whitespace().map(str::to_owned))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_known_and_sloppy_ones_are_not() {
        assert!(is_unit("mm²") && is_unit("EUR") && is_unit("kbit/s") && is_pair("lbf", "ft"));
        for (sloppy, right) in SLOPPY {
            assert!(!is_unit(sloppy), "{sloppy}");
            assert!(all().any(|it| it == *right), "{right}");
        }
    }
}
