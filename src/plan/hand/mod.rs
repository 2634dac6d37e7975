//! Hand work: what the bits leave and what must not be routed, with tool, register and order.

mod ground;

mod how;

mod site;

mod stretch;

mod tool;

mod whole;

use super::{Draft, HandWork, Part};
use crate::outline::LoopKind;
use crate::shop::Shop;
use ground::Ground;

/// A stock thicker than this is pared from both faces, in mm (from memory).
pub(super) const THICK: f64 = crate::shop::defaults::PARED_FROM_BOTH_FACES.value;
/// What is no deeper than this is pared from one face whatever the stock, in mm (from memory).
pub(super) const SHALLOW_PARE: f64 = crate::shop::defaults::SHALLOW_PARE.value;

/// All that is done by hand, in working order: part by part, outsides before openings, edges
/// before the places that ride on them.
pub(super) fn hand_work(parts: &[Part], draft: &Draft<'_>, shop: &Shop) -> Vec<HandWork> {
    let mut all = Vec::new();
    for index in 0..parts.len() {
        let ground = Ground::new((parts, index), draft, shop);
        let sites = site::listed(&ground);
        let mut work = stretch::works(&ground, &sites);
        let places = site::works(&ground, &sites);
        stretch::take_with_corners(&ground, &mut work, &places);
        work.extend(places);
        whole::openings(&ground, &mut work);
        work.sort_by(|a, b| rank(&ground, a).compare(&rank(&ground, b)));
        all.extend(work);
    }
    for (index, work) in all.iter_mut().enumerate() {
        work.number = index + 1;
    }
    all
}

/// Where a piece of work stands in the order of its part.
struct Rank {
    /// Outside loops first, openings last.
    in_opening: bool,
    on: usize,
    /// Edges first: what is left in their corners rides on them.
    is_site: bool,
    along: f64,
}

impl Rank {
    fn compare(&self, other: &Self) -> std::cmp::Ordering {
        let key = |rank: &Self| (rank.in_opening, rank.on, rank.is_site);
        key(self).cmp(&key(other)).then(self.along.total_cmp(&other.along))
    }
}

fn rank(ground: &Ground<'_>, work: &HandWork) -> Rank {
    let span = work.spans.first();
    let on = span.map_or(0, |span| span.on);
    Rank {
        in_opening: ground.part().guide.kinds[on] != LoopKind::Outside,
        on,
        is_site: work.kind != super::HandKind::Stretch,
        along: span.map_or(0.0, |span| span.from),
    }
}

#[cfg(test)]
mod tests {
    use super::super::shapes::{apron, circle, outline, outlines, polygon, shop, sides};
    use super::super::{
        DoneBy, Draft, FromFace, HandKind, Plan, Reason, RidesOn, Tool, plan,
    };
    use super::{HandWork, hand_work};
    use crate::geom::Point;
    use crate::outline::Outline;
    use crate::reach::SiteKind;
    use crate::read::Role;
    use crate::shop::{Face, Shop};
    use crate::units::Mm;

    const ROUT: [Role; 24] = [Role::Rout; 24];
    const NOTCHED: [(f64, f64); 6] = [
        (0.0, 0.0),
        (400.0, 0.0),
        (400.0, 200.0),
        (200.0, 200.0),
        (200.0, 400.0),
        (0.0, 400.0),
    ];

    fn planned(outline: Outline, shop: &Shop) -> Plan {
        plan(vec![outline], shop).expect("it can be planned").value
    }

    fn notched() -> Outline {
        polygon(&NOTCHED, &ROUT[..6])
    }

    /// A square with a notch in its far edge whose void is 60 degrees wide.
    fn with_sharp_notch() -> Outline {
        let deep = 40.0 / libm::tan(f64::to_radians(30.0));
        let points = [
            (0.0, 0.0),
            (400.0, 0.0),
            (400.0, 300.0),
            (240.0, 300.0),
            (200.0, 300.0 - deep),
            (160.0, 300.0),
            (0.0, 300.0),
        ];
        polygon(&points, &ROUT[..7])
    }

    fn with_openings() -> Outline {
        let square = [(60.0, 220.0), (60.0, 300.0), (120.0, 300.0), (120.0, 220.0)];
        outlines(vec![
            (sides(&NOTCHED), &ROUT[..6]),
            (circle(Point::new(100.0, 100.0), 5.0, -1.0), &ROUT[..2]),
            (sides(&square), &ROUT[..4]),
        ])
    }

