//! Tests of the whole plan: what it never does, and what it always does.

mod choice;
mod layers;

mod light;
mod outlines;
mod prepare;
mod published;
mod stars;
mod stops;
mod strips;

use super::{DoneBy, Exit, Feed, Pass, Plan, Reason, Start, Stretch};
use crate::geom::Loop;
use crate::grain::{self, Band};
use crate::reach::Reach;
use crate::read::{Role, Station};
use crate::shop::{Guide, Shop, defaults};

const ROUT: Role = Role::Rout;

pub(super) fn keeps_all_laws(plan: &Plan, shop: &Shop) {
    covers_each_routed_millimetre_once(plan);
    leaves_only_what_must_be(plan, shop);
    for (index, stretch) in plan.stretches.iter().enumerate() {
        let namesakes = plan.stretches.iter().filter(|other| other.name == stretch.name);
        assert_eq!(namesakes.count(), 1, "stretch {} is named once", stretch.name);
        if let DoneBy::Pass(number) = stretch.done_by {
            let pass = &plan.passes[number - 1];
            assert!(
                pass.stretches.contains(&index),
                "pass {number} has {}",
                stretch.name
            );
            assert!(stretch.touched, "only what is touched is cut: {stretch:?}");
        }
    }
    for (index, pass) in plan.passes.iter().enumerate() {
        assert_eq!(pass.number, index + 1, "passes are numbered in working order");
        assert_eq!(pass.feed, Feed::Conventional, "no climb: {pass:?}");
        runs_where_it_may(plan, pass, shop);
        starts_and_ends_safely(plan, pass);
        goes_along_the_tooth(plan, pass);
    }
}

fn covers_each_routed_millimetre_once(plan: &Plan) {
    for (index, part) in plan.parts.iter().enumerate() {
        for (on, ring) in part.guide.loops.iter().enumerate() {
            let routed: f64 = part
                .guide
                .edges_of(on)
                .filter(|edge| edge.role == ROUT)
                .map(|edge| edge.span.length)
                .sum();
            let mut spans: Vec<(f64, f64)> = plan
                .stretches
                .iter()
                .filter(|stretch| stretch.part == index && stretch.span.on == on)
                .map(|stretch| (stretch.span.from, stretch.span.length))
                .collect();
            let sum: f64 = spans.iter().map(|(_, length)| length).sum();
            assert!((routed - sum).abs() < 1e-3, "all of it: {routed} {sum}");
            spans.sort_by(|a, b| a.0.total_cmp(&b.0));
            for pair in spans.windows(2) {
                assert!(pair[0].0 + pair[0].1 < pair[1].0 + 1e-3, "no overlap: {pair:?}");
            }
            if let (Some(first), Some(last)) = (spans.first(), spans.last()) {
                let end = last.0 + last.1 - ring.length();
                assert!(end < first.0 + 1e-3, "none past the first point: {spans:?}");
            }
        }
    }
}

/// A pass cuts only routed edge, downhill, along the grain, or end grain; beyond its own
/// stretches only where that is so too, where the edge is routed already, or off the wood.
fn runs_where_it_may(plan: &Plan, pass: &Pass, shop: &Shop) {
    let s = plan.set_ups[pass.set_up].s();
    let guide = &plan.parts[pass.part].guide;
    let ring = &guide.loops[pass.span.on];
    let own = shop.stock.grain_of(&plan.parts[pass.part].outline);
    let axis = |along: f64| own.at(ring.at(along));
    for step in 1_u32..200 {
        let along =
            ring.wrapped(pass.span.from + pass.span.length * f64::from(step) / 200.0);
        match guide.role_at(pass.span.on, along) {
            Role::RunOn => continue,
            Role::Rout => {}
            role => panic!("pass {} runs along an edge that is {role:?}", pass.number),
        }
        let band = Band::of(f64::from(s) * grain::phi_after(ring, along, axis(along)));
        let stretch = plan.stretches.iter().find(|stretch| {
            stretch.part == pass.part
                && stretch.span.on == pass.span.on
                && ring.wrapped(along - stretch.span.from) < stretch.span.length
        });
        let routed_before = stretch.is_some_and(
            |it| matches!(it.done_by, DoneBy::Pass(number) if number < pass.number),
        );
        let untouched = stretch.is_some_and(|it| !it.touched);
        let border = 0.01 < (phi_from_border(ring, along, axis(along))).abs();
        assert!(
            band != Band::Uphill || routed_before || untouched || !border,
            "pass {} runs uphill at {:?}",
            pass.number,
            ring.at(along)
        );
    }
}

/// How far the edge there is from the border between along and uphill, in degrees.
fn phi_from_border(ring: &Loop, along: f64, axis: f64) -> f64 {
    grain::phi_after(ring, along, axis).abs() - grain::ALONG
}

