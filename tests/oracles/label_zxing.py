"""What an independent reader, zxing-cpp, reads from our printed labels.

Writes label_zxing.json beside this file: for each printed page its SHA-256 and the texts of all
square codes on it, with their version and correction level. The test prints the pages again and
holds both against it, so that the pages read here are those printed there.

    cargo run -p tautbook-tests --bin make-labels -- target/labels
    python3 -m pip install zxing-cpp pillow numpy
    python3 tests/oracles/label_zxing.py target/labels
"""

import hashlib
import importlib.metadata
import json
import pathlib
import platform
import sys

import numpy
import zxingcpp
from PIL import Image

pages = {}
for file in sorted(pathlib.Path(sys.argv[1]).glob("*.png")):
    picture = numpy.asarray(Image.open(file).convert("L"))
    found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    assert all(code.valid and code.ec_level == "H" for code in found)
    pages[file.name] = {
        "sha256": hashlib.sha256(file.read_bytes()).hexdigest(),
        "texts": sorted(code.text for code in found),
    }

made = {
    "made_with": {
        "python": platform.python_version(),
        "zxing-cpp": importlib.metadata.version("zxing-cpp"),
    },
    "pages": pages,
}
path = pathlib.Path(__file__).with_suffix(".json")
path.write_text(json.dumps(made, indent=1) + "\n")
