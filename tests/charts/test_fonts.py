"""Pictures are the same whatever fonts a machine has, and letters beyond ours still have room."""

from __future__ import annotations

import json
import os
import subprocess
import sys

from plateline.charts import fonts

SCRIPT = (
    "import json, os, sys\n"
    "from plateline.charts import Figure\n"
    "def drawn(name):\n"
    "    spec = {'mark': 'bar', 'data': {'values': [{'lift': name, 'sets': 3}]}, 'encoding': {\n"
    "        'y': {'field': 'lift', 'type': 'nominal'}, 'x': {'field': 'sets', 'type': "
    "'quantitative'}}}\n"
    "    return Figure(spec, title=name, alt=name).to_svg()\n"
    "print(json.dumps([drawn('Überkopfdrücken'), drawn('卧推'), os.environ.get('FONTCONFIG_FILE')]))"
)


def drawn_where(**environment: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT], env=os.environ | environment, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_a_picture_is_the_same_whatever_fonts_there_are(tmp_path):
    other = tmp_path / "fonts.conf"
    other.write_text("<fontconfig><dir>/usr/share/fonts/truetype/dejavu</dir></fontconfig>")
    here, there = drawn_where(), drawn_where(FONTCONFIG_FILE=str(other))
    assert here[0] == there[0]
    # A browser that prints the page finds the machine's fonts as it did before.
    assert there[2] == str(other)


def test_letters_that_our_fonts_lack_are_told():
    for text in ("Bankdrücken ½ × 8", "Жим лёжа", "Πιέσεις", "לחיצת חזה", "e1RM → 100 kg ≥ 3"):
        assert fonts._BEYOND.search(text) is None, text
    for text in ("卧推", "ベンチプレス", "مقعد", "बेंच", "🏋"):
        assert fonts._BEYOND.search(text), text
