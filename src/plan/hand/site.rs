//! Places the bits leave: which of them are left to do, and what each one is.

use super::super::{DoneBy, HandKind, HandWork, Reason, RidesOn, Stretch};
use super::ground::{Cover, Ground, overlap};
use super::how;
use super::tool::site_tool;
use crate::geom::tolerance::REPAIR;
use crate::geom::{Join, Loop, Piece, SMOOTH_TURN, Span, Vector};
use crate::reach::{Site, SiteKind};

/// The places that are left to do by hand: of the smallest bit that runs beside each, or of
/// the first usable bit where none does; with a routed wall.
pub(super) fn listed<'a>(ground: &Ground<'a>) -> Vec<&'a Site> {
    let (mut ran, mut unrun) = (Vec::new(), Vec::new());
    let reach = &ground.part().reach;
    let first = reach.iter().position(Option::is_some);
    for (bit, reach) in reach.iter().enumerate() {
        for site in reach.iter().flat_map(|reach| &reach.sites) {
            if site.walls.iter().map(|wall| ground.routed(wall)).sum::<f64>() <= REPAIR {
                continue;
            }
            match finest_beside(ground, site) {
                Some(finest) if finest == bit => ran.push(site),
                None if Some(bit) == first => unrun.push(site),
                _ => {}
            }
        }
    }
    let all: Vec<&Site> = ran.into_iter().chain(unrun).collect();
    not_taken(ground, &all)
}

