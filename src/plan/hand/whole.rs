//! Openings left to the hand all round: one piece of work, not one for each run of the grain.

use super::super::{DoneBy, HandKind, HandWork, RidesOn, Tool};
use super::ground::Ground;
use crate::geom::Point;
use crate::outline::LoopKind;

/// Takes all work in an opening that no pass enters together.
pub(super) fn openings(ground: &Ground<'_>, work: &mut Vec<HandWork>) {
    let kinds = ground.part().guide.kinds.iter().enumerate();
    for (on, _) in kinds.filter(|(_, kind)| **kind == LoopKind::Opening) {
        let lies_here = |it: &HandWork| it.spans.iter().all(|span| span.on == on);
        let routed = ground.stretches().any(|(_, stretch)| {
            stretch.span.on == on && matches!(stretch.done_by, DoneBy::Pass(_))
        });
        if routed || work.iter().filter(|it| lies_here(it)).count() < 2 {
            continue;
        }
        let (here, others) = std::mem::take(work).into_iter().partition(lies_here);
        *work = others;
        work.extend(together(ground, on, here));
    }
}

/// One piece of work that brings an opening to its line.
fn together(ground: &Ground<'_>, on: usize, here: Vec<HandWork>) -> Option<HandWork> {
    let ring = ground.ring(on);
    let stretch = |it: &&HandWork| it.kind == HandKind::Stretch;
    let why = here.iter().find(stretch).or(here.first())?.why.clone();
    let bounds = ring.bounds();
    let at: Point = bounds.centre();
    let sum = |of: &dyn Fn(&HandWork) -> f64| here.iter().map(of).sum::<f64>();
    let corners = here.iter().filter(|it| it.angle.is_some()).count();
    let mut how = vec![
        "knife round the opening".to_owned(),
        "saw or drill close to the line, a scrap tight under the part".to_owned(),
        "rasp and file to the line, from both faces toward the middle, square to the face"
            .to_owned(),
    ];
    if 0 < corners {
        how.push(format!(
            "pare its {corners} corners with a chisel, across the grain first"
        ));
    }
    Some(HandWork {
        number: 0,
        part: ground.index,
        kind: HandKind::Stretch,
        at,
        angle: None,
        depth: here.iter().map(|it| it.depth).fold(0.0, f64::max),
        sides: vec![ring.length()],
        area: sum(&|it| it.area),
        tool: Tool::Rasp,
        rides_on: RidesOn::Line,
        from_face: here.first()?.from_face,
        border: vec![ring.clone()],
        spans: here.into_iter().flat_map(|it| it.spans).collect(),
        why,
        how,
    })
}
