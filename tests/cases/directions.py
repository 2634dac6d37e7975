#!/usr/bin/env python3
"""Derives the directions of every sample anew and prints the table of tests/directions.md.

Run by hand: `python3 tests/cases/directions.py FOLDER`, where FOLDER holds NAME-plan.json of each sample.
From the plans it takes only the names of the stretches, where they begin and end, and which set-up they were
given to; walk angles come from walking the samples' own steps here, and every angle, band and way round from
the rules written out below. Shares nothing with the tool.
"""
import json, math, pathlib, re, sys, tomllib

ROOT = pathlib.Path(__file__).resolve().parents[2]
ang = lambda v: math.degrees(math.atan2(v[1], v[0]))
add = lambda p, v, k=1.0: (p[0] + v[0] * k, p[1] + v[1] * k)
sub = lambda p, q: (p[0] - q[0], p[1] - q[1])

class Line:
    def __init__(self, a, b): self.a, self.b = a, b
    def angle_at(self, p): return ang(sub(self.b, self.a))
    def far(self, p):
        d, w = sub(self.b, self.a), sub(p, self.a); l = d[0]**2 + d[1]**2
        t = max(0, min(1, (w[0]*d[0] + w[1]*d[1]) / l)); return math.dist(p, add(self.a, d, t))
    def back(self): return Line(self.b, self.a)

class Arc:
    def __init__(self, a, b, c, left): self.a, self.b, self.c, self.left = a, b, c, left
    def angle_at(self, p):
        x, y = sub(p, self.c); return ang((-y, x) if self.left else (y, -x))
    def far(self, p):
        f = lambda q: math.atan2(q[1] - self.c[1], q[0] - self.c[0])
        turn = lambda q: ((f(q) - f(self.a)) * (1 if self.left else -1)) % math.tau
        if turn(p) <= turn(self.b) + 1e-9 or math.tau - turn(p) < 1e-6: return abs(math.dist(p, self.c) - math.dist(self.a, self.c))
        return min(math.dist(p, self.a), math.dist(p, self.b))
    def back(self): return Arc(self.b, self.a, self.c, not self.left)

class Cubic:
    def __init__(self, *q): self.q, self.a, self.b = q, q[0], q[3]
    def at(self, t): return tuple(sum(k * p[i] for k, p in zip(((1-t)**3, 3*t*(1-t)**2, 3*t*t*(1-t), t**3), self.q)) for i in (0, 1))
    def t(self, p):
        best = min(range(4001), key=lambda i: math.dist(self.at(i/4000), p)) / 4000; lo, hi = max(0, best - 1/4000), min(1, best + 1/4000)
        for _ in range(80):
            m, n = lo + (hi-lo)/3, hi - (hi-lo)/3
            if math.dist(self.at(m), p) < math.dist(self.at(n), p): hi = n
            else: lo = m
        return (lo + hi) / 2
    def angle_at(self, p):
        t = self.t(p); q = self.q
        return ang(tuple(3*(1-t)**2*(q[1][i]-q[0][i]) + 6*t*(1-t)*(q[2][i]-q[1][i]) + 3*t*t*(q[3][i]-q[2][i]) for i in (0, 1)))
    def far(self, p): return math.dist(self.at(self.t(p)), p)
    def back(self): return Cubic(*self.q[::-1])

def centre(a, b, r, left):
    d = sub(b, a); l = math.hypot(*d); h = math.sqrt(r*r - l*l/4); m = add(a, d, 0.5); n = (-d[1]/l, d[0]/l)
    return add(m, n, h if left else -h)

def worked(text, sizes):
    """A sum in mm; hyphens in names become low lines."""
    text = re.sub(r"(?<=[a-z])-(?=[a-z])", "_", str(text)); text = re.sub(r"(\d)mm", r"\1", text)
    return eval(text, {"sqrt": math.sqrt, "min": min, "max": max}, sizes)

def named(job):
    """The job's sizes; every one is in mm where a job has any."""
    sizes = {key: worked(job[key], {}) for key in ("thick", "width") if "sizes" in job and key in job}
    for name, text in job.get("sizes", {}).items(): sizes[name.replace("-", "_")] = worked(text, sizes)
    return sizes

