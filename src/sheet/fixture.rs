//! Plans made by hand for the tests of this room.

use crate::geom::shapes::notched;
use crate::geom::{Loop, Piece, Point, Span};
use crate::grain::Band;
use crate::outline::{Edge, LoopKind, Outline};
use crate::plan::{
    Cost, DoneBy, Exit, Feed, FromFace, HandKind, HandWork, Layer, Part, Pass, Plan,
    Reason, RidesOn, SawLine, SetUp, Start, Stretch, Tool,
};
use crate::reach::SiteKind;
use crate::read::{Role, Station};
use crate::shop::{Bit, Face, Guide, Shop, Stock, Template};
use crate::units::{Diameter, Mm, Paper};

/// The eight ways to hold a job with one bit.
pub(super) fn holdings() -> Vec<SetUp> {
    let mut all = Vec::new();
    for station in [Station::Hand, Station::Table] {
        for guide in [Guide::Shank, Guide::Tip] {
            for template_face in [Face::A, Face::B] {
                all.push(SetUp { template_face, bit: 0, guide, station });
            }
        }
    }
    all
}

/// A shop with one 12.7 mm bit.
pub(super) fn shop() -> Shop {
    let across = |mm| Diameter::new(Mm::of(mm)).expect("more than nought");
    Shop {
        name: "notched square".to_owned(),
        paper: Paper::MM,
        bits: vec![Bit {
            number: 1,
            text: "12.7mm both bearings".to_owned(),
            cutter: across(12.7),
            bearing: across(12.7),
            guides: vec![Guide::Shank, Guide::Tip],
            cut_length: None,
            reach: None,
            marked_speed: None,
            body: crate::shop::BitBody::default(),
        }],
        stations: vec![Station::Hand],
        stock: Stock { thick: Mm::new(19.0), ..Stock::default() },
        template: Template {
            thick: Mm::of(12.0),
            moves: false,
            run_on: Mm::of(50.0),
            extras: Vec::new(),
            made_for: None,
        },
        leave: Mm::of(1.5875),
        leave_end_grain: Mm::of(0.8),
        count: 4,
        reference: crate::shop::Reference { far: false, right: None, left_handed: false },
        sheets: crate::read::SheetWish::default(),
        files: Vec::new(),
        machine: None,
        joint: false,
        shop_rules: Vec::new(),
    }
}

/// A 100 mm square with a notch of 40 mm and a hole of 30 mm; the far edge is true already.
pub(super) fn outline() -> Outline {
    let at = Point::new;
    let outside = notched();
    let hole = Loop::opening(at(30.0, 55.0), 15.0);
    let edge = |on, from, length, role| Edge {
        span: Span { on, from, length },
        role,
        name: None,
        side: None,
    };
    let edges = vec![
        edge(0, 0.0, 100.0, Role::Rout),
        edge(0, 100.0, 60.0, Role::Rout),
        edge(0, 160.0, 40.0, Role::Rout),
        edge(0, 200.0, 40.0, Role::Rout),
        edge(0, 240.0, 60.0, Role::TrueAlready),
        edge(0, 300.0, 100.0, Role::Rout),
        edge(1, 0.0, hole.length(), Role::Rout),
    ];
    let loops = vec![outside, hole];
    Outline {
        name: "square".to_owned(),
        drawn: loops.clone(),
        loops,
        kinds: vec![LoopKind::Outside, LoopKind::Opening],
        edges,
        deviation: 0.0,
        mirrored: false,
    }
}

/// The plan of that square in this set-up, and what is left for the other one.
/// Of a bit of which nothing is known.
fn stand(set_up: &SetUp) -> crate::plan::Stand {
    crate::plan::Stand {
        carried: set_up.carried_on(),
        by_template: true,
        teeth_end: None,
        on_template: None,
        spacer: None,
        stands_out: None,
    }
}

pub(super) fn plan(set_ups: Vec<SetUp>) -> Plan {
    let outline = outline();
    let template = outline.loops.clone();
    let part = Part {
        guide: outline.clone(),
        outline,
        template,
        set_from: None,
        shared: None,
        template_offset: 0.0,
        count: 4,
        reach: vec![None],
        light: vec![Vec::new()],
        finished: Vec::new(),
    };
    Plan {
        parts: vec![part],
        stands: set_ups.iter().map(stand).collect(),
        set_ups,
        stretches: stretches(),
        passes: passes(),
        hand: hand(),
        saw: vec![saw()],
        sawn: Vec::new(),
        thick: Vec::new(),
        prepare: Vec::new(),
        trial: None,
        short_grain: Vec::new(),
        least_cut_length: Some(20.0),
        cost: Cost { left: 0.0, care: 0.0, minutes: 9.0, against: 0.0 },
        minutes: 12.0,
        notes: vec![crate::diag::Problem::new(
            "demo-note",
            crate::diag::Weight::Caution,
            "stretch D ends in an inside corner",
            "ease in, stop at the touch, back off",
        )],
    }
}

