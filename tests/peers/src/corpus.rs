//! The trimmed offset, the closing and the opening of every outline in a folder, set beside other
//! libraries: area, distance of the borders both ways, and how many loops and openings there are.
//!
//! ```text
//!   ours at r - s   ______________     What another library makes at r lies between ours at
//!   theirs at r     ~~~~~~~~~~~~~~     r - s and at r + s, if its chords and its grid stray by
//!   ours at r + s   ______________     no more than s: that is what it is held to, each step of
//!                                      a closing or an opening by what that step strays.
//! ```
//! What fits exactly at r itself is decided by rounding, so they are compared a step below and a
//! step above; where they differ at r alone, something fits exactly, and it is listed.

use crate::drawings::{drawings, gather};
use crate::polygons::{Clipper, Geos, Overlay, Polygons, Rings, shoelace, turn};
use crate::trial::spent;
use spelch::geom::{Loop, Piece, Point, Side, Tree, close, close_to_fit, trim};
use spelch::outline::outlines;
use spelch::units::Paper;
use std::collections::BTreeMap;
use std::path::Path;

/// The radii of the discs, in mm.
const RADII: [f64; 4] = [0.5, 3.175, 6.35, 9.525];
/// How far above and below a radius they are compared, in mm, at least.
const STEP: f64 = 1e-5;
/// Of a border that strays farther than this, in mm, nothing is learnt.
const MOST_STRAY: f64 = 3e-2;
/// A library that has taken more seconds of the processor for an outline is left out for the rest
/// of it.
const PATIENCE: f64 = 10.0;
/// No step is larger, in mm.
const MOST_STEP: f64 = 1e-2;
/// What rounding to the others' grid makes, in mm.
const ROUNDING: f64 = 2e-6;

/// What is made of an outline.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Work {
    Grown,
    Shrunk,
    Closed,
    Opened,
}

const WORKS: [Work; 4] = [Work::Grown, Work::Shrunk, Work::Closed, Work::Opened];

impl Work {
    const fn word(self) -> &'static str {
        match self {
            Self::Grown => "grown",
            Self::Shrunk => "shrunk",
            Self::Closed => "closed",
            Self::Opened => "opened",
        }
    }

    /// One offset after the other.
    const fn sides(self) -> &'static [Side] {
        match self {
            Self::Grown => &[Side::Outward],
            Self::Shrunk => &[Side::Inward],
            Self::Closed => &[Side::Outward, Side::Inward],
            Self::Opened => &[Side::Inward, Side::Outward],
        }
    }

    /// By us; an error where we refuse.
    fn ours(self, loops: &[Loop], radius: f64) -> Result<Border, String> {
        let void = || loops.iter().map(Loop::reversed).collect::<Vec<_>>();
        let standing = |loops: &[Loop]| -> Result<Vec<Loop>, String> {
            let closing = close(loops, radius).map_err(|fault| format!("{fault:?}"))?;
            Ok(closing.standing.into_iter().map(|one| one.outline).collect())
        };
        match self {
            Self::Grown | Self::Shrunk => self.off(loops, radius, [0.0; 2]),
            Self::Closed => Ok(Border::of_loops(&standing(loops)?)),
            Self::Opened => {
                let opened: Vec<Loop> =
                    standing(&void())?.iter().map(Loop::reversed).collect();
                Ok(Border::of_loops(&opened))
            }
        }
    }

    /// By our offsets, one after the other, each with more material by so much.
    fn off(self, loops: &[Loop], radius: f64, more: [f64; 2]) -> Result<Border, String> {
        let mut made = loops.to_vec();
        for (&side, more) in self.sides().iter().zip(more) {
            if made.is_empty() {
                break;
            }
            let radius = match side {
                Side::Outward => radius + more,
                Side::Inward => radius - more,
            };
            let trimmed =
                trim(&made, side, radius).map_err(|fault| format!("{fault:?}"))?;
            made = trimmed.ring_loops();
        }
        Ok(Border::of_loops(&made))
    }

    /// By another library; and how far what it made at each step strays from the radius, by the
    /// distance of places on it from what it was made of.
    fn theirs<P: Polygons>(
        self,
        part: &P,
        radius: f64,
        stray: f64,
    ) -> (Border, [f64; 2]) {
        let mut border = Border::of(part);
        let (mut made, mut strays) = (None, [0.0; 2]);
        for (&side, strayed) in self.sides().iter().zip(&mut strays) {
            let by = if side == Side::Outward { radius } else { -radius };
            let next = made.as_ref().unwrap_or(part).offset(by, stray);
            let after = Border::of(&next);
            *strayed = after.strays_from(&border, radius);
            (made, border) = (Some(next), after);
        }
        (border, strays)
    }
}

