//! A program step by step, as it was read back: each line of its text with its place on the
//! picture of what will be left standing.

use super::standing::{self, Standing};
use crate::draw::{svg, svg_path};
use crate::geom::{Piece, Point};
use crate::path::lay;
use crate::plan::Plan;
use crate::prove::{Move, Program, ProvedProgram, Step, on_wood, read};
use crate::shop::Shop;
use crate::units::Paper;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// A program with its picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stepped {
    /// What will be left standing, from all programs, as SVG.
    pub picture: String,
    /// Every line of the text.
    pub lines: Vec<ProgramLine>,
}

/// A line of a program's text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProgramLine {
    /// Its number, from 1.
    pub number: usize,
    /// The text.
    pub text: String,
    /// Its way on the picture, as the data of an SVG path; none where nothing moves across.
    pub path: Option<String>,
    /// What it does.
    pub words: Option<String>,
}

/// A program by its index, stepped through; nothing where the plan has no such program.
pub fn stepped(
    (plan, shop): (&Plan, &Shop),
    program: &ProvedProgram,
    (index, id): (usize, &str),
) -> Option<Stepped> {
    let text = program.texts().get(index)?;
    let lay = lay(&plan.parts, shop.machine.as_ref()?, shop.paper).ok()?;
    let (name, ways) = (shop.name.as_str(), program.ways());
    let what = Standing { ways, blank: lay.blank, work_zero: lay.work_zero, name, id };
    let scene = standing::picture(&what).scene;
    let (_, cells) = standing::laid(&scene, &what);
    let view = cells.views[0];
    // Paper as the program counts: what the machine's own display says.
    let paper = Paper { unit: program.figures().units, ..shop.paper };
    let mut told: BTreeMap<usize, (Vec<Piece>, String)> = BTreeMap::new();
    let programs = [read(text).ok()?];
    // The picture is of the wood, the words are what the display says.
    for it in on_wood(&programs, shop.machine.as_ref()?).iter().flat_map(Program::moves) {
        let pieces = view.pieces(&pieces(&it, lay.work_zero));
        told.entry(it.line).or_default().0.extend(pieces);
    }
    for step in programs[0].steps() {
        let (line, words) = (line_of(&step), words(&step, paper));
        let all = told.entry(line).or_default();
        if !all.1.is_empty() && !all.1.ends_with(&words) {
            all.1.push_str("; ");
        }
        if !all.1.ends_with(&words) {
            all.1.push_str(&words);
        }
    }
    let lines = (1..).zip(text.lines()).map(|(number, text)| {
        let step = told.remove(&number);
        let (pieces, words) = step.map_or((Vec::new(), None), |(p, w)| (p, Some(w)));
        let path = (!pieces.is_empty()).then(|| svg_path(&pieces, scene.height));
        ProgramLine { number, text: text.to_owned(), path, words }
    });
    Some(Stepped { lines: lines.collect(), picture: svg(&scene) })
}

const fn line_of(step: &Step) -> usize {
    match *step {
        Step::Move(ref it) => it.line,
        Step::Dwell(line, _)
        | Step::Start(line, ..)
        | Step::Speed(line, _)
        | Step::Halt(line)
        | Step::Pause(line)
        | Step::Change(line)
        | Step::Set(line, _)
        | Step::End(line, _) => line,
    }
}

/// The way of a move in the frame of the parts as laid; a point where it goes straight up or
/// down.
fn pieces(it: &Move, zero: Point) -> Vec<Piece> {
    let at = |[x, y, _]: [f64; 3]| zero + (Point::new(x, y) - Point::default());
    let (from, to) = (at(it.start()), at(it.end()));
    if !(from.is_finite() && to.is_finite()) {
        return Vec::new();
    }
    let Some((centre, sweep)) = it.arc() else { return vec![Piece::line(from, to)] };
    let centre = zero + (centre - Point::default());
    let whole = Piece::Arc { from, to, centre, sweep };
    if sweep.abs() <= PI {
        return vec![whole];
    }
    // Drawn in halves: one end of a whole turn is the other.
    let middle = whole.at(0.5);
    let sweep = sweep / 2.0;
    vec![
        Piece::Arc { from, to: middle, centre, sweep },
        Piece::Arc { from: middle, to, centre, sweep },
    ]
}

fn words(step: &Step, paper: Paper) -> String {
    match *step {
        Step::Move(ref it) => moved(it, paper),
        Step::Dwell(_, time) => format!("waits {time}"),
        Step::Start(_, speed, false) => {
            format!("the spindle starts, {speed:.0} turns a minute")
        }
        Step::Start(_, speed, true) => {
            format!("the spindle starts the other way round, {speed:.0} turns a minute")
        }
        Step::Speed(_, speed) => format!("{speed:.0} turns a minute"),
        Step::Halt(_) => "the spindle stops".to_owned(),
        Step::Pause(_) => "waits for you".to_owned(),
        Step::Change(_) => "the tool is changed".to_owned(),
        Step::Set(_, what) => what.to_owned(),
        Step::End(..) => "ends".to_owned(),
    }
}

/// A move in words: rapid or feed, across or down, and where it comes to.
fn moved(it: &Move, paper: Paper) -> String {
    let ([x0, y0, z0], [x, y, z]) = (it.start(), it.end());
    let across = it.arc().is_some() || !(x0 <= x && x <= x0 && y0 <= y && y <= y0);
    let mut parts = vec![if it.rapid { "rapid" } else { "feed" }.to_owned()];
    if it.arc().is_some() {
        let way = it.arc().map_or(0.0, |(_, sweep)| sweep);
        let way = if way < 0.0 { "clockwise" } else { "counter-clockwise" };
        parts.push(format!("round {way}"));
    }
    if across && x.is_finite() && y.is_finite() {
        parts.push(format!("to X {} Y {}", paper.fine(x), paper.fine(y)));
    }
    if z0.is_nan() || z < z0 {
        parts.push(format!("down to Z {}", paper.fine(z)));
    } else if z0 < z {
        parts.push(format!("up to Z {}", paper.fine(z)));
    } else if across && !it.rapid {
        parts.push(format!("at Z {}", paper.fine(z)));
    }
    parts.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry.
    #[test]
    fn a_move_says_where_it_goes_and_a_whole_turn_is_drawn_in_halves() {
        let text = "G21 G17 G90 G94 G40\nG0 Z5\nS12000 M3\nG0 X10 Y0\nG1 Z-2 F300\nG3 X10 Y0 I-10 J0 F900\nG0 Z5\nM5\nM30\n";
        let program = read(text).expect("it is legal");
        let steps: Vec<Move> = program.moves().collect();
        let round = pieces(&steps[3], Point::new(100.0, 100.0));
        assert_eq!(round.len(), 2, "two halves");
        assert!(round[0].to().distance(Point::new(90.0, 100.0)) < 1e-9, "its far side");
        let said: Vec<String> = steps.iter().map(|step| moved(step, Paper::MM)).collect();
        assert_eq!(said[1], "rapid to X 10 mm Y 0 mm", "{said:?}");
        assert_eq!(said[2], "feed down to Z -2 mm", "{said:?}");
        assert_eq!(
            said[3], "feed round counter-clockwise to X 10 mm Y 0 mm at Z -2 mm",
            "{said:?}"
        );
        assert_eq!(said[4], "rapid up to Z 5 mm", "{said:?}");
    }
}
