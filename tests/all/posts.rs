//! Every sample's program in every way of writing it: others can read it, and it cuts the same
//! part whatever its unit and whether it has arcs.

#![expect(clippy::disallowed_methods, reason = "reads what the command wrote")]

use crate::command::{here, is_program, plan};
use crate::samples::SAMPLES;
use spelch::geom::{Piece, Point};
use spelch::prove::read;
use std::collections::BTreeMap;

/// Posts that write the same part: in both units, with arcs and without.
const POSTS: [&str; 4] = ["iso-mm", "iso-inch", "iso-mm-lines", "iso-inch-lines"];
/// How far one program's cut may lie from another's, in mm.
const SAME: f64 = 0.01;
/// The side of a square of the grid that finds what is near, in mm.
const CELL: f64 = 4.0;

/// The program of a sample in a post; none where its job asks for other files.
fn program(sample: &str, options: &[&str], post: &str) -> Option<String> {
    let input = here(&format!("samples/{sample}"));
    let mut words = vec![input.as_str()];
    words.extend(options);
    words.extend(["--end-mill", "3mm", "--post", post]);
    let (folder, _) = plan(&words);
    let name = folder.files().into_iter().find(|file| is_program(file))?;
    Some(std::fs::read_to_string(folder.0.join(name)).expect("it can be read"))
}

/// What a program cuts through the blank, as the ways of its mill at its lowest.
fn lowest(text: &str) -> Vec<Piece> {
    let program = read(text).expect("it was proved");
    let floor = program.moves().map(|step| step.end()[2]).fold(f64::INFINITY, f64::min);
    let level = floor + 0.004;
    let deep = program.moves().filter(|step| {
        let (high, low) = (step.start()[2], step.end()[2]);
        // On the level: the last of a ramp may be as low, and no two posts end it alike.
        high <= level && (high - low).abs() < 1e-9 && 0.0 < step.length()
    });
    let pieces = deep.map(|step| {
        let [from, to] = [step.start(), step.end()].map(|at| Point::new(at[0], at[1]));
        match step.arc() {
            None => Piece::line(from, to),
            Some((centre, sweep)) => Piece::Arc { from, to, centre, sweep },
        }
    });
    pieces.collect()
}

/// Ways by the squares that they pass.
struct Grid<'a> {
    cells: BTreeMap<(i64, i64), Vec<&'a Piece>>,
}

#[expect(clippy::cast_possible_truncation, reason = "a place on a blank")]
fn cell(at: f64) -> i64 {
    (at / CELL).floor() as i64
}

impl<'a> Grid<'a> {
    fn new(ways: &'a [Piece]) -> Self {
        let mut cells: BTreeMap<_, Vec<&Piece>> = BTreeMap::new();
        for way in ways {
            let area = way.bounds();
            for x in cell(area.low.x - SAME)..=cell(area.high.x + SAME) {
                for y in cell(area.low.y - SAME)..=cell(area.high.y + SAME) {
                    cells.entry((x, y)).or_default().push(way);
                }
            }
        }
        Self { cells }
    }

    /// How far the nearest way is from a point, as far as it is in its square.
    fn far(&self, at: Point) -> f64 {
        let near = self.cells.get(&(cell(at.x), cell(at.y)));
        let ways = near.map_or(&[][..], Vec::as_slice);
        ways.iter().map(|way| way.distance(at)).fold(f64::INFINITY, f64::min)
    }
}

/// The farthest that a place on some ways is from others.
fn farthest(ways: &[Piece], others: &Grid<'_>) -> f64 {
    let places =
        ways.iter().flat_map(|way| [0.0, 0.25, 0.5, 0.75, 1.0].map(|t| way.at(t)));
    places.map(|at| others.far(at)).fold(0.0, f64::max)
}

#[test]
fn mm_or_inch_arcs_or_lines_cut_the_same_part_and_others_can_read_them() {
    for (sample, options) in SAMPLES {
        let texts: Vec<String> =
            POSTS.iter().filter_map(|post| program(sample, options, post)).collect();
        if texts.is_empty() {
            assert_eq!(sample, "pole-bracket.toml", "its job asks for other files");
            continue;
        }
        for (text, post) in texts.iter().zip(POSTS) {
            let what = format!("{sample} in {post}");
            others_read(text, &what);
        }
        let ways: Vec<Vec<Piece>> = texts.iter().map(|text| lowest(text)).collect();
        let first = Grid::new(&ways[0]);
        for (other, post) in ways.iter().zip(POSTS).skip(1) {
            let there = farthest(other, &first);
            let back = farthest(&ways[0], &Grid::new(other));
            assert!(there.max(back) <= SAME, "{sample} in {post}: {there}, {back}");
        }
    }
}

/// Two readers of others take the program, and find as many blocks with words as it has lines
/// with words.
fn others_read(text: &str, what: &str) {
    let with_words = text.lines().filter(|line| !line.starts_with('(')).count();
    let lenient = gcode::parse(text).unwrap_or_else(|why| panic!("{what}: {why:?}"));
    let said = |block: &&gcode::Block| {
        !block.codes.is_empty() || !block.word_addresses.is_empty()
    };
    assert_eq!(lenient.blocks.iter().filter(said).count(), with_words, "{what}");
    let strict = g_code::parse::file_parser(text);
    let strict = strict.unwrap_or_else(|why| panic!("{what}: {why}"));
    let letters = text.lines().filter(|line| !line.starts_with('('));
    let due: usize = letters.map(|line| line.split_whitespace().count()).sum();
    assert_eq!(strict.iter_fields().count(), due, "{what}: every word");
}

#[test]
fn the_reading_by_others_can_fail() {
    let text = "G21\nG1 X1..2 Y3\nM2\n";
    assert!(std::panic::catch_unwind(|| others_read(text, "two points")).is_err(), "");
    let near = |x: f64| vec![Piece::line(Point::new(0.0, x), Point::new(9.0, x))];
    let (one, other) = (near(1.0), near(1.02));
    assert!(SAME < farthest(&one, &Grid::new(&other)), "0.02 mm apart");
}
