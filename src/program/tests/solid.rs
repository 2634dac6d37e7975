//! Parts of solid wood that the machine cuts itself: which way round each edge is finished, what
//! is left for the hand, and relieved corners; judged by a promise that the path has no part in.

use super::*;
use crate::outline::Edge;
use crate::path::{Kind, Move};
use crate::plan::Feed;
use crate::prove::{Rule, Verdict};
use crate::read::{Cut, Hidden, Material};

/// A shop whose machine cuts oak, its grain along this axis.
pub(super) fn oak(grain: f64, wide: f64) -> Shop {
    let mut machine = machine(wide);
    machine.cut = Cut::Part;
    machine.material = Material::Hardwood;
    machine.allowance = Mm::of(1.0);
    let mut shop = shop(machine);
    shop.stock.grain = grain;
    shop.stock.thick = Some(Mm::of(12.0));
    let mill = Diameter::new(Mm::of(wide)).expect("it has a width");
    shop.bits = vec![crate::shop::Bit {
        number: 1,
        text: "end mill".to_owned(),
        cutter: mill,
        bearing: mill,
        guides: vec![crate::shop::Guide::Shank],
        cut_length: None,
        reach: None,
        marked_speed: None,
        body: crate::shop::BitBody::default(),
    }];
    shop
}

/// An outline of these loops, each of its pieces an edge of its own by this name.
pub(super) fn outline(loops: Vec<Loop>, name: Option<&str>) -> Outline {
    let mut outline = part(loops).outline;
    let edges = outline.loops.iter().enumerate().flat_map(|(on, ring)| {
        (0..ring.pieces().len()).map(move |index| Edge {
            span: Span {
                on,
                from: ring.start_of(index),
                length: ring.pieces()[index].length(),
            },
            role: Role::Rout,
            name: name.map(str::to_owned),
            side: None,
        })
    });
    outline.edges = edges.collect();
    outline
}

/// A disc.
fn disc(radius: f64) -> Loop {
    Loop::opening(Point::new(80.0, 80.0), radius).reversed()
}

struct Case {
    shop: Shop,
    plan: Plan,
    promise: Promise,
    dialect: Dialect,
}

impl Case {
    fn new(outline: Outline, shop: Shop, name: &str) -> Self {
        let plan = crate::plan::plan(vec![outline], &shop).expect("it plans").value;
        let dialect = post(name);
        let promise = promised(&plan, &shop, &dialect).expect("it can be laid");
        Self { shop, plan, promise, dialect }
    }

    /// The text of the program that this plan, changed, would give.
    fn text(&self, change: impl Fn(&mut Plan)) -> String {
        let mut plan = self.plan.clone();
        change(&mut plan);
        self.written(&plan, |_| {})
    }

    /// The text of a plan's program, its path changed.
    fn written(&self, plan: &Plan, spoil: impl Fn(&mut Toolpath)) -> String {
        let machine = self.shop.machine.as_ref().expect("there is one");
        let lay = lay(&plan.parts, machine, self.shop.paper).expect("it can be laid");
        let runs = runs_of(plan, (&self.shop, machine));
        let task = Task {
            machine,
            tool: Tool::EndMill,
            thick: self.shop.blank_thick(),
            marks: &[],
            runs,
            paper: self.shop.paper,
        };
        let mut path = toolpath(&plan.parts, lay, task).expect("it can be cut");
        spoil(&mut path);
        let header = Header { id: "abc123".to_owned(), name: "part".to_owned() };
        gcode::text(&path, &self.dialect, &header)
    }

    fn judge(&self, text: &str) -> Result<ProvedProgram, Verdict> {
        prove(vec![Candidate::new(text.to_owned())], &self.promise)
    }

    fn proves(&self, what: &str) {
        if let Err(verdict) = self.judge(&self.text(|_| {})) {
            panic!("{what}: {:#?}", verdict.faults.iter().take(5).collect::<Vec<_>>());
        }
    }

    fn caught(&self, text: &str, rule: Rule, what: &str) {
        let verdict = self.judge(text).expect_err(what);
        assert!(verdict.breaks(rule), "{what}: {:#?}", verdict.faults);
    }
}

