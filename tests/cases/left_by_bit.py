#!/usr/bin/env python3
"""What a round bit leaves of each drawing in this folder, by GEOS.

Run by hand (`pip install shapely`, then `python3 tests/cases/left_by_bit.py`); the areas it prints
stand in `tests/all/left.rs` with the version of GEOS that gave them. Shares nothing with the tool: its own
reader of the few path commands used here, arcs as chords, buffers out and in by the bit's radius.
"""
import math, pathlib, re
import shapely
from shapely.geometry import Polygon

R, ARC, QUAD = 6.35, 4096, 2048

def points(d):
    """Closed loops of a path made of M, L, A and Z with absolute numbers; y turned up."""
    loops, at = [], None
    for word, rest in re.findall(r"([MLAZ])([^MLAZ]*)", d):
        n = [float(x) for x in re.findall(r"-?[\d.]+", rest)]
        if word == "M":
            loops.append([tuple(n)]); at = tuple(n)
        elif word == "L":
            loops[-1].append(tuple(n)); at = tuple(n)
        elif word == "A":
            r, large, sweep, end = n[0], n[3], n[4], (n[5], n[6])
            mid = ((at[0] + end[0]) / 2, (at[1] + end[1]) / 2)
            dx, dy = end[0] - at[0], end[1] - at[1]
            q = math.hypot(dx, dy)
            h = math.sqrt(max(0.0, r * r - q * q / 4)) * (1 if large != sweep else -1)
            c = (mid[0] - dy / q * h, mid[1] + dx / q * h)
            a0 = math.atan2(at[1] - c[1], at[0] - c[0]); a1 = math.atan2(end[1] - c[1], end[0] - c[0])
            if sweep and a1 < a0: a1 += 2 * math.pi
            if not sweep and a0 < a1: a1 -= 2 * math.pi
            for k in range(1, ARC): 
                a = a0 + (a1 - a0) * k / ARC
                loops[-1].append((c[0] + r * math.cos(a), c[1] + r * math.sin(a)))
            loops[-1].append(end); at = end
    return loops

def part(svg):
    d = re.search(r' d="([^"]*)"', svg).group(1)
    shape = None
    for loop in points(d):
        polygon = Polygon(loop)
        shape = polygon if shape is None else shape.symmetric_difference(polygon)
    return shape

print("GEOS", shapely.geos_version_string, "through shapely", shapely.__version__)
for file in sorted(pathlib.Path(__file__).parent.glob("*.svg")):
    shape = part(file.read_text())
    for r in (R, R - 1e-4):
        left = shape.buffer(r, quad_segs=QUAD).buffer(-r, quad_segs=QUAD).difference(shape)
        pieces = left.geoms if hasattr(left, "geoms") else [left]
        areas = sorted((round(p.area, 3) for p in pieces if p.area > 0.02), reverse=True)
        print(f"{file.stem:28} r {r:<8} part {shape.area:10.3f} left {sum(areas):9.3f} in {areas}")