/// Of some places those whose walls the ones listed before do not take in.
fn not_taken<'a>(ground: &Ground<'a>, all: &[&'a Site]) -> Vec<&'a Site> {
    let walls = |(index, site): (usize, &&'a Site)| {
        let own = site.walls.clone();
        own.into_iter().map(move |wall| (index, wall))
    };
    let (of, spans): (Vec<usize>, Vec<Span>) =
        all.iter().enumerate().flat_map(walls).unzip();
    let cover = Cover::new(&ground.part().guide.loops, spans);
    let mut is_listed = vec![false; all.len()];
    for (index, site) in all.iter().enumerate() {
        let open = |wall: &Span| {
            let ring = ground.ring(wall.on);
            let near = cover.near(ring, wall).into_iter();
            let taken = near.filter(|&other| is_listed[of[other]]);
            let taken: f64 =
                taken.map(|other| overlap(ring, wall, &cover.spans[other])).sum();
            taken < wall.length - REPAIR
        };
        is_listed[index] = site.walls.iter().any(open);
    }
    let listed = all.iter().zip(is_listed).filter(|(_, is_listed)| *is_listed);
    listed.map(|(site, _)| *site).collect()
}

/// The smallest bit that runs beside a place, by its index in the rack; past the bit of wall
/// beside it that no pass can start on.
fn finest_beside(ground: &Ground<'_>, site: &Site) -> Option<usize> {
    let beside = |span: &Span| {
        let touches = |wall: &Span| ground.adjoins(span, wall);
        site.walls.iter().any(touches) || REPAIR < ground.covered(span, &site.walls)
    };
    let near = |run: Span| ground.stretches_near(run).map(|(_, stretch)| stretch);
    let here: Vec<&Stretch> = site
        .walls
        .iter()
        .copied()
        .flat_map(near)
        .filter(|stretch| beside(&stretch.span))
        .collect();
    let between = here.iter().filter(|stretch| stretch.why == Reason::NoSafeStart);
    let past = between.flat_map(|stretch| {
        let span = stretch.span;
        near(span).filter(move |other| ground.adjoins(&other.span, &span))
    });
    let width =
        |bit: &usize| ground.shop.bits.get(*bit).map_or(f64::MAX, |b| b.cutter.mm());
    here.iter()
        .copied()
        .chain(past)
        .filter_map(|stretch| ground.bit_of(stretch))
        .min_by(|a, b| width(a).total_cmp(&width(b)).then(a.cmp(b)))
}

/// The hand work of these places.
pub(super) fn works(ground: &Ground<'_>, sites: &[&Site]) -> Vec<HandWork> {
    sites.iter().map(|site| work(ground, site)).collect()
}

fn work(ground: &Ground<'_>, site: &Site) -> HandWork {
    let walls: Vec<Piece> = site.walls.iter().flat_map(|w| ground.pieces(w)).collect();
    let corner = Corner::of(ground, site);
    let tool =
        site_tool(site, &walls, room(site, corner.as_ref()), ground.shop.paper.unit);
    let rides_on = rides_on(ground, &site.walls);
    let from_face = ground.working_face(site.depth);
    let clauses =
        how::Place { site, corner, walls: &walls, tool, rides_on: &rides_on, from_face };
    HandWork {
        number: 0,
        part: ground.index,
        kind: HandKind::Site(site.kind),
        at: site.at,
        angle: site.angle,
        depth: site.depth,
        sides: site.sides.clone(),
        area: site.area,
        tool,
        from_face,
        border: site.border.clone(),
        spans: site.walls.clone(),
        why: Reason::BitCannotReach,
        how: how::site(ground, &clauses),
        rides_on,
    }
}

/// How much wall a chisel has: in a corner from there to the next corner, on the shorter side;
/// elsewhere the shortest side.
fn room(site: &Site, corner: Option<&Corner>) -> f64 {
    let shortest = site.sides.iter().copied().fold(f64::INFINITY, f64::min);
    corner.map_or(shortest, |corner| corner.walls[0].room.min(corner.walls[1].room))
}

/// The routed face of the longer stretch beside the walls, else the template where that guides
/// a hand tool.
pub(super) fn rides_on(ground: &Ground<'_>, walls: &[Span]) -> RidesOn {
    let beside = |wall: Span| {
        let near = ground.stretches_near(wall);
        near.filter(move |(_, stretch)| ground.adjoins(&stretch.span, &wall))
    };
    // Of two as long the later one, whatever wall it lies beside.
    let longest = walls
        .iter()
        .copied()
        .flat_map(beside)
        .filter(|(_, stretch)| matches!(stretch.done_by, DoneBy::Pass(_)))
        .max_by(|(at, a), (other, b)| {
            a.span.length.total_cmp(&b.span.length).then(at.cmp(other))
        });
    match longest {
        Some((index, _)) => RidesOn::Stretch(index),
        None if ground.template_guides() => RidesOn::Template,
        None => RidesOn::Line,
    }
}

/// One wall of an inside corner.
#[derive(Debug, Clone)]
pub(super) struct CornerWall {
    /// From the corner along the wall.
    pub(super) away: Vector,
    /// The angle to the grain of a push along the wall into the corner: downhill is positive.
    pub(super) phi_inward: f64,
    /// Its length to the next corner, in mm.
    pub(super) room: f64,
    /// The name of the stretch next to what is left of it.
    pub(super) stretch: Option<String>,
}

/// An inside corner: the wall before it in the walk, then the wall after it.
#[derive(Debug, Clone)]
pub(super) struct Corner {
    /// The two walls.
    pub(super) walls: [CornerWall; 2],
}

impl Corner {
    /// The corner of such a site.
    fn of(ground: &Ground<'_>, site: &Site) -> Option<Self> {
        if site.kind != SiteKind::InsideCorner {
            return None;
        }
        let on = site.walls.first()?.on;
        let ring = ground.ring(on);
        let (near, _) = ring.place(ring.nearest(site.at));
        let around = [ring.before(near), near, (near + 1) % ring.pieces().len()];
        let index = around.into_iter().find(|&index| {
            ring.turn(index) <= -SMOOTH_TURN
                && ring.pieces()[index].from().distance(site.at) < REPAIR
        })?;
        let along = ring.start_of(index);
        let (arriving, leaving) =
            (ring.direction_before(along), ring.direction_after(along));
        // On the wall: the corner itself may lie on the line between two strips.
        let corner = ring.at(along);
        let phi = |way: Vector, on: Vector| ground.phi(corner + on * REPAIR, way);
        let named = |before: bool| neighbour(ground, &site.walls, before);
        Some(Self {
            walls: [
                CornerWall {
                    away: -arriving,
                    phi_inward: phi(arriving, -arriving),
                    room: smooth_before(ring, index),
                    stretch: named(true),
                },
                CornerWall {
                    away: leaving,
                    phi_inward: -phi(leaving, leaving),
                    room: smooth_after(ring, index),
                    stretch: named(false),
                },
            ],
        })
    }
}

/// The name of the stretch that ends where the walls begin, or begins where they end.
fn neighbour(ground: &Ground<'_>, walls: &[Span], before: bool) -> Option<String> {
    let ring = ground.ring(walls.first()?.on);
    let meet = |a: f64, b: f64| {
        let gap = ring.wrapped(a - b);
        gap.min(ring.length() - gap) <= REPAIR
    };
    let (first, last) = (walls.first()?, walls.last()?);
    let end = if before { first } else { last };
    ground
        .stretches_near(*end)
        .find(|(_, stretch)| {
            let span = stretch.span;
            span.on == first.on
                && if before {
                    meet(span.to(), first.from)
                } else {
                    meet(span.from, last.to())
                }
        })
        .map(|(_, stretch)| stretch.name.clone())
}

/// How far the edge runs without a corner up to the start of a piece.
fn smooth_before(ring: &Loop, index: usize) -> f64 {
    let count = ring.pieces().len();
    let mut length = 0.0;
    let mut at = index;
    for _ in 0..count {
        at = ring.before(at);
        length += ring.pieces()[at].length();
        if ring.join(at) == Join::Corner {
            break;
        }
    }
    length
}

/// How far the edge runs without a corner from the start of a piece.
fn smooth_after(ring: &Loop, index: usize) -> f64 {
    let count = ring.pieces().len();
    let mut length = 0.0;
    for step in 0..count {
        let at = (index + step) % count;
        if 0 < step && ring.join(at) == Join::Corner {
            break;
        }
        length += ring.pieces()[at].length();
    }
    length
}
