"""What a run on the emulated phone begins with, and what it must have left: `scene.py WHAT FILE`."""
import json
import os
import pathlib
import sqlite3
import subprocess
import sys
import tempfile
import uuid

ROOT = pathlib.Path(__file__).resolve().parents[2]


def desk(*given):
    """The desk command: the one named by TAUTBOOK, or built for the tests."""
    program = os.environ.get("TAUTBOOK")
    start = [program] if program else ["cargo", "run", "--quiet", "--locked", "-p", "tautbook", "--"]
    subprocess.run([*start, *given], cwd=ROOT, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def day_file(to):
    """A sample survey as a day file, to be sent to the phone."""
    with tempfile.TemporaryDirectory() as folder:
        book = f"{folder}/book.taut"
        desk("--book", book, "import", "sample-surveys/bottling-plant.json")
        desk("--book", book, "export", "latest", "--out", to)


def at_read(book):
    """The person was on Read when the phone last ended the app."""
    with sqlite3.connect(book) as data:
        load = uuid.UUID(bytes=data.execute("SELECT load FROM reading ORDER BY id LIMIT 1").fetchone()[0])
        place = {"read": {"load": str(load), "method": "torsion_tool", "zone": "top", "face": "front"}}
        data.execute("INSERT OR REPLACE INTO state VALUES ('way', ?)", (json.dumps(["today", place]),))
        before = data.execute("SELECT count(*) FROM reading").fetchone()[0]
    pathlib.Path(book + ".before").write_text(str(before))


def has_reading(book):
    """One reading more, of 12 as it was typed, and the book is whole."""
    before = int(pathlib.Path(book + ".before").read_text())
    with sqlite3.connect(book) as data:
        assert data.execute("PRAGMA integrity_check").fetchone() == ("ok",), "the book is damaged"
        count = data.execute("SELECT count(*) FROM reading").fetchone()[0]
        assert count == before + 1, f"{count - before} readings were kept"
    desk("--book", book, "check")


WHAT = {"day-file": day_file, "at-read": at_read, "has-reading": has_reading}
WHAT[sys.argv[1]](sys.argv[2])
