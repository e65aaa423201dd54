//! `tautbook tables`: Parquet files, read back by an engine of others, which shares no code with what
//! wrote them, and held against the sample surveys' own JSON.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod common;

use std::path::{Path, PathBuf};
use std::process::Command;

use common::{SAMPLES, run, sample, sample_book};

const NAMES: [&str; 4] = [
    "loads.parquet",
    "readings.parquet",
    "savings.parquet",
    "setups.parquet",
];

/// What `need_python` of `.ci/packages` makes.
fn python() -> PathBuf {
    let made = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/check-python/bin/python");
    assert!(
        made.exists(),
        "{} is missing: run ./test once, or `. .ci/packages && need_python`",
        made.display()
    );
    made
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Reads the tables and the surveys, and holds every row against its record. Forces, masses and
/// means are worked out from the JSON here, in Python.
const CHECK: &str = r#"
import collections, datetime, json, math, sys
import duckdb

tables, surveys = sys.argv[1], sys.argv[2:]
def table(name):
    return duckdb.read_parquet(f"{tables}/{name}.parquet")
def rows(name):
    relation = table(name)
    # Instants as milliseconds since 1970.
    instants = [f"epoch_ms({column}) as {column}" for column, kind
                in zip(relation.columns, relation.types) if str(kind).startswith("TIMESTAMP")]
    if instants:
        relation = relation.project(f"* replace ({', '.join(instants)})")
    return [dict(zip(relation.columns, row)) for row in relation.fetchall()]
def near(a, b):
    assert a is not None and math.isclose(a, b, rel_tol=1e-12), (a, b)

records = collections.defaultdict(dict)
for survey in surveys:
    for kind, items in json.load(open(survey))["records"].items():
        records[kind].update({item["id"]: item for item in items})
def in_use(kind):
    return {id: item for id, item in records[kind].items() if not item.get("set_aside")}
loads, readings, setups, lines = map(in_use, ["loads", "readings", "setups", "lines"])
readings = {id: r for id, r in readings.items() if r["load"] in loads}

types = {name: str(kind) for name, kind in zip(table("readings").columns, table("readings").types)}
assert types["taken_at"] == "TIMESTAMP WITH TIME ZONE", types
assert types["visit_date"] == "DATE" and types["reading_id"] == "VARCHAR", types
assert types["torsion_tool_n"] == types["pull_plate_n"] == "DOUBLE", types
assert types["order"] == "BIGINT", types

def newtons(reading):
    text = reading["measure"]["force"]
    return text["n"]
seen = {row["reading_id"]: row for row in rows("readings")}
assert seen.keys() == readings.keys()
for id, reading in readings.items():
    row = seen[id]
    own, other = "torsion_tool_n", "pull_plate_n"
    if reading["measure"]["method"] == "pull_plate":
        own, other = other, own
    near(row[own], newtons(reading))
    assert row[other] is None, row
    assert row["method"] == reading["measure"]["method"]
    assert row["load_id"] == reading["load"]
    load = loads[reading["load"]]
    assert row["setup_id"] == load["setup"] and row["load"] == load["name"]
    line = lines[setups[load["setup"]]["line"]]
    assert row["line_id"] == line["id"] and row["visit_id"] == line["visit"]
    visit = records["visits"][line["visit"]]
    assert row["customer"] == visit["customer"] and str(row["visit_date"]) == visit["date"]
    at = datetime.datetime.fromisoformat(reading["taken_at"].replace("Z", "+00:00"))
    epoch = datetime.datetime.fromtimestamp(0, datetime.timezone.utc)
    assert row["taken_at"] == (at - epoch) // datetime.timedelta(milliseconds=1), (row, at)
    assert row["entered"] == reading["measure"]["force"]["entered"]
    if isinstance(reading["zone"], str):
        assert row["zone"] == reading["zone"] and row["zone_height_m"] is None
    else:
        near(row["zone_height_m"], reading["zone"]["height"]["m"])

# No column of forces has both methods in it.
both = table("readings").filter("torsion_tool_n is not null and pull_plate_n is not null")
assert both.count("*").fetchall()[0][0] == 0
for name in table("readings").columns:
    if name.endswith("_n"):
        assert name.startswith(("torsion_tool", "pull_plate")), name

weights = collections.defaultdict(list)
for weight in in_use("film_weights").values():
    tare = (weight.get("tare") or {"kg": 0})["kg"]
    weights[weight["load"]].append((weight["gross"]["kg"] - tare, weight["loads_together"]))
seen = {row["load_id"]: row for row in rows("loads")}
assert seen.keys() == loads.keys()
for id, load in loads.items():
    row = seen[id]
    for name in ["length", "width", "height"]:
        if load.get(name):
            near(row[name + "_m"], load[name]["m"])
        else:
            assert row[name + "_m"] is None
    own = weights[id]
    if own:
        near(row["film_kg_a_load"], sum(net for net, _ in own) / sum(n for _, n in own))
    else:
        assert row["film_kg_a_load"] is None
    count = sum(r["load"] == id and r["measure"]["method"] == "torsion_tool" for r in readings.values())
    assert row["torsion_tool_readings"] == count

seen = {row["setup_id"]: row for row in rows("setups")}
assert seen.keys() == setups.keys()
for id, row in seen.items():
    for zone in ["top", "middle", "bottom"]:
        of = [newtons(r) for r in readings.values()
              if loads[r["load"]]["setup"] == id and r["zone"] == zone
              and r["measure"]["method"] == "torsion_tool"]
        assert row[f"torsion_tool_{zone}_readings"] == len(of)
        if of:
            near(row[f"torsion_tool_{zone}_lowest_n"], min(of))
            near(row[f"torsion_tool_{zone}_mean_n"], math.fsum(of) / len(of))

def film(setup):
    own = [w for id, load in loads.items() if load["setup"] == setup for w in weights[id]]
    return sum(net for net, _ in own) / sum(n for _, n in own) if len(own) > 1 else None
pairs = {(new, old) for new in setups for old in setups
         if setups[new]["line"] == setups[old]["line"]
         and setups[old]["role"] == "as_found" and setups[new]["role"] != "as_found"}
savings = {(row["new_setup_id"], row["old_setup_id"]): row for row in rows("savings")}
assert savings.keys() == pairs
said = 0
for (new, old), row in savings.items():
    was, now = film(old), film(new)
    if was is None or now is None:
        assert row["film_saved_kg_a_load"] is None and row["missing"], row
        continue
    said += 1
    # A difference of two near numbers: to a millionth of either.
    assert abs(row["film_saved_kg_a_load"] - (was - now)) < 1e-6 * was
    if row["loads_a_year"]:
        year = row["loads_a_year"] * (was - now)
        assert abs(row["film_saved_kg_a_year"] - year) < 1e-6 * was * row["loads_a_year"]
        assert row["film_saved_kg_a_year_low"] < year < row["film_saved_kg_a_year_high"]
        assert row["confidence"] == 0.95 and row["estimated_from"]
assert said >= 1, "no saving was told"
print(len(readings), len(loads), len(setups), len(savings), said)
"#;

#[test]
fn another_engine_reads_every_row_as_it_was_recorded() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    sample_book(at);
    let done = run(at, "tables --book book.taut --out out/tables").fine();
    assert!(done.out.contains("readings.parquet: "), "{done:?}");
    assert_eq!(names(&at.join("out/tables")), NAMES);
    let output = Command::new(python())
        .args(["-c", CHECK])
        .arg(at.join("out/tables"))
        .args(SAMPLES.map(|(name, _)| sample(name)))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    println!("{}", String::from_utf8_lossy(&output.stdout));
}

