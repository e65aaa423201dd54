"""What a wrapped load would read and weigh: the model behind the sample surveys.

Lengths in metres, forces in newtons, masses in kilograms. Common practice and plain geometry; the
app knows nothing of this file.
"""
import math

OZF_N = 0.27801385095378125
OZ_KG = 0.028349523125
IN_M = 0.0254
PRONGS_M = 0.254  # Film the torsion tool takes hold of.
SPACING_M = 0.0254  # Between its prongs.
PLATE_M = 6 * IN_M


def travel(height, over, width):
    """How far the film climbs, its lower edge starting at the floor."""
    return height + over - width


def turns(setup, height, width):
    z = travel(height, setup["over"], width)
    return setup["bottom"] + setup["top"] + z / setup["up"] + z / setup["down"]


def layers(setup, height, width, at):
    """Layers at a height, averaged over the turn."""
    z = travel(height, setup["over"], width)
    n = 0.0
    if at < width:
        n += setup["bottom"]
    if at >= z:
        n += setup["top"]
    span = max(0.0, min(z, at) - max(0.0, at - width))
    return n + span / setup["up"] + span / setup["down"]


def film_kg(setup, film, length, width, height):
    """Film on a load: density x unstretched length x width x true thickness."""
    on_load = setup["width"]
    path = turns(setup, height, on_load) * math.hypot(2 * (length + width), setup["up"])
    unstretched = path / (1 + setup["stretch"])
    return film["density"] * unstretched * film["width"] * film["true"]


def pull_factor(face, from_side, pulled):
    """Force on the plate over tension in the band, for a straight band held at both corners."""
    a, b = from_side, face - from_side - PLATE_M
    return pulled / math.hypot(a, pulled) + pulled / math.hypot(b, pulled)


def relaxed(minutes):
    """Film lets go of some of its force in the first minutes."""
    return 1 - 0.02 * math.log10(1 + minutes)


def pull_n(setup, load, at, face, from_side, pulled, minutes):
    tension = layers(setup, load["h"], setup["width"], at) * setup["force"] * relaxed(minutes)
    return 1.12 * pull_factor(face, from_side, pulled) * tension


def torsion_n(setup, load, at, arm, minutes):
    tension = layers(setup, load["h"], setup["width"], at) * setup["force"] * relaxed(minutes)
    return tension * PRONGS_M / setup["width"] * SPACING_M / arm


class Metric:
    """Values as written in newtons, kilograms, millimetres and micrometres."""

    def force(self, n):
        n = round(n * 2) / 2
        return {"n": n, "entered": f"{n:.1f} N"}

    def length(self, m):
        mm = round(m * 1000)
        return {"m": mm / 1000, "entered": f"{mm} mm"}

    def marks(self, m):
        return self.length(m)

    def film_mass(self, kg):
        g = round(kg * 1000)
        return {"kg": g / 1000, "entered": f"{g} g"}

    def mass(self, kg):
        kg = round(kg / 5) * 5
        return {"kg": float(kg), "entered": f"{kg} kg"}

    def roll_mass(self, kg):
        kg = round(kg, 2)
        return {"kg": kg, "entered": f"{kg:.2f} kg"}

    def roll_length(self, m):
        m = round(m)
        return {"m": float(m), "entered": f"{m} m"}

    def thickness(self, m):
        um = round(m * 1e6, 1)
        return {"um": um, "entered": f"{um:g} µm"}


class Imperial:
    """Values as written in pounds and ounces, inches and gauge."""

    def force(self, n):
        oz = round(n / OZF_N)
        return {"n": oz * OZF_N, "entered": f"{oz // 16} lb {oz % 16} oz"}

    def length(self, m):
        inches = round(m / IN_M * 4) / 4
        return {"m": inches * IN_M, "entered": f"{inches:g} in"}

    def marks(self, m):
        inches = round(m / IN_M * 8) / 8
        return {"m": inches * IN_M, "entered": f"{inches:g} in"}

    def film_mass(self, kg):
        tenths = round(kg / OZ_KG * 10)
        text = f"{(tenths % 160) / 10:.1f} oz"
        if tenths >= 160:
            text = f"{tenths // 160} lb {text}"
        return {"kg": tenths / 10 * OZ_KG, "entered": text}

    def mass(self, kg):
        lb = round(kg / (16 * OZ_KG) / 10) * 10
        return {"kg": lb * 16 * OZ_KG, "entered": f"{lb} lb"}

    def roll_mass(self, kg):
        lb = round(kg / (16 * OZ_KG), 1)
        return {"kg": lb * 16 * OZ_KG, "entered": f"{lb:.1f} lb"}

    def roll_length(self, m):
        ft = round(m / 0.3048)
        return {"m": ft * 0.3048, "entered": f"{ft} ft"}

    def thickness(self, m):
        gauge = round(m / 2.54e-7)
        return {"um": gauge * 0.254, "entered": f"{gauge} ga"}
