//! Tests of halves and of how they mate.

use super::{halves, mating};
use crate::diag::{Failure, Place, Problem, Source};
use crate::geom::{Loop, Piece, Point};
use crate::read::{BoardAndLine, Drawing, Role, SetIn, Step, Stroke, Walk};
use crate::units::{Mm, Paper};

const LENGTH: f64 = 900.0;
const WIDTH: f64 = 70.0;

fn at(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn board(start: Point, steps: Vec<Step>) -> BoardAndLine {
    let steps = steps.into_iter().map(|step| (step, None)).collect();
    let place = Place::whole(Source::Job, "board.toml").element("line");
    let line = Walk { start, steps, place, step_places: Vec::new() };
    let (length, width) = (Mm::of(LENGTH), Mm::of(WIDTH));
    BoardAndLine { length, width, line, clearance: None, set_in: SetIn::Both }
}

fn scarf() -> BoardAndLine {
    let nib = Step::By(0.0, 8.0);
    board(at(240.0, 0.0), vec![nib.clone(), Step::By(420.0, 54.0), nib])
}

fn parts(board: &BoardAndLine) -> [Drawing; 2] {
    let halves = halves("rail", board, Paper::MM).expect("two halves").value;
    halves.try_into().expect("two")
}

fn pieces(drawing: &Drawing, role: Option<Role>) -> Vec<Piece> {
    let strokes = drawing.paths[0].strokes.iter();
    let of_role = strokes.filter(|drawn| role.is_none() || drawn.role == role);
    of_role
        .map(|drawn| match drawn.stroke {
            Stroke::Piece(piece) => piece,
            other => panic!("{other:?}"),
        })
        .collect()
}

fn refused(board: &BoardAndLine) -> Problem {
    match halves("rail", board, Paper::MM) {
        Err(Failure::Input(problems)) => problems[0].clone(),
        other => panic!("{other:?}"),
    }
}

/// Basis: geometry; each half stands back from the line by its share, square to every piece,
/// and the ends stay on the board's edges.
#[test]
fn a_clearance_is_set_in_from_each_face_or_from_one() {
    let lap = |set_in| BoardAndLine {
        clearance: Mm::new(0.4),
        set_in,
        ..board(
            at(300.0, 0.0),
            vec![Step::By(0.0, 35.0), Step::By(140.0, 0.0), Step::By(0.0, 35.0)],
        )
    };
    for (set_in, [a, b]) in
        [(SetIn::Both, [0.2, 0.2]), (SetIn::A, [0.4, 0.0]), (SetIn::B, [0.0, 0.4])]
    {
        let halves = parts(&lap(set_in));
        let corners: Vec<Point> =
            pieces(&halves[0], Some(Role::Rout)).iter().map(Piece::from).collect();
        assert_eq!(corners[0], at(300.0 - a, 0.0), "{set_in:?}");
        assert_eq!(corners[1], at(300.0 - a, 35.0 + a), "{set_in:?}");
        assert_eq!(corners[2], at(440.0 - a, 35.0 + a), "{set_in:?}");
        let back: Vec<Point> =
            pieces(&halves[1], Some(Role::Rout)).iter().map(Piece::to).collect();
        assert_eq!(back[1], at(300.0 + b, 35.0 - b), "{set_in:?}");
        assert_eq!(back[0], at(440.0 + b, 35.0 - b), "{set_in:?}");
    }
}

/// Basis: geometry; a hollow and a hump of one radius stand apart by the clearance.
#[test]
fn a_curved_line_is_set_in_along_its_arcs() {
    let arc = Step::Arc { to: at(500.0, WIDTH), radius: 400.0, left: true };
    let line =
        BoardAndLine { clearance: Mm::new(0.3), ..board(at(300.0, 0.0), vec![arc]) };
    let [a, b] = parts(&line).map(|half| pieces(&half, Some(Role::Rout))[0]);
    let radius = |piece: Piece| piece.radius().expect("an arc");
    assert!((radius(a) - 399.85).abs() < 1e-9, "{}", radius(a));
    assert!((radius(b) - 400.15).abs() < 1e-9, "{}", radius(b));
    for end in [a.from(), a.to(), b.from(), b.to()] {
        assert!(end.y.abs().min((end.y - WIDTH).abs()) < 1e-9, "{end:?}");
    }
    let both = mating(&line, Paper::MM).expect("a line");
    assert_eq!(both.half_turn, None, "an arc is no half-turn of itself");
}

#[test]
fn a_clearance_wider_than_a_piece_is_refused() {
    let notch = vec![Step::By(0.0, 35.0), Step::By(0.5, 0.0), Step::By(0.0, 35.0)];
    let wide = BoardAndLine { clearance: Mm::new(2.0), ..board(at(300.0, 0.0), notch) };
    assert!(halves("rail", &wide, Paper::MM).is_ok(), "a step keeps its length");
    let round = vec![
        Step::By(0.0, 30.0),
        Step::Arc { to: at(301.0, 31.0), radius: 1.0, left: false },
        Step::By(0.0, 39.0),
    ];
    let round = BoardAndLine { clearance: Mm::new(3.0), ..board(at(300.0, 0.0), round) };
    assert_eq!(refused(&round).id, "joint-clearance-too-wide");
}

/// Basis: geometry; both halves together are the board.
#[test]
fn halves_are_closed_and_make_the_board() {
    for board in [
        scarf(),
        board(
            at(0.0, 30.0),
            vec![Step::Arc { to: at(LENGTH, 30.0), radius: 4000.0, left: true }],
        ),
        board(at(300.0, WIDTH), vec![Step::To(at(LENGTH, 20.0))]),
        board(at(0.0, 0.0), vec![Step::To(at(LENGTH, WIDTH))]),
    ] {
        let mut area = 0.0;
        for half in parts(&board) {
            let pieces = pieces(&half, None);
            let ring = Loop::new(pieces.clone());
            for (index, piece) in pieces.iter().enumerate() {
                let before = pieces[ring.before(index)];
                assert!(before.to().distance(piece.from()) < 1e-9, "{index} is joined");
            }
            assert!(0.0 < ring.area(), "counter-clockwise");
            area += ring.area();
        }
        assert!((area - LENGTH * WIDTH).abs() < 1e-6, "the board's area, not {area}");
    }
}

/// Basis: geometry; whatever the line, both halves together are the board.
#[test]
fn random_lines_part_the_board_without_loss() {
    let mut seed = 7_u64;
    let mut number = |low: f64, high: f64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        let share = f64::from(u32::try_from(seed >> 32).expect("32 bits"));
        low + (high - low) * share / f64::from(u32::MAX)
    };
    let mut n_parted = 0;
    for _ in 0..200 {
        let start = at(number(100.0, 300.0), 0.0);
        let mut steps = Vec::new();
        let mut y = 0.0;
        for _ in 0..4 {
            y += number(5.0, 17.0);
            let to = at(number(310.0, 600.0), y);
            let left = number(0.0, 1.0) < 0.5;
            steps.push(if number(0.0, 1.0) < 0.3 {
                Step::Arc { to, radius: 40_000.0, left }
            } else {
                Step::To(to)
            });
        }
        steps.push(Step::To(at(number(100.0, 800.0), WIDTH)));
        let board = board(start, steps);
        // A far bulge may bring a random line to itself: then there is nothing to compare.
        let Ok(halves) = halves("rail", &board, Paper::MM) else { continue };
        n_parted += 1;
        let areas = halves.value.iter().map(|half| Loop::new(pieces(half, None)).area());
        let areas: Vec<f64> = areas.collect();
        assert!(areas.iter().all(|&area| 0.0 < area), "both have wood: {areas:?}");
        let whole = areas.iter().sum::<f64>();
        assert!((whole - LENGTH * WIDTH).abs() < 1e-6, "{whole}");
    }
    assert!(150 < n_parted, "most lines are sound: {n_parted}");
}

