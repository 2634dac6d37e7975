//! A joint's facts in words, and its halves as plain drawings.

use crate::draw::{Pen, Scene, View, svg};
use crate::geom::{Loop, Point};
use crate::joint::{Facts, JointKind, Serves};
use crate::outline::Outline;
use crate::read::{JointName, Lie, Role};
use crate::units::Paper;

/// What kind of joint it is and how it is drawn.
pub(super) fn opening(facts: &Facts, paper: Paper) -> String {
    let what = match facts.name() {
        None => return drawn(facts, paper),
        Some(JointName::HalfLap) => {
            "A half lap, end to end, seen on the face: each half is \
             cut away to the middle of its width."
        }
        Some(JointName::DovetailedLap) => {
            "A lapped dovetail: half A has the tail, half B the \
             socket in its edge."
        }
        Some(JointName::Bridle) => {
            "A bridle, seen on the EDGE of the stock: half A is the \
             fork, half B the tongue."
        }
        Some(JointName::SplayedScarf) => "A splayed scarf with a nib at each end.",
        Some(JointName::TabledScarf) => {
            "A splayed scarf with a table in its middle, where \
             folding wedges draw the nibs up tight."
        }
        Some(JointName::TuskTenon) => {
            "A tenon through a post, drawn up by a tusk wedge beyond \
             it: half A is the rail, half B the post."
        }
        Some(JointName::FingerJoint) => {
            "A finger joint: half A has the outer fingers. The \
             template is seen on the face, the fingers as long as the mate is thick."
        }
    };
    let more = match (facts.name(), facts.halved, facts.through) {
        (_, true, Some(deep)) => format!(
            " Where they lie on each other each is half as thick, {}, as the sheet Lap \
             says.",
            paper.length(deep)
        ),
        (Some(JointName::Bridle), _, Some(deep)) => {
            format!(" The cut goes through {}.", paper.length(deep))
        }
        (Some(JointName::TabledScarf), ..) => {
            " The slot for the wedges is what the two tables \
             leave open between them: nothing is cut for it."
                .to_owned()
        }
        _ => String::new(),
    };
    format!("{what}{more}")
}

/// How a joint without a name is drawn.
fn drawn(facts: &Facts, paper: Paper) -> String {
    let JointKind::TwoOutlines(lie) = facts.kind else {
        return "A joint along one line across a board: half A lies on the left of the line as \
                it is walked, half B on its right."
            .to_owned();
    };
    let moves = [(lie.slide.x, ["right", "left"]), (lie.slide.y, ["up", "down"])];
    let moves = moves.iter().filter(|(by, _)| *by != 0.0).map(|(by, [more, less])| {
        format!("{} {}", paper.measured(by.abs()), if *by < 0.0 { less } else { more })
    });
    let moves: Vec<String> = moves.collect();
    let moved = (!moves.is_empty()).then(|| format!("moved {}", moves.join(" and ")));
    let over = lie.turned_over.then(|| "turned over, its face B up".to_owned());
    let turned = match lie.degrees {
        0.0 => None,
        180.0 => Some("turned half round about its zero".to_owned()),
        degrees => Some(format!("turned {degrees}° counter-clockwise about its zero")),
    };
    let lies: Vec<String> = over.into_iter().chain(turned).chain(moved).collect();
    let lies =
        if lies.is_empty() { "as it is drawn".to_owned() } else { lies.join(", ") };
    format!("A joint of two outlines. On half A lies half B: {lies}.")
}

/// Which template serves which half, and which face is up.
pub(super) fn templates(facts: &Facts) -> Vec<String> {
    let mut lines = Vec::new();
    let mut add = |words: &str| lines.push(words.to_owned());
    match facts.alike.serves {
        Some(Serves::EndForEnd) => {
            add(
                "One template serves both halves. Half A: face A up. Half B: lay the second \
                 piece end for end, also face A up.",
            );
            add(
                "Prove it: trace the template, turn it half round, trace again; the two lines \
                 lie on each other, and any gap is twice the error.",
            );
        }
        Some(Serves::SameFace) => {
            add("One template serves both halves, face A up on each.");
            add(
                "Prove it: trace the template, lay it as half B lies in the joint, trace again; \
                 along the joint the two lines run side by side, the gap apart.",
            );
        }
        Some(Serves::TurnedOver) => {
            add(
                "Half B is half A's mirror image: the template of half A turned over serves half B \
                 too. Where you make only the one, mark the half on each of its faces.",
            );
        }
        None => add(
            "Two templates: A for half A, B for half B, each with face A up. Mark half \
                     and face on both sides of each.",
        ),
    }
    either_face(facts, &mut add);
    if matches!(facts.kind, JointKind::TwoOutlines(Lie { turned_over: true, .. })) {
        add("When the joint is together half A has its face A up, half B its face B.");
    }
    lines
}

