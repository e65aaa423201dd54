"""Writes the sample surveys: invented visits, the same bytes on every run.

    python3 tests/sample-surveys/make.py sample-surveys
"""
import json
import sys
from pathlib import Path

sys.dont_write_bytecode = True

import bottling  # noqa: E402
import parts  # noqa: E402
import tile  # noqa: E402

for name, visit in (("tile-maker", tile), ("bottling-plant", bottling),
                    ("parts-warehouse", parts)):
    text = json.dumps(visit.make(), indent=1, ensure_ascii=False)
    Path(sys.argv[1], f"{name}.json").write_text(text + "\n", encoding="utf-8")
