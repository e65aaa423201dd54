"""A parts warehouse, in pounds and ounces, with faults to find on its first dock."""
from bottling import LB, inches
from physics import IN_M, Imperial
from visit import Visit

START = "2026-03-25T09:00:00"


def loads(first, height, lb, **more):
    shape = {"l": 48 * IN_M, "w": 40 * IN_M, "h": height * IN_M, "kg": lb * LB,
             "stability": "unsteady", "fit": {"inset": Imperial().length(IN_M)}, **more}
    return [dict(shape, name=f"Order {first + 3 * n}", kg=(lb + 20 * n) * LB) for n in range(3)]


def make():
    near = {"from_side": 18 * IN_M, "from_top": 10 * IN_M, "pulled": 4 * IN_M,
            "bottom": 12 * IN_M, "tare_kg": 1.5 * LB / 16, "pull_fields": {},
            "torsion_fields": {}}
    v = Visit(43, START, -360, Imperial(), "T. Arden", {
        "customer": "Oakum Parts", "site": "Drover Road, warehouse 3", "date": START[:10],
        "rep": "T. Arden", "purpose": "follow_up",
        "bag": [{"text": "Torsion tool, pull plate, film scale, micrometer, tape", "done": True},
                {"text": "Feeler gauges and a pocket lamp", "done": True}],
        "safety": [{"text": "High-visibility vest, safety shoes, cut-resistant gloves",
                    "done": True},
                   {"text": "Dock doors closed while measuring", "done": False}],
        "notes": "Carriers report loads that came apart at the bottom. Mixed orders, cartons of "
                 "every size."}, 4 * IN_M, near)
    v.caution("site")
    u = v.units
    ozf = 0.27801385095378125
    v.add_tool("torsion_tool", "Torsion tool, green", 30, 180, force_step=u.force(ozf),
               force_range=u.force(320 * ozf), lever_arm=u.length(4 * IN_M))
    v.add_tool("pull_plate", "Pull plate, green", 412, 180, force_step=u.force(ozf),
               force_range=u.force(800 * ozf), notes="Check is overdue")
    v.add_tool("film_scale", "Parcel scale of the dock", 80, 365,
               mass_step=u.film_mass(0.1 * LB / 16), mass_range={"kg": 33 * LB,
                                                                 "entered": "33 lb"})
    v.add_tool("micrometer", "Micrometer, green case", 95, 365,
               thickness_step=u.thickness(254e-9))
    v.add_tool("tape", "Tape 16 ft", 150, 730)
    v.zero("micrometer")
    v.add_targets("Oakum dock standard 4", {
        "torsion_tool": (36 * ozf, 36 * ozf, 50 * ozf),
        "pull_plate": (112 * ozf, 112 * ozf, 168 * ozf)})
    clear = {"name": "Clear 80 gauge", "nominal": 80 * 254e-9, "true": 70 * 254e-9,
             "width": 20 * IN_M, "length": 6000 * 0.3048, "density": 918.0,
             "price": {"amount": 1.61, "currency": "USD", "per": "pound"},
             "notes": "Label says 80 gauge; the roll weighs less than its label's length asks for"}
    other = {"name": "Clear 63 gauge, second maker", "nominal": 63 * 254e-9,
             "true": 62.5 * 254e-9, "width": 20 * IN_M, "length": 7500 * 0.3048,
             "density": 920.0, "price": {"amount": 1.66, "currency": "USD", "per": "pound"}}
    dock_four(v, clear, other)
    dock_six(v, other)
    return v.file()


