//! From drawings made by hand to outlines, and what is refused.

use super::LoopKind::{Island, Opening, Outside};
use super::*;
use crate::geom::tolerance::FIT;
use crate::geom::{Piece, Point, Vector};
use crate::read::{Drawn, EdgeRef, Path, Side, Stroke};
use std::f64::consts::{FRAC_PI_2, PI};

pub(super) fn at(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

pub(super) fn drawn(stroke: Stroke) -> Drawn {
    Drawn { stroke, name: None, role: None }
}

pub(super) fn line(from: Point, to: Point) -> Drawn {
    drawn(Stroke::Piece(Piece::line(from, to)))
}

pub(super) fn path(id: &str, strokes: Vec<Drawn>) -> Path {
    let place = Place::whole(Source::Drawing, "test.svg").element(format!("path#{id}"));
    Path { strokes, closed: true, place }
}

pub(super) fn polygon(id: &str, points: &[(f64, f64)]) -> Path {
    let n = points.len();
    let corner = |i: usize| at(points[i % n].0, points[i % n].1);
    path(id, (0..n).map(|i| line(corner(i), corner(i + 1))).collect())
}

pub(super) fn rectangle(
    id: &str,
    (x, y): (f64, f64),
    (width, height): (f64, f64),
) -> Path {
    polygon(id, &[(x, y), (x + width, y), (x + width, y + height), (x, y + height)])
}

fn circle(id: &str, centre: Point, radius: f64) -> Path {
    let right = centre + Vector::new(radius, 0.0);
    let upper = Piece::arc_about(centre, right, PI);
    let lower = Piece::Arc { from: upper.to(), to: right, centre, sweep: PI };
    path(id, vec![drawn(Stroke::Piece(upper)), drawn(Stroke::Piece(lower))])
}

/// A rectangle with quarter arcs at its corners, starting with the near edge.
fn rounded(id: &str, (width, height): (f64, f64), r: f64) -> Path {
    let corners = [
        (at(width - r, 0.0), at(width - r, r)),
        (at(width, height - r), at(width - r, height - r)),
        (at(r, height), at(r, height - r)),
        (at(0.0, r), at(r, r)),
    ];
    let mut strokes = Vec::new();
    let mut pen = at(r, 0.0);
    for (to, centre) in corners {
        strokes.push(line(pen, to));
        let arc = Piece::arc_about(centre, to, FRAC_PI_2);
        pen = arc.to();
        strokes.push(drawn(Stroke::Piece(arc)));
    }
    path(id, strokes)
}

pub(super) fn read(paths: Vec<Path>, wishes: &[RoleWish]) -> Outcome<Vec<Outline>> {
    outlines(
        &Drawing { name: "part".to_owned(), beside: None, paths },
        wishes,
        FIT,
        Paper::MM,
    )
}

pub(super) fn good(paths: Vec<Path>) -> Told<Vec<Outline>> {
    read(paths, &[]).expect("it is sound")
}

pub(super) fn ids(problems: &[Problem]) -> Vec<&'static str> {
    problems.iter().map(|problem| problem.id).collect()
}

fn refusals(paths: Vec<Path>) -> Vec<Problem> {
    let failure = read(paths, &[]).expect_err("it is refused");
    for problem in failure.problems() {
        assert!(problem.place.is_some() && !problem.hint.is_empty(), "{problem:?}");
    }
    failure.problems().to_vec()
}

fn wish(which: EdgeRef, role: Role) -> RoleWish {
    RoleWish { which, role, place: Place::whole(Source::Command, "--true-edges") }
}

fn side(side: Side) -> RoleWish {
    wish(EdgeRef::Side(side), Role::TrueAlready)
}

