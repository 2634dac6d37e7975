//! The template: run-ons past the part, its set-in or set-out, and the holes it is to have.

pub(super) use super::run_on::guide;

use super::kept;
use crate::diag::{Failure, Place, Problem, Source};
use crate::geom::{Loop, Point, offset_loops};
use crate::outline::Outline;
use crate::read::Extra;
use crate::shop::{Bit, Shop};
use crate::units::Paper;

/// A template, and what it is set in from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Made {
    /// Its edges and holes.
    pub(super) template: Vec<Loop>,
    /// The guide as drawn with the edges moved out that then stay; none where it is set in all
    /// round.
    pub(super) set_from: Option<Vec<Loop>>,
}

/// The templates of several guides, each set out by its offset (set in where it is negative)
/// for these bits; each hole goes to the one it lies in.
pub(super) fn templates(
    guides: &[(&Outline, f64)],
    bits: &[&Bit],
    shop: &Shop,
) -> Result<Vec<Made>, Failure> {
    let mut made = Vec::new();
    for (guide, offset) in guides {
        made.push(set_in_where_routed(guide, *offset, bits, shop.paper)?);
    }
    let mut templates: Vec<&mut Vec<Loop>> =
        made.iter_mut().map(|made| &mut made.template).collect();
    let mut problems = Vec::new();
    for extra in &shop.template.extras {
        let hole = Hole::of(extra);
        match templates.iter_mut().find(|template| hole.lies_in(template)) {
            Some(template) => template.push(Loop::opening(hole.at, hole.radius)),
            None => problems.push(hole.misplaced(&templates, shop.paper)),
        }
    }
    if problems.is_empty() { Ok(made) } else { Err(Failure::Input(problems)) }
}

/// The template of a guide: where it is set in, only its routed edges are, as long as that
/// leaves every bit its way.
fn set_in_where_routed(
    guide: &Outline,
    offset: f64,
    bits: &[&Bit],
    paper: Paper,
) -> Result<Made, Failure> {
    let template = moved(guide, offset, paper)?;
    if 0.0 <= offset {
        return Ok(Made { template, set_from: None });
    }
    let kept = kept::spread(guide, &guide.loops, -offset)
        .and_then(|spread| offset_loops(&spread, offset).ok())
        .filter(|kept| kept::serves(guide, (kept, &template), bits));
    let set_from = kept::spread(guide, &guide.drawn, -offset);
    Ok(match (kept, set_from) {
        (Some(template), Some(from)) => Made { template, set_from: Some(from) },
        _ => Made { template, set_from: None },
    })
}

fn moved(guide: &Outline, offset: f64, paper: Paper) -> Result<Vec<Loop>, Failure> {
    let place = || Place::whole(Source::Drawing, guide.name.as_str());
    let loops = offset_loops(&guide.loops, offset).map_err(|untrimmed| {
        Failure::refused(
            Problem::stop(
                "template-unproved",
                format!(
                    "the template's edge could not be proved near {}: {}",
                    spot(untrimmed.at, paper),
                    untrimmed.fault
                ),
                "simplify the outline there, or use a bearing of the cutter's size",
            )
            .at(place().at(untrimmed.at.x, untrimmed.at.y)),
        )
    })?;
    if loops.iter().any(|ring| 0.0 < ring.area()) {
        return Ok(loops);
    }
    Err(Failure::refused(
        Problem::stop(
            "template-vanishes",
            format!("nothing is left of the part set in by {}", paper.fine(-offset)),
            "use a bush or bearing nearer to the cutter's size",
        )
        .at(place()),
    ))
}

fn spot(at: Point, paper: Paper) -> String {
    format!("{}, {}", paper.fine(at.x), paper.fine(at.y))
}

/// A round hole in the template.
#[derive(Debug, Clone, Copy)]
struct Hole {
    words: &'static str,
    at: Point,
    radius: f64,
}

impl Hole {
    const fn of(extra: &Extra) -> Self {
        match extra {
            Extra::Pin { at, diameter } => {
                Self { words: "pin hole", at: *at, radius: diameter.radius() }
            }
            Extra::HangHole { at, diameter } => {
                Self { words: "hang hole", at: *at, radius: diameter.radius() }
            }
        }
    }

