//! The unit spellings that a number may be followed by.
//!
//! What a unit means is not known here; this is only how it is written. The set is closed: any
//! other word after a number is a word by itself.

/// Every spelling of one word, in the order of its bytes.
#[rustfmt::skip]
const WORDS: &[&str] = &[
    "%", "1/min", "A", "A2s", "AWG", "Ah", "A²s", "F", "GPa", "H", "Hz", "J", "J/kgK", "K", "L",
    "L/100km", "L/h", "L/min", "MHz", "MJ", "MPa", "MW", "Mbit/s", "MΩ", "N", "N/m", "N/mm",
    "N/mm2", "N/mm²", "Nm", "N·m", "PS", "Pa", "V", "V/A", "W", "W/K", "Wh", "Wh/km", "arcmin",
    "bar", "bit", "bit/s", "cc", "cm", "cm2", "cm3", "cm²", "cm³", "dB", "day", "days", "deg",
    "dm3", "dm³", "ft", "g", "g/cm3", "g/cm³", "h", "hPa", "hp", "in", "in2", "inHg", "in²", "kA",
    "kHz", "kJ", "kN", "kNm", "kN·m", "kPa", "kV", "kW", "kW/K", "kWh", "kWh/100km", "kbit/s",
    "kg", "kg/l", "kg/m", "kg/m3", "kg/m³", "kgf", "kgm2", "kgm²", "kg·m2", "kg·m²", "km", "km/h",
    "kΩ", "l", "l/100km", "l/h", "l/min", "lb", "lbf", "lx", "m", "m/s", "m/s2", "m/s²", "m2",
    "m3", "m3/h", "mA", "mAh", "mF", "mH", "mL", "mNm", "mN·m", "mV", "mW", "mbar", "mi", "min",
    "ml", "mm", "mm/m", "mm2", "mmHg", "mm²", "month", "months", "mpg", "mph", "ms", "m²", "m³",
    "m³/h", "mΩ", "mΩ/m", "nF", "ohm", "ohms", "oz", "pF", "psi", "pulses", "pulses/km",
    "pulses/rev", "rad", "rad/s", "rev", "rpm", "s", "t", "teeth", "turns", "week", "weeks",
    "year", "years", "°", "°C", "°F", "µA", "µF", "µH", "µm", "µs", "Ω", "Ω/V", "Ω/km", "Ω/m",
    "‰",
];

/// Spellings of two words, in the order of their bytes.
const PAIRS: &[(&str, &str)] = &[("fl", "oz"), ("lbf", "ft"), ("lbf", "in")];

/// The active alphabetic codes of ISO 4217, in order, but for AWG: here that is a wire gauge.
/// From memory, unverified against the published list.
#[rustfmt::skip]
const CURRENCIES: &[&str] = &[
    "AED", "AFN", "ALL", "AMD", "ANG", "AOA", "ARS", "AUD", "AZN", "BAM", "BBD", "BDT", "BGN",
    "BHD", "BIF", "BMD", "BND", "BOB", "BRL", "BSD", "BTN", "BWP", "BYN", "BZD", "CAD", "CDF",
    "CHF", "CLP", "CNY", "COP", "CRC", "CUP", "CVE", "CZK", "DJF", "DKK", "DOP", "DZD", "EGP",
    "ERN", "ETB", "EUR", "FJD", "FKP", "GBP", "GEL", "GHS", "GIP", "GMD", "GNF", "GTQ", "GYD",
    "HKD", "HNL", "HTG", "HUF", "IDR", "ILS", "INR", "IQD", "IRR", "ISK", "JMD", "JOD", "JPY",
    "KES", "KGS", "KHR", "KMF", "KPW", "KRW", "KWD", "KYD", "KZT", "LAK", "LBP", "LKR", "LRD",
    "LSL", "LYD", "MAD", "MDL", "MGA", "MKD", "MMK", "MNT", "MOP", "MRU", "MUR", "MVR", "MWK",
    "MXN", "MYR", "MZN", "NAD", "NGN", "NIO", "NOK", "NPR", "NZD", "OMR", "PAB", "PEN", "PGK",
    "PHP", "PKR", "PLN", "PYG", "QAR", "RON", "RSD", "RUB", "RWF", "SAR", "SBD", "SCR", "SDG",
    "SEK", "SGD", "SHP", "SLE", "SOS", "SRD", "SSP", "STN", "SVC", "SYP", "SZL", "THB", "TJS",
    "TMT", "TND", "TOP", "TRY", "TTD", "TWD", "TZS", "UAH", "UGX", "USD", "UYU", "UZS", "VED",
    "VES", "VND", "VUV", "WST", "XAF", "XCD", "XCG", "XOF", "XPF", "YER", "ZAR", "ZMW", "ZWG",
];

