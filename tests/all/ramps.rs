//! How the mill enters the wood, read from the finished text of every sample's program.

#![expect(clippy::disallowed_methods, reason = "reads what the command wrote")]

use crate::command::{here, is_program, plan};
use crate::samples::SAMPLES;
use spelch::geom::{Piece, Point};
use spelch::prove::{Program, read};

/// Rise over run of the steepest ramp: 3 degrees.
const STEEPEST: f64 = 0.052_407_779_283_041_2;
/// Places nearer than this are one, in mm: a place on an arc, the arc's own ends and its centre are
/// each rounded to the last figure of a program in inches.
const SAME: f64 = 0.006;

/// A move of a program: the way in the plane, and its heights.
struct Walk {
    line: usize,
    way: Piece,
    high: f64,
    low: f64,
}

/// All moves after the first, which goes up from a place that is not known.
fn walks(program: &Program) -> Vec<Walk> {
    let mut at = [0.0; 3];
    let walks = program.moves().map(|step| {
        let (from, to) = (at, step.end());
        at = to;
        let [a, b] = [from, to].map(|spot| Point::new(spot[0], spot[1]));
        let way = match step.arc() {
            None => Piece::line(a, b),
            Some((centre, sweep)) => Piece::Arc { from: a, to: b, centre, sweep },
        };
        Walk { line: step.line, way, high: from[2], low: to[2] }
    });
    walks.skip(1).collect()
}

/// Whether the mill was at this place before, as deep.
fn is_cut(before: &[Walk], walk: &Walk) -> bool {
    before.iter().any(|other| {
        other.high.max(other.low) <= walk.low + SAME
            && other.way.distance(walk.way.to()) <= SAME
    })
}

/// Asserts that nothing goes down into uncut wood more steeply than a ramp may; no sample has
/// a bore. The number of ramps, and of ways straight down where the wood is gone.
fn judge(text: &str, what: &str) -> (usize, usize) {
    let program = read(text).expect("it was proved");
    let walks = walks(&program);
    let (mut ramps, mut drops) = (0, 0);
    for (index, walk) in walks.iter().enumerate() {
        let fall = walk.high - walk.low;
        if fall <= 0.0 || 0.0 <= walk.low {
            continue;
        }
        let run = walk.way.length();
        if fall <= STEEPEST * run {
            ramps += 1;
            continue;
        }
        assert!(
            run <= 0.0 && is_cut(&walks[..index], walk),
            "{what}, line {}: {fall} down over {run} into wood",
            walk.line
        );
        drops += 1;
    }
    (ramps, drops)
}

#[test]
fn no_program_of_a_sample_enters_wood_more_steeply_than_3_degrees() {
    for (sample, options) in SAMPLES {
        for (mill, post) in
            [("3mm", "iso-mm"), ("1/8in", "iso-inch"), ("6mm", "iso-mm-lines")]
        {
            let input = here(&format!("samples/{sample}"));
            let mut words = vec![input.as_str()];
            words.extend(options);
            words.extend(["--end-mill", mill, "--post", post]);
            let (folder, _) = plan(&words);
            let program = folder.files().into_iter().find(|file| is_program(file));
            let Some(program) = program else {
                assert_eq!(sample, "pole-bracket.toml", "its job asks for other files");
                continue;
            };
            let path = folder.0.join(program);
            let text = std::fs::read_to_string(path).expect("it can be read");
            let what = format!("{sample} with {mill} in {post}");
            let (ramps, drops) = judge(&text, &what);
            assert!(8 < ramps && 4 <= drops, "{what}: {ramps} ramps, {drops} at tabs");
        }
    }
}

#[test]
fn the_test_of_ramps_can_fail() {
    let head = "G21\nG17\nG90\nG94\nG40\nG49\nG80\nG54\nG0 Z15\nG0 X0 Y0\nF300\n";
    let steep = format!("{head}G1 Z0.5\nG1 X10 Z-0.1\nM2\n");
    let steep = std::panic::catch_unwind(|| judge(&steep, "steep"));
    assert!(steep.is_err(), "0.6 mm over 10");
    let plunge = format!("{head}G1 Z-1\nG1 X10\nM2\n");
    assert!(std::panic::catch_unwind(|| judge(&plunge, "plunge")).is_err(), "1 mm");
    let gentle = format!("{head}G1 Z0\nG1 X10 Z-0.5\nG1 X0\nG1 Z0\nG1 Z-0.4\nM2\n");
    assert_eq!(judge(&gentle, "gentle"), (1, 1), "a ramp, and down where it was");
}
