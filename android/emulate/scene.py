"""What a run on the emulated phone begins with, and what it must have left: `scene.py WHAT FILE`."""
import json
import os
import pathlib
import sqlite3
import subprocess
import sys
import tempfile
import uuid
import zipfile

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


def at(book, place, counted):
    """The person was there when the phone last ended the app; so many were `counted`."""
    with sqlite3.connect(book) as data:
        load = uuid.UUID(bytes=data.execute("SELECT load FROM reading ORDER BY id LIMIT 1").fetchone()[0])
        place = place(str(load))
        data.execute("INSERT OR REPLACE INTO state VALUES ('way', ?)", (json.dumps(["today", place]),))
        data.execute("DELETE FROM state WHERE key = 'down'")
        before = data.execute(f"SELECT count(*) FROM {counted}").fetchone()[0]
    pathlib.Path(book + ".before").write_text(str(before))


def at_read(book):
    at(book, lambda load: {"read": {"load": load, "method": "torsion_tool", "zone": "top", "face": "front"}}, "reading")


def at_photos(book):
    at(book, lambda load: {"photos": {"kind": "load", "id": load}}, "photo")


def at_load(book):
    at(book, lambda load: {"load": load}, "photo")


def at_photos_with_two_left(book):
    """The camera's photo had been brought over when the phone ended the app; over another, and over one
    that was sent, it had ended it before."""
    at_photos(book)
    with sqlite3.connect(book) as data:
        [way] = data.execute("SELECT value FROM state WHERE key = 'way'").fetchone()
    load = json.loads(way)[1]["photos"]["id"]
    photo = ROOT / "tests/fuzz/seeds/photo_intake/grey.jpg"
    folder = pathlib.Path(book).parent / "incoming/camera"
    for name in [f"1 load {load}", f"2 load {load}"]:
        (folder / f"{name}.jpg").write_bytes(photo.read_bytes())
        (folder / f"{name}.item").write_text("content://media/external/images/media/1")
    (folder / f"2 load {load}.tried").write_text("")
    ended_over = folder.parent / "sent/3"
    ended_over.mkdir(parents=True)
    (ended_over / "sent.jpg").write_bytes(photo.read_bytes())
    (folder.parent / "sent/3.read").write_text("")


def spoil(book):
    """The book cannot be opened, until what it is now is put back."""
    os.rename(book, book + ".aside")
    pathlib.Path(book).write_text("This is no book of Tautbook.")


def is_kept_apart(book):
    """What cannot be opened is in a folder of its own; in its place is a book with nothing in it."""
    kept = pathlib.Path(book).with_name("kept-1") / "book.taut"
    if kept.read_text() != "This is no book of Tautbook.":
        raise SystemExit(f"{kept} is another file")
    with sqlite3.connect(book) as data:
        (count,) = data.execute("SELECT count(*) FROM visit").fetchone()
    if count:
        raise SystemExit(f"{count} records in a new book")


def at_send(book):
    at(book, lambda load: "send", "visit")


def has_more(book, counted, more=1):
    before = int(pathlib.Path(book + ".before").read_text())
    with sqlite3.connect(book) as data:
        assert data.execute("PRAGMA integrity_check").fetchone() == ("ok",), "the book is damaged"
        count = data.execute(f"SELECT count(*) FROM {counted}").fetchone()[0]
        assert count == before + more, f"{count - before} were kept"
    desk("--book", book, "check")


def has_reading(book):
    """One reading more, and the book is whole."""
    has_more(book, "reading")


def has_photo(book, more=1):
    """One photo more, and the book is whole, with the photo's file; nothing is left of bringing it.

    What a camera that gave nothing may still write to is noted on."""
    has_more(book, "photo", more)
    incoming = pathlib.Path(book).parent / "incoming"
    left = {file for file in incoming.rglob("*") if file.is_file()}
    for said in incoming.rglob("*.said"):
        left -= {said, said.with_suffix(".item")}
    assert not left, f"{left} are still there"


def has_two_photos(book):
    has_photo(book, 2)


def has_waiting(book):
    """A photo waits, and none was kept."""
    [_] = (pathlib.Path(book).parent / "incoming/sent").rglob("*.jpg")
    with sqlite3.connect(book) as data:
        count = data.execute("SELECT count(*) FROM photo").fetchone()[0]
    assert count == int(pathlib.Path(book + ".before").read_text()), "it was kept with some record"


def has_caption(book, start="Hall 3, dock side"):
    """What was typed is what a photo shows, before what stood there."""
    with sqlite3.connect(book) as data:
        captions = [row[0] for row in data.execute("SELECT body ->> '$.caption' FROM photo")]
    assert any(caption.startswith(start) for caption in captions), f"the captions are {captions}"
    desk("--book", book, "check")


def has_keyed_caption(book):
    has_caption(book, "hi")


def is_day_file(folder):
    """What was put among the downloads is a day file that a book takes in."""
    [file] = [file for file in pathlib.Path(folder).iterdir() if file.stat().st_size]
    with tempfile.TemporaryDirectory() as other:
        desk("--book", f"{other}/book.taut", "import", str(file))


def is_copy(folder):
    """The copy of the book that could not be opened is among the downloads, as it was."""
    copies = [file for file in pathlib.Path(folder).iterdir() if zipfile.is_zipfile(file)]
    with zipfile.ZipFile(copies[-1]) as copy:
        assert copy.testzip() is None
        assert copy.read("book.taut") == b"This is no book of Tautbook.", copy.namelist()
        assert any(name.startswith("photos/") for name in copy.namelist()), copy.namelist()


WHAT = {"day-file": day_file, "at-read": at_read, "has-reading": has_reading, "at-photos": at_photos,
        "has-photo": has_photo, "has-two-photos": has_two_photos,
        "has-caption": has_caption, "has-keyed-caption": has_keyed_caption, "at-send": at_send,
        "at-photos-with-two-left": at_photos_with_two_left, "at-load": at_load, "has-waiting": has_waiting,
        "spoil": spoil, "is-kept-apart": is_kept_apart,
        "is-day-file": is_day_file, "is-copy": is_copy}
WHAT[sys.argv[1]](sys.argv[2])