#[test]
fn a_square_drawn_clockwise_is_one_part_with_four_edges() {
    let square = polygon("s", &[(0.0, 0.0), (0.0, 80.0), (80.0, 80.0), (80.0, 0.0)]);
    let told = good(vec![square]);
    assert!(told.notes.is_empty(), "winding is no repair: {:?}", told.notes);
    let [part] = &told.value[..] else { panic!("one part") };
    assert_eq!(
        (part.name.as_str(), part.kinds.as_slice()),
        ("part", &[Outside][..]),
        "one outside"
    );
    assert!((part.area() - 6400.0).abs() < 1e-9, "its area, counter-clockwise");
    assert_eq!(part.edges.len(), 4, "corner to corner");
    let spans: f64 = part.edges.iter().map(|edge| edge.span.length).sum();
    assert!((spans - 320.0).abs() < 1e-9, "the edges cover the loop");
    assert_eq!(part.drawn, part.loops, "lines are kept as they are");
    assert!(part.deviation <= 0.0, "nothing was fitted");
}

#[test]
fn a_circle_is_one_edge_of_two_half_circles() {
    let told = good(vec![circle("c", at(10.0, 20.0), 30.0)]);
    let part = &told.value[0];
    assert_eq!(part.loops[0].pieces().len(), 2, "two half circles");
    assert_eq!(part.edges.len(), 1, "one edge");
    assert!((part.edges[0].span.length - 60.0 * PI).abs() < 1e-9, "all the way round");
    assert!((part.area() - 900.0 * PI).abs() < 1e-9, "its area");
}

#[test]
fn openings_islands_and_several_parts_are_nested() {
    let told = good(vec![
        circle("hole", at(50.0, 50.0), 30.0),
        rectangle("a", (0.0, 0.0), (100.0, 100.0)),
        rectangle("island", (40.0, 40.0), (20.0, 20.0)),
        rectangle("b", (200.0, 0.0), (50.0, 50.0)),
        circle("hole in the island", at(50.0, 50.0), 5.0),
    ]);
    let names: Vec<&str> = told.value.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["part 1", "part 2"], "numbered");
    assert_eq!(told.value[0].kinds, [Outside, Opening, Opening, Island], "by depth");
    assert_eq!(told.value[1].kinds, [Outside], "the other part");
    // Basis: geometry, 100² − 30²π + 20² − 5²π.
    let area = 10_000.0 - 900.0 * PI + 400.0 - 25.0 * PI;
    assert!((told.value[0].area() - area).abs() < 1e-9, "material on the left");
}

#[test]
fn loose_lines_are_chained_and_a_doubled_line_is_left_out() {
    let one = |id: &str, a: Point, b: Point| Path {
        closed: false,
        ..path(id, vec![line(a, b)])
    };
    let (a, b, c) = (at(0.0, 0.0), at(60.0, 0.0), at(60.0, 40.0));
    let told = good(vec![
        one("ab", a, b),
        one("ca", a, at(60.0, 40.004)),
        one("bc", at(60.0, 0.0), c),
        one("again", b, a),
    ]);
    assert_eq!(ids(&told.notes), ["outline-doubled", "outline-ends-joined"], "reported");
    assert!((told.value[0].area() - 1200.0).abs() < 0.2, "a triangle");
    let pieces = told.value[0].loops[0].pieces();
    assert_eq!(pieces.len(), 3, "three edges");
    assert_eq!(pieces[2].to(), pieces[0].from(), "closed exactly");
}

#[test]
fn an_open_line_is_refused_with_both_ends_and_the_gap() {
    let mut open = rectangle("rail", (0.0, 0.0), (100.0, 50.0));
    open.closed = false;
    open.strokes.pop();
    let problems = refusals(vec![open]);
    assert_eq!(ids(&problems), ["outline-open"], "one reason");
    let found = &problems[0].found;
    for word in ["X 0 mm, Y 0 mm", "X 0 mm, Y 50 mm", "50 mm apart"] {
        assert!(found.contains(word), "{found}");
    }
    let place = problems[0].place.as_ref().expect("a place");
    assert_eq!(place.element.as_deref(), Some("path#rail"), "the element");
}

