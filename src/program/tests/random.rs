//! Random shapes, cut as templates and as parts of solid wood: a program that proves, or a refusal
//! that says what to change.

use super::solid::{oak, outline};
use super::*;
use crate::geom::shapes::{Dice, cells, is_simple, star, turned};

/// A star of lines and arcs, or a plate of cells, set at any angle.
fn random(dice: &mut Dice) -> Option<Vec<Loop>> {
    if dice.share() < 0.4 {
        let loops = cells(dice, 17.0)?;
        let loops = turned(&loops, dice.share() * 6.3, None);
        return Some(loops.iter().map(|ring| scaled(ring, 1.0)).collect());
    }
    let ring = star(dice);
    let large = scaled(&ring, 4.0);
    is_simple(&large).then(|| vec![large])
}

fn scaled(ring: &Loop, by: f64) -> Loop {
    let at = |p: Point| Point::new(p.x * by, p.y * by);
    let whole = ring.pieces().iter().filter(|piece| 1e-6 < piece.length());
    let pieces = whole.map(|piece| match *piece {
        Piece::Line { from, to } => Piece::line(at(from), at(to)),
        Piece::Arc { from, to, centre, sweep } => {
            Piece::Arc { from: at(from), to: at(to), centre: at(centre), sweep }
        }
    });
    Loop::new(pieces.collect())
}

/// What came of many random shapes: how many were proved, and why the others were not.
#[derive(Default)]
struct Came {
    proved: usize,
    refused: Vec<String>,
}

impl Came {
    fn take(&mut self, seed: u64, came: Result<ProvedProgram, Failure>) {
        match came {
            Ok(_) => self.proved += 1,
            Err(failure) => {
                let problem = &failure.problems()[0];
                assert!(
                    10 < problem.hint.len(),
                    "{seed} says what to change: {problem:?}"
                );
                self.refused.push(format!("{}: {seed}: {}", problem.id, problem.found));
            }
        }
    }

    /// None of our own programs is turned down by its own proof, and most shapes have one.
    fn settle(&self) {
        let Self { proved, refused } = self;
        let unproved = refused.iter().any(|told| told.starts_with("program-"));
        assert!(!unproved, "{proved}, refused {refused:#?}");
        assert!(
            20 < *proved && refused.len() < *proved,
            "{proved}, refused {refused:#?}"
        );
    }
}

/// For any shape and grain there is a program that proves, or a refusal that says what to change:
/// never a program of ours that its own proof turns down.
#[test]
fn random_parts_prove_or_are_refused() {
    let mut came = Came::default();
    for seed in 430..490u64 {
        let mut dice = Dice::new(seed);
        let Some(loops) = random(&mut dice) else { continue };
        let grain = 180.0 * dice.share();
        let shop = oak(grain, dice.one_of(&[3.0, 6.0]));
        let planned = crate::plan::plan(vec![outline(loops, None)], &shop);
        let program = planned
            .and_then(|told| template_program(&told.value, &shop, &post("iso-mm"), "a"));
        came.take(seed, program);
    }
    came.settle();
}

/// The same of templates, in every post and finished either way round.
#[test]
fn random_templates_prove_or_are_refused() {
    let mut came = Came::default();
    let posts = ["iso-mm", "iso-inch", "iso-mm-lines", "iso-inch-lines"];
    for (seed, name) in (30..90u64).zip(posts.into_iter().cycle()) {
        let mut dice = Dice::new(seed);
        let Some(loops) = random(&mut dice) else { continue };
        let mut machine = machine(dice.one_of(&[3.0, 6.0]));
        if dice.share() < 0.3 {
            machine.finish = crate::shop::LapWay::Climb;
        }
        let plan = plan(vec![part(loops)]);
        came.take(seed, template_program(&plan, &shop(machine), &post(name), "a"));
    }
    came.settle();
}

/// Shapes without room for their tabs: what the refusal says to do helps.
#[test]
fn where_tabs_find_no_room_a_skin_holds_the_template() {
    for seed in [249, 292u64] {
        let mut dice = Dice::new(seed);
        let loops = random(&mut dice).expect("a shape");
        let mut machine = machine(dice.one_of(&[3.0, 6.0]));
        let plan = plan(vec![part(loops)]);
        let program = |machine: &Machine| {
            template_program(&plan, &shop(machine.clone()), &post("iso-mm"), "a")
        };
        let refused = program(&machine).expect_err("no room for tabs");
        let problem = &refused.problems()[0];
        assert_eq!(problem.id, "tabs-no-room", "{problem:?}");
        assert!(problem.hint.contains("bottom = \"skin\""), "{problem:?}");
        machine.bottom = crate::read::Bottom::Skin;
        program(&machine).expect("the skin holds it");
    }
}