    /// Whether the hole lies in the wood of these loops, clear of every edge.
    fn lies_in(&self, loops: &[Loop]) -> bool {
        self.is_over(loops) && self.radius < self.room(loops)
    }

    fn is_over(&self, loops: &[Loop]) -> bool {
        0 < loops.iter().map(|ring| ring.winding(self.at)).sum()
    }

    /// How far the hole's centre is from the nearest edge, in mm.
    fn room(&self, loops: &[Loop]) -> f64 {
        let pieces = loops.iter().flat_map(Loop::pieces);
        pieces.map(|piece| piece.distance(self.at)).fold(f64::INFINITY, f64::min)
    }

    fn misplaced(&self, templates: &[&mut Vec<Loop>], paper: Paper) -> Problem {
        let Self { words, at, radius } = self;
        let nearest =
            templates.iter().map(|loops| self.room(loops)).fold(f64::INFINITY, f64::min);
        let crosses = nearest <= *radius;
        let lies = if crosses {
            "crosses an edge of the template"
        } else {
            "lies outside the template"
        };
        let found = format!("the {words} at {} {lies}", spot(*at, paper));
        let id = if crosses { "extra-crosses-edge" } else { "extra-outside" };
        Problem::stop(
            id,
            found,
            "move it into the template, clear of every edge and hole",
        )
        .expected(format!(
            "its whole circle, {} wide, in the template",
            paper.fine(2.0 * radius)
        ))
        .at(Place::whole(Source::Job, "template").element(*words).at(at.x, at.y))
    }
}

#[cfg(test)]
mod tests {
    use super::super::shapes::{circle, outline, outlines, polygon, shop, sides};
    use super::*;
    use crate::read::Role;
    use crate::units::{Diameter, Mm};
    use std::f64::consts::PI;

    const SQUARE: [(f64, f64); 4] =
        [(0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0)];

    fn pin(x: f64, y: f64) -> Extra {
        let diameter = Diameter::new(Mm::of(6.0)).expect("a pin has a width");
        Extra::Pin { at: Point::new(x, y), diameter }
    }

    fn template(guide: &Outline, offset: f64, shop: &Shop) -> Result<Vec<Loop>, Failure> {
        let bits: Vec<&Bit> = shop.bits.iter().collect();
        Ok(templates(&[(guide, offset)], &bits, shop)?.remove(0).template)
    }

    #[test]
    fn without_an_offset_the_template_is_the_guide() {
        let guide = polygon(&SQUARE, &[Role::Rout; 4]);
        let template = template(&guide, 0.0, &shop(0.0, &[12.7])).expect("it is sound");
        assert_eq!(template, guide.loops, "exactly");
    }

    /// Basis: geometry. A bush of 12.7 with a cutter of 6.35 sets the template in by 3.175,
    /// outside and opening alike: sharp outside corners stay sharp.
    #[test]
    fn a_bush_sets_the_template_in() {
        let rout = [Role::Rout; 4];
        let hole = circle(Point::new(50.0, 40.0), 15.0, -1.0);
        let guide = outlines(vec![(sides(&SQUARE), &rout), (hole, &rout[..2])]);
        let template =
            template(&guide, -3.175, &shop(0.0, &[6.35])).expect("it is sound");
        let expected =
            (100.0 - 6.35) * (80.0 - 6.35) - PI * (15.0 + 3.175) * (15.0 + 3.175);
        let area: f64 = template.iter().map(Loop::area).sum();
        assert!((area - expected).abs() < 1e-6, "{area}, not {expected}");
    }

    /// Basis: geometry. Set in by 3 along one side of four, the others stay on the board's
    /// edges; a corner with a true edge is as sharp as it was.
    #[test]
    fn true_edges_stay_on_the_boards_edges() {
        let kept = Role::TrueAlready;
        for (routed, area) in [(0, 100.0 * 77.0), (1, 97.0 * 80.0)] {
            let mut roles = [kept; 4];
            roles[routed] = Role::Rout;
            let guide = polygon(&SQUARE, &roles);
            let shop = shop(0.0, &[6.35]);
            let made = template(&guide, -3.0, &shop).expect("it is sound");
            let found: f64 = made.iter().map(Loop::area).sum();
            assert!((found - area).abs() < 1e-6, "{found}, not {area}");
        }
    }