#[test]
fn three_ends_in_one_place_are_refused() {
    let one = |id: &str, a: Point, b: Point| Path {
        closed: false,
        ..path(id, vec![line(a, b)])
    };
    let (a, b, c) = (at(0.0, 0.0), at(60.0, 0.0), at(60.0, 40.0));
    let problems = refusals(vec![
        one("ab", a, b),
        one("bc", b, c),
        one("ca", c, a),
        one("out", c, at(90.0, 90.0)),
    ]);
    assert!(ids(&problems).contains(&"outline-branches"), "{problems:?}");
}

#[test]
fn a_bow_tie_is_refused_at_its_crossing() {
    let tie = polygon("tie", &[(0.0, 0.0), (40.0, 30.0), (40.0, 0.0), (0.0, 30.0)]);
    let problems = refusals(vec![tie]);
    assert_eq!(ids(&problems), ["outline-crosses"], "one crossing");
    assert!(problems[0].found.contains("X 20 mm, Y 15 mm"), "{}", problems[0].found);
    assert!(
        problems[0].found.contains("stroke 1") && problems[0].found.contains("stroke 3"),
        "{}",
        problems[0].found
    );
}

#[test]
fn every_fault_is_told_not_only_the_first() {
    let mut open = polygon("open", &[(200.0, 0.0), (220.0, 0.0), (220.0, 20.0)]);
    open.closed = false;
    open.strokes.pop();
    let mut wild = rectangle("wild", (400.0, 0.0), (5.0, 5.0));
    wild.strokes[0] = line(at(f64::NAN, 0.0), at(405.0, 0.0));
    let problems = refusals(vec![
        rectangle("a", (0.0, 0.0), (100.0, 100.0)),
        rectangle("b", (90.0, 50.0), (100.0, 20.0)),
        open,
        wild,
        rectangle("speck", (300.0, 0.0), (0.5, 0.5)),
    ]);
    let expected = [
        "outline-not-finite",
        "outline-open",
        "outline-tiny",
        "outline-crosses",
        "outline-crosses",
    ];
    assert_eq!(ids(&problems), expected, "all of them");
}

#[test]
fn touching_loops_are_refused() {
    let outside = || rectangle("a", (0.0, 0.0), (100.0, 100.0));
    for hole in [
        circle("tangent", at(20.0, 50.0), 20.0),
        polygon("vertex", &[(0.0, 50.0), (20.0, 40.0), (20.0, 60.0)]),
        rectangle("shared edge", (0.0, 20.0), (30.0, 30.0)),
        rectangle("on the outside", (100.0, 20.0), (30.0, 30.0)),
    ] {
        let problems = refusals(vec![outside(), hole]);
        assert!(ids(&problems).iter().all(|&id| id == "outline-touches"), "{problems:?}");
    }
    let pinched = polygon(
        "pinched",
        &[
            (0.0, 0.0),
            (40.0, 0.0),
            (40.0, 20.0),
            (20.0, 10.0),
            (0.0, 40.0),
            (-9.0, 3.0),
            (20.0, 10.0),
        ],
    );
    assert!(!refusals(vec![pinched]).is_empty(), "a loop that passes one point twice");
}

#[test]
fn empty_tiny_and_absurd_drawings_are_refused() {
    assert_eq!(ids(&refusals(vec![])), ["outline-empty"], "no path");
    let point = path("dot", vec![line(at(5.0, 5.0), at(5.0, 5.0))]);
    assert_eq!(ids(&refusals(vec![point])), ["outline-empty"], "a point");
    let flat = polygon("flat", &[(0.0, 0.0), (50.0, 0.0)]);
    assert_eq!(ids(&refusals(vec![flat])), ["outline-empty"], "out and back");
    let huge = rectangle("huge", (0.0, 0.0), (12_000.0, 100.0));
    assert_eq!(ids(&refusals(vec![huge])), ["outline-absurd"], "12 m");
    let off = [at(0.0, 0.0), at(1e12, 0.0), at(1e12, 9.0), at(0.0, 9.0)];
    let off = path("off", vec![drawn(Stroke::Cubic(off))]);
    assert_eq!(ids(&refusals(vec![off])), ["outline-absurd"], "no fit of it would end");
    let speck = rectangle("speck", (0.0, 0.0), (0.2, 0.2));
    assert_eq!(ids(&refusals(vec![speck])), ["outline-tiny"], "a fifth of a millimetre");
}

