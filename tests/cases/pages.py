"""Prints bench sheets from Chromium on A4 and on Letter and counts the pages: each sheet must
fit one. With --pictures, leaves grey pictures of the A4 pages beside each file.

    python3 tests/cases/pages.py [--pictures] FOLDER-OR-HTML ...

Without a name it plans every sample first, with target/debug/spelch. It needs Chromium, and
pdfinfo, pdftotext and pdftoppm of Poppler.
"""

import glob
import os
import re
import subprocess
import sys
import tempfile

PAPERS = {"A4": "A4", "Letter": "letter"}
BRACKET = [
    "samples/ogee-bracket.svg", "--units", "mm", "--grain", "45", "--thick", "19",
    "--true-edges", "left,far", "--bit", "1/2in pattern, 1in long",
    "--bit", "1/2in flush-trim, 1in long",
]


def planned(folder):
    """The bench sheets of every sample, planned into a folder."""
    samples = sorted(set(glob.glob("samples/*.toml")) - {"samples/rack.toml"})
    jobs = [[job] for job in samples] + [BRACKET]
    for job in jobs:
        name = os.path.splitext(os.path.basename(job[0]))[0]
        out = ["--out", os.path.join(folder, name)]
        subprocess.run(["target/debug/spelch", "plan", *job, *out], check=True,
                       capture_output=True)
    return sorted(glob.glob(os.path.join(folder, "*", "*-bench.html")))


def printed(page, paper, folder):
    """The PDF of a page of sheets on one paper."""
    with open(page, encoding="utf-8") as file:
        text = file.read()
    size = PAPERS[paper]
    style = f"@page {{ size: {size}; }} @page picture {{ size: {size} landscape; }}"
    text = text.replace("</style>", style + "</style>", 1)
    stem = os.path.join(folder, f"{os.path.basename(page)[:-5]}-{paper}")
    with open(stem + ".html", "w", encoding="utf-8") as file:
        file.write(text)
    subprocess.run(
        ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--print-to-pdf={stem}.pdf", f"file://{stem}.html"],
        check=True, capture_output=True)
    return stem + ".pdf"


def n_pages(pdf):
    info = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True)
    return int(re.search(r"^Pages:\s+(\d+)", info.stdout, re.M).group(1))


def main(arguments):
    pictures = "--pictures" in arguments
    names = [name for name in arguments if name != "--pictures"]
    bad = 0
    with tempfile.TemporaryDirectory() as folder:
        pages = [found for name in names for found in
                 (glob.glob(os.path.join(name, "**/*-bench.html"), recursive=True)
                  if os.path.isdir(name) else [name])]
        for page in sorted(pages) or planned(folder):
            with open(page, encoding="utf-8") as file:
                text = file.read()
            sheets = len(re.findall(r"<(?:section|figure)\b", text))
            for paper in PAPERS:
                pdf = printed(page, paper, folder)
                count = n_pages(pdf)
                word = "ok" if count == sheets else "RUNS ON"
                print(f"{os.path.basename(page)}: {sheets} sheets, {count} pages of {paper}: {word}")
                bad += count != sheets
                if count != sheets:
                    overflow(pdf, count)
                if pictures and paper == "A4":
                    subprocess.run(["pdftoppm", "-gray", "-r", "75", "-png", pdf,
                                    page[:-5]], check=True)
    return 1 if bad else 0


def overflow(pdf, count):
    """Names the pages that carry on from the one before: they have no heading of a sheet."""
    for number in range(1, count + 1):
        text = subprocess.run(
            ["pdftotext", "-f", str(number), "-l", str(number), "-layout", pdf, "-"],
            check=True, capture_output=True, text=True).stdout
        first = next((line.strip() for line in text.splitlines() if line.strip()), "")
        print(f"    page {number}: {first[:90]}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