/// Basis: geometry: a disc has every angle to the grain twice.
#[test]
fn a_disc_proves_whatever_its_grain_and_post() {
    for (grain, wide, name) in [
        (0.0, 6.0, "iso-mm"),
        (37.0, 6.0, "iso-inch"),
        (90.0, 3.0, "iso-mm-lines"),
        (141.0, 8.0, "iso-inch-lines"),
    ] {
        let case = Case::new(outline(vec![disc(50.0)], None), oak(grain, wide), name);
        case.proves(&format!("grain {grain}, mill {wide}, {name}"));
        let feeds: Vec<Feed> = case.plan.passes.iter().map(|pass| pass.feed).collect();
        assert!(feeds.contains(&Feed::Climb), "half of it is uphill: {feeds:?}");
    }
}

/// Basis: geometry: a disc of radius 50 and the grain along x. Walked with the disc on the left
/// the tooth meets the grain at the walk's own angle, so it is downhill from the right round to
/// the top (as the walk goes from 90 to 180 that is -90 to 0): by hand, the quadrants are these.
#[test]
fn the_quadrants_of_a_disc_go_by_the_grain() {
    let case = Case::new(outline(vec![disc(50.0)], None), oak(0.0, 6.0), "iso-mm");
    let centre = Point::new(80.0, 80.0);
    for stretch in &case.plan.stretches {
        let ring = &case.plan.parts[0].outline.loops[0];
        let at = ring.at(stretch.span.from + stretch.span.length / 2.0);
        // Seen from the middle; the walk runs 90 degrees further round.
        let place = (at - centre).angle().to_degrees().rem_euclid(360.0);
        let walk = (place + 90.0).rem_euclid(180.0);
        let phi = if walk <= 90.0 { walk } else { walk - 180.0 };
        let feed = case
            .plan
            .passes
            .iter()
            .find(|pass| stretch.done_by == crate::plan::DoneBy::Pass(pass.number))
            .map(|pass| pass.feed);
        let limit = libm::acos(1.0 - 1.0 / 3.0).to_degrees() + 5.0;
        let expected = if (-limit..0.0).contains(&phi) {
            Some(Feed::Climb)
        } else if (-70.0..-limit).contains(&phi) {
            None
        } else {
            Some(Feed::Conventional)
        };
        assert_eq!(feed, expected, "at {place:.0} degrees round, {phi:.1} to the grain");
    }
}

#[test]
fn a_lap_the_wrong_way_round_is_caught() {
    let case = Case::new(outline(vec![disc(50.0)], None), oak(20.0, 6.0), "iso-mm");
    let other = |feed: Feed| match feed {
        Feed::Conventional => Feed::Climb,
        Feed::Climb => Feed::Conventional,
    };
    for wrong in [Feed::Conventional, Feed::Climb] {
        let turned = case.text(|plan| {
            for pass in plan.passes.iter_mut().filter(|pass| pass.feed == wrong) {
                pass.feed = other(pass.feed);
            }
        });
        case.caught(&turned, Rule::Direction, "runs turned round");
    }
    let whole = case.text(|plan| {
        plan.passes.truncate(1);
        plan.passes[0].closed = true;
    });
    case.caught(&whole, Rule::Direction, "conventional all round");
}

/// Turns every closed rough lap of a path round, or only the one with this number; how many
/// there are.
fn turn_rough(path: &mut Toolpath, only: Option<usize>) -> usize {
    let mut count = 0;
    let mut at = 1;
    while at < path.moves.len() {
        let is_one = |step: &Move, like: &Move| {
            step.kind == Kind::Rough && (step.z - like.z).abs() < 1e-9
        };
        let first = path.moves[at];
        let lap: Vec<Move> = path.moves[at..]
            .iter()
            .take_while(|it| is_one(it, &first))
            .copied()
            .collect();
        let from = path.moves[at - 1].to;
        if 2 < lap.len() && lap[lap.len() - 1].to.distance(from) < 1e-6 {
            if only.is_none_or(|only| only == count) {
                let froms =
                    [vec![from], lap.iter().map(|step| step.to).collect()].concat();
                let back = lap.iter().zip(&froms).rev().map(|(step, &to)| Move {
                    to,
                    arc: step.arc.map(|(centre, sweep)| (centre, -sweep)),
                    ..*step
                });
                let back: Vec<Move> = back.collect();
                path.moves.splice(at..at + lap.len(), back);
            }
            count += 1;
        }
        at += lap.len().max(1);
    }
    count
}

