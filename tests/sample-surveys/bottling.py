"""A beverage plant, in pounds and ounces: two sound lines and no standard of the customer's own."""
from physics import IN_M, Imperial
from visit import Visit

START = "2026-03-18T07:10:00"
LB = 0.45359237


def loads(first, height, lb, **more):
    shape = {"l": 48 * IN_M, "w": 40 * IN_M, "h": height * IN_M, "kg": lb * LB,
             "stability": "moderate", **more}
    return [dict(shape, name=f"Load {first + n}") for n in range(3)]


def inches(setup):
    return {**setup, **{key: setup[key] * IN_M for key in ("up", "down", "over", "width")}}


def make():
    near = {"from_side": 18 * IN_M, "from_top": 10 * IN_M, "pulled": 4 * IN_M,
            "bottom": 12 * IN_M, "tare_kg": 2 * LB / 16, "pull_fields": {}, "torsion_fields": {}}
    v = Visit(42, START, -300, Imperial(), "R. Moss", {
        "customer": "Pell River Bottling", "site": "Weir Street", "date": START[:10],
        "rep": "R. Moss", "purpose": "baseline",
        "bag": [{"text": "Torsion tool, pull plate, film scale, micrometer, tape", "done": True},
                {"text": "Marker pens", "done": True}],
        "safety": [{"text": "Safety glasses, hearing protection, hair net", "done": True},
                   {"text": "Visitor induction at the gate", "done": True}],
        "notes": "The plant has no containment standard of its own yet. It will note which of "
                 "these loads arrive whole."}, 4 * IN_M, near)
    v.caution("site")
    u = v.units
    oz = 0.27801385095378125
    v.add_tool("torsion_tool", "Torsion tool, yellow", 61, 180, force_step=u.force(oz),
               force_range=u.force(320 * oz), lever_arm=u.length(4 * IN_M))
    v.add_tool("pull_plate", "Pull plate, yellow", 61, 180, force_step=u.force(oz),
               force_range=u.force(800 * oz))
    v.add_tool("film_scale", "Bench scale", 15, 365, mass_step=u.film_mass(0.1 * LB / 16),
               mass_range={"kg": 11 * LB, "entered": "11 lb"})
    v.add_tool("micrometer", "Micrometer, blue case", 120, 365, thickness_step=u.thickness(254e-9))
    v.add_tool("tape", "Tape 25 ft", 200, 730)
    v.zero("micrometer")
    clear = {"name": "Clear 60 gauge", "nominal": 60 * 254e-9, "true": 59.5 * 254e-9,
             "width": 20 * IN_M, "length": 7500 * 0.3048, "density": 918.0,
             "price": {"amount": 1.48, "currency": "USD", "per": "pound"},
             "core_arrow": "Arrow shows the side that clings"}
    blue = {"name": "Blue tint 70 gauge", "nominal": 70 * 254e-9, "true": 69 * 254e-9,
            "width": 20 * IN_M, "length": 6000 * 0.3048, "density": 920.0, "cling": "both",
            "price": {"amount": 52.0, "currency": "USD", "per": "roll"}}
    case_line(v, clear)
    shrink_line(v, blue)
    return v.file()