    fn slotted(wide: f64) -> Outline {
        let points = [
            (0.0, 0.0),
            (300.0, 0.0),
            (300.0, 400.0),
            (150.0 + wide / 2.0, 400.0),
            (150.0 + wide / 2.0, 370.0),
            (150.0 - wide / 2.0, 370.0),
            (150.0 - wide / 2.0, 400.0),
            (0.0, 400.0),
        ];
        polygon(&points, &ROUT[..8])
    }

    fn near(found: f64, expected: f64, what: &str) {
        assert!((found - expected).abs() < 0.0005, "{what}: {found}, not {expected}");
    }

    /// Basis: geometry: depth r(1/sin(a/2) - 1), side r/tan(a/2), area
    /// r²(cot(a/2) - (pi - a)/2); the chisel by common practice, no source.
    #[test]
    fn a_square_corner_is_pared_with_a_chisel_on_the_routed_wall() {
        let plan = planned(notched(), &shop(0.0, &[12.7]));
        let [work] = plan.hand.as_slice() else { panic!("one corner: {:?}", plan.hand) };
        assert_eq!(work.number, 1, "numbers from 1");
        assert_eq!(work.kind, HandKind::Site(SiteKind::InsideCorner), "a corner");
        near(work.depth, 2.6303, "depth");
        near(work.sides[0], 6.35, "one side");
        near(work.sides[1], 6.35, "the other");
        near(work.area, 8.6530, "area");
        assert_eq!(work.tool, Tool::Chisel(10.0), "one and a half times 6.35, next up");
        assert_eq!(work.from_face, FromFace::One(Face::A), "thin stock: one face");
        let RidesOn::Stretch(index) = work.rides_on else {
            panic!("{:?}", work.rides_on)
        };
        assert!(
            matches!(plan.stretches[index].done_by, DoneBy::Pass(_)),
            "a routed face"
        );
        assert_eq!(work.why, Reason::BitCannotReach, "and why");
    }

    /// Basis: geometry for which wall lies across the grain; the order by common practice, no
    /// source. The notch's walls run along x and along y.
    #[test]
    fn the_wall_across_the_grain_comes_first() {
        for (grain, along_x_first) in
            [(0.0, false), (90.0, true), (30.0, false), (60.0, true)]
        {
            let plan = planned(notched(), &shop(grain, &[12.7]));
            let corner = only_corner(&plan.hand);
            let first =
                corner.how.iter().find(|clause| clause.ends_with("across the grain"));
            let first = first.expect("one wall comes first");
            let wall = plan
                .stretches
                .iter()
                .find(|stretch| first.contains(&format!("stretch {} ", stretch.name)))
                .expect("it is named");
            let ring = &plan.parts[0].guide.loops[0];
            let way = ring.direction_after(wall.span.from + wall.span.length / 2.0);
            assert_eq!(way.y.abs() < 0.5, along_x_first, "grain {grain}: {first}");
        }
    }

    fn only_corner(hand: &[HandWork]) -> &HandWork {
        let corner = HandKind::Site(SiteKind::InsideCorner);
        hand.iter().find(|work| work.kind == corner).expect("there is a corner")
    }

    /// Basis: common practice, no source.
    #[test]
    fn thick_stock_is_sawn_close_and_pared_from_both_faces() {
        let mut shop = shop(0.0, &[12.7]);
        shop.stock.thick = Some(Mm::of(45.0));
        let plan = planned(notched(), &shop);
        let corner = only_corner(&plan.hand);
        assert_eq!(corner.from_face, FromFace::Both, "over 25 mm thick, over 1.5 deep");
        let said = corner.how.join("; ");
        assert!(said.contains("square and knife"), "the line goes round: {said}");
        assert!(
            said.contains("saw or drill most of it away first"),
            "sawn close: {said}"
        );
    }

    /// Basis: common practice, no source; the angle from memory.
    #[test]
    fn a_sharp_void_is_sawn_on_its_bisector() {
        let plan = planned(with_sharp_notch(), &shop(0.0, &[12.7]));
        let corner = only_corner(&plan.hand);
        near(corner.angle.expect("a corner has an angle"), 60.0, "the void");
        near(corner.depth, 6.35, "r(1/sin 30 - 1)");
        assert_eq!(corner.tool, Tool::FretsawAndKnife, "no chisel first");
        assert!(corner.how[1].contains("kerf on the bisector"), "{:?}", corner.how);
    }