#[test]
fn repairs_within_the_tolerance_are_made_and_told() {
    let spiked = polygon(
        "spiked",
        &[
            (0.0, 0.0),
            (50.0, 0.0),
            (50.0, -30.0),
            (50.0, 0.0),
            (100.0, 0.0),
            (100.0, 80.0),
            (99.995, 80.0),
            (0.0, 80.0),
            (0.0, 80.0),
        ],
    );
    let told = good(vec![spiked]);
    let expected = [
        "outline-doubled-point",
        "outline-spike",
        "outline-tiny-step",
        "outline-point-on-line",
    ];
    assert_eq!(ids(&told.notes), expected, "{:?}", told.notes);
    assert_eq!(told.value[0].loops[0].pieces().len(), 4, "a rectangle is left");
    assert!((told.value[0].area() - 8000.0).abs() < 1e-6, "{}", told.value[0].area());
}

#[test]
fn a_loop_drawn_twice_is_left_out_once() {
    let mut back = rectangle("again", (0.0, 0.0), (100.0, 50.0));
    back.strokes.rotate_left(2);
    let told = good(vec![rectangle("a", (0.0, 0.0), (100.0, 50.0)), back]);
    assert_eq!(ids(&told.notes), ["outline-doubled"], "told");
    assert_eq!(told.value.len(), 1, "one part");
}

#[test]
fn sides_are_named_by_the_way_edges_face() {
    let told = read(
        vec![
            rectangle("a", (0.0, 0.0), (100.0, 50.0)),
            circle("hole", at(50.0, 25.0), 10.0),
        ],
        &[
            side(Side::Left),
            side(Side::Near),
            wish(EdgeRef::Side(Side::Far), Role::GoesOn),
        ],
    )
    .expect("all sides are there");
    let part = &told.value[0];
    let role = |x: f64, y: f64| part.role_at(0, part.loops[0].nearest(at(x, y)));
    assert_eq!(role(0.0, 25.0), Role::TrueAlready, "left");
    assert_eq!(role(50.0, 0.0), Role::TrueAlready, "near");
    assert_eq!(role(50.0, 50.0), Role::GoesOn, "far");
    assert_eq!(role(100.0, 25.0), Role::Rout, "right");
    assert_eq!(
        part.edges_of(1).map(|e| e.role).collect::<Vec<_>>(),
        [Role::Rout],
        "the opening"
    );
}

#[test]
fn the_straight_left_of_a_rounded_rectangle_can_be_named() {
    let told = read(vec![rounded("r", (100.0, 60.0), 10.0)], &[side(Side::Left)])
        .expect("it is there");
    let part = &told.value[0];
    let edges = &part.edges;
    assert_eq!(edges.len(), 2, "the left and the rest: {edges:?}");
    let left = edges.iter().find(|e| e.role == Role::TrueAlready).expect("named");
    assert!((left.span.length - 40.0).abs() < 1e-9, "only its straight part");
}