/// Spellings that are often met, in order, and how they are written here. A word stands here
/// only where it cannot be meant as the next word of a statement: `a` and `c` do not.
#[rustfmt::skip]
const SLOPPY: &[(&str, &str)] = &[
    ("AH", "Ah"),
    ("Amp", "A"),
    ("Amps", "A"),
    ("Awg", "AWG"),
    ("BAR", "bar"),
    ("BHP", "hp"),
    ("Bar", "bar"),
    ("C", "°C"),
    ("CC", "cc"),
    ("Eur", "EUR"),
    ("Euro", "EUR"),
    ("Euros", "EUR"),
    ("HP", "hp"),
    ("HZ", "Hz"),
    ("Hours", "h"),
    ("Hp", "hp"),
    ("KG", "kg"),
    ("KHz", "kHz"),
    ("KM", "km"),
    ("KM/H", "km/h"),
    ("KPA", "kPa"),
    ("KPa", "kPa"),
    ("KW", "kW"),
    ("KWH", "kWh"),
    ("KWh", "kWh"),
    ("Kbps", "kbit/s"),
    ("Kg", "kg"),
    ("Km", "km"),
    ("Km/h", "km/h"),
    ("Kohm", "kΩ"),
    ("Kpa", "kPa"),
    ("Kw", "kW"),
    ("L/100", "l/100km"),
    ("Ltr", "l"),
    ("MM", "mm"),
    ("MPH", "mph"),
    ("MV", "mV"),
    ("Mbit", "Mbit/s"),
    ("Mbps", "Mbit/s"),
    ("Mhz", "MHz"),
    ("Mm", "mm"),
    ("Mohm", "MΩ"),
    ("Mpa", "MPa"),
    ("NM", "Nm"),
    ("Newtonmeter", "Nm"),
    ("OHM", "ohm"),
    ("Ohm", "ohm"),
    ("Ohms", "ohm"),
    ("PSI", "psi"),
    ("Ps", "PS"),
    ("Psi", "psi"),
    ("RPM", "rpm"),
    ("Rpm", "rpm"),
    ("U/min", "rpm"),
    ("VDC", "V"),
    ("Vdc", "V"),
    ("Volt", "V"),
    ("Volts", "V"),
    ("Watt", "W"),
    ("ah", "Ah"),
    ("amp", "A"),
    ("amps", "A"),
    ("awg", "AWG"),
    ("bars", "bar"),
    ("bhp", "hp"),
    ("ccm", "cm3"),
    ("cm^2", "cm2"),
    ("cm^3", "cm3"),
    ("degC", "°C"),
    ("degF", "°F"),
    ("degree", "°"),
    ("degrees", "°"),
    ("eur", "EUR"),
    ("euro", "EUR"),
    ("euros", "EUR"),
    ("feet", "ft"),
    ("ft-lb", "lbf ft"),
    ("ft-lbf", "lbf ft"),
    ("ft-lbs", "lbf ft"),
    ("ft/lb", "lbf ft"),
    ("ftlb", "lbf ft"),
    ("ftlbs", "lbf ft"),
    ("ft·lbf", "lbf ft"),
    ("gbp", "GBP"),
    ("gr", "g"),
    ("grams", "g"),
    ("hour", "h"),
    ("hours", "h"),
    ("hr", "h"),
    ("hrs", "h"),
    ("hz", "Hz"),
    ("in-lb", "lbf in"),
    ("in-lbs", "lbf in"),
    ("in^2", "in2"),
    ("inch", "in"),
    ("inches", "in"),
    ("kBit/s", "kbit/s"),
    ("kOhm", "kΩ"),
    ("kb/s", "kbit/s"),
    ("kbaud", "kbit/s"),
    ("kbit", "kbit/s"),
    ("kbps", "kbit/s"),
    ("kgs", "kg"),
    ("khz", "kHz"),
    ("km/hr", "km/h"),
    ("kmh", "km/h"),
    ("kmph", "km/h"),
    ("kms", "km"),
    ("kohm", "kΩ"),
    ("kohms", "kΩ"),
    ("kpa", "kPa"),
    ("kph", "km/h"),
    ("kw", "kW"),
    ("kwh", "kWh"),
    ("l/100", "l/100km"),
    ("lb-ft", "lbf ft"),
    ("lb-in", "lbf in"),
    ("lb/ft", "lbf ft"),
    ("lbf-ft", "lbf ft"),
    ("lbf-in", "lbf in"),
    ("lbft", "lbf ft"),
    ("lbf·ft", "lbf ft"),
    ("lbs", "lb"),
    ("lbs/ft", "lbf ft"),
    ("liter", "l"),
    ("liters", "l"),
    ("litre", "l"),
    ("litres", "l"),
    ("lpm", "l/min"),
    ("ltr", "l"),
    ("mOhm", "mΩ"),
    ("m^2", "m2"),
    ("m^3", "m3"),
    ("ma", "mA"),
    ("mah", "mAh"),
    ("mb", "mbar"),
    ("meters", "m"),
    ("metre", "m"),
    ("metres", "m"),
    ("miles", "mi"),
    ("millimeters", "mm"),
    ("millimetres", "mm"),
    ("mins", "min"),
    ("minute", "min"),
    ("minutes", "min"),
    ("mm^2", "mm2"),
    ("mmq", "mm2"),
    ("mms", "mm"),
    ("mohm", "mΩ"),
    ("mpa", "MPa"),
    ("msec", "ms"),
    ("mv", "mV"),
    ("nM", "Nm"),
    ("nm", "Nm"),
    ("pct", "%"),
    ("percent", "%"),
    ("pounds", "lb"),
    ("qmm", "mm2"),
    ("r/min", "rpm"),
    ("rev/min", "rpm"),
    ("sec", "s"),
    ("seconds", "s"),
    ("secs", "s"),
    ("sqmm", "mm2"),
    ("uA", "µA"),
    ("uF", "µF"),
    ("uH", "µH"),
    ("uf", "µF"),
    ("um", "µm"),
    ("usd", "USD"),
    ("v", "V"),
    ("volt", "V"),
    ("volts", "V"),
    ("w", "W"),
    ("watt", "W"),
    ("watts", "W"),
    ("wh", "Wh"),
    ("wks", "weeks"),
    ("yr", "year"),
    ("yrs", "years"),
    ("£", "GBP"),
    ("º", "°"),
    ("ºC", "°C"),
    ("ºF", "°F"),
    ("€", "EUR"),
];