def numbers(step, sizes):
    if not sizes: return [float(x) for x in re.findall(r"-?\d+\.?\d*", step)]
    body = re.sub(r"^(arc|turn) (left|right)|^[a-z]+", "", step)
    return [worked(x.strip(), sizes) for x in re.split(r",| to | by | for ", body) if x.strip()]

def walk(start, steps, sizes={}):
    at, way, out = tuple(start), 0.0, []
    for step in steps:
        step = step.split(" as ")[0]; n = numbers(step, sizes); word = step.split()[0]
        line = None
        if word in ("right", "left", "up", "down"):
            line = add(at, {"right": (1, 0), "left": (-1, 0), "up": (0, 1), "down": (0, -1)}[word], n[0])
        elif word == "by": line = add(at, n)
        elif word == "to": line = tuple(n)
        elif word == "at": line = add(at, (math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))), n[1])
        elif word == "on": line = add(at, (math.cos(way), math.sin(way)), n[0])
        elif word == "close":
            if math.dist(at, start) < 1e-3: continue
            line = tuple(start)
        elif word == "arc":
            left = " left " in step; to = tuple(n[1:3]); out.append(Arc(at, to, centre(at, to, n[0], left), left))
        elif word == "turn":
            left, r, turn = " left " in step, n[0], math.radians(n[1])
            side = (-math.sin(way), math.cos(way)) if left else (math.sin(way), -math.cos(way))
            c = add(at, side, r); a0 = math.atan2(at[1]-c[1], at[0]-c[0]); a1 = a0 + (turn if left else -turn)
            to = add(c, (math.cos(a1), math.sin(a1)), r); out.append(Arc(at, to, c, left))
        else: raise SystemExit(f"what is {step}?")
        if line: out.append(Line(at, line))
        at = out[-1].b; way = math.radians(out[-1].angle_at(at))
    return out

def area(pieces):
    total = 0
    for p in pieces:
        total += p.a[0]*p.b[1] - p.b[0]*p.a[1]
        if isinstance(p, Arc):
            x = (math.atan2(*sub(p.b, p.c)[::-1]) - math.atan2(*sub(p.a, p.c)[::-1])) * (1 if p.left else -1) % math.tau
            total += math.dist(p.a, p.c)**2 * (x - math.sin(x)) * (1 if p.left else -1)
    return total / 2

def turned(pieces, ccw): return pieces if (area(pieces) > 0) == ccw else [p.back() for p in pieces[::-1]]

def mm(x):
    if not isinstance(x, str): return float(x)
    total = 0.0
    for n in re.findall(r"\d+/\d+|\d+\.?\d*", x): total += float(n.split("/")[0]) / float(n.split("/")[1]) if "/" in n else float(n)
    return total * (25.4 if "in" in x else 1.0)

