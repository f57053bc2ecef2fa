"""Pictures are the same whatever fonts a machine has, and letters beyond ours still have room."""

from __future__ import annotations

import inspect
import json
import os
import subprocess
import sys

from plateline.charts import Figure, fonts


def drawn(name):
    bar = {"mark": "bar", "data": {"values": [{"lift": name, "sets": 3}]}}
    axes = {
        "y": {"field": "lift", "type": "nominal"}, "x": {"field": "sets", "type": "quantitative"}
    }  # fmt: skip
    return Figure(bar | {"encoding": axes}, title=name, alt=name).to_svg()


SCRIPT = (
    f"import json, os\nfrom plateline.charts import Figure\n{inspect.getsource(drawn)}\n"
    "print(json.dumps([drawn('Überkopfdrücken'), drawn('卧推'), os.environ['FONTCONFIG_FILE']]))"
)


def test_a_picture_is_the_same_whatever_fonts_there_are(tmp_path):
    other = tmp_path / "fonts.conf"
    other.write_text("<fontconfig><dir>/usr/share/fonts/truetype/dejavu</dir></fontconfig>")
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT], env=os.environ | {"FONTCONFIG_FILE": str(other)},
        capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    there = json.loads(done.stdout)
    assert there[0] == drawn("Überkopfdrücken")
    # A browser that prints the page finds the machine's fonts as it did before.
    assert there[2] == str(other)


def test_letters_that_our_fonts_lack_are_told():
    for text in ("Bankdrücken ½ × 8", "Жим лёжа", "Πιέσεις", "לחיצת חזה", "e1RM → 100 kg ≥ 3"):
        assert fonts._BEYOND.search(text) is None, text
    for text in ("卧推", "ベンチプレス", "مقعد", "बेंच", "🏋"):
        assert fonts._BEYOND.search(text), text
