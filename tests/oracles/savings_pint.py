"""Independent values for a year's savings, with every unit carried by pint.

Writes savings_pint.json beside this file.

    python3 -m pip install numpy pint
    python3 tests/oracles/savings_pint.py
"""

import json
import pathlib
import platform

import numpy
import pint

units = pint.UnitRegistry()
units.define("money = [currency]")
Q = units.Quantity
PRICES = {"money_per_kilogram": "money / kilogram", "money_per_pound": "money / pound",
          "money_per_tonne": "money / metric_ton"}


def case(generator):
    old = Q(float(generator.uniform(3, 20)), "ounce")
    new = Q(float(generator.uniform(3, 20)), "ounce")
    loads = int(generator.integers(1, 2_000_000))
    roll = Q(float(generator.uniform(20, 45)), "pound")
    minutes = Q(float(generator.uniform(1, 12)), "minute")
    wage = Q(float(generator.uniform(10, 60)), "money / hour")
    levy = Q(float(generator.uniform(100, 500)), "money / metric_ton")
    co2e = Q(float(generator.uniform(1, 4)), "kilogram / kilogram")
    name = str(generator.choice([*PRICES, "money_per_roll"]))
    amount = float(generator.uniform(1, 4))
    price = Q(amount, PRICES[name]) if name in PRICES else Q(amount, "money") / roll
    film = (old - new) * loads
    rolls = film / roll
    hours = rolls * minutes
    return {
        "old_oz": old.magnitude, "new_oz": new.magnitude, "loads": loads,
        "roll_lb": roll.magnitude, "minutes": minutes.magnitude, "wage": wage.magnitude,
        "levy": levy.magnitude, "co2e": co2e.magnitude, "price": amount, "price_unit": name,
        "film_kg": film.to("kilogram").magnitude,
        "film_cost": (film * price).to("money").magnitude,
        "rolls": rolls.to("").magnitude,
        "hours": hours.to("hour").magnitude,
        "hours_cost": (hours * wage).to("money").magnitude,
        "co2e_kg": (film * co2e).to("kilogram").magnitude,
        "levy_cost": (film * levy).to("money").magnitude,
    }


def main():
    generator = numpy.random.default_rng(20260309)
    result = {
        "made_by": "tests/oracles/savings_pint.py",
        "versions": {"python": platform.python_version(), "numpy": numpy.__version__,
                     "pint": pint.__version__},
        "cases": [case(generator) for _ in range(60)],
    }
    path = pathlib.Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(result, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
