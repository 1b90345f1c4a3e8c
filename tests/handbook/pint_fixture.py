"""Writes figures by `pint`, for the handbook's cross-check.

Run from this folder, with pint 0.25.3 installed:
    python3 pint_fixture.py > units.csv
    python3 pint_fixture.py pairs > pairs.csv
units.csv has figures in every unit of the handbook and their SI values; its columns: unit, figure, SI
value, exponents of length, mass, time, current, temperature, information and luminous intensity
(angle and money have none in SI). pairs.csv has 7 of every unit in every other unit that pint turns
it into; its columns: unit, other unit, figure in the other.
"""

import itertools
import sys

import pint

UNITS = {
    "µm": "micrometer", "mm": "millimeter", "cm": "centimeter", "m": "meter", "km": "kilometer",
    "in": "inch", "ft": "foot", "mi": "mile",
    "mm²": "millimeter**2", "mm2": "millimeter**2", "cm²": "centimeter**2", "m²": "meter**2",
    "in²": "inch**2",
    "l": "liter", "ml": "milliliter", "cm³": "centimeter**3", "cc": "centimeter**3",
    "dm³": "decimeter**3", "m³": "meter**3", "fl oz": "US_fluid_ounce",
    "l/100km": "liter/(100*kilometer)",
    "kg": "kilogram", "g": "gram", "t": "metric_ton", "lb": "pound", "oz": "ounce",
    "N": "newton", "kN": "kilonewton", "lbf": "pound_force", "kgf": "kilogram_force",
    "Nm": "newton*meter", "kNm": "kilonewton*meter", "mNm": "millinewton*meter",
    "lbf ft": "pound_force*foot", "lbf in": "pound_force*inch",
    "bar": "bar", "mbar": "millibar", "Pa": "pascal", "hPa": "hectopascal", "kPa": "kilopascal",
    "MPa": "megapascal", "GPa": "gigapascal", "N/mm²": "newton/millimeter**2",
    "psi": "pound_force/inch**2", "inHg": "inch_Hg", "mmHg": "millimeter_Hg",
    "N/mm": "newton/millimeter", "N/m": "newton/meter",
    "%": "percent", "‰": "permille", "mm/m": "millimeter/meter",
    "µs": "microsecond", "ms": "millisecond", "s": "second", "min": "minute", "h": "hour",
    "day": "day", "days": "day", "weeks": "week", "months": "month", "years": "year",
    "V": "volt", "mV": "millivolt", "kV": "kilovolt",
    "A": "ampere", "mA": "milliampere", "µA": "microampere", "kA": "kiloampere",
    "Ω": "ohm", "ohm": "ohm", "mΩ": "milliohm", "kΩ": "kiloohm", "MΩ": "megaohm",
    "V/A": "volt/ampere", "Ω/V": "ohm/volt", "Ω/km": "ohm/kilometer", "mΩ/m": "milliohm/meter",
    "Ω/m": "ohm/meter",
    "W": "watt", "mW": "milliwatt", "kW": "kilowatt", "MW": "megawatt",
    "hp": "horsepower", "PS": "metric_horsepower",
    "J": "joule", "kJ": "kilojoule", "MJ": "megajoule", "Wh": "watt*hour", "kWh": "kilowatt*hour",
    "Ah": "ampere*hour", "mAh": "milliampere*hour", "A²s": "ampere**2*second",
    "F": "farad", "mF": "millifarad", "µF": "microfarad", "nF": "nanofarad", "pF": "picofarad",
    "H": "henry", "mH": "millihenry", "µH": "microhenry",
    "Hz": "hertz", "kHz": "kilohertz", "MHz": "megahertz",
    "bit": "bit", "bit/s": "bit/second", "kbit/s": "kilobit/second", "Mbit/s": "megabit/second",
    "rpm": "revolutions_per_minute", "rad/s": "radian/second",
    "km/h": "kilometer/hour", "mph": "mile/hour", "m/s": "meter/second", "m/s²": "meter/second**2",
    "°C": "degC", "°F": "degF", "K": "kelvin",
    "°": "degree", "deg": "degree", "arcmin": "arcminute", "rad": "radian", "turns": "turn",
    "teeth": "count", "pulses": "count", "pulses/rev": "count/turn", "pulses/km": "1/kilometer",
    "kg/m³": "kilogram/meter**3", "g/cm³": "gram/centimeter**3", "kg/m": "kilogram/meter",
    "kg·m²": "kilogram*meter**2",
    "l/min": "liter/minute", "l/h": "liter/hour", "m³/h": "meter**3/hour",
    "W/K": "watt/kelvin", "kW/K": "kilowatt/kelvin", "J/kgK": "joule/(kilogram*kelvin)",
    "Wh/km": "watt*hour/kilometer", "kWh/100km": "kilowatt*hour/(100*kilometer)",
    "lx": "lux", "mpg": "mile/US_liquid_gallon",
}
BASE = ["[length]", "[mass]", "[time]", "[current]", "[temperature]", "[information]", "[luminosity]"]


def pairs() -> None:
    registry = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    print(f"# Made by pint_fixture.py with pint {pint.__version__}; do not edit.")
    print("# unit,other unit,7 of the unit in the other")
    def one_of(name: str) -> pint.Quantity:
        return registry.Quantity(1, name) if name in ("degC", "degF") else 1 * registry.parse_expression(name)

    for (one, name), (other, other_name) in itertools.permutations(UNITS.items(), 2):
        if "mpg" in (one, other) or (("bit" in one) != ("bit" in other)):
            continue  # the handbook keeps miles per gallon as its reciprocal, and a bit is no number
        unit, target = one_of(name), one_of(other_name)
        if unit.dimensionality != target.dimensionality:
            continue
        seven = registry.Quantity(7 * unit.magnitude, unit.units)
        print(f"{one},{other},{seven.to(target.units).magnitude / target.magnitude:.17g}")


def main() -> None:
    registry = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    print(f"# Made by pint_fixture.py with pint {pint.__version__}; do not edit.")
    print("# unit,figure,SI value,exponents")
    for symbol, name in UNITS.items():
        for figure in (0.5, 1.0, 7.0):
            if name in ("degC", "degF"):
                quantity = registry.Quantity(figure, name)
            else:
                quantity = figure * registry.parse_expression(name)
            if symbol == "mpg":
                quantity = 1 / quantity  # the handbook keeps volume per distance
            base = quantity.to_base_units()
            value = base.magnitude
            # pint counts a bit as a plain number and the radian as 1.
            dims = dict(base.dimensionality)
            if "bit" in symbol:
                dims["[information]"] = 1
            exponents = " ".join(str(int(dims.get(it, 0))) for it in BASE)
            # pint's SI has the gram converted already; its base of mass is the kilogram.
            print(f"{symbol},{figure!r},{value:.17g},{exponents}")


pairs() if sys.argv[1:] == ["pairs"] else main()