fn starts_and_ends_safely(plan: &Plan, pass: &Pass) {
    let station = plan.set_ups[pass.set_up].station;
    let from = pass.start.0;
    if station == Station::Table {
        assert!(
            matches!(from, Start::RunOn | Start::Block | Start::StartingPin),
            "no free start at the table: {pass:?}"
        );
    }
    if !pass.layer.template_on {
        assert!(
            from != Start::RunOn && pass.exit.0 != Exit::RunOn,
            "no run-on: {pass:?}"
        );
    }
    match pass.exit.0 {
        Exit::Backer => assert!(!pass.backers.is_empty(), "a backer is shown: {pass:?}"),
        Exit::Closed => assert!(pass.closed, "a lap closes: {pass:?}"),
        Exit::RunOn
        | Exit::Overlap
        | Exit::BeforeHandWork
        | Exit::AtTouch
        | Exit::NextEdgeFull => {}
    }
}

/// From start to exit along `s` times the walk.
fn goes_along_the_tooth(plan: &Plan, pass: &Pass) {
    let forward = 0 < plan.set_ups[pass.set_up].s();
    let ring = &plan.parts[pass.part].guide.loops[pass.span.on];
    let (low, high) = (ring.at(pass.span.from), ring.at(pass.span.to()));
    let expected = if forward || pass.closed { low } else { high };
    assert!(pass.start.1.distance(expected) < 1e-6, "it starts there: {pass:?}");
    if pass.closed {
        let by = ring.wrapped(ring.nearest(pass.exit.1) - pass.span.from);
        let by = if forward { by } else { ring.length() - by };
        assert!(by <= defaults::OVERLAP.value + 1e-6, "it goes that way: {pass:?}");
    } else {
        let end = if forward { high } else { low };
        assert!(pass.exit.1.distance(end) < 1e-6, "it ends there: {pass:?}");
    }
}

/// Nothing is left to the hand that can be routed: whatever the hand does, no bit of the rack
/// touches it where the tooth runs downhill, along or on end grain, unless a stop stands in the
/// way; or all of it is less than a further set-up is made for.
fn leaves_only_what_must_be(plan: &Plan, shop: &Shop) {
    let by_hand = plan.stretches.iter().filter(|it| it.done_by == DoneBy::Hand);
    let mut too_little = 0.0;
    for stretch in by_hand {
        // Where the lower layer is left to the hand too, it is one piece of work.
        match stretch.why {
            Reason::TooLittleForASetUp => too_little += stretch.span.length,
            Reason::UphillEverywhere => {
                assert!(routable(plan, stretch, shop).is_empty(), "{stretch:?}");
            }
            Reason::BitCannotReach => assert!(!stretch.touched, "{stretch:?}"),
            Reason::WoodOnBothSides
            | Reason::NoEntry
            | Reason::NoSafeStart
            | Reason::ShortGrain
            | Reason::EndGrainInHollow
            | Reason::ShortEndGrain
            | Reason::CannotBeBacked => {}
            ref other => panic!("no reason to leave it: {other:?}"),
        }
    }
    let least = defaults::LEAST_SET_UP.value;
    for lower in plan.stretches.iter().filter_map(|it| Some((it, it.lower.as_ref()?))) {
        let (stretch, lower) = lower;
        let last = matches!(
            lower.why,
            Reason::LayerUphill | Reason::BitTooShort | Reason::NoSafeStart
        );
        if lower.done_by == DoneBy::Hand && !last {
            assert_eq!(lower.why, Reason::TooLittleForASetUp, "{stretch:?}");
            too_little += stretch.span.length;
        }
    }
    let further = shop.bits.len() * 2 * shop.stations.len() * 2;
    let most = f64::from(u32::try_from(further).expect("few")) * least;
    assert!(too_little < most, "left though a set-up could be made: {too_little}");
    assert!((plan.cost.left - too_little).abs() < 1.0, "{} {too_little}", plan.cost.left);
}

/// The bits of the rack that touch a stretch with the motor on a face that makes it downhill.
fn routable(plan: &Plan, stretch: &Stretch, shop: &Shop) -> Vec<usize> {
    let ring = &plan.parts[stretch.part].guide.loops[stretch.span.on];
    let middle = ring.wrapped(stretch.span.from + stretch.span.length / 2.0);
    let touches = |reach: &Reach| {
        reach.touched.iter().any(|span| {
            span.on == stretch.span.on && ring.wrapped(middle - span.from) < span.length
        })
    };
    let downhill = |guide: &Guide| {
        let with_template_on_a = if *guide == Guide::Tip { -1 } else { 1 };
        let s = if shop.template.moves { vec![1, -1] } else { vec![with_template_on_a] };
        s.iter().any(|&s| {
            let band = if s < 0 { stretch.band.turned() } else { stretch.band };
            band != Band::Uphill
        })
    };
    (0..shop.bits.len())
        .filter(|&bit| plan.parts[stretch.part].reach[bit].as_ref().is_some_and(touches))
        .filter(|&bit| shop.bits[bit].guides.iter().any(downhill))
        .collect()
}