/// The same of two words, in order.
#[rustfmt::skip]
const SLOPPY_PAIRS: &[(&str, &str, &str)] = &[
    ("L/100", "km", "l/100km"),
    ("N", "m", "Nm"),
    ("ft", "lb", "lbf ft"),
    ("ft", "lbf", "lbf ft"),
    ("ft", "lbs", "lbf ft"),
    ("in", "lb", "lbf in"),
    ("in", "lbf", "lbf in"),
    ("in", "lbs", "lbf in"),
    ("kN", "m", "kNm"),
    ("kg", "m2", "kg·m2"),
    ("kg", "m²", "kg·m²"),
    ("l/100", "km", "l/100km"),
    ("lb", "ft", "lbf ft"),
    ("lbs", "ft", "lbf ft"),
];

/// Whether a word alone is a unit.
pub fn is_unit(word: &str) -> bool {
    WORDS.binary_search(&word).is_ok() || is_currency(word) || is_other_sign(word)
}

/// The Greek mu and the ohm sign look as the micro sign and the Greek omega do, and are taken
/// for them.
fn is_other_sign(word: &str) -> bool {
    word.contains(['\u{3bc}', '\u{2126}']) && {
        let plain = word.replace('\u{3bc}', "µ").replace('\u{2126}', "Ω");
        WORDS.binary_search(&plain.as_str()).is_ok()
    }
}

/// Whether a word is an ISO 4217 currency code.
pub fn is_currency(word: &str) -> bool {
    word.len() == 3 && CURRENCIES.binary_search(&word).is_ok()
}

/// Whether two words together are a unit.
pub fn is_pair(first: &str, second: &str) -> bool {
    PAIRS.binary_search(&(first, second)).is_ok()
}

/// How a sloppy spelling is written here.
pub fn mended(word: &str) -> Option<&'static str> {
    let at = SLOPPY.binary_search_by_key(&word, |(sloppy, _)| sloppy).ok()?;
    Some(SLOPPY[at].1)
}

/// How a sloppy spelling of two words is written here.
pub fn mended_pair(first: &str, second: &str) -> Option<&'static str> {
    let at = SLOPPY_PAIRS.binary_search_by_key(&(first, second), |(a, b, _)| (a, b)).ok()?;
    Some(SLOPPY_PAIRS[at].2)
}

/// All spellings, for completion and for the tests of those who know their meaning.
pub fn all() -> impl Iterator<Item = String> {
    let words = WORDS.iter().chain(CURRENCIES).map(|it| (*it).to_owned());
    words.chain(PAIRS.iter().map(|(a, b)| format!("{a} {b}")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lists_are_in_order() {
        assert!(WORDS.is_sorted() && PAIRS.is_sorted() && CURRENCIES.is_sorted());
        assert!(SLOPPY.is_sorted() && SLOPPY_PAIRS.is_sorted());
        assert!(!is_currency("AWG") && is_unit("AWG"));
    }

    #[test]
    fn units_are_known() {
        assert!(is_unit("mm²") && is_unit("EUR") && is_unit("kbit/s") && is_pair("lbf", "ft"));
        assert!(is_unit("\u{3bc}A") && is_unit("k\u{2126}") && is_unit("µA") && is_unit("kΩ"));
        assert!(!is_unit("drive") && !is_unit("of") && !is_unit("on") && !is_unit("lbf ft"));
    }

    #[test]
    fn sloppy_spellings_lead_to_units_and_are_none() {
        for (sloppy, right) in SLOPPY {
            assert!(!is_unit(sloppy), "{sloppy}");
            assert!(all().any(|it| it == *right), "{right}");
            assert_eq!(mended(sloppy), Some(*right));
        }
        for (first, second, right) in SLOPPY_PAIRS {
            assert!(!is_pair(first, second) && all().any(|it| it == *right), "{first} {second}");
            assert_eq!(mended_pair(first, second), Some(*right));
        }
    }
}