fn stretches() -> Vec<Stretch> {
    let stretch =
        |name: &str, on, from, length, phi: (f64, f64), band, done_by| Stretch {
            name: name.to_owned(),
            part: 0,
            span: Span { on, from, length },
            phi,
            band,
            touched: true,
            done_by,
            why: Reason::AlongTheGrain,
            lower: None,
        };
    let quarter = std::f64::consts::PI * 7.5;
    vec![
        stretch("A", 0, 0.0, 100.0, (0.0, 0.0), Band::Along, DoneBy::Pass(1)),
        stretch("B", 0, 100.0, 60.0, (90.0, 90.0), Band::EndGrain, DoneBy::Pass(1)),
        stretch("C", 0, 160.0, 33.65, (0.0, 0.0), Band::Along, DoneBy::Pass(1)),
        stretch("D", 0, 206.35, 33.65, (90.0, 90.0), Band::EndGrain, DoneBy::Pass(1)),
        stretch("E", 0, 300.0, 100.0, (90.0, 90.0), Band::EndGrain, DoneBy::Hand),
        stretch("F", 1, 0.0, quarter, (-90.0, 0.0), Band::Uphill, DoneBy::Pass(2)),
        stretch("G", 1, quarter, quarter, (0.0, 90.0), Band::Downhill, DoneBy::Pass(2)),
        stretch(
            "H",
            1,
            quarter * 2.0,
            quarter,
            (-90.0, 0.0),
            Band::Uphill,
            DoneBy::Pass(2),
        ),
        stretch(
            "I",
            1,
            quarter * 3.0,
            quarter,
            (0.0, 90.0),
            Band::Downhill,
            DoneBy::Pass(2),
        ),
    ]
}

fn passes() -> Vec<Pass> {
    let layer = Layer { number: 1, from: 0.0, to: Some(19.0), template_on: true };
    let pass = |number, on, length, stretches, start, exit| Pass {
        number,
        set_up: 0,
        part: 0,
        feed: Feed::Conventional,
        stretches,
        span: Span { on, from: 0.0, length },
        closed: on == 1,
        layer,
        bearing: shop().bits[0].bearing,
        lap: crate::plan::Lap::Only,
        start,
        exit,
        backers: Vec::new(),
        contact: Vec::new(),
        arrival: None,
        why: Reason::EndsFirst,
    };
    let mut first = pass(
        1,
        0,
        193.65,
        vec![0, 1, 2, 3],
        (Start::BeforeCorner, Point::new(75.0, 0.0)),
        (Exit::Backer, Point::new(100.0, 60.0)),
    );
    first.backers = vec![Point::new(100.0, 60.0)];
    let round = std::f64::consts::PI * 30.0;
    let star = Point::new(30.0, 70.0);
    let second =
        pass(2, 1, round, vec![5, 6, 7, 8], (Start::SwingIn, star), (Exit::Closed, star));
    vec![first, second]
}

fn hand() -> Vec<HandWork> {
    let at = Point::new;
    let border = Loop::polygon(&[at(60.0, 66.35), at(60.0, 60.0), at(66.35, 60.0)]);
    let corner = HandWork {
        number: 1,
        part: 0,
        kind: HandKind::Site(SiteKind::InsideCorner),
        at: at(60.0, 60.0),
        angle: Some(90.0),
        depth: 2.6302,
        sides: vec![6.35, 6.35],
        area: 8.653,
        tool: Tool::Chisel(10.0),
        rides_on: RidesOn::Stretch(2),
        from_face: FromFace::Both,
        border: vec![border],
        spans: vec![Span { on: 0, from: 193.65, length: 12.7 }],
        why: Reason::BitCannotReach,
        how: vec![
            "knife both walls".to_owned(),
            "pare the cross-grain wall first".to_owned(),
        ],
    };
    let left = HandWork {
        number: 2,
        kind: HandKind::Stretch,
        at: at(0.0, 50.0),
        angle: None,
        depth: 0.8,
        sides: vec![100.0],
        area: 80.0,
        tool: Tool::Plane,
        rides_on: RidesOn::Template,
        from_face: FromFace::One(Face::A),
        border: Vec::new(),
        spans: vec![Span { on: 0, from: 300.0, length: 100.0 }],
        why: Reason::CannotBeBacked,
        ..corner.clone()
    };
    vec![corner, left]
}

fn saw() -> SawLine {
    let at = Point::new;
    let points = [
        at(-1.6, 100.0),
        at(-1.6, -1.6),
        at(101.6, -1.6),
        at(101.6, 61.6),
        at(61.6, 61.6),
        at(61.6, 100.0),
    ];
    let pieces = points.windows(2).map(|two| Piece::line(two[0], two[1])).collect();
    SawLine { part: 0, pieces, closed: false, leave: 1.5875 }
}