/// Whether a template may be turned over on its own half.
fn either_face(facts: &Facts, add: &mut impl FnMut(&str)) {
    let half = match facts.alike.either_face {
        [true, true] => "Each half",
        [true, false] => "Half A",
        [false, true] => "Half B",
        [false, false] => {
            return add(match facts.alike.serves {
                Some(Serves::TurnedOver) => {
                    "On its own half never turn the template over: it makes the other hand."
                }
                _ => {
                    "Never turn a template over: turned over it makes the other hand of the \
                     same half, for a left and right pair, and never the mate."
                }
            });
        }
    };
    add(&format!(
        "{half} is its own mirror image: its template may lie with either face up. Prove it: \
         trace the template, turn it over, trace again; the two lines lie on each other. Turned \
         over it is still its own half, never the mate."
    ));
    if facts.alike.either_face != [true, true] {
        add(
            "The other half's template is never turned over: it would make the other hand.",
        );
    }
}

/// How the halves come together.
pub(super) fn together(facts: &Facts) -> String {
    let ways = &facts.fit.ways;
    if facts.halved {
        return "Both faces A up, half B flat on the bench: lower the tail of half A straight down \
                into the socket of half B, and tap it down evenly over its whole width."
            .to_owned();
    }
    if ways.is_empty() {
        return "They cannot be slid together in the plane of the drawing: lower half B onto \
                half A across the thickness, flat and square, and tap it down evenly."
            .to_owned();
    }
    let named = [
        (180.0, "endways, from the right end as drawn"),
        (0.0, "endways, from the left end as drawn"),
        (90.0, "sideways, from the near edge"),
        (270.0, "sideways, from the far edge"),
    ];
    // Half B comes in against the way in which it can leave.
    let can = |degrees: f64| {
        ways.iter().any(|&(from, to)| {
            let past = (degrees - 180.0 - from).rem_euclid(360.0);
            past <= to - from + 1e-6 || 360.0 - 1e-6 < past
        })
    };
    let named: Vec<&str> = named
        .iter()
        .filter(|(degrees, _)| can(*degrees))
        .map(|(_, words)| *words)
        .collect();
    let way = if named.is_empty() {
        let (from, to) = ways[0];
        let towards = (f64::midpoint(from, to) + 180.0).rem_euclid(360.0);
        format!("along {towards:.1}° counter-clockwise from the length as drawn")
    } else {
        named.join(", or ")
    };
    format!(
        "Half B slides onto half A in the plane of the drawing: {way}. It can also be lowered \
         onto it across the thickness."
    )
}

/// Room round a half on its drawing.
const ROUND: f64 = 5.0;

/// A half as a plain drawing in millimetres, which `plan` reads again.
pub(super) fn drawing(outline: &Outline) -> String {
    let bounds = outline.bounds().grown(ROUND);
    let mut scene = Scene::sized((bounds.width(), bounds.height()), outline.name.clone());
    let view = View {
        centre: bounds.low,
        on_page: Point::new(0.0, 0.0),
        scale: 1.0,
        turned_over: false,
    };
    for ring in &outline.loops {
        scene.line(view.pieces(ring.pieces()), pen(outline, ring));
    }
    svg(&scene)
}

/// Whole loops are drawn in one stroke: thick where any of it is routed.
fn pen(outline: &Outline, ring: &Loop) -> Pen {
    let on =
        outline.loops.iter().position(|other| std::ptr::eq(other, ring)).unwrap_or(0);
    let routed = outline.edges_of(on).any(|edge| edge.role == Role::Rout);
    if routed { Pen::Cut } else { Pen::NeverCut }
}
