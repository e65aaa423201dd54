"""Independent values for the units of tautbook-core.

Writes units_pint.json beside this file: factors and typed values, converted by pint's own unit
definitions in decimal arithmetic. Gauge is the one unit pint lacks; here it is a hundredth of
pint's thou (common practice of the film trade, no source).

    python3 -m pip install pint
    python3 tests/oracles/units_pint.py
"""

import json
import pathlib
import platform
from decimal import Decimal, getcontext

import pint

getcontext().prec = 40
units = pint.UnitRegistry(non_int_type=Decimal)
units.define("gauge_of_film = 0.01 * thou")

# quantity: (stored unit, {unit of tautbook: unit of pint})
QUANTITIES = {
    "mass": ("kilogram", {"kg": "kilogram", "g": "gram", "lb": "pound", "oz": "ounce"}),
    "force": ("newton", {"n": "newton", "lbf": "force_pound", "ozf": "force_ounce",
                         "kgf": "kilogram_force", "dan": "decanewton"}),
    "length": ("meter", {"m": "meter", "mm": "millimeter", "cm": "centimeter", "in": "inch",
                         "ft": "foot"}),
    "thickness": ("micrometer", {"m": "meter", "um": "micrometer", "mil": "thou",
                                 "gauge": "gauge_of_film"}),
    "ratio": ("dimensionless", {"fraction": "dimensionless", "percent": "percent"}),
    "density": ("kilogram/meter**3", {"kg_per_m3": "kilogram/meter**3",
                                      "g_per_cm3": "gram/centimeter**3"}),
}
NUMBERS = ["0", "0.001", "0.0625", "0.1", "1", "6.35", "7.8", "12.375", "80", "250", "1234.5",
           "99999.75"]

# quantity, text as typed, then what it means in parts of pint's units
TYPED = [
    ("force", "12-6", [("12", "force_pound"), ("6", "force_ounce")]),
    ("force", "12 lb 6", [("12", "force_pound"), ("6", "force_ounce")]),
    ("force", "12 lb 6 oz", [("12", "force_pound"), ("6", "force_ounce")]),
    ("force", "12lb6oz", [("12", "force_pound"), ("6", "force_ounce")]),
    ("force", "12lbs. 6.5 ozs", [("12", "force_pound"), ("6.5", "force_ounce")]),
    ("force", "0-0.1", [("0.1", "force_ounce")]),
    ("force", "12.4", [("12.4", "force_pound")]),
    ("force", "7.8", [("7.8", "force_pound")]),
    ("force", "12,4", [("12.4", "force_pound")]),
    ("force", "12 lb", [("12", "force_pound")]),
    ("force", "6 oz", [("6", "force_ounce")]),
    ("force", "120 oz", [("120", "force_ounce")]),
    ("force", "55 N", [("55", "newton")]),
    ("force", "5.6 kgf", [("5.6", "kilogram_force")]),
    ("force", "4,5 daN", [("4.5", "decanewton")]),
    ("mass", "7-8", [("7", "pound"), ("8", "ounce")]),
    ("mass", "38 lb 3.3", [("38", "pound"), ("3.3", "ounce")]),
    ("mass", "6 oz", [("6", "ounce")]),
    ("mass", "17.33 kg", [("17.33", "kilogram")]),
    ("mass", "151.2929 g", [("151.2929", "gram")]),
    ("mass", "1,234.5 g", [("1234.5", "gram")]),
    ("mass", "1.234,5 g", [("1234.5", "gram")]),
    ("length", "5' 4\"", [("5", "foot"), ("4", "inch")]),
    ("length", "5 ft 4 in", [("5", "foot"), ("4", "inch")]),
    ("length", "48\"", [("48", "inch")]),
    ("length", "3 1/2 in", [("3.5", "inch")]),
    ("length", "48½", [("48.5", "inch")]),
    ("length", "1200 mm", [("1200", "millimeter")]),
    ("length", "121,9 cm", [("121.9", "centimeter")]),
    ("length", "1.2 m", [("1.2", "meter")]),
    ("thickness", "80 ga", [("80", "gauge_of_film")]),
    ("thickness", "0.8 mil", [("0.8", "thou")]),
    ("thickness", "20 µm", [("20", "micrometer")]),
    ("thickness", "20 um", [("20", "micrometer")]),
    ("thickness", "20 micron", [("20", "micrometer")]),
    ("ratio", "250 %", [("250", "percent")]),
    ("ratio", "250", [("250", "percent")]),
    ("density", "0.918", [("0.918", "gram/centimeter**3")]),
    ("density", "918 kg/m3", [("918", "kilogram/meter**3")]),
]


def convert(number, unit, stored):
    return units.Quantity(Decimal(number), unit).to(stored).magnitude


def total(parts, stored):
    return sum((convert(number, unit, stored) for number, unit in parts), Decimal(0))


made = {
    "made_by": "units_pint.py",
    "versions": {"python": platform.python_version(), "pint": pint.__version__},
    "factors": [
        {"quantity": quantity, "unit": ours, "number": number,
         "stored": str(convert(number, theirs, stored))}
        for quantity, (stored, names) in QUANTITIES.items()
        for ours, theirs in names.items()
        for number in NUMBERS
    ],
    "typed": [
        {"quantity": quantity, "text": text,
         "stored": str(total(parts, QUANTITIES[quantity][0]))}
        for quantity, text, parts in TYPED
    ],
}
path = pathlib.Path(__file__).with_suffix(".json")
path.write_text(json.dumps(made, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
print(path.name, len(made["factors"]), "factors,", len(made["typed"]), "typed")