#[test]
fn an_arched_top_faces_far_as_a_whole_and_a_slope_of_45_degrees_goes_to_the_steep() {
    let rise = Piece::arc_about(at(50.0, -50.0), at(100.0, 50.0), 2.0 * libm::atan(0.5));
    let arched = path(
        "arched",
        vec![
            line(at(0.0, 0.0), at(100.0, 0.0)),
            line(at(100.0, 0.0), at(100.0, 50.0)),
            drawn(Stroke::Piece(rise)),
            line(at(0.0, 50.0), at(0.0, 0.0)),
        ],
    );
    let told = read(vec![arched], &[side(Side::Far)]).expect("the arch");
    let arch = told.value[0].edges.iter().find(|e| e.role == Role::TrueAlready);
    let length = arch.expect("it faces far").span.length;
    assert!((length - rise.length()).abs() < 1e-9, "all of it");
    let triangle = || polygon("t", &[(0.0, 0.0), (50.0, 0.0), (0.0, 50.0)]);
    assert!(
        read(vec![triangle()], &[side(Side::Right)]).is_ok(),
        "the slope faces right"
    );
    let failure = read(vec![triangle()], &[side(Side::Far)]).expect_err("not far");
    assert_eq!(ids(failure.problems()), ["edge-not-there"], "told");
    assert!(failure.problems()[0].hint.contains("left, right, near"), "what there is");
}

#[test]
fn a_semicircle_of_two_quarters_faces_one_side() {
    let quarter = |from| Piece::arc_about(at(50.0, 20.0), from, FRAC_PI_2);
    let first = quarter(at(100.0, 20.0));
    let second = quarter(first.to());
    let arch = path(
        "arch",
        vec![
            line(second.to(), at(100.0, 20.0)),
            drawn(Stroke::Piece(first)),
            drawn(Stroke::Piece(second)),
        ],
    );
    let told = read(vec![arch], &[side(Side::Far)]).expect("the arch");
    assert_eq!(told.value[0].edges.len(), 2, "base and arch");
}

#[test]
fn names_and_drawn_roles_split_edges_and_hold() {
    let mut part = rectangle("a", (0.0, 0.0), (100.0, 50.0));
    part.strokes.splice(
        0..1,
        [line(at(0.0, 0.0), at(40.0, 0.0)), line(at(40.0, 0.0), at(100.0, 0.0))],
    );
    part.strokes[1].name = Some("shoulder".to_owned());
    part.strokes[2].role = Some(Role::GoesOn);
    let named = |name: &str| wish(EdgeRef::Name(name.to_owned()), Role::TrueAlready);
    let told =
        read(vec![part.clone()], &[named("shoulder"), side(Side::Right)]).expect("there");
    let edges = &told.value[0].edges;
    assert_eq!(edges.len(), 5, "split where the name changes");
    assert_eq!(edges[1].name.as_deref(), Some("shoulder"), "its name");
    assert_eq!(edges[1].role, Role::TrueAlready, "its role");
    assert_eq!(edges[2].role, Role::GoesOn, "a drawn role holds");
    assert_eq!(ids(&told.notes), ["edge-role-fixed"], "and it is said");
    let failure = read(vec![part], &[named("shulder")]).expect_err("misspelt");
    assert!(failure.problems()[0].hint.contains("shoulder"), "the names there are");
}

