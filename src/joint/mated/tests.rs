//! Joints of two outlines: against hand-worked cases, and against another's booleans.

use super::{Halves, MateHabits, loops, mated};
use crate::diag::{Failure, Place, Problem, Source};
use crate::geom::{Loop, Piece, Point, Vector};
use crate::joint::fit::tests::polygons;
use crate::joint::{Alike, Facts, Serves};
use crate::read::{
    Drawing, Drawn, Lie, Mate, Path, Pick, Role, SetIn, ShapeSource, Stroke,
};
use crate::units::{Mm, Paper};
use geo::{Area, BooleanOps, Distance, Euclidean};

const HABITS: MateHabits = MateHabits { clearance: 0.08, within: 1.0, paper: Paper::MM };

fn at(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

/// A half of these pieces, each with its role.
fn half(pieces: &[(Piece, Role)]) -> Drawing {
    let strokes = pieces.iter().map(|&(piece, role)| Drawn {
        stroke: Stroke::Piece(piece),
        name: Some("cheek".to_owned()),
        role: Some(role),
    });
    let place = Place::whole(Source::Job, "mate.toml");
    let path = Path { strokes: strokes.collect(), closed: true, place };
    Drawing { name: "half".to_owned(), beside: None, paths: vec![path] }
}

/// A rail from x = 0, 80 wide, whose right end goes through these corners from near to far.
fn rail(end: &[(f64, f64)]) -> Drawing {
    let mut corners = vec![at(0.0, 0.0)];
    corners.extend(end.iter().map(|&(x, y)| at(x, y)));
    corners.push(at(0.0, 80.0));
    let n_corners = corners.len();
    let pieces: Vec<(Piece, Role)> = (0..n_corners)
        .map(|index| {
            let role = match index {
                0 => Role::TrueAlready,
                _ if index + 2 == n_corners => Role::TrueAlready,
                _ if index + 1 == n_corners => Role::GoesOn,
                _ => Role::Rout,
            };
            let to = corners[(index + 1) % n_corners];
            (Piece::line(corners[index], to), role)
        })
        .collect();
    half(&pieces)
}

fn mouth() -> Halves {
    let a = rail(&[(300.0, 0.0), (340.0, 40.0), (300.0, 80.0)]);
    let b = rail(&[(300.0, 0.0), (260.0, 40.0), (300.0, 80.0)]);
    [a, b]
}

fn mate(lie: Lie) -> Mate {
    Mate {
        shape: ShapeSource::Walks(Vec::new()),
        known_size: None,
        pick: Pick::default(),
        roles: Vec::new(),
        lie,
        within: None,
        clearance: None,
        set_in: SetIn::Both,
        place: Place::whole(Source::Job, "mate.toml").element("mate"),
    }
}

fn half_round(x: f64, y: f64) -> Lie {
    Lie { turned_over: false, degrees: 180.0, slide: Vector::new(x, y) }
}

fn joined(halves: &Halves, mate: &Mate) -> (Halves, Facts) {
    mated(halves, mate, HABITS).expect("a joint")
}

fn refused(halves: &Halves, mate: &Mate) -> Problem {
    match mated(halves, mate, HABITS) {
        Err(Failure::Input(problems)) => problems[0].clone(),
        other => panic!("{other:?}"),
    }
}

/// The routed pieces of a half.
fn routed(half: &Drawing) -> Vec<Piece> {
    let own = crate::joint::meet::strokes(half);
    own.filter(|(.., drawn)| drawn.role == Some(Role::Rout))
        .map(|(_, piece, _)| piece)
        .collect()
}

fn area(half: &[Loop]) -> f64 {
    half.iter().map(Loop::area).sum()
}

/// Basis: geometry, worked by hand; cheeks at 45 degrees, each set in by half of 0.08.
#[test]
fn what_lacks_of_the_gap_is_set_in_from_both() {
    let (halves, facts) = joined(&mouth(), &mate(half_round(600.0, 80.0)));
    assert_eq!(facts.fit.faces.len(), 2, "both cheeks: {:?}", facts.fit.faces);
    for face in &facts.fit.faces {
        assert!(
            (face.least - 0.08).abs() < 1e-9 && (face.most - 0.08).abs() < 1e-9,
            "{face:?}"
        );
    }
    let back = 0.04 * 2.0_f64.sqrt();
    assert!(
        routed(&halves[0])[0].to().distance(at(340.0 - back, 40.0)) < 1e-9,
        "the point"
    );
    assert!(
        routed(&halves[1])[0].to().distance(at(260.0 - back, 40.0)) < 1e-9,
        "the mouth"
    );
    for half in &halves {
        let ends = [routed(half)[0].from(), routed(half)[1].to()];
        assert!(ends[0].y.abs() + (ends[1].y - 80.0).abs() < 1e-9, "on the true edges");
    }
    let Alike { serves, either_face } = facts.alike;
    assert_eq!((serves, either_face), (None, [true, true]), "a point is no mouth");
    let free = |degrees: f64| {
        facts
            .fit
            .ways
            .iter()
            .any(|&(from, to)| (degrees - from).rem_euclid(360.0) <= to - from)
    };
    assert!(free(0.0) && free(44.0) && free(316.0), "{:?}", facts.fit.ways);
    assert!(!free(90.0) && !free(180.0) && !free(270.0), "{:?}", facts.fit.ways);
}

/// Basis: another library's booleans and distances, over ways of lying that leave a gap, touch
/// or want the same wood.
#[test]
fn overlap_and_gap_are_those_of_booleans() {
    let nothing = Vector::new(0.0, 0.0);
    let (mut n_joined, mut n_refused) = (0, 0);
    for (x, y) in [
        (600.0, 80.0),
        (600.3, 80.0),
        (600.02, 80.01),
        (599.98, 80.0),
        (597.0, 80.0),
        (600.0, 79.2),
        (600.9, 81.1),
        (560.0, 85.0),
    ] {
        let (halves, mate) = (mouth(), mate(half_round(x, y)));
        let laid = super::Placing::of(&mate.lie);
        let polygon = |half: &Drawing| polygons(&loops(half), nothing);
        let both =
            |halves: &Halves| [polygon(&halves[0]), polygon(&laid.drawing(&halves[1]))];
        let [a, b] = both(&halves);
        let wanted = a.intersection(&b).unsigned_area();
        match mated(&halves, &mate, HABITS) {
            Ok((halves, facts)) => {
                n_joined += 1;
                // A knife line along two cheeks of 40 * sqrt 2.
                assert!(wanted < 0.05 * 114.0, "{x}, {y}: {wanted} was told to fit");
                let [a, b] = both(&halves);
                assert!(
                    a.intersection(&b).unsigned_area() < 1e-6,
                    "{x}, {y}: no overlap left"
                );
                let apart = Euclidean.distance(&a, &b);
                let least = facts.fit.faces.iter().map(|face| face.least);
                let least = least.fold(f64::INFINITY, f64::min);
                assert!((apart - least).abs() < 2e-4, "{x}, {y}: {apart}, told {least}");
                // Both halves and the gap are the hull of the joined rails.
                let whole = area(&facts.joined[0]) + area(&facts.joined[1]);
                let by_theirs = a.union(&b).unsigned_area();
                assert!(
                    (whole - by_theirs).abs() < 1e-3,
                    "{x}, {y}: {whole}, {by_theirs}"
                );
            }
            Err(failure) => {
                n_refused += 1;
                let problem = &failure.problems()[0];
                assert_eq!(problem.id, "halves-overlap", "{x}, {y}: {}", problem.found);
                assert!(0.5 < wanted, "{x}, {y}: only {wanted}");
                let area = Paper::MM.area(wanted);
                assert!(
                    problem.found.contains(&area),
                    "{x}, {y}: {area}, {}",
                    problem.found
                );
            }
        }
    }
    assert_eq!((n_joined, n_refused), (4, 4), "both were tried");
}

/// Basis: geometry; the gap that is drawn counts, and one that is wide enough is kept.
#[test]
fn a_drawn_gap_counts() {
    let root = 2.0_f64.sqrt();
    for (drawn, given) in [(0.05, 0.08), (0.2, 0.2), (0.0, 0.08)] {
        let (halves, facts) =
            joined(&mouth(), &mate(half_round(600.0 + drawn * root, 80.0)));
        for face in &facts.fit.faces {
            assert!((face.least - given).abs() < 1e-9, "drawn {drawn}: {face:?}");
        }
        let kept = halves == mouth();
        assert_eq!(kept, 0.08 < drawn, "drawn {drawn}: nothing is set in of wide gaps");
        assert!(
            facts.fit.ways.iter().any(|&(from, to)| to - from < 180.0),
            "{drawn}: it holds"
        );
    }
    let alone = Mate { set_in: SetIn::B, ..mate(half_round(600.0, 80.0)) };
    let (halves, _) = joined(&mouth(), &alone);
    assert_eq!(halves[0], mouth()[0], "half A stays");
    assert_ne!(halves[1], mouth()[1], "half B gives all");
}

/// Basis: geometry; an edge that is true already gives nothing, its routed mate all of it.
#[test]
fn a_true_edge_gives_no_gap() {
    let shoulder = rail(&[(300.0, 0.0), (300.0, 80.0)]);
    let mut post = rail(&[(200.0, 0.0), (200.0, 80.0)]);
    for drawn in &mut post.paths[0].strokes {
        drawn.role = Some(Role::TrueAlready);
    }
    // The post stands across: its near edge is brought on the shoulder.
    let lie = Lie { turned_over: false, degrees: 90.0, slide: Vector::new(380.0, -60.0) };
    let (halves, facts) = joined(&[shoulder, post.clone()], &mate(lie));
    assert_eq!(halves[1], post, "the post stays");
    assert!((routed(&halves[0])[0].from().x - 299.92).abs() < 1e-9, "all of 0.08");
    assert_eq!(facts.fit.faces.len(), 1, "{:?}", facts.fit.faces);
    assert!((facts.fit.faces[0].most - 0.08).abs() < 1e-9, "{:?}", facts.fit.faces);
}

/// Basis: geometry; a half drawn from its other face and turned over is the same joint.
#[test]
fn a_half_with_its_face_b_up_lies_where_it_should() {
    let line = [(300.0, 0.0), (320.0, 50.0), (260.0, 80.0)];
    let a = rail(&line);
    // The rest of a board 600 long, seen from its other face: x from its right end.
    let b = rail(&[(300.0, 0.0), (280.0, 50.0), (340.0, 80.0)]);
    let lie = Lie { turned_over: true, degrees: 0.0, slide: Vector::new(600.0, 0.0) };
    let (halves, facts) = joined(&[a, b], &mate(lie));
    assert_eq!(facts.fit.faces.len(), 2, "{:?}", facts.fit.faces);
    for face in &facts.fit.faces {
        assert!(
            (face.least - 0.08).abs() < 1e-9 && (face.most - 0.08).abs() < 1e-9,
            "{face:?}"
        );
    }
    assert!(
        0.0 < area(&facts.joined[1]) && 0.0 < area(&loops(&halves[1])),
        "wood on the left"
    );
    let length: f64 = facts.fit.faces.iter().map(|face| face.piece.length()).sum();
    let lacking = 600.0 * 80.0 - area(&facts.joined[0]) - area(&facts.joined[1]);
    assert!((lacking - 0.08 * length).abs() < 0.1, "the gap along the line: {lacking}");
}

/// Basis: geometry; the same drawing twice, and one beside its mirror image.
#[test]
fn one_template_is_found_for_both() {
    let scarf = rail(&[(300.0, 0.0), (300.0, 10.0), (420.0, 70.0), (420.0, 80.0)]);
    let lie = half_round(720.0, 80.0);
    let (_, facts) = joined(&[scarf.clone(), scarf], &mate(lie));
    assert_eq!(facts.alike.serves, Some(Serves::SameFace));
    assert_eq!(facts.alike.either_face, [false, false]);
    assert_eq!(facts.fit.faces.len(), 3, "nib, slope, nib: {:?}", facts.fit.faces);
    // A mitre at 45 degrees, the second half drawn as the first one's mirror image.
    let (a, b) =
        (rail(&[(300.0, 0.0), (380.0, 80.0)]), rail(&[(380.0, 0.0), (300.0, 80.0)]));
    let lie =
        Lie { turned_over: false, degrees: 90.0, slide: Vector::new(380.0, -300.0) };
    let (_, facts) = joined(&[a, b], &mate(lie));
    assert_eq!(facts.alike.serves, Some(Serves::TurnedOver), "{:?}", facts.alike);
}

/// Basis: geometry; a hump and a hollow of one radius stand apart by the gap.
#[test]
fn curved_faces_are_set_in_along_their_arcs() {
    let round = |bulge: f64| {
        let (from, to) = (at(300.0, 0.0), at(300.0, 80.0));
        let centre = at(300.0 - 30.0 * bulge, 40.0);
        let turn = (from - centre).turn_to(to - centre);
        let arc = Piece::Arc { from, to, centre, sweep: turn };
        half(&[
            (Piece::line(at(0.0, 0.0), from), Role::TrueAlready),
            (arc, Role::Rout),
            (Piece::line(to, at(0.0, 80.0)), Role::TrueAlready),
            (Piece::line(at(0.0, 80.0), at(0.0, 0.0)), Role::GoesOn),
        ])
    };
    let (halves, facts) =
        joined(&[round(1.0), round(-1.0)], &mate(half_round(600.0, 80.0)));
    let radii = halves.each_ref().map(|half| routed(half)[0].radius().expect("an arc"));
    assert!(
        (radii[0] - 49.96).abs() < 1e-9 && (radii[1] - 50.04).abs() < 1e-9,
        "{radii:?}"
    );
    let face = &facts.fit.faces[0];
    assert!(
        (face.least - 0.08).abs() < 1e-9 && (face.most - 0.08).abs() < 1e-9,
        "{face:?}"
    );
}

#[test]
fn halves_that_are_no_joint_are_refused_with_place_and_size() {
    // Pushed 5 in: the point is 5 past the bottom of the mouth.
    let sunk = refused(&mouth(), &mate(half_round(595.0, 80.0)));
    assert_eq!(sunk.id, "halves-overlap");
    for words in ["5 mm deep at 340 mm, 40 mm", "400 mm² in all"] {
        assert!(sunk.found.contains(words), "{words} in {}", sunk.found);
    }
    let apart = refused(&mouth(), &mate(half_round(640.0, 80.0)));
    assert_eq!(apart.id, "halves-apart");
    assert!(apart.found.contains("28.28 mm apart"), "{}", apart.found);
    for problem in [&sunk, &apart] {
        assert!(problem.place.is_some() && !problem.hint.is_empty(), "{problem:?}");
    }
    let within = Mate { within: Mm::new(30.0), ..mate(half_round(640.0, 80.0)) };
    let (_, facts) = joined(&mouth(), &within);
    assert!((facts.fit.faces[0].least - 20.0 * 2.0_f64.sqrt()).abs() < 1e-6, "as drawn");
    let wide = Mate { clearance: Mm::new(900.0), ..mate(half_round(600.0, 80.0)) };
    assert_eq!(refused(&mouth(), &wide).id, "joint-clearance-too-wide");
}