    /// Basis: geometry. What decides is the smallest bit that runs beside the place.
    #[test]
    fn what_the_smaller_bit_cleans_is_no_hand_work() {
        let shop = shop(0.0, &[12.7, 6.35]);
        let mut plan = planned(notched(), &shop);
        for (bit, depth) in [(0, 2.6303), (1, 1.3152)] {
            for set_up in &mut plan.set_ups {
                set_up.bit = bit;
            }
            let draft = Draft {
                set_ups: &plan.set_ups,
                stretches: &plan.stretches,
                passes: &plan.passes,
            };
            let work = hand_work(&plan.parts, &draft, &shop);
            near(only_corner(&work).depth, depth, "of the bit that runs");
        }
        let mut passes = plan.passes.clone();
        let mut larger = plan.set_ups[0];
        larger.bit = 0;
        let set_ups = [plan.set_ups[0], larger];
        let mut second = passes[0].clone();
        (second.number, second.set_up) = (passes.len() + 1, 1);
        passes.push(second);
        let mut stretches = plan.stretches.clone();
        let count = passes.len();
        for stretch in stretches.iter_mut().filter(|stretch| stretch.span.on == 0).take(2)
        {
            stretch.done_by = DoneBy::Pass(count);
        }
        let draft = Draft { set_ups: &set_ups, stretches: &stretches, passes: &passes };
        let work = hand_work(&plan.parts, &draft, &shop);
        near(only_corner(&work).depth, 1.3152, "the larger runs elsewhere");
        let corners = work.iter().filter(|work| work.kind != HandKind::Stretch).count();
        assert_eq!(corners, 1, "the larger bit's corner is not listed too");
    }

    #[test]
    fn a_place_between_edges_that_are_not_routed_is_no_work() {
        let kept = Role::TrueAlready;
        let rout = Role::Rout;
        let roles = [rout, kept, kept, kept, kept, kept];
        let plan = planned(polygon(&NOTCHED, &roles), &shop(0.0, &[12.7]));
        assert!(plan.hand.is_empty(), "only the near edge is routed: {:?}", plan.hand);
        let half = [rout, rout, rout, kept, kept, kept];
        let plan = planned(polygon(&NOTCHED, &half), &shop(0.0, &[12.7]));
        assert!(!plan.hand.is_empty(), "one routed wall is enough");
    }

    /// Basis: geometry (which side is downhill from the other end), common practice, no source
    /// (the tool). The far half of the arch is uphill for the one set-up there is.
    #[test]
    fn an_edge_left_uphill_is_shaved_from_its_other_end() {
        let plan = planned(apron(), &shop(0.0, &[12.7]));
        let [work] = plan.hand.as_slice() else { panic!("one stretch: {:?}", plan.hand) };
        assert_eq!(work.kind, HandKind::Stretch, "a whole stretch");
        assert_eq!(work.tool, Tool::RoundSpokeshave, "a wide hollow");
        assert!(300.0 < work.at.x, "the half the bit would cut uphill: {:?}", work.at);
        assert!(work.how[1].contains("towards the left"), "up the slope: {:?}", work.how);
        near(work.depth, 1.5875, "what the saw left");
        near(work.area, 1.5875 * work.sides[0], "depth times length");
    }

    #[test]
    fn an_opening_the_bit_does_not_enter_is_bored_and_comes_last() {
        let plan = planned(with_openings(), &shop(0.0, &[12.7]));
        let opening = HandKind::Site(SiteKind::Opening);
        let work = plan.hand.iter().find(|work| work.kind == opening).expect("the hole");
        assert_eq!(work.tool, Tool::DrillAndFile, "drilled");
        assert!(work.how[1].contains("bore it 10 mm wide"), "round: {:?}", work.how);
        let loops: Vec<usize> = plan.hand.iter().map(|work| work.spans[0].on).collect();
        assert!(loops.is_sorted(), "the outside first: {loops:?}");
    }