#[test]
fn curves_join_their_neighbours_tangent_and_carry_their_deviation() {
    // An oblong with an S of two cubics as its top, and an ellipse in it.
    let cubic =
        |points: [(f64, f64); 4]| drawn(Stroke::Cubic(points.map(|(x, y)| at(x, y))));
    let oblong = path(
        "s",
        vec![
            line(at(0.0, 0.0), at(200.0, 0.0)),
            line(at(200.0, 0.0), at(200.0, 90.0)),
            cubic([(200.0, 90.0), (160.0, 90.0), (140.0, 60.0), (100.0, 60.01)]),
            cubic([(100.0, 60.01), (60.0, 60.03), (40.0, 90.0), (20.0, 90.0)]),
            line(at(20.0, 90.0), at(0.0, 90.0)),
            line(at(0.0, 90.0), at(0.0, 0.0)),
        ],
    );
    let eye = path(
        "eye",
        vec![drawn(Stroke::Ellipse {
            centre: at(60.0, 30.0),
            x: Vector::new(40.0, 0.0),
            y: Vector::new(0.0, 15.0),
            start: 0.4,
            sweep: 2.0 * PI,
        })],
    );
    let told = good(vec![oblong, eye]);
    let part = &told.value[0];
    assert!(0.0 < part.deviation && part.deviation <= FIT, "{}", part.deviation);
    let corners = |on: usize| {
        let ring: &Loop = &part.loops[on];
        let turns: Vec<f64> = (0..ring.pieces().len())
            .map(|i| ring.turn(i).abs())
            .filter(|turn| 1e-5 < *turn)
            .collect();
        turns.len()
    };
    assert_eq!((corners(0), corners(1)), (4, 0), "only the corners drawn");
    // Basis: brute force, the fine chords of the drawing against the fitted arcs.
    for (drawn, fitted) in part.drawn.iter().zip(&part.loops) {
        for piece in drawn.pieces() {
            let off = fitted.at(fitted.nearest(piece.from())).distance(piece.from());
            assert!(off <= part.deviation + 1e-9, "{off}");
        }
    }
    assert!((part.loops[1].area() + 600.0 * PI).abs() < 0.1, "the ellipse, clockwise");
}

#[test]
fn an_edge_is_called_by_a_name_only_where_that_is_no_other_sides_too() {
    let named = |name: &str, mut path: Path, which: &[usize]| {
        for &index in which {
            path.strokes[index].name = Some(name.to_owned());
        }
        path
    };
    let calls = |path: Path| -> Vec<Option<String>> {
        let part = good(vec![path]).value.remove(0);
        let calls = part.calls();
        part.edges.iter().map(|edge| calls.of(edge).map(|call| call.key())).collect()
    };
    let board = || rectangle("board", (0.0, 0.0), (100.0, 40.0));
    let of = |words: [&str; 4]| words.map(|word| Some(word.to_owned())).to_vec();
    let whole = calls(named("plate", board(), &[0, 1, 2, 3]));
    assert_eq!(whole, of(["near", "right", "far", "left"]), "one path is all sides");
    let sole = calls(named("sole", board(), &[0]));
    assert_eq!(sole, of(["sole", "right", "far", "left"]), "a side of its own name");
}

#[test]
fn an_edge_without_a_name_is_called_by_a_place_on_it() {
    let plate = || {
        let outside = rectangle("plate", (0.0, 0.0), (100.0, 60.0));
        vec![outside, rectangle("hole", (30.0, 20.0), (40.0, 20.0))]
    };
    let at = |x: f64, y: f64| wish(EdgeRef::At(Point::new(x, y)), Role::GoesOn);
    let told = read(plate(), &[at(72.0, 31.0)]).expect("one edge is near");
    let part = &told.value[0];
    let roles: Vec<Role> = part.edges.iter().map(|edge| edge.role).collect();
    let changed: Vec<usize> =
        (0..roles.len()).filter(|&index| roles[index] == Role::GoesOn).collect();
    let [index] = changed[..] else { panic!("one edge: {roles:?}") };
    let call = part.calls().of(&part.edges[index]).expect("a place");
    assert_eq!(call.key(), "at 70 30", "the opening's right edge, by its middle");
    assert_eq!(Call::place_of(&call.key()), Some(Point::new(70.0, 30.0)));
    let again = read(plate(), &[at(70.0, 30.0)]).expect("the call is understood");
    assert_eq!(again.value, told.value);
    for (x, y, id) in [
        (50.0, 30.0, "edge-not-near"),
        (70.1, 40.0, "edges-as-near"),
        (150.0, 30.0, "edge-not-near"),
    ] {
        let failure = read(plate(), &[at(x, y)]).expect_err("no edge alone is near");
        assert_eq!(ids(failure.problems()), [id], "{x}, {y}");
    }
}
