"""look.html as it is printed: no page ends with the title of a drawing that is on the next.

Debian's chromium prints the page, poppler tells which words are on which sheet of paper. The titles are those of
the setups and of the parted sheets in report.json, or, without stock, of the trays.

usage: look_print.py OUT...
"""

import json
import pathlib
import re
import subprocess
import sys
import tempfile


def pages(html, folder):
    pdf = folder / "look.pdf"
    subprocess.run(["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder}", "--no-pdf-header-footer",
                    f"--print-to-pdf={pdf}", html.resolve().as_uri()], check=True, capture_output=True, timeout=300)
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], check=True, capture_output=True, text=True).stdout
    return [[line.strip() for line in page.splitlines() if line.strip()] for page in text.split("\f")]


def titled(report):
    names = {s["sheet"] for s in report.get("setups") or []}
    names |= {re.sub(r"-p\d+$", "", n) for n in names}
    return names


faults, seen = 0, 0
for out in map(pathlib.Path, sys.argv[1:]):
    names = titled(json.loads((out / "report.json").read_text()))
    with tempfile.TemporaryDirectory() as folder:
        for number, page in enumerate(pages(out / "look.html", pathlib.Path(folder)), 1):
            heads = [line for line in page if any(re.match(rf"{re.escape(n)}: ", line) for n in names)]
            seen += len(heads)
            if page and page[-1] in heads:
                print(f"{out}: page {number} ends with the title {page[-1]!r}")
                faults += 1
    if names and not seen:
        print(f"{out}: no title of a sheet is on any page")
        faults += 1
print(f"{seen} titles, {faults} faults")
sys.exit(faults > 0)
