#!/usr/bin/env python3
"""What the programs of all samples cut, by GEOS and by readers of others.

`tests/cases/run` installs what it needs and runs it; by hand: `pip install shapely pygcode`, `npm
install gcode-toolpath` (NODE_PATH says where, if it is elsewhere), `cargo build`, then `python3
tests/cases/programs.py`; with `--all` a reader that is not there fails it. Each sample is planned for
an end mill of 3 mm in four posts, and in one for a machine whose axes are off. The way of the mill is read here anew, checked place by place
against the other readers where they are there, and swept by GEOS; the border of what is cut through
must lie within 0.01 mm of the edge that the drawing asks for, both ways, tabs apart, and so near
to that of every other post.
"""
import json, math, os, pathlib, re, shutil, subprocess, sys, tempfile
import shapely
from shapely.geometry import LineString, Point, Polygon

ROOT = pathlib.Path(__file__).resolve().parents[2]
WORDS = [word for word in sys.argv[1:] if word != "--all"]
ALL = "--all" in sys.argv
TOOL = pathlib.Path(WORDS[0]) if WORDS else ROOT / "target/debug/spelch"
POSTS = ["iso-mm", "iso-inch", "iso-mm-lines", "iso-inch-lines"]
SCALE_X, SCALE_Y, LEAN = 1.004, 0.997, 0.003
AXES = f"[off]\nx-per-100 = {100 * SCALE_X}\ny-per-100 = {100 * SCALE_Y}\nlean-per-100 = {100 * LEAN}\n"
SAME, CHORD, QUAD = 0.01, 0.0002, 256
OPTIONS = {
    "ogee-bracket.svg": "--units mm --grain 45 --thick 19 --true-edges left,far".split()
    + ["--bit", "1/2in pattern, 1in long", "--bit", "1/2in flush-trim, 1in long"],
    "key-rack.dxf": ["--thick", "19mm", "--bit", "12.7mm pattern, 25mm long",
                     "--bit", "12.7mm flush-trim, 25mm long"],
}
NODE = """
const Toolpath = require('gcode-toolpath'), fs = require('fs'), ends = [];
const T = Toolpath.default || Toolpath;
const end = (modal, from, to) => { ends.push([to.x, to.y, to.z]); };
new T({ addLine: end, addArcCurve: end }).loadFromStringSync(fs.readFileSync(process.argv[1], 'utf8'));
console.log(JSON.stringify(ends));
"""


def arc(start, end, centre, sweep):
    """Points along an arc after its start, with chords nowhere farther off than CHORD."""
    r = math.dist(start, centre)
    n = max(2, math.ceil(abs(sweep) / (2 * math.acos(1 - CHORD / max(r, 2 * CHORD)))))
    a = math.atan2(start[1] - centre[1], start[0] - centre[0])
    inner = [(centre[0] + r * math.cos(a + sweep * k / n), centre[1] + r * math.sin(a + sweep * k / n))
             for k in range(1, n)]
    return inner + [end]


def moves(text):
    """(points in the plane, from z, to z) of every move, in mm."""
    at, motion, unit, found = [None, None, None], None, 1.0, []
    for line in text.splitlines():
        words = dict((w[0], float(w[1:])) for w in re.sub(r"\(.*?\)", "", line).split() if w != "%")
        g = [float(w[1:]) for w in re.sub(r"\(.*?\)", "", line).split() if w[0] == "G"]
        for code in g:
            unit = {20: 25.4, 21: 1.0}.get(code, unit)
            motion = code if code in (0, 1, 2, 3) else motion
        if not any(axis in words for axis in "XYZ"):
            continue
        to = [words[a] * unit if a in words else at[i] for i, a in enumerate("XYZ")]
        points = [tuple(at[:2]), tuple(to[:2])]
        if motion in (2, 3) and "I" in words:
            c = (at[0] + words["I"] * unit, at[1] + words["J"] * unit)
            a0 = math.atan2(at[1] - c[1], at[0] - c[0])
            a1 = math.atan2(to[1] - c[1], to[0] - c[0])
            sweep = (a1 - a0) % math.tau if motion == 3 else -((a0 - a1) % math.tau)
            points = [points[0]] + arc(points[0], points[1], c, sweep)
        found.append((points, at[2], to[2]))
        at = to
    return found