#[test]
fn cut_edges_coincide_and_nothing_else_is_routed() {
    let [a, b] = parts(&scarf());
    assert_eq!((a.name.as_str(), b.name.as_str()), ("rail half A", "rail half B"));
    let back: Vec<Piece> =
        pieces(&b, Some(Role::Rout)).iter().rev().map(Piece::reversed).collect();
    assert_eq!(pieces(&a, Some(Role::Rout)), back, "the same line, walked both ways");
    for (half, end) in [(&a, 0.0), (&b, LENGTH)] {
        let goes_on = pieces(half, Some(Role::GoesOn));
        assert_eq!(goes_on.len(), 1, "one end goes on");
        assert!((goes_on[0].from().x - end).abs() < 1e-9, "the far end");
        assert_eq!(pieces(half, Some(Role::TrueAlready)).len(), 2, "both edges are true");
    }
    let name = a.paths[0].strokes[0].name.as_deref();
    assert_eq!(name, Some("joint"), "steps without a name");
}

/// Basis: geometry; an end that the line parts is true already, not gone on with.
#[test]
fn an_end_that_the_line_parts_does_not_go_on() {
    let [a, b] = parts(&board(at(300.0, WIDTH), vec![Step::To(at(LENGTH, 20.0))]));
    assert_eq!(pieces(&a, Some(Role::GoesOn)).len(), 0, "the corner piece");
    assert_eq!(pieces(&b, Some(Role::GoesOn)).len(), 1, "the far end of the rest");
}

/// Basis: geometry; proved by turning half A about the middle of the line: every piece of its
/// line, and its true edges, must lie on half B's.
#[test]
fn a_scarf_turned_end_for_end_is_its_own_mate() {
    let board = scarf();
    let mating = mating(&board, Paper::MM).expect("a sound line");
    let middle = mating.half_turn.expect("the scarf lies on itself");
    assert!(middle.distance(at(450.0, 35.0)) < 1e-9, "about its middle");
    assert_eq!(mating.mirror, None, "and is not its own mirror image");
    let [a, b] = parts(&board);
    for role in [Role::Rout, Role::TrueAlready] {
        let mates = pieces(&b, Some(role));
        for piece in pieces(&a, Some(role)) {
            for step in 0..=20 {
                let point = piece.at(f64::from(step) / 20.0);
                let turned = middle + (middle - point);
                let off = mates
                    .iter()
                    .map(|mate| mate.distance(turned))
                    .fold(f64::MAX, f64::min);
                // Half A's true edges are 240 and 660 long, half B's too: they cover each other.
                assert!(off < 1e-9, "{role:?} is off by {off} at {turned:?}");
            }
        }
    }
}

