#!/usr/bin/env python3
"""Writes the DXF samples and cases: `python3 tests/cases/dxf.py`. Every coordinate below was set by
hand."""
import pathlib

SAMPLES = pathlib.Path(__file__).resolve().parents[2] / "samples"
CASES = pathlib.Path(__file__).resolve().parent / "dxf"


def groups(text):
    """`code value | code value` as lines."""
    out = []
    for group in filter(None, (part.strip() for part in text.split("|"))):
        code, _, value = group.partition(" ")
        out += [code, value]
    return "\n".join(out)


def section(name, text):
    return groups(f"0 SECTION | 2 {name} | {text} | 0 ENDSEC")


def line(layer, handle, a, b):
    return f"0 LINE | 5 {handle} | 8 {layer} | 10 {a[0]} | 20 {a[1]} | 30 0 | 11 {b[0]} | 21 {b[1]} | 31 0 |"


def arc(layer, handle, c, r, start, end):
    return f"0 ARC | 5 {handle} | 8 {layer} | 10 {c[0]} | 20 {c[1]} | 30 0 | 40 {r} | 50 {start} | 51 {end} |"


def write(name, first, entities, units="4", blocks="", after="0\nEOF\n", folder=SAMPLES):
    header = section("HEADER", f"9 $INSUNITS | 70 {units}") if units else ""
    parts = [f"999\n{first}", header, section("BLOCKS", blocks), section("ENTITIES", entities)]
    (folder / name).write_text("\n".join(filter(None, parts)) + "\n" + after)


def square(handle=0x20, gap=0.0):
    """Four loose lines round (0, 0) to (120, 80); the last stops short of the first."""
    corners = [(0, 0), (120, 0), (120, 80), (0, 80)]
    ends = [(120, 0), (120, 80), (0, 80), (0, gap)]
    return "".join(line("0", f"{handle + i:X}", a, b) for i, (a, b) in enumerate(zip(corners, ends)))


write(
    "key-rack.dxf",
    "Shows: loose lines and arcs of a DXF drawing put together, its centre lines and note left out.",
    # The plate, 240 by 80, its upper corners rounded with 30; pieces in no order, some backwards.
    line("PLATE", "21", (0, 0), (240, 0))
    + line("PLATE", "22", (30, 80), (210, 80))
    + arc("PLATE", "23", (210, 50), 30, 0, 90)
    + line("PLATE", "24", (240, 50), (240, 0))
    + arc("PLATE", "25", (30, 50), 30, 90, 180)
    + line("PLATE", "26", (0, 0), (0, 50))
    # A slot, 110 by 30, as one polyline whose ends are half circles.
    + "0 LWPOLYLINE | 5 27 | 8 SLOT | 90 4 | 70 1 | 10 80 | 20 25 | 10 160 | 20 25 | 42 1 |"
    + "10 160 | 20 55 | 10 80 | 20 55 | 42 1 |"
    + line("CENTRE", "28", (-10, 40), (250, 40))
    + line("CENTRE", "29", (120, -10), (120, 90))
    + "0 TEXT | 5 2A | 8 NOTES | 10 90 | 20 10 | 30 0 | 40 5 | 1 Key rack, invented |",
)
write("bad/no-unit.dxf", "expect: dxf-no-unit", square(), units="")
write("bad/odd-unit.dxf", "expect: dxf-odd-unit", square(), units="3")
write("bad/open-chain.dxf", "expect: outline-open element LINE#23", square(gap=0.4))
write("bad/damaged-header.dxf", "expect: dxf-damaged line 10", square(), units="inches")
write("bad/cut-short.dxf", "expect: dxf-damaged", square(), after="0\nSECTION\n2\nENTITIES\n0\nLINE\n10")
write(
    "bad/text-only.dxf",
    "expect: dxf-text-only",
    "0 TEXT | 5 20 | 8 0 | 10 0 | 20 0 | 30 0 | 40 5 | 1 A part |",
)
write("bad/no-such-layer.dxf", "expect: dxf-no-such-layer options: --layer rim*", square())
write(
    "bad/not-flat.dxf",
    "expect: dxf-not-flat element LINE#24",
    square() + "0 LINE | 5 24 | 8 0 | 10 5 | 20 5 | 30 0 | 11 60 | 21 5 | 31 12 |",
)
write(
    "bad/block-in-itself.dxf",
    "expect: dxf-too-deep",
    square() + "0 INSERT | 5 24 | 8 0 | 2 A | 10 0 | 20 0 | 30 0 |",
    blocks="0 BLOCK | 8 0 | 2 A | 70 0 | 10 0 | 20 0 | 30 0 | 0 INSERT | 5 30 | 8 0 | 2 A | 10 1 | 20 0 | 30 0 | 0 ENDBLK |",
)
write(
    "bad/without-knots.dxf",
    "expect: dxf-unreadable element SPLINE#20",
    "0 SPLINE | 5 20 | 8 0 | 70 8 | 71 3 | 10 0 | 20 0 | 30 0 | 10 9 | 20 0 | 30 0 | 10 9 | 20 9 | 30 0 | 10 0 | 20 9 | 30 0 |",
)
# A plate with one side missing round a closed hole: the hole must not be taken for the part.
write(
    "bad/open-round-a-hole.dxf",
    "expect: outline-open",
    "".join(square().split("0 LINE")[i] and "0 LINE" + square().split("0 LINE")[i] for i in (1, 2, 3))
    + "0 CIRCLE | 5 30 | 8 0 | 10 80 | 20 40 | 30 0 | 40 15 |",
)
write("bad/pixels-of-a-dxf.dxf", "expect: dxf-known-size options: --ppi 96", square())
(SAMPLES / "bad/not-dxf.dxf").write_text("999\nexpect: dxf-not-dxf\na drawing of some other kind\n0\n")