def dock_four(v, clear, other):
    line = v.add_line("Dock 4", product="Mixed orders, cartons",
                      volume={"per_shift": {"loads": 85, "shifts_a_day": 2, "days_a_year": 250}},
                      wrapper={"kind": "turntable", "make_model": "Fenwright 2000",
                               "pre_stretch": "powered", "rotation": "clockwise",
                               "nominal_pre_stretch": {"ratio": 2.5, "entered": "250 %"},
                               "condition": "Rollers glazed, chain slack"})
    checks = v.look_over(line, "Site maintenance, key 12", [
        ("roller_light", "needs_technician", "Light over two thirds of the rollers' length"),
        ("roller_gap", "needs_technician", "Upper end, by feeler gauge",
         {"m": 0.03 * IN_M, "entered": "0.03 in"}),
        ("roller_surface", "needs_technician", "Glazed and hard"),
        ("chain_or_belt", "needs_technician", "Chain hangs on the lower side"),
        ("springs", "not_looked_at", "Cover stays on"),
        ("film_tail", "adjusted", "Tail hung loose; end of the programme set with the operator")])
    v.add_film(clear, 6)
    v.add_film(other)
    plan = {"celsius": 11.0, "marks_m": 10 * IN_M, "weigh": [(0, 3), (1, 3)],
            "rounds": {"torsion_tool": [3], "pull_plate": [3, 3, 1]},
            "faces": {"torsion_tool": ["front", "right", "back"],
                      "pull_plate": ["front", "back"]},
            "outlier": {("As found", 1, "torsion_tool", "middle", 2): 1.9},
            "spoil": {("As found", 0, "pull_plate", "bottom", 1): "film tore"}}
    base = inches({"up": 8, "down": 8, "over": 3, "bottom": 1, "top": 3, "panel": "6 of 10",
                   "set_stretch": 2.5, "pre": 1.5, "stretch": 1.58, "width": 18, "force": 22})
    wrapped = loads(88120, 62, 910)
    for load in wrapped:
        load["tail"] = "loose"
    wrapped[0]["breaks"] = wrapped[2]["breaks"] = 1
    wrapped[2]["damage"] = "Two cartons of the lowest layer pushed out"
    found = v.run(line, clear, dict(base, name="As found", role="as_found", breaks=(5, 40),
                                    breaks_notes="Counted by the dock over the morning"),
                  wrapped, plan)
    low = dict(base, name="Four turns at the bottom", role="trial", bottom=4)
    v.run(line, clear, low, loads(88130, 62, 890), plan)
    thin = dict(low, name="Second maker's film", pre=1.58, stretch=1.65, force=19.5)
    v.run(line, other, thin, loads(88140, 62, 900), plan)
    left = v.run(line, clear, dict(low, name="As left", role="as_left", up=9 * IN_M,
                                   down=9 * IN_M, panel="5 of 10", force=22, breaks=(1, 25)),
                 loads(88150, 62, 900), plan)
    v.finding("Measured pre-stretch is far under the 250 % the panel shows: the film slips",
              "serious", [("stretch_mark", found["marks"][0]), ("stretch_mark", found["marks"][1]),
                          ("machine_check", checks["roller_light"]),
                          ("machine_check", checks["chain_or_belt"])],
              "Rollers and chain by a qualified technician, then measure again", "technician", line)
    v.finding("The bottom of the load stays below the dock's standard", "serious",
              [("reading", found["readings"][n]) for n in (2, 5, 8)],
              "Four turns at the bottom, tried and left so", "operator", line, "done")
    v.finding("The film is thinner than its label says", "matters",
              [("thickness", record) for record in clear["thicknesses"][:3]]
              + [("film_roll", clear["id"])],
              "Ask the maker for the roll's own test, weigh the next rolls", "rep_with_operator",
              line)
    v.finding("Tails hang loose and catch on lift trucks", "matters",
              [("load", load) for load in found["loads"]]
              + [("machine_check", checks["film_tail"])],
              "End of the programme set so that the tail is wiped down", "operator", line, "done")
    v.finding("The film breaks once in eight loads", "matters",
              [("film_breaks", found["breaks"]), ("film_breaks", left["breaks"])],
              "Count again once the rollers are done", "operator", line)
    v.finding("One reading in the middle stands far above the others: measured over a carton edge",
              "note", [("reading", found["outlier"])], "Left in; measure there again next time",
              "rep_with_operator", line)
    v.keep(left["loads"][2], "Dock 4, rack 2", "2026-05-25",
           "As left, not cut; to be measured again after 24 and 72 hours")


def dock_six(v, other):
    line = v.add_line("Dock 6", product="Single-item pallets",
                      volume={"per_year": {"loads": 14_500}},
                      wrapper={"kind": "turntable", "make_model": "Fenwright 1200",
                               "pre_stretch": "mechanical", "rotation": "clockwise",
                               "nominal_pre_stretch": {"ratio": 2.0, "entered": "200 %"},
                               "condition": "In order"})
    v.look_over(line, "Site maintenance, key 12", [
        ("roller_light", "good", "No light"), ("roller_surface", "good", "Even"),
        ("chain_or_belt", "good", "Slack as the manual has it")])
    plan = {"celsius": 11.0, "marks_m": 10 * IN_M, "weigh": [(0, 3), (1, 2)],
            "rounds": {"torsion_tool": [3], "pull_plate": [3, 1, 1]},
            "faces": {"torsion_tool": ["front", "right", "left"], "pull_plate": ["front", "back"]}}
    base = inches({"up": 8, "down": 8, "over": 2, "bottom": 3, "top": 2, "panel": "4",
                   "set_stretch": 2.0, "pre": 1.97, "stretch": 2.03, "width": 17.5, "force": 24})
    shape = (54, 1240)
    v.run(line, other, dict(base, name="As found", role="as_found", breaks=(0, 30)),
          loads(61201, *shape, stability="moderate"), plan)
    v.run(line, other, dict(base, name="Wider spiral", role="trial", up=9.5 * IN_M,
                            down=9.5 * IN_M), loads(61211, *shape, stability="moderate"), plan)
    v.run(line, other, dict(base, name="As left", role="as_left", up=8.5 * IN_M, down=8.5 * IN_M),
          loads(61221, *shape, stability="moderate"), plan)