def case_line(v, clear):
    line = v.add_line("Case line 1", product="24 x 500 ml, cartons",
                      volume={"per_shift": {"loads": 210, "shifts_a_day": 3, "days_a_year": 330}},
                      wrapper={"kind": "ring", "make_model": "Stillwater R-9",
                               "pre_stretch": "powered", "rotation": "clockwise",
                               "nominal_pre_stretch": {"ratio": 2.5, "entered": "250 %"},
                               "condition": "Two years old"})
    v.look_over(line, "Line mechanic, first shift", [
        ("roller_light", "good", "No light"), ("roller_surface", "good", "Clean"),
        ("chain_or_belt", "good", "Belts tight"),
        ("film_tail", "adjusted", "Tail brush moved in with the operator")])
    v.add_film(clear)
    plan = {"celsius": 21.0, "marks_m": 20 * IN_M, "weigh": [(0, 3), (1, 3)],
            "rounds": {"torsion_tool": [3], "pull_plate": [3, 3, 1]},
            "faces": {"torsion_tool": ["front", "right", "back"],
                      "pull_plate": ["front", "back"]},
            "spoil": {("Wider spiral", 0, "torsion_tool", "middle", 1): "tool slipped"}}
    base = inches({"up": 8, "down": 8, "over": 3, "bottom": 3, "top": 3, "panel": "B",
                   "set_stretch": 2.5, "pre": 2.47, "stretch": 2.5, "width": 17.25, "force": 24})
    found = v.run(line, clear, dict(base, name="As found", role="as_found", breaks=(2, 180),
                                    breaks_notes="Counted by the operator over the shift"),
                  loads(1, 58, 2060), plan)
    wide = dict(base, name="Wider spiral", role="trial", up=11 * IN_M, down=11 * IN_M, top=2,
                panel="C", stretch=2.6, force=25.5, width=17 * IN_M)
    v.run(line, clear, wide, loads(4, 58, 2060), plan)
    left = v.run(line, clear, dict(wide, name="As left", role="as_left", up=10 * IN_M,
                                   down=10 * IN_M, top=3), loads(7, 58, 2060), plan)
    v.finding("A wider spiral holds the middle with less film", "note",
              [("film_weight", found["weights"][0]), ("film_weight", left["weights"][0])],
              "Run it for a month and note which loads arrive whole", "operator", line)
    v.keep(left["loads"][2], "Finished goods, row C", "2026-09-18", "As left, not cut")


def shrink_line(v, blue):
    line = v.add_line("Shrink-pack line 3", product="6 x 2 l shrink packs",
                      volume={"per_year": {"loads": 52_000}},
                      wrapper={"kind": "rotating_arm", "make_model": "Stillwater A-4",
                               "pre_stretch": "mechanical", "rotation": "anticlockwise",
                               "nominal_pre_stretch": {"ratio": 2.0, "entered": "200 %"},
                               "condition": "Worn, runs true"})
    checks = v.look_over(line, "Line mechanic, first shift", [
        ("roller_light", "good", "No light"),
        ("sprockets_or_gears", "good", "Teeth whole"),
        ("springs", "needs_technician", "One spring longer than the other"),
        ("film_path", "good", "As on the machine's picture")])
    v.add_film(blue)
    plan = {"celsius": 22.0, "marks_m": 20 * IN_M, "weigh": [(0, 3), (1, 2)],
            "rounds": {"torsion_tool": [3], "pull_plate": [3, 1, 1]},
            "faces": {"torsion_tool": ["front", "right", "left"],
                      "pull_plate": ["front", "right", "back"]}}
    base = inches({"up": 6, "down": 6, "over": 4, "bottom": 4, "top": 3, "panel": "7",
                   "set_stretch": 2.0, "pre": 1.95, "stretch": 2.0, "width": 17,
                   "force": 25, "spiral": "overlap"})
    found = v.run(line, blue, dict(base, name="As found", role="as_found", breaks=(0, 70)),
                  loads(31, 64, 1880), plan)
    v.run(line, blue, dict(base, name="Less overlap", role="trial", up=9 * IN_M, down=9 * IN_M),
          loads(34, 64, 1880), plan)
    v.run(line, blue, dict(base, name="As left", role="as_left", up=8 * IN_M, down=8 * IN_M),
          loads(37, 64, 1880), plan)
    v.finding("One pre-stretch spring is longer than the other", "matters",
              [("machine_check", checks["springs"])], "Change both springs together", "technician",
              line)
    v.finding("The film lies two thirds on the turn before: more than the load seems to need",
              "note", [("setup", found["setup"]), ("film_weight", found["weights"][0])],
              "Agree a standard from loads that arrive whole, then try again", "operator", line)