/// Closed lines, measured.
struct Border {
    pieces: Vec<Piece>,
    tree: Tree,
    /// Area and length of each.
    sizes: Vec<(f64, f64)>,
}

impl Border {
    fn new(rings: Vec<Vec<Piece>>) -> Self {
        let size = |ring: &Vec<Piece>| {
            let Some(first) = ring.first().map(Piece::from) else { return (0.0, 0.0) };
            let area =
                ring.iter().map(|piece| piece.twice_area(first)).sum::<f64>() / 2.0;
            (area, ring.iter().map(Piece::length).sum())
        };
        let sizes = rings.iter().map(size).collect();
        let pieces: Vec<Piece> = rings.into_iter().flatten().collect();
        Self { tree: Tree::of(&pieces), pieces, sizes }
    }

    fn of_loops(loops: &[Loop]) -> Self {
        Self::new(loops.iter().map(|one| one.pieces().to_vec()).collect())
    }

    fn of<P: Polygons>(polygons: &P) -> Self {
        let loops: Vec<Loop> =
            polygons.rings().iter().map(|ring| Loop::polygon(ring)).collect();
        Self::of_loops(&loops)
    }

    /// How far the distance of places on its pieces from `source` is off `radius`: near the ends
    /// too, for at the end of a leaning piece itself another wall may be as near as it should be.
    fn strays_from(&self, source: &Self, radius: f64) -> f64 {
        let shares = [0.0, 0.01, 0.1, 0.5, 0.9, 0.99];
        let places =
            self.pieces.iter().flat_map(|piece| shares.map(|share| piece.at(share)));
        let far = |at: Point| {
            let near = source.tree.nearest(&source.pieces, at, f64::INFINITY);
            near.map_or(f64::INFINITY, |found| (found.0 - radius).abs())
        };
        places.map(far).fold(0.0, f64::max)
    }

    fn area(&self) -> f64 {
        self.sizes.iter().map(|size| size.0).sum()
    }

    fn length(&self) -> f64 {
        self.sizes.iter().map(|size| size.1).sum()
    }

    /// How many loops and how many openings there are, those thinner than `least` left out.
    fn counts(&self, least: f64) -> (usize, usize) {
        let real =
            || self.sizes.iter().filter(|size| least * size.1 < 2.0 * size.0.abs());
        let openings = real().filter(|size| size.0 < 0.0).count();
        (real().count() - openings, openings)
    }

    /// The farthest that this lies from another, and where; none where one of them is empty.
    fn from(&self, other: &Self) -> Option<(f64, Point)> {
        if other.pieces.is_empty() {
            return None;
        }
        let shares = [0.0, 0.157, 0.414, 0.761, 0.933];
        let places =
            self.pieces.iter().flat_map(|piece| shares.map(|share| piece.at(share)));
        let off = |at: Point| {
            let near = other.tree.nearest(&other.pieces, at, f64::INFINITY);
            (near.map_or(f64::INFINITY, |found| found.0), at)
        };
        places.map(off).max_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// The farthest that either lies from the other, and where.
    fn apart(&self, other: &Self) -> Option<(f64, Point)> {
        let both = [self.from(other), other.from(self)].into_iter().flatten();
        both.max_by(|a, b| a.0.total_cmp(&b.0))
    }
}

/// What became of a comparison.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Found {
    Agrees,
    /// They differ at the radius alone.
    ExactFit,
    /// Our own counts differ within what the other strays: it cannot tell.
    Undecided,
    /// The other took too long on this outline before.
    TooSlow,
    /// The other's own border is not where the radius puts it.
    Strays,
    Refused,
    Differs,
}

/// All that was found: how often each library came to each, and what is to be looked at.
#[derive(Default)]
pub(crate) struct Tally {
    outlines: usize,
    counts: BTreeMap<(&'static str, Work, Found), usize>,
    lines: Vec<String>,
    fits: Vec<String>,
    /// The libraries to compare; all where none is named.
    asked: Vec<String>,
    /// How long each has taken for this outline.
    spent: BTreeMap<&'static str, f64>,
}

/// One outline at one radius.
struct Task<'a> {
    name: &'a str,
    loops: &'a [Loop],
    radius: f64,
}

