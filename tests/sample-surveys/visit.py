"""Builds one visit's records in the order a person would make them."""
import random
from datetime import datetime, timedelta, timezone
from uuid import UUID

from physics import film_kg, pull_n, torsion_n

ZONES = ("top", "middle", "bottom")
KINDS = (
    "tools visits lines film_rolls setups loads readings film_weights thicknesses stretch_marks "
    "film_widths film_breaks cautions machine_checks findings targets samples sample_events photos"
).split()


def percent(fraction):
    return {"ratio": round(fraction, 6), "entered": f"{round(fraction * 100)} %"}


def density(kg_m3):
    return {"kg_per_m3": kg_m3, "entered": f"{kg_m3 / 1000:.3f} g/cm³"}


class Visit:
    def __init__(self, seed, start, offset_minutes, units, rep, site, arm, near):
        """`arm` is the torsion tool's lever, `near` the pull plate's usual place and pull."""
        self.random = random.Random(seed)
        self.zone = timezone(timedelta(minutes=offset_minutes))
        self.now = datetime.fromisoformat(start).replace(tzinfo=self.zone)
        self.units, self.rep, self.arm, self.near = units, rep, arm, near
        self.records = {kind: [] for kind in KINDS}
        self.device = str(UUID(int=self.random.getrandbits(128), version=4))
        self.tools, self.zeroed, self.cut_caution = {}, {}, False
        self.visit = self.add("visits", site)

    def wait(self, minutes):
        # The record keeps milliseconds.
        self.now += timedelta(milliseconds=round(minutes * 60_000))

    def moment(self):
        return self.now.isoformat(timespec="milliseconds")

    def add(self, kind, body, set_aside=None):
        """Adds a record and returns its id (UUID version 7, by the time it was made)."""
        self.wait(0.01)
        ms = int(self.now.timestamp() * 1000)
        tail = self.random.getrandbits(74)
        bits = ms << 80 | 7 << 76 | (tail >> 62) << 64 | 2 << 62 | tail & (1 << 62) - 1
        made = self.moment()
        record = {"id": str(UUID(int=bits)), "created": made, "changed": made}
        record["device"] = self.device
        if set_aside:
            self.wait(0.2)
            record["changed"] = self.moment()
            record["set_aside"] = {"at": self.moment(), "reason": set_aside}
        record.update({key: value for key, value in body.items() if value is not None})
        self.records[kind].append(record)
        return record["id"]

    def record(self, kind, record_id):
        return next(r for r in self.records[kind] if r["id"] == record_id)

    def add_tool(self, kind, name, checked_days_ago, good_for, **fields):
        checked = (self.now - timedelta(days=checked_days_ago)).replace(hour=8, minute=0)
        self.tools[kind] = self.add("tools", {
            "kind": kind, "name": name, **fields,
            "checked_at": checked.isoformat(timespec="milliseconds"),
            "check_good_for_days": good_for,
        })

    def zero(self, *kinds):
        for kind in kinds:
            self.wait(0.5)
            self.zeroed[kind] = self.moment()
            tool = self.record("tools", self.tools[kind])
            tool["zeroed_at"] = tool["changed"] = self.moment()

    def caution(self, about, line=None, isolated_by=None):
        self.wait(1)
        self.add("cautions", {"visit": self.visit, "line": line, "about": about,
                              "acknowledged_at": self.moment(), "isolated_by": isolated_by})

    def look_over(self, line, isolated_by, checks):
        """The machine check: the caution first, then each item."""
        self.caution("machine", line, isolated_by)
        made = {}
        for item, result, notes, *gap in checks:
            self.wait(1.5)
            made[item] = self.add("machine_checks", {
                "line": line, "item": item, "result": result, "notes": notes,
                "gap": gap[0] if gap else None})
        return made

    def add_line(self, name, **fields):
        self.wait(4)
        return self.add("lines", {"visit": self.visit, "name": name, **fields})

    def add_film(self, film, thickness_readings=4):
        """A roll with its label, and the micrometer on its film."""
        self.wait(3)
        u = self.units
        film["id"] = self.add("film_rolls", {
            "visit": self.visit, "name": film["name"],
            "nominal_thickness": u.thickness(film["nominal"]), "width": u.length(film["width"]),
            "length": u.roll_length(film["length"]),
            "net_mass": u.roll_mass(film["density"] * film["width"] * film["length"]
                                    * film["true"]),
            "density": density(film["density"]), "cling": film.get("cling", "inside"),
            "price": film.get("price"), "recycled_content": film.get("recycled"),
            "core_arrow": film.get("core_arrow"), "notes": film.get("notes")})
        film["thicknesses"] = []
        for _ in range(thickness_readings):
            self.wait(0.7)
            plies = 4
            value = film["true"] * plies * self.random.gauss(1, 0.008)
            film["thicknesses"].append(self.add("thicknesses", {
                "film_roll": film["id"], "tool": self.tools["micrometer"], "place": "roll",
                "value": u.thickness(value), "plies": plies, "taken_at": self.moment()}))

    def add_targets(self, reference, forces, line=None, stability=None):
        """The customer's own least forces: {method: (top, middle, bottom)} in newtons."""
        for method, values in forces.items():
            for zone, newtons in zip(ZONES, values):
                self.wait(0.1)
                self.add("targets", {
                    "visit": self.visit, "line": line, "zone": zone, "stability": stability,
                    "minimum": {"method": method, "force": self.units.force(newtons)},
                    "origin": {"customer_standard": {"reference": reference}}})

    def run(self, line, film, setup, loads, plan):
        """Wraps the loads of one setup and measures them. Returns ids by what they are."""
        made = {"loads": [], "readings": [], "marks": [], "weights": [], "spoilt": []}
        u, spiral = self.units, setup.get("spiral", "pitch")

        def climb(pitch):
            rise = setup["width"] - pitch if spiral == "overlap" else pitch
            return {spiral: u.length(rise)}

        self.wait(6)
        made["setup"] = self.add("setups", {
            "line": line, "film_roll": film["id"], "name": setup["name"], "role": setup["role"],
            "settings": {
                "bottom_turns": setup["bottom"], "top_turns": setup["top"],
                "up": climb(setup["up"]), "down": climb(setup["down"]),
                "over_top": u.length(setup["over"]), "film_force": setup["panel"],
                "pre_stretch": percent(setup["set_stretch"])},
            "notes": setup.get("notes")})
        self.zero("torsion_tool", "pull_plate")
        for number, shape in enumerate(loads):
            self.one_load(made, setup, number, dict(shape), plan)
        self.stretch(made, setup, plan.get("marks_m", 0.5))
        if setup.get("breaks"):
            count, over = setup["breaks"]
            made["breaks"] = self.add("film_breaks", {
                "setup": made["setup"], "breaks": count, "over": {"loads": over},
                "notes": setup.get("breaks_notes")})
        if not self.cut_caution:
            self.caution("cutting_film")
            self.cut_caution = True
        self.zero("film_scale")
        for load_at, together in plan["weigh"]:
            self.weigh(made, setup, film, loads[load_at], made["loads"][load_at], together)
        return made

    def one_load(self, made, setup, number, shape, plan):
        self.wait(2.5)
        u = self.units
        for side in ("l", "w", "h"):
            shape[side] += self.random.choice((-1, 0, 0, 1)) * 0.25 * 0.0254 * (side == "h")
        wrapped = self.now
        load = self.add("loads", {
            "setup": made["setup"], "name": shape["name"], "length": u.length(shape["l"]),
            "width": u.length(shape["w"]), "height": u.length(shape["h"]),
            "mass": u.mass(shape["kg"]), "stability": shape["stability"],
            "pallet_fit": shape.get("fit", "flush"), "film_breaks": shape.get("breaks", 0),
            "tail": shape.get("tail", "secured"), "damage": shape.get("damage"),
            "wrapped_at": self.moment(), "notes": shape.get("notes")})
        made["loads"].append(load)
        # Loads of one setup differ a little.
        shape["own"] = self.random.gauss(1, 0.015)
        spoil, outlier = plan.get("spoil", {}), plan.get("outlier", {})
        for method in ("torsion_tool", "pull_plate"):
            rounds = plan["rounds"][method][number % len(plan["rounds"][method])]
            order = 0
            for turn in range(rounds):
                for zone in ZONES:
                    order += 1
                    key = (setup["name"], number, method, zone, turn)
                    if key in spoil:
                        made["spoilt"].append(self.read(
                            load, setup, shape, method, zone, turn, order, wrapped, plan,
                            0.35, spoil[key]))
                        order += 1
                    reading = self.read(load, setup, shape, method, zone, turn, order, wrapped,
                                        plan, outlier.get(key, 1.0))
                    made["readings"].append(reading)
                    if key in outlier:
                        made["outlier"] = reading
        self.wait(1)
        self.add("film_widths", {
            "load": load, "value": u.length(setup["width"] * self.random.gauss(1, 0.008)),
            "taken_at": self.moment()})

    def read(self, load, setup, shape, method, zone, turn, order, wrapped, plan, by, aside=None):
        self.wait(self.random.uniform(0.25, 0.5))
        near = self.near
        height = {"top": shape["h"] - near["from_top"], "middle": shape["h"] / 2,
                  "bottom": near["bottom"]}[zone]
        minutes = (self.now - wrapped).total_seconds() / 60
        faces = plan["faces"][method]
        face = faces[turn % len(faces)]
        if method == "torsion_tool":
            newtons = torsion_n(setup, shape, height, self.arm, minutes)
            where = near["torsion_fields"]
        else:
            length = shape["l"] if face in ("front", "back") else shape["w"]
            newtons = pull_n(setup, shape, height, length, near["from_side"], near["pulled"],
                             minutes)
            where = dict(near["pull_fields"], face_length=self.units.length(length))
            if zone != "top":
                where.pop("from_top", None)
        newtons *= by * shape["own"] * self.random.gauss(1, 0.032)
        return self.add("readings", {
            "load": load, "tool": self.tools[method], "zone": zone, "face": face,
            "measure": {"method": method, "force": self.units.force(newtons), **where},
            "order": order, "taken_at": self.moment(), "who": self.rep,
            "zeroed_at": self.zeroed[method], "minutes_since_wrapping": round(minutes, 1),
            "film_temperature_celsius": plan["celsius"]}, aside)

    def stretch(self, made, setup, before):
        """Ink marks: two pairs read between roller and load, three on the load."""
        for place, stretch in [("before_load", setup["pre"])] * 2 + [("on_load",
                                                                     setup["stretch"])] * 3:
            self.wait(2)
            after = before * (1 + stretch * self.random.gauss(1, 0.008))
            made["marks"].append(self.add("stretch_marks", {
                "setup": made["setup"],
                "load": made["loads"][-1] if place == "on_load" else None, "place": place,
                "before": self.units.marks(before), "after": self.units.marks(after),
                "taken_at": self.moment()}))

    def weigh(self, made, setup, film, shape, load, together):
        self.wait(5)
        net = sum(film_kg(setup, film, shape["l"], shape["w"], shape["h"])
                  * self.random.gauss(1, 0.008) for _ in range(together))
        tare = self.near["tare_kg"]
        notes = "Film of this load" if together == 1 else "This load and the next ones of its run"
        made["weights"].append(self.add("film_weights", {
            "load": load, "tool": self.tools["film_scale"],
            "gross": self.units.film_mass(net + tare), "tare": self.units.film_mass(tare),
            "loads_together": together, "taken_at": self.moment(), "notes": notes}))

    def finding(self, what, seriousness, evidence, action, who, line=None, state="open"):
        """`evidence` is a list of (kind, id)."""
        self.wait(2)
        return self.add("findings", {
            "visit": self.visit, "line": line, "what": what, "seriousness": seriousness,
            "evidence": [{"kind": kind, "id": record} for kind, record in evidence],
            "action": action, "who_may_act": who, "state": state})

    def keep(self, load, place, until, notes):
        self.wait(3)
        sample = self.add("samples", {"visit": self.visit, "load": load, "what": "pallet",
                                      "place": place, "retain_until": until, "notes": notes})
        self.wait(2)
        self.add("sample_events", {"sample": sample, "what": "labelled", "at": self.moment(),
                                   "notes": "Label on two faces, over the film"})

    def file(self):
        for records in self.records.values():
            records.sort(key=lambda record: record["id"])
        return {"format": "tautbook-records", "version": 1, "records": self.records}