def points(*at):
    return "".join(f" 10 {x} | 20 {y} | 30 0 |" for x, y in at)


# What the fuzz target of DXF starts from, one kind of entity each.
write(
    "spline.dxf",
    "A closed line of a spline with weights and a chord.",
    "0 SPLINE | 5 20 | 8 0 | 70 12 | 71 3 | 72 8 | 73 4 |"
    + "".join(f" 40 {knot} |" for knot in (0, 0, 0, 0, 1, 1, 1, 1))
    + "".join(f" 41 {weight} |" for weight in (1, 2, 0.5, 1))
    + points((0, 0), (40, 80), (80, 80), (120, 0))
    + line("0", "21", (120, 0), (0, 0)),
    folder=CASES,
)
write(
    "through.dxf",
    "A spline through points, with its first direction.",
    "0 SPLINE | 5 20 | 8 0 | 70 8 | 71 3 | 74 4 | 12 0 | 22 1 | 32 0 |"
    + "".join(f" 11 {x} | 21 {y} | 31 0 |" for x, y in ((0, 0), (40, 60), (80, 60), (120, 0)))
    + line("0", "21", (120, 0), (0, 0)),
    folder=CASES,
)
write(
    "ellipse.dxf",
    "An ellipse's upper half and its diameter.",
    "0 ELLIPSE | 5 20 | 8 0 | 10 60 | 20 0 | 30 0 | 11 60 | 21 0 | 31 0 | 40 0.5 | 41 0 | 42 3.141592653589793 |"
    + line("0", "21", (0, 0), (120, 0)),
    folder=CASES,
)
write(
    "placed.dxf",
    "A block in two rows, turned and stretched, and one seen from behind.",
    "0 INSERT | 5 20 | 8 0 | 2 PEG | 10 10 | 20 20 | 41 2 | 42 1 | 50 30 | 70 2 | 71 2 | 44 90 | 45 60 |"
    + " 0 CIRCLE | 5 21 | 8 BACK | 62 3 | 10 -300 | 20 40 | 30 0 | 40 15 | 210 0 | 220 0 | 230 -1 |",
    blocks="0 BLOCK | 8 0 | 2 PEG | 70 0 | 10 1 | 20 1 | 30 0 | 0 LWPOLYLINE | 8 0 | 90 3 | 70 1 | 10 0 | 20 0 |"
    + " 10 20 | 20 0 | 42 0.5 | 10 20 | 20 20 | 0 ENDBLK |",
    folder=CASES,
)
write(
    "polyline.dxf",
    "A polyline of the old kind, with a bulge.",
    "0 POLYLINE | 5 20 | 8 0 | 66 1 | 70 1 | 0 VERTEX | 8 0 | 10 0 | 20 0 | 0 VERTEX | 8 0 | 10 120 | 20 0 | 42 1 |"
    + " 0 VERTEX | 8 0 | 10 120 | 20 60 | 0 VERTEX | 8 0 | 10 0 | 20 60 | 0 SEQEND |",
    units="1",
    folder=CASES,
)