/// Compares all outlines of a folder beside the libraries that are asked for, or beside all;
/// whether all agree.
pub(crate) fn run(folder: &Path, asked: &[String]) -> bool {
    let mut files = Vec::new();
    gather(folder, &mut files);
    files.sort();
    let mut tally = Tally { asked: asked.to_vec(), ..Tally::default() };
    for file in &files {
        let name = file.strip_prefix(folder).unwrap_or(file).display().to_string();
        eprintln!("{name}");
        for drawing in drawings(file) {
            let Ok(told) = outlines(&drawing, &[], 1e-3, Paper::MM) else { continue };
            for (index, part) in told.value.iter().enumerate() {
                let name = format!("{name} {} {index}", drawing.name);
                // Where coordinates have most digits after the point.
                let way = Point::default() - part.bounds().centre();
                let near = |one: &Loop| {
                    Loop::new(one.pieces().iter().map(|piece| piece.moved(way)).collect())
                };
                let loops: Vec<Loop> = part.loops.iter().map(near).collect();
                tally.outlines += 1;
                tally.spent.clear();
                for radius in RADII {
                    tally.see(&Task { name: &name, loops: &loops, radius });
                }
            }
        }
    }
    tally.print(files.len())
}

impl Tally {
    fn see(&mut self, task: &Task<'_>) {
        self.see_with::<Geos>(task);
        self.see_with::<Clipper>(task);
        self.see_with::<Overlay>(task);
    }

    fn see_with<P: Polygons>(&mut self, task: &Task<'_>) {
        if !self.asked.is_empty() && self.asked.iter().all(|name| name != P::NAME) {
            return;
        }
        let mut stray = P::FINEST;
        let mut rings: Rings;
        loop {
            rings = task.loops.iter().map(|one| chords(one, stray)).collect();
            if rings.iter().map(Vec::len).sum::<usize>() <= P::CHORDS
                || P::COARSEST < stray
            {
                break;
            }
            stray *= 2.0;
        }
        let part = P::of(&rings);
        for work in WORKS {
            let start = spent();
            let before = self.spent.get(P::NAME).copied().unwrap_or_default();
            let found = if PATIENCE < before {
                Found::TooSlow
            } else {
                self.compare(task, work, (&part, stray))
            };
            self.spent.insert(P::NAME, before + spent() - start);
            *self.counts.entry((P::NAME, work, found)).or_default() += 1;
        }
    }

    /// A step below and a step above, and, where both agree, at the radius itself.
    fn compare<P: Polygons>(
        &mut self,
        task: &Task<'_>,
        work: Work,
        (part, stray): (&P, f64),
    ) -> Found {
        let drawn = stray + P::strays(task.radius, stray) + ROUNDING;
        let mut worst = Found::Agrees;
        for side in [-1.0, 1.0] {
            let mut step = STEP.max(1.5 * drawn);
            let told = loop {
                let told = differs(task, work, (part, stray), task.radius + side * step);
                step *= 10.0;
                if MOST_STEP < step || !matches!(told, Err((Found::Undecided, _))) {
                    break told;
                }
            };
            if let Err((found, said)) = told {
                let line = format!(
                    "{}: {}, {} by {}",
                    P::NAME,
                    task.name,
                    work.word(),
                    task.radius
                );
                self.lines.push(format!("{line}: {said}"));
                worst = worst.max(found);
            }
        }
        if worst != Found::Agrees {
            return worst;
        }
        let Ok(ours) = work.ours(task.loops, task.radius) else { return Found::Refused };
        let (theirs, strayed) = work.theirs(part, task.radius, stray);
        let strays = strayed[0] + strayed[1] + drawn;
        if ours.counts(strays) == theirs.counts(strays) {
            return Found::Agrees;
        }
        let void: Vec<Loop> = task.loops.iter().map(Loop::reversed).collect();
        let walked = match work {
            Work::Grown | Work::Closed => task.loops,
            Work::Shrunk | Work::Opened => &void,
        };
        let named =
            close_to_fit(walked, task.radius).map_or(0, |own| own.exact_fits.len());
        let (name, word) = (task.name, work.word());
        self.fits.push(format!(
            "{}: {name}, {word} by {}: ours {:?}, theirs {:?} loops and openings; {named} exact fits named",
            P::NAME,
            task.radius,
            ours.counts(strays),
            theirs.counts(strays),
        ));
        Found::ExactFit
    }