def on_wood(ways):
    """Where the mill goes on a machine whose axes are off."""
    def stands(at):
        return at if None in at else (SCALE_X * at[0] + LEAN * SCALE_Y * at[1], SCALE_Y * at[1])
    return [([stands(at) for at in points], high, low) for points, high, low in ways]


def others(path, ways):
    """The other readers come to the same places; which of them were there."""
    ends, there = [w[0][-1] + (w[2],) for w in ways], []
    try:
        import pygcode
    except ImportError:
        pygcode = None
    if pygcode:
        machine, unit, found = pygcode.Machine(), 1.0, []
        for line in path.read_text().splitlines():
            line = re.sub(r"\(.*?\)", "", line)
            unit = 25.4 if "G20" in line else unit
            block = pygcode.Line(line).block
            machine.process_block(block)
            if any(w[0] in "XYZ" for w in line.split()):
                found.append([machine.pos.values[a] * unit for a in "XYZ"])
        compare(path, "pygcode", found, ends)
        there.append("pygcode")
    if shutil.which("node"):
        said = subprocess.run(["node", "-e", NODE, str(path)], capture_output=True, text=True)
        if said.returncode == 0:
            found = json.loads(said.stdout)
            compare(path, "gcode-toolpath", found, ends)
            there.append("gcode-toolpath")
    return there


def compare(path, who, found, ends):
    """Place by place, once X, Y and Z are known."""
    assert len(found) == len(ends), f"{path.name}: {who} finds {len(found)} moves, not {len(ends)}"
    for n, (a, b) in enumerate(zip(found, ends)):
        if None not in b:
            assert math.dist(a, b) < 1e-6, f"{path.name}: {who} is at {a}, not {b} after move {n}"


def template(edges):
    """The template as the drawing asks for it, before any mill, and the loops left to the hand."""
    whole, holes, hand = [], [], []
    for edge in edges:
        points = [tuple(edge["pieces"][0][:2])]
        for p in edge["pieces"]:
            points += [tuple(p[2:4])] if len(p) == 4 else arc(tuple(p[:2]), tuple(p[2:4]), p[4:6], p[6])
        ring = Polygon(points).buffer(0)
        signed = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:]))
        (hand if edge["held"] == "by hand" else whole if 0 < signed else holes).append((ring, edge["grow"]))
    part = shapely.union_all([ring for ring, _ in whole])
    part = part.difference(shapely.union_all([ring for ring, _ in holes]))
    # Islands stand in openings.
    islands = [r for r, _ in whole if any(h.buffer(-1e-6).contains(r) for h, _ in holes)]
    part = shapely.union_all([part] + islands)
    grow = edges[0]["grow"]
    return part.buffer(grow, quad_segs=QUAD, join_style="round") if abs(grow) > 1e-9 else part


def judge(ways, data, radius):
    """The farthest that the border of the cut lies from the edge asked for, and the edge from it."""
    floor = min(w[2] for w in ways)
    full = [w for w in ways if w[1] is not None and max(w[1], w[2]) <= floor + 0.004]
    lines = [LineString(p) if p[0] != p[-1] or len(p) > 2 else Point(p[0]) for p, _, _ in full]
    cut = shapely.union_all([line.buffer(radius, quad_segs=QUAD) for line in lines])
    asked = template(data["edges"])
    for relief in data["reliefs"]:  # a hidden corner may be cut past its lines, so far
        asked = asked.difference(LineString(relief["stem"]).buffer(relief["radius"], quad_segs=QUAD))
    # What a round mill can make of it: inside corners are left round.
    left = asked.buffer(radius, quad_segs=QUAD).buffer(-radius, quad_segs=QUAD)
    edge = left.boundary
    assert cut.intersection(asked.buffer(-SAME)).area < 1e-6, "it cuts into the template"
    tabs = [Point(at) .buffer(12) for at in data["figures"]["tabs_here"]]
    free = edge.difference(shapely.union_all(tabs)) if tabs else edge
    far = max((cut.boundary.distance(Point(p)) for p in samples(free)), default=0.0)
    near = cut.boundary.intersection(left.buffer(radius / 4)).difference(
        shapely.union_all(tabs) if tabs else Polygon())
    back = max((edge.distance(Point(p)) for p in samples(near)), default=0.0)
    return far, back, (near, cut.boundary)