    /// The nib of a scarf: a short wall into an inside corner, on which the bit leaves a bit of
    /// wall that no pass can start on. One chisel does both.
    #[test]
    fn a_short_stretch_is_taken_with_the_corner_beside_it() {
        let points = [
            (0.0, 0.0),
            (300.0, 0.0),
            (300.0, 100.0),
            (150.0, 100.0),
            (150.0, 90.0),
            (0.0, 90.0),
        ];
        let plan = planned(polygon(&points, &ROUT[..6]), &shop(0.0, &[12.7]));
        let corner = only_corner(&plan.hand);
        let short = plan.hand.iter().find(|work| work.kind == HandKind::Stretch);
        let short = short.expect("the rest of the nib is short end grain into a corner");
        assert_eq!(short.tool, corner.tool, "one chisel");
        assert!(
            short.how.iter().any(|said| said.contains("in one go")),
            "{:?}",
            short.how
        );
    }

    /// Every millimetre left to the hand is in some piece of work. Basis: geometry.
    #[test]
    fn nothing_left_to_the_hand_is_forgotten() {
        let shapes = [
            notched(),
            with_sharp_notch(),
            with_openings(),
            slotted(12.0),
            slotted(12.7),
            slotted(40.0),
            apron(),
            outline(circle(Point::new(0.0, 0.0), 200.0, 1.0), &ROUT[..2]),
        ];
        let mut count = 0;
        for (which, shape) in shapes.iter().enumerate() {
            for grain in [0.0, 30.0, 90.0, 143.0] {
                for bits in [&[12.7][..], &[12.7, 6.35][..], &[19.05][..]] {
                    let what = format!("shape {which}, grain {grain}, bits {bits:?}");
                    // The arch alone is uphill all along for some grains, and refused.
                    if let Ok(told) = plan(vec![shape.clone()], &shop(grain, bits)) {
                        complete(&told.value, &what);
                        count += 1;
                    }
                }
            }
        }
        assert!(80 < count, "most can be planned: {count}");
    }

    fn complete(plan: &Plan, what: &str) {
        let numbers: Vec<usize> = plan.hand.iter().map(|work| work.number).collect();
        assert!(numbers.iter().copied().eq(1..=numbers.len()), "{what}: {numbers:?}");
        for stretch in &plan.stretches {
            let spans = plan.hand.iter().filter(|work| work.part == stretch.part);
            let covered: f64 = spans
                .flat_map(|work| &work.spans)
                .filter(|span| span.on == stretch.span.on)
                .map(|span| {
                    let ring = &plan.parts[0].guide.loops[span.on];
                    super::ground::overlap(ring, &stretch.span, span)
                })
                .sum();
            let missing = stretch.span.length - covered;
            match stretch.done_by {
                DoneBy::Hand => assert!(missing < 0.02, "{what}: {stretch:?}"),
                DoneBy::Pass(_) => assert!(covered < 0.02, "{what}: {stretch:?}"),
            }
        }
        for work in &plan.hand {
            assert!(!work.how.is_empty(), "{what}: says how");
            assert!(!work.border.is_empty(), "{what}: has a border");
        }
    }

    /// Basis: geometry. A template set in for a bush, or rounded by its end mill, is no register.
    #[test]
    fn a_template_that_is_no_register_is_not_ridden_on() {
        let mut shop = shop(0.0, &[12.7]);
        shop.machine = Some(machine());
        let plan = planned(notched(), &shop);
        let said = only_corner(&plan.hand).how.join("; ");
        assert!(said.contains("rounded to a radius of 3 mm"), "by the end mill: {said}");

        let mut parts = plan.parts.clone();
        parts[0].template_offset = -3.0;
        let stretches: Vec<_> = plan
            .stretches
            .iter()
            .cloned()
            .map(|mut stretch| {
                stretch.done_by = DoneBy::Hand;
                stretch
            })
            .collect();
        let draft = Draft { set_ups: &plan.set_ups, stretches: &stretches, passes: &[] };
        let work = hand_work(&parts, &draft, &shop);
        assert!(
            work.iter().all(|work| work.rides_on == RidesOn::Line),
            "the template's edge is not the part's"
        );
    }

    fn machine() -> crate::shop::Machine {
        crate::shop::Machine::new(
            crate::units::Diameter::new(Mm::of(6.0)).expect("it has a width"),
        )
    }
}
