//! A joint's facts in words, and its halves as plain drawings.

use crate::draw::{Pen, Scene, View, svg};
use crate::geom::{Loop, Point};
use crate::joint::Facts;
use crate::outline::Outline;
use crate::read::{JointName, Role};
use crate::units::Paper;

/// What kind of joint it is and how it is drawn.
pub(super) fn opening(facts: &Facts, paper: Paper) -> String {
    let what = match facts.name {
        None => return "A joint along one line across a board: half A lies on the left of the \
             line as it is walked, half B on its right."
            .to_owned(),
        Some(JointName::HalfLap) => "A half lap, end to end, seen on the face: each half is \
             cut away to the middle of its width.",
        Some(JointName::DovetailedLap) => "A lapped dovetail: half A has the tail, half B the \
             socket in its edge.",
        Some(JointName::Bridle) => "A bridle, seen on the EDGE of the stock: half A is the \
             fork, half B the tongue.",
        Some(JointName::SplayedScarf) => "A splayed scarf with a nib at each end.",
        Some(JointName::TabledScarf) => "A splayed scarf with a table in its middle, where \
             folding wedges draw the nibs up tight.",
        Some(JointName::TuskTenon) => "A tenon through a post, drawn up by a tusk wedge beyond \
             it: half A is the rail, half B the post.",
        Some(JointName::FingerJoint) => "A finger joint: half A has the outer fingers. The \
             template is seen on the face, the fingers as long as the mate is thick.",
    };
    let more = match (facts.name, facts.halved, facts.through) {
        (_, true, Some(deep)) => format!(
            " Where they lie on each other each is half as thick, {}, as the sheet Lap \
             says.",
            paper.length(deep)
        ),
        (Some(JointName::Bridle), _, Some(deep)) => {
            format!(" The cut goes through {}.", paper.length(deep))
        }
        _ => String::new(),
    };
    format!("{what}{more}")
}

/// Which template serves which half, and which face is up.
pub(super) fn templates(facts: &Facts) -> Vec<String> {
    let mut lines = Vec::new();
    if facts.mating.half_turn.is_some() {
        lines.push(
            "One template serves both halves. Half A: face A up. Half B: lay the second piece \
             end for end, also face A up."
                .to_owned(),
        );
        lines.push(
            "Prove it: trace the template, turn it half round, trace again; the two lines lie \
             on each other, and any gap is twice the error."
                .to_owned(),
        );
    } else {
        lines.push(
            "Two templates: A for half A, B for half B, each with face A up. Mark half and face \
             on both sides of each."
                .to_owned(),
        );
    }
    lines.push(if facts.mating.mirror.is_some() {
        "Each half is its own mirror image: its template may lie with either face up. Prove it: \
         trace the template, turn it over, trace again; the two lines lie on each other. Turned \
         over it is still its own half, never the mate."
            .to_owned()
    } else {
        "Never turn a template over: turned over it makes the other hand of the same half, for a \
         left and right pair, and never the mate."
            .to_owned()
    });
    lines
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