/// Each rough lap of several parts, alone and all together: nothing else is wrong with them.
#[test]
fn a_rough_lap_that_climbs_is_caught() {
    let at = Point::new;
    let kite =
        Loop::polygon(&[at(0.0, 0.0), at(120.0, 20.0), at(90.0, 90.0), at(10.0, 70.0)]);
    let ring = vec![disc(70.0), hole(80.0, 80.0, 30.0)];
    let mut mutants = 0;
    for (loops, grain, name) in [
        (vec![disc(50.0)], 20.0, "iso-mm"),
        (ring, 75.0, "iso-inch"),
        (vec![kite], 40.0, "iso-mm-lines"),
    ] {
        let case = Case::new(outline(loops, None), oak(grain, 6.0), name);
        case.proves(name);
        let mut count = 0;
        case.written(&case.plan, |path| assert!(0 < turn_rough(path, None), "laps"));
        for only in [None].into_iter().chain((0..40).map(Some)) {
            let found = std::cell::Cell::new(0);
            let text = case.written(&case.plan, |path| found.set(turn_rough(path, only)));
            if only.is_some_and(|only| found.get() <= only) {
                break;
            }
            let what = format!("{name}: {only:?}");
            let verdict = case.judge(&text).expect_err(&what);
            let alone = verdict.faults.iter().all(|it| it.rule == Rule::Direction);
            assert!(alone, "{what}: {:#?}", verdict.faults);
            assert!(verdict.faults[0].text.contains("roughs"), "{:?}", verdict.faults);
            count += 1;
        }
        assert!(3 < count, "{name}: {count}");
        mutants += count;
    }
    assert!(12 <= mutants, "{mutants}");
}

/// Basis: geometry: a lap that lies as far off the line as an edge may stand, or as far in it, is
/// a finishing lap like any other.
#[test]
fn a_lap_the_wrong_way_round_is_caught_however_near_the_line_it_passes() {
    for off in [0.008, -0.008] {
        let mut case =
            Case::new(outline(vec![disc(50.0)], None), oak(20.0, 6.0), "iso-mm");
        let machine = case.shop.machine.as_mut().expect("there is one");
        machine.end_mill = Diameter::new(Mm::of(6.0 + 2.0 * off)).expect("it is wide");
        case.proves("so near the line it passes");
        let climbed = case.text(|plan| {
            for pass in &mut plan.passes {
                pass.feed = Feed::Climb;
            }
        });
        case.caught(&climbed, Rule::Direction, &format!("climbed {off} off the line"));
    }
}

#[test]
fn grain_that_lies_otherwise_than_planned_is_caught() {
    for off in [6.0, -6.0, 90.0] {
        let mut case =
            Case::new(outline(vec![disc(50.0)], None), oak(20.0, 6.0), "iso-mm");
        let text = case.text(|_| {});
        for wood in case.promise.loops.iter_mut().filter_map(|it| it.wood.as_mut()) {
            wood.grain += off;
        }
        case.caught(&text, Rule::Direction, "the blank lies turned");
    }
}

/// What climb does not cure is left by the allowance: finishing it is a fault, and so is leaving
/// more, or leaving an edge that a run should finish.
#[test]
fn what_is_left_for_the_plane_is_left_as_promised() {
    let case = Case::new(outline(vec![disc(50.0)], None), oak(0.0, 6.0), "iso-mm");
    let by_hand = |plan: &Plan| {
        let mut left = plan.stretches.iter();
        left.any(|it| it.touched && it.done_by == crate::plan::DoneBy::Hand)
    };
    assert!(by_hand(&case.plan), "some of it is steeper than a climb cures");
    let longer = case.text(|plan| {
        for pass in plan.passes.iter_mut().filter(|pass| pass.feed == Feed::Climb) {
            (pass.span.from, pass.span.length) =
                (pass.span.from - 6.0, pass.span.length + 12.0);
        }
    });
    case.caught(&longer, Rule::Direction, "a climb goes on where it does not cure");
    let shorter = case.text(|plan| {
        for pass in plan.passes.iter_mut().filter(|pass| pass.feed == Feed::Climb) {
            (pass.span.from, pass.span.length) =
                (pass.span.from + 4.0, pass.span.length - 8.0);
        }
    });
    case.caught(&shorter, Rule::Leftover, "an edge is not finished");
    let mut less = Case::new(outline(vec![disc(50.0)], None), oak(0.0, 6.0), "iso-mm");
    let text = less.text(|_| {});
    for wood in less.promise.loops.iter_mut().filter_map(|it| it.wood.as_mut()) {
        wood.allowance = 0.9;
    }
    less.caught(&text, Rule::Leftover, "more stands than is promised");
}

