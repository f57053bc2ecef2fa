"""A page printed to PDF by a browser that is already there, with the network shut."""

from __future__ import annotations

import datetime as dt
import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from plateline.errors import NoResultError, UsageError

__all__ = ["BROWSER", "find_browser", "print_pdf"]

BROWSER = "PLATELINE_BROWSER"
"""Environment variable that names the browser to print with."""

PRINT_TIMEOUT_S = 60

# Browsers of one family print from the command line in the same way.
_NAMES = (
    "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome",
    "microsoft-edge", "microsoft-edge-stable", "msedge", "brave-browser",
)  # fmt: skip
_ELSEWHERE = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)


def find_browser() -> str:
    """Return the browser that prints.

    Raises
    ------
    UsageError
        When there is none; says what to install.
    """
    asked = os.environ.get(BROWSER)
    if asked:
        found = shutil.which(asked)
        if found is None:
            raise UsageError(f"{BROWSER} names {asked!r}, which is no program on this machine.")
        return found
    for name in (*_NAMES, *_ELSEWHERE):
        found = shutil.which(name)
        if found:
            return found
    raise UsageError(
        "Printing to PDF needs a browser of the Chromium family; install one (on Debian: "
        f"apt-get install chromium), or name one in {BROWSER}, or print from your own browser."
    )


def print_pdf(page: Path, pdf: Path, dated: dt.date) -> None:
    """Print an HTML page to a PDF file, the same for the same page and browser.

    The browser gets a profile of its own that is thrown away, and no way to any network: what
    is not in the page is not in the print. `dated` stands in the file as its date, instead of
    the moment of printing.

    Raises
    ------
    UsageError
        When there is no browser.
    NoResultError
        When the browser did not print.
    """
    browser = find_browser()
    with tempfile.TemporaryDirectory(prefix="plateline-print-") as profile:
        command = [
            browser,
            "--headless",
            "--disable-gpu",
            "--disable-extensions",
            "--disable-background-networking",
            "--no-first-run",
            "--host-resolver-rules=MAP * ~NOTFOUND",
            "--proxy-server=127.0.0.1:9",
            f"--user-data-dir={profile}",
            "--virtual-time-budget=10000",
            "--no-pdf-header-footer",
            f"--print-to-pdf={pdf.resolve()}",
            page.resolve().as_uri(),
        ]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            # Chromium refuses its own sandbox to root; the page's policy still forbids scripts
            # that are not the page's own.
            command.insert(1, "--no-sandbox")
        try:
            done = subprocess.run(
                command, stdin=subprocess.DEVNULL, capture_output=True, check=False,
                timeout=PRINT_TIMEOUT_S,
            )  # fmt: skip
        except subprocess.TimeoutExpired:
            raise NoResultError(
                f"{Path(browser).name} did not print within {PRINT_TIMEOUT_S} s."
            ) from None
        except OSError as error:
            raise UsageError(f"{browser} cannot be started: {error.strerror}.") from None
    if done.returncode or not pdf.is_file() or not pdf.stat().st_size:
        words = done.stderr.decode(errors="replace").strip().splitlines()
        raise NoResultError(
            f"{Path(browser).name} did not print"
            f"{': ' + words[-1] if words else ' and did not say why'}."
        )
    pdf.write_bytes(_DATE.sub(rf"\g<1>{dated:%Y%m%d}000000+00'00'".encode(), pdf.read_bytes()))


# Dates as the browser writes them (ISO 32000-1, 7.9.4); the new one is as long, so the file's
# table of offsets stays true.
_DATE = re.compile(rb"(/(?:CreationDate|ModDate) \(D:)\d{14}[+-]\d\d'\d\d'")
