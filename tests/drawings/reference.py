"""What ezdxf makes of the DXF drawings of a folder: a line each with its name, the length of its
lines in mm, the area its closed lines go round in mm2, and how many close. Drawings without a
unit are taken to be in mm, as the table does."""

import sys
from pathlib import Path

import ezdxf
from ezdxf import path, recover
from ezdxf.math import Vec3

MM = {0: 1.0, 1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 10: 914.4, 14: 100.0}
KINDS = {"LINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE"}


def drawing(file):
    try:
        return ezdxf.readfile(file)
    except (ezdxf.DXFError, OSError, UnicodeDecodeError):
        return recover.readfile(file)[0]


def is_seen(doc, entity):
    if entity.dxf.get("invisible", 0):
        return False
    if not doc.layers.has_entry(entity.dxf.layer):
        return True
    layer = doc.layers.get(entity.dxf.layer)
    return layer.is_on() and not layer.is_frozen()


def is_mesh(entity):
    return entity.dxftype() == "POLYLINE" and not (
        entity.is_2d_polyline or entity.is_3d_polyline
    )


def taken_apart(space):
    """Blocks are taken apart, dimensions are not: those are no lines of the part."""
    for entity in space:
        if entity.dxftype() != "INSERT":
            yield entity
            continue
        for one in entity.multi_insert() if entity.mcount > 1 else [entity]:
            yield from taken_apart(one.virtual_entities())


def weight(i, p, t, knots):
    """The i-th basis function of degree p (Cox and de Boor's recursion)."""
    if p == 0:
        return 1.0 if knots[i] <= t < knots[i + 1] else 0.0
    rise, fall = knots[i + p] - knots[i], knots[i + p + 1] - knots[i + 1]
    left = (t - knots[i]) / rise * weight(i, p - 1, t, knots) if rise else 0.0
    right = (knots[i + p + 1] - t) / fall * weight(i + 1, p - 1, t, knots) if fall else 0.0
    return left + right


def flat(entity, fine):
    """Points along an entity. Paths take splines only roughly, so those are taken by themselves;
    where the knots do not stand at the ends, ezdxf goes on beyond where the curve is defined, so
    those are worked out here."""
    if entity.dxftype() != "SPLINE" or not entity.control_points:
        return path.make_path(entity).flattening(fine, 64)
    knots, p, points = list(entity.knots), entity.dxf.degree, entity.control_points
    if knots[0] == knots[p] and knots[-1] == knots[-p - 1]:
        return entity.flattening(fine, 64)
    low, high = knots[p], knots[-p - 1]
    at = [low + (high - low) * min(i / 2000, 1 - 1e-12) for i in range(2001)]
    mix = lambda t: sum((weight(i, p, t, knots) * Vec3(q) for i, q in enumerate(points)), Vec3())
    return [mix(t) for t in at]


def measure(doc, file):
    # Where the file has no unit, ezdxf makes one up.
    has_unit = b"$INSUNITS" in file.read_bytes()
    mm = MM[doc.header.get("$INSUNITS", 0) if has_unit else 0]
    length = area = loops = 0
    for entity in taken_apart(doc.modelspace()):
        if entity.dxftype() not in KINDS or is_mesh(entity) or not is_seen(doc, entity):
            continue
        points = [p * mm for p in flat(entity, 1e-4 / mm)]
        if len(points) < 2:
            continue
        closes = getattr(entity, "is_closed", False) and entity.dxftype() != "SPLINE"
        own = sum(a.distance(b) for a, b in zip(points, points[1:]))
        if own <= 1e-2:
            continue
        length += own
        if closes or points[0].distance(points[-1]) <= 1e-2:
            ring = points + points[:1]
            first = points[0]
            twice = sum(
                (a.x - first.x) * (b.y - first.y) - (a.y - first.y) * (b.x - first.x)
                for a, b in zip(ring, ring[1:])
            )
            length += points[0].distance(points[-1])
            area += abs(twice) / 2
            loops += 1
    return length, area, loops


def main():
    folder = Path(sys.argv[1])
    for file in sorted(folder.rglob("*.dxf")):
        try:
            found = measure(drawing(file), file)
        except Exception as error:  # what it cannot read is no reference
            print(f"{file}: {error!r}", file=sys.stderr)
            continue
        print(file.relative_to(folder), *found, sep="\t")


main()