    /// Basis: geometry. Where a true edge meets a routed one in an inside corner, a template
    /// that kept it would hold the bush off the corner: there it is set in all round.
    #[test]
    fn a_true_edge_that_would_stop_the_bush_is_set_in() {
        let notched = [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 80.0),
            (60.0, 80.0),
            (60.0, 40.0),
            (0.0, 40.0),
        ];
        let mut roles = [Role::TrueAlready; 6];
        roles[4] = Role::Rout;
        let guide = polygon(&notched, &roles);
        let mut shop = shop(0.0, &[6.35]);
        shop.bits[0].bearing = Diameter::new(Mm::of(12.35)).expect("a bush");
        let made = template(&guide, -3.0, &shop).expect("it is sound");
        let all_round = offset_loops(&guide.loops, -3.0).expect("it is sound");
        assert_eq!(made, all_round, "as if nothing were true");
    }

    /// Basis: geometry.
    #[test]
    fn a_part_narrower_than_the_set_in_is_refused() {
        let ribbon = outline(
            sides(&[(0.0, 0.0), (100.0, 0.0), (100.0, 5.0), (0.0, 5.0)]),
            &[Role::Rout; 4],
        );
        let refused =
            template(&ribbon, -3.0, &shop(0.0, &[6.35])).expect_err("nothing left");
        assert_eq!(refused.problems()[0].id, "template-vanishes", "and says so");
    }

    #[test]
    fn holes_are_cut_where_they_lie_and_refused_elsewhere() {
        let guide = polygon(&SQUARE, &[Role::Rout; 4]);
        let mut shop = shop(0.0, &[12.7]);
        shop.template.extras = vec![pin(20.0, 20.0)];
        let made = template(&guide, 0.0, &shop).expect("the pin lies inside");
        assert_eq!(made.len(), 2, "the outside and the hole");
        assert!((made[1].area() + 9.0 * PI).abs() < 1e-9, "clockwise, 6 mm wide");

        for (extra, id) in [
            (pin(2.0, 20.0), "extra-crosses-edge"),
            (pin(120.0, 20.0), "extra-outside"),
            (pin(22.0, 20.0), "extra-crosses-edge"),
        ] {
            shop.template.extras = vec![pin(20.0, 20.0), extra];
            let refused = template(&guide, 0.0, &shop).expect_err("it does not fit");
            assert_eq!(refused.problems()[0].id, id, "{:?}", refused.problems());
        }
    }

    /// Basis: geometry, 1 in is 25.4 mm.
    #[test]
    fn a_hole_of_an_inch_job_is_refused_in_inches() {
        let guide = polygon(&SQUARE, &[Role::Rout; 4]);
        let mut shop = shop(0.0, &[12.7]);
        shop.paper.unit = crate::units::Unit::Inch;
        shop.template.extras = vec![pin(127.0, 25.4)];
        let refused = template(&guide, 0.0, &shop).expect_err("it lies outside");
        let found = &refused.problems()[0].found;
        assert_eq!(found, "the pin hole at 5 in, 1 in lies outside the template");
    }

    #[test]
    fn each_hole_goes_to_the_template_it_lies_in() {
        let (left, right) = (
            polygon(&SQUARE, &[Role::Rout; 4]),
            polygon(
                &[(200.0, 0.0), (300.0, 0.0), (300.0, 80.0), (200.0, 80.0)],
                &[Role::Rout; 4],
            ),
        );
        let mut shop = shop(0.0, &[12.7]);
        shop.template.extras = vec![pin(250.0, 20.0)];
        let made =
            templates(&[(&left, 0.0), (&right, 0.0)], &[], &shop).expect("it fits");
        let holes = [&made[0], &made[1]].map(|made| made.template.len());
        assert_eq!(holes, [1, 2], "in the second");
    }
}