/// Basis: geometry: walked with the part on the left, an opening goes the other way round its
/// middle, and what is uphill lies on the other side of it.
#[test]
fn an_opening_is_split_too() {
    let loops = vec![disc(70.0), hole(80.0, 80.0, 30.0)];
    let case = Case::new(outline(loops, None), oak(0.0, 6.0), "iso-mm");
    case.proves("a ring");
    for on in [0, 1] {
        let ring = &case.plan.parts[0].outline.loops[on];
        let own = case.plan.passes.iter().filter(|pass| pass.span.on == on);
        let climbed: Vec<f64> = own
            .filter(|pass| pass.feed == Feed::Climb)
            .map(|pass| ring.at(pass.span.from + pass.span.length / 2.0))
            .map(|at| (at - Point::new(80.0, 80.0)).angle().to_degrees())
            .collect();
        assert_eq!(climbed.len(), 2, "two quadrants of loop {on}: {climbed:?}");
        for round in climbed {
            // The walk runs square to the way out, and its angle to the grain is the same
            // whichever of the two ways it runs.
            assert!(round.rem_euclid(180.0) < 90.0, "loop {on}: {round}");
        }
    }
}

/// A square with a notch, its corners hidden.
fn notch(relieved: bool) -> Case {
    let mut shop = oak(0.0, 6.0);
    if relieved {
        let place = crate::diag::Place::whole(crate::diag::Source::Job, "relieve");
        let machine = shop.machine.as_mut().expect("there is one");
        machine.relieve = vec![(Hidden::Edge("notch".to_owned()), place)];
    }
    let at = Point::new;
    let ring = Loop::polygon(&[
        at(0.0, 0.0),
        at(120.0, 0.0),
        at(120.0, 100.0),
        at(80.0, 100.0),
        at(80.0, 80.0),
        at(40.0, 80.0),
        at(40.0, 100.0),
        at(0.0, 100.0),
    ]);
    Case::new(outline(vec![ring], Some("notch")), shop, "iso-mm")
}

/// Basis: geometry: in a square corner the mill goes 0.293 of its radius past either line.
#[test]
fn a_relief_goes_through_the_corner_and_no_farther() {
    let case = notch(true);
    case.proves("both corners relieved");
    let radius = 3.0;
    assert_eq!(case.promise.reliefs.len(), 2, "the two inside corners");
    for relief in &case.promise.reliefs {
        let past = radius * (1.0 - f64::sqrt(0.5));
        assert!((relief.past(radius) - past).abs() < 1e-9, "{relief:?}");
    }
    assert!(case.plan.hand.is_empty(), "no corner for the chisel: {:?}", case.plan.hand);
    assert_eq!(notch(false).plan.hand.len(), 2, "else there are two");
}

#[test]
fn a_relief_deeper_or_aside_or_unasked_is_caught() {
    let case = notch(true);
    let text = case.text(|_| {});
    let moved = |x: f64, y: f64| {
        let mut other = notch(true);
        for relief in &mut other.promise.reliefs {
            relief.corner = relief.corner + Vector::new(x, y);
        }
        other
    };
    // The program goes 0.1 mm deeper than a promise whose corners lie 0.07 mm out on both axes.
    let deeper = |x: f64| moved(x, -0.07);
    for x in [0.07, -0.07] {
        deeper(x).caught(&text, Rule::Gouge, "0.1 mm deeper in one of the two");
    }
    moved(1.0, 0.0).caught(&text, Rule::Gouge, "1 mm aside");
    moved(0.0, -0.2).caught(&text, Rule::Leftover, "not as deep as the corner");
    let mut unasked = notch(true);
    unasked.promise.reliefs.clear();
    unasked.caught(&text, Rule::Gouge, "no corner is hidden");
    let plain = notch(false);
    let mut asked = notch(true);
    asked.promise.loops.clone_from(&plain.promise.loops);
    asked.caught(&plain.text(|_| {}), Rule::Leftover, "a corner is left round");
}

#[test]
fn parts_that_cannot_be_cut_say_what_to_change() {
    let mut thin = oak(0.0, 6.0);
    thin.machine.as_mut().expect("there is one").allowance = Mm::of(2.0);
    let narrow = vec![notched(), hole(30.0, 30.0, 5.0)];
    let case = Case::new(outline(narrow, None), thin, "iso-mm");
    case.proves("a hole without room for a lap of its own is cut in one");
    let kept = {
        let mut outline = outline(vec![disc(50.0)], None);
        outline.edges[0].role = Role::TrueAlready;
        outline
    };
    let refused = crate::plan::plan(vec![kept], &oak(0.0, 6.0));
    assert!(refused.is_err(), "an edge that is true already");
}