/// Basis: geometry; proved by turning the outline of half A over: it lies on itself, and on no
/// turn of it on half B.
#[test]
fn a_bird_mouth_is_its_own_mirror_image_but_needs_two_templates() {
    let board = board(
        at(450.0, 0.0),
        vec![Step::To(at(480.0, 35.0)), Step::To(at(450.0, WIDTH))],
    );
    let mating = mating(&board, Paper::MM).expect("a sound line");
    assert_eq!(mating.half_turn, None, "two templates");
    let mirror = mating.mirror.expect("each half is its own mirror image");
    for half in parts(&board) {
        let pieces = pieces(&half, None);
        for piece in &pieces {
            let image = mirror.mirrored(piece.at(0.3));
            let off =
                pieces.iter().map(|other| other.distance(image)).fold(f64::MAX, f64::min);
            assert!(off < 1e-9, "{} is off by {off}", half.name);
        }
    }
}

#[test]
fn a_line_without_symmetry_needs_two_templates() {
    let crooked =
        board(at(240.0, 0.0), vec![Step::By(0.0, 8.0), Step::To(at(660.0, WIDTH))]);
    let found = mating(&crooked, Paper::MM).expect("a sound line");
    assert_eq!((found.half_turn, found.mirror), (None, None), "no symmetry");
    // A slope from edge to end lies on itself turned, but the board does not.
    let corner = board(at(300.0, WIDTH), vec![Step::To(at(LENGTH, 20.0))]);
    let found = mating(&corner, Paper::MM).expect("a sound line");
    assert_eq!(found.half_turn, None, "the edges would not lie on each other");
    let square = board(at(450.0, 0.0), vec![Step::By(0.0, WIDTH)]);
    let found = mating(&square, Paper::MM).expect("a sound line");
    assert!(found.half_turn.is_some() && found.mirror.is_some(), "a square cut is both");
}

#[test]
fn lines_that_part_nothing_are_refused_with_the_point() {
    for (start, steps, id, point) in [
        (at(240.0, 0.5), vec![Step::By(0.0, 69.5)], "joint-line-misses", (240.0, 0.5)),
        (at(240.0, 0.0), vec![Step::By(0.0, 60.0)], "joint-line-misses", (240.0, 60.0)),
        (
            at(240.0, 0.0),
            vec![Step::By(0.0, 30.0), Step::By(50.0, 0.0), Step::By(0.0, -30.0)],
            "joint-line-same-edge",
            (290.0, 0.0),
        ),
        (
            at(240.0, 0.0),
            vec![Step::By(0.0, 90.0), Step::By(50.0, 0.0), Step::By(0.0, -20.0)],
            "joint-line-leaves",
            (240.0, 90.0),
        ),
        (
            at(240.0, 0.0),
            vec![Step::By(50.0, 0.0), Step::By(0.0, WIDTH)],
            "joint-line-leaves",
            (290.0, 0.0),
        ),
        (
            at(240.0, 0.0),
            vec![
                Step::By(0.0, 30.0),
                Step::By(60.0, 0.0),
                Step::By(0.0, -15.0),
                Step::By(-90.0, 0.0),
                Step::By(0.0, 55.0),
            ],
            "joint-line-crosses",
            (240.0, 15.0),
        ),
        (
            at(240.0, 0.0),
            vec![Step::By(0.0, 40.0), Step::By(0.0, -20.0), Step::By(30.0, 50.0)],
            "joint-line-crosses",
            (240.0, 40.0),
        ),
    ] {
        let problem = refused(&board(start, steps));
        assert_eq!(problem.id, id, "{}", problem.found);
        let found = problem.place.as_ref().and_then(|place| place.at).expect("a point");
        assert!(at(found.0, found.1).distance(at(point.0, point.1)) < 1e-6, "{found:?}");
        assert!(!problem.hint.is_empty(), "{id} says what to do");
    }
}

#[test]
fn an_arc_that_bulges_off_the_board_is_refused() {
    let bulge = board(
        at(200.0, 0.0),
        vec![
            Step::By(0.0, 60.0),
            Step::Arc { to: at(300.0, 60.0), radius: 60.0, left: false },
            Step::By(0.0, 10.0),
        ],
    );
    // It rises 60 − √(60² − 50²) = 26.8 over 60: 16.8 beyond the edge.
    let problem = refused(&bulge);
    assert_eq!(problem.id, "joint-line-leaves");
    let (x, y) = problem.place.and_then(|place| place.at).expect("a point");
    assert!((x - 250.0).abs() < 1e-9 && (y - 86.833_752_096).abs() < 1e-6, "{x}, {y}");
}