#[test]
fn the_same_book_gives_the_same_bytes_and_an_earlier_run_is_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    sample_book(at);
    std::fs::create_dir(at.join("one")).unwrap();
    std::fs::write(at.join("one/readings.parquet"), "of an earlier run").unwrap();
    std::fs::write(at.join("one/notes.txt"), "mine").unwrap();
    run(at, "tables --book book.taut --out one").fine();
    run(at, "tables --book book.taut --out two").fine();
    for name in NAMES {
        let read = |folder: &str| std::fs::read(at.join(folder).join(name)).unwrap();
        assert!(read("one").starts_with(b"PAR1"));
        assert_eq!(read("one"), read("two"), "{name}");
    }
    assert_eq!(std::fs::read(at.join("one/notes.txt")).unwrap(), b"mine");
    assert_eq!(names(&at.join("one")).len(), NAMES.len() + 1);
}

#[test]
fn an_empty_book_gives_empty_tables() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    // A book that is started by taking in nothing of use.
    let bad = run(at, "import none.zip --book new.taut");
    assert_eq!(bad.code, Some(1));
    let done = run(at, "tables --book new.taut --out tables").fine();
    assert_eq!(done.out.matches(": 0 rows").count(), 4, "{done:?}");
    let count = "import duckdb, sys\nfor name in ['loads', 'readings', 'savings', 'setups']:\n  \
                 t = duckdb.read_parquet(f'{sys.argv[1]}/{name}.parquet')\n  \
                 assert t.count('*').fetchall()[0][0] == 0 and len(t.columns) > 20";
    let output = Command::new(python())
        .args(["-c", count])
        .arg(at.join("tables"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
}

#[test]
fn a_folder_that_cannot_be_written_is_told_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    sample_book(at);
    std::fs::write(at.join("taken"), "a file").unwrap();
    run(at, "tables --book book.taut --out taken").refused(&["taken", "no table was written"]);
    // A folder of a table's name is in the way of the last of them.
    std::fs::create_dir_all(at.join("full/savings.parquet")).unwrap();
    run(at, "tables --book book.taut --out full").refused(&["savings.parquet"]);
    let left = names(&at.join("full"));
    assert!(!left.iter().any(|name| name.contains(".part")), "{left:?}");
    run(at, "tables --book none.taut --out tables").refused(&["none.taut"]);
    assert!(!at.join("tables").exists());
}