def joint(part, j, thick):
    """Routed lines of both halves, by the rules of `spelch defaults`; each corner worked out by hand from them."""
    W, gap = mm(j["width"]), mm(j.get("clearance", 0.08)); c = gap / 2
    # What follows the stock is a size that a rule shows.
    shown = lambda x: round(2 * x) / 2
    ring = lambda pts: [Line(a, b) for a, b in zip(pts, pts[1:])]
    halves = lambda a, b: {f"{part} half A": [ring(a)], f"{part} half B": [ring(b[::-1])]}
    if j["name"] == "half-lap":
        L = mm(j["long"]); x = 200.0
        line = lambda d: [(x - d, 0), (x - d, W/2 + d), (x + L - d, W/2 + d), (x + L - d, W)]
        return halves(line(c), line(-c))
    if j["name"] == "tabled-scarf":
        # Two parallel slopes a third of the depth apart, one from each nib; walls square to them, the slot apart.
        L, nib, h, w, x = 6 * W, shown(0.12 * W), shown(0.3333 * W), math.ceil(2 * (3 + (thick/2 + 5) / 12)), 200.0
        P, Q = (x, nib), (x + L, W - nib); chord = math.dist(P, Q); t = math.atan2(Q[1]-P[1], Q[0]-P[0]) + math.asin(h / chord)
        u, n = (math.cos(t), math.sin(t)), (-math.sin(t), math.cos(t)); m = add(P, sub(Q, P), 0.5)
        def line(d, side):
            # Moved by d to the left: uprights to -x, slopes up their normal, the wall along the slope.
            on1 = lambda X: P[1] + d / n[1] + (X - P[0]) * u[1] / u[0]
            on2 = lambda X: Q[1] + d / n[1] + (X - Q[0]) * u[1] / u[0]
            k1 = add(add(add(m, n, h/2 + d), u, side * w/2), u, d); k2 = add(add(add(m, n, -h/2 + d), u, side * w/2), u, d)
            return [(x - d, 0), (x - d, on1(x - d)), k1, k2, (x + L - d, on2(x + L - d)), (x + L - d, W)]
        return halves(line(c, 1), line(-c, -1))
    if j["name"] == "dovetailed-lap":
        L, tip, slope, x = mm(j["long"]), shown(0.667 * W), 8.0, 400.0; neck = tip - 2 * L / slope
        a = math.atan(1 / slope); s, y = (W - neck) / 2, (W - tip) / 2
        def line(d):
            # The near side runs down by 1 in 8 and moves up its normal, the far side is its mirror image.
            side = lambda X: s - (X - x) / slope + d / math.cos(a)
            p = [(x - d, 0), (x - d, side(x - d)), (x + L - d, side(x + L - d))]
            return p + [(X, W - Y) for X, Y in p[::-1]]
        tail, sock = line(c), line(-c)[1:-1]; edge = sock[0][0]
        # The rail is laid along x by a quarter turn clockwise: (x, y) becomes (y, -x), its left end at 0.
        lay = lambda p: (p[1] + 150.0, edge + W - p[0])
        return {f"{part} half A": [ring(tail)], f"{part} half B": [ring([lay(p) for p in sock[::-1]])]}
    raise SystemExit(f"what is {j['name']}?")

def loops(name):
    """Loops of each part, each with the part on its left."""
    if name.endswith(".svg"):
        up = lambda x, y: (x, 254 - y); P = [up(0, 0), up(0, 254), up(36, 254), up(36, 234), up(178, 30), up(203, 5), up(203, 0)]
        ring = [Line(P[0], P[1]), Line(P[1], P[2]), Line(P[2], P[3]), Cubic(P[3], up(132, 234), up(66, 30), P[4]),
                Arc(P[4], P[5], up(178, 5), True), Line(P[5], P[6]), Line(P[6], P[0])]
        return {"ogee-bracket": [turned(ring, True)]}, 45.0
    if name.endswith(".dxf"):
        ring = walk((0, 0), ["right 240", "up 50", "arc left 30 to 210, 80", "left 180", "arc left 30 to 0, 50", "close"])
        slot = walk((80, 25), ["right 80", "arc left 15 to 160, 55", "left 80", "arc left 15 to 80, 25"])
        return {"key-rack": [turned(ring, True), turned(slot, False)]}, 0.0
    job = tomllib.loads((ROOT / "samples" / name).read_text()); grain = job["grain"]; part = job["name"]
    if "joint" in job: return joint(part, job["joint"], mm(job["thick"])), 0.0
    if "board" in job:
        line = walk(job["board"]["line"]["start"], job["board"]["line"]["steps"])
        return {f"{part} half A": [line], f"{part} half B": [[p.back() for p in line[::-1]]]}, 0.0
    if "mate" in job:
        # Cheeks at 45 degrees, each set in by half of 0.08: along the true edges that is root 2 of it.
        back = 0.04 * math.sqrt(2); moved = lambda p: (p[0] - back if p[0] > 0 else p[0], p[1])
        ring = lambda o: [Line(moved(q.a), moved(q.b)) for q in turned(walk(o["start"], o["steps"]), True)]
        return {f"{part} half A": [ring(job["outline"])], f"{part} half B": [ring(job["mate"])]}, 0.0
    o = job["outline"]; sizes = named(job); rings = [turned(walk(o["start"], o["steps"], sizes), True)]
    rings += [turned(walk(h["start"], h["steps"], sizes), False) for h in o.get("openings", [])]
    xs = [p.a[0] for p in rings[0]]; ys = [p.a[1] for p in rings[0]]
    flip = lambda q: (-q[0], q[1])
    mirror = lambda p: Line(flip(p.a), flip(p.b)) if isinstance(p, Line) else Arc(flip(p.a), flip(p.b), flip(p.c), not p.left)
    image = [[mirror(p).back() for p in ring[::-1]] for ring in rings]
    both = {f"{part} left": rings, f"{part} right": image} if job.get("hand") == "pair" else {part: rings}
    return both, (0.0 if max(xs)-min(xs) >= max(ys)-min(ys) else 90.0) if grain == "long" else float(grain)