def apart(one, other):
    """How far the borders of two cuts lie from each other at the edge, tabs apart."""
    return max((whole.distance(Point(p)) for (_, whole), (near, _) in [(one, other), (other, one)]
                for p in samples(near)), default=0.0)


def samples(lines):
    """Points every 0.5 mm along lines, and their corners."""
    for line in getattr(lines, "geoms", [lines]):
        if line.length > 0:
            n = max(1, int(line.length / 0.5))
            for k in range(n + 1):
                yield line.interpolate(k / n, normalized=True)


def run(words):
    return subprocess.run([str(TOOL)] + words, capture_output=True, text=True)


def off_copy(job, folder):
    """A copy of a job for a machine whose axes are off, beside all samples, and its rack."""
    there = shutil.copytree(job.parent, folder / "samples")
    text, rack = job.read_text(), there / "rack.toml"
    machine = "" if "\n[machine]" in text else "\n[machine]\nend-mill = \"3mm\"\n"
    (there / job.name).write_text(text + machine + "axes = \"off\"\n")
    rack.write_text(rack.read_text() + AXES)
    return there / job.name, rack


def main():
    print(f"GEOS {shapely.geos_version_string}")
    worst, most, there, count = 0.0, 0.0, set(), 0
    names = sorted(p.name for p in (ROOT / "samples").iterdir()
                   if p.suffix in (".toml", ".svg", ".dxf") and p.name != "rack.toml")
    for name in names:
        first = None
        for post, off in [(post, False) for post in POSTS] + [("iso-mm", True)] * name.endswith(".toml"):
            with tempfile.TemporaryDirectory() as folder:
                out, job = f"{folder}/plan", ROOT / "samples" / name
                mill = ["--end-mill", "3mm", "--post", post]
                if off:
                    job, rack = off_copy(job, pathlib.Path(folder))
                    mill += ["--bits", str(rack)]
                words = [str(job)] + OPTIONS.get(name, [])
                planned = run(["plan"] + words + mill + ["--out", out, "--format", "json"])
                assert planned.returncode == 0, f"{name}: {planned.stderr}"
                files = list(pathlib.Path(out).glob("*.nc"))
                if not files:
                    print(f"{name}: its job asks for no program"); break
                proved = run(["prove", str(files[0]), "--job"] + words + mill + ["--format", "json"])
                data = json.loads(proved.stdout)
                assert data["right"], f"{name}, {post}: {proved.stdout[:300]}"
                zero = json.loads(planned.stdout)["program"]["work_zero"]
                data["figures"]["tabs_here"] = [(x - zero[0], y - zero[1]) for x, y in data["figures"]["tabs"]]
                ways = moves(files[0].read_text())
                there |= set(others(files[0], ways))
                far, back, border = judge(on_wood(ways) if off else ways, data, 1.5)
                title = f"{name}, {post}" + (", axes off" if off else "")
                first = first or border
                most = max(most, apart(first, border))
                assert most <= SAME, f"{title}: {most} from the first post's"
                worst, count = max(worst, far, back), count + 1
                print(f"{title}: edge to cut {far:.4f}, cut to edge {back:.4f} mm")
                assert max(far, back) <= SAME, f"{title}: {far}, {back}"
    print(f"{count} programs, at most {worst:.4f} mm from what was asked for")
    print(f"the same part in every post: at most {most:.4f} mm apart")
    for reader in ("pygcode", "gcode-toolpath"):
        print(f"{reader}: " + ("agrees on every place" if reader in there else "NOT there, not run"))
    assert not ALL or len(there) == 2, "a reader is not there"


main()