    fn print(&self, files: usize) -> bool {
        println!("{files} files, {} outlines, radii {RADII:?} mm\n", self.outlines);
        println!(
            "| library | work | agree | differ at r alone | cannot tell | too slow | strays itself | we refuse | DIFFER |"
        );
        println!("|---|---|---|---|---|---|---|---|---|");
        for by in [Geos::NAME, Clipper::NAME, Overlay::NAME] {
            for work in WORKS {
                let count =
                    |found| self.counts.get(&(by, work, found)).copied().unwrap_or(0);
                println!(
                    "| {by} | {} | {} | {} | {} | {} | {} | {} | {} |",
                    work.word(),
                    count(Found::Agrees),
                    count(Found::ExactFit),
                    count(Found::Undecided),
                    count(Found::TooSlow),
                    count(Found::Strays),
                    count(Found::Refused),
                    count(Found::Differs),
                );
            }
        }
        println!("\nDiffer at r alone, so that something fits exactly:\n");
        self.fits.iter().for_each(|line| println!("- {line}"));
        println!("\nCannot tell, refused, or differ:\n");
        self.lines.iter().for_each(|line| println!("- {line}"));
        !self.counts.is_empty()
            && self
                .counts
                .keys()
                .all(|key| !matches!(key.2, Found::Refused | Found::Differs))
    }
}

/// How theirs differs from ours at a radius, if it does.
fn differs<P: Polygons>(
    task: &Task<'_>,
    work: Work,
    (part, stray): (&P, f64),
    radius: f64,
) -> Result<(), (Found, String)> {
    let (theirs, [first, second]) = work.theirs(part, radius, stray);
    let each = [first + stray + ROUNDING, second + ROUNDING];
    let strays = each[0] + each[1];
    if MOST_STRAY < strays {
        return Err((Found::Strays, format!("theirs strays by {strays}")));
    }
    let refused = |fault| (Found::Refused, fault);
    let own = work.ours(task.loops, radius).map_err(refused)?;
    let [low, high] = [-1.0, 1.0].map(|way| {
        work.off(task.loops, radius, each.map(|stray| way * stray)).map_err(refused)
    });
    let (low, high) = (low?, high?);
    let counts = [&low, &own, &high, &theirs].map(|one| one.counts(strays));
    if counts[0] != counts[2] {
        let said = format!("ours {:?} and {:?} within {strays}", counts[0], counts[2]);
        return Err((Found::Undecided, said));
    }
    let differs = |said| Err((Found::Differs, said));
    if counts[1] != counts[3] || counts[0] != counts[1] {
        return differs(format!("ours {:?}, theirs {:?}", counts[1], counts[3]));
    }
    let areas = [&low, &own, &high, &theirs].map(|one| one.area());
    let slack = 2.0 * strays * (1.0 + own.length());
    let least = areas[0].min(areas[2]) - slack;
    let most = areas[0].max(areas[2]) + slack;
    if !(least..=most).contains(&areas[3]) {
        return differs(format!("area {} and not {least} to {most}", areas[3]));
    }
    let moved = low.apart(&high).map_or(0.0, |found| found.0) + 2.0 * strays;
    match own.apart(&theirs).filter(|found| moved < found.0) {
        Some((off, at)) => differs(format!("{off} off at {at:?}, {moved} at most")),
        None => Ok(()),
    }
}

/// A loop's points, its arcs as chords.
fn chords(one: &Loop, stray: f64) -> Vec<Point> {
    let points = |piece: &Piece| {
        let steps = match *piece {
            Piece::Line { .. } => 1,
            Piece::Arc { from, centre, sweep, .. } => {
                (sweep.abs() / turn(from.distance(centre), stray)).ceil() as u32
            }
        };
        let piece = *piece;
        (0..steps).map(move |step| piece.at(f64::from(step) / f64::from(steps)))
    };
    let ring: Vec<Point> = one.pieces().iter().flat_map(points).collect();
    assert!(shoelace(&ring).is_finite(), "an outline has an area");
    ring
}