def wrap90(d):
    d = (d + 180) % 360 - 180
    return d - 180 if d > 90 + 1e-9 else d + 180 if d <= -90 + 1e-9 else d

def band(phi):
    a = abs(phi)
    return "end grain" if a > 70 else "along" if a <= 5 else "downhill" if phi > 0 else "uphill"

print("| sample | part | stretch | walk angle | grain | set-up | s | phi | band | seen |\n|---|---|---|---|---|---|---|---|---|---|")
for name in sys.argv[2:]:
    stem = name.rsplit(".", 1)[0]; data = json.loads((pathlib.Path(sys.argv[1]) / f"{stem}-plan.json").read_text())
    parts, drawn = loops(name)
    for st in data["stretches"]:
        # The right hand is the mirror image of the left, its grain too.
        grain = (180 - drawn) % 180 if st["part"].endswith(" right") else drawn
        ring = parts[st["part"]][st["loop"]]; a, b = st["from"], st["to"]
        piece_of = lambda p, other: min(ring, key=lambda q: (round(q.far(p), 2), q.far(other)))
        pa, pb = piece_of(a, b), piece_of(b, a)
        # A board's line is walked here without the 0.04 that each half is set in from it.
        assert pa.far(a) < 0.06 and pb.far(b) < 0.06, (name, st)
        wa, wb = pa.angle_at(a), pb.angle_at(b)
        hand = st["done_by"] == "hand"
        setup = None if hand else next(s for s in data["set_ups"] if s["number"] == st["done_by"]["set_up"])
        # The motor is on the template's side with a shank bearing or a bush, on the other with a tip bearing.
        s = 1
        if setup:
            motor = setup["template_face"] if setup["bearing_end"] != "tip" else "AB".replace(setup["template_face"], "")
            s = 1 if motor == "A" else -1
        phis = [s * wrap90(w - grain) for w in (wa, wb)]
        if phis[0] * phis[1] < 0 and min(map(abs, phis)) > 45:  # both names of square to the grain
            phis = [math.copysign(p, max(phis, key=lambda q: -abs(q))) if abs(abs(p) - 90) < 0.5 else p for p in phis]
        middle = sum(phis) / 2
        if isinstance(pa, Cubic):  # a curve may bow past a band's border between its ends
            middle = s * wrap90(pa.angle_at(pa.at((pa.t(a) + (pa.t(b) if pa is pb else 1)) / 2)) - grain)
        # By hand counter-clockwise round an outside as the person looks down, at the table clockwise; openings the other way;
        # a machine's spindle stands over the work as a router held by hand does, and a climb goes the other way round.
        climb = not hand and any(p["number"] == st["done_by"]["pass"] and p["feed"] == "climb" for p in data["passes"])
        ccw = "-" if hand else ["cw", "ccw"][((setup["station"] != "table") != climb) == (data["parts"][[p["name"] for p in data["parts"]].index(st["part"])]["loops"][st["loop"]]["kind"] != "opening")]
        print(f"| {stem} | {st['part']} | {st['name']} | {wa:.2f} to {wb:.2f} | {grain:g} | {'hand' if hand else setup['number']} | {s:+d} | {phis[0]:.2f} to {phis[1]:.2f} | {band(middle)} | {ccw} |")
