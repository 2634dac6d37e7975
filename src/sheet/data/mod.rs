//! `NAME-plan.json`: the plan as data for other programs; samples/PLAN-JSON.md explains it.
//!
//! Millimetres and degrees, on face A. Every `at`, `from` and `to` is `[x, y]`; `from` to `to`
//! runs with the part on the left, outsides counter-clockwise and openings clockwise, whatever
//! way the bit goes. Angles and bands of stretches are for a motor on face A (`s = +1`). Only
//! `starts_at` and `ends_at` of a pass are in the order of work.

mod program;

mod stock;

mod work;

use self::program::{ProgramData, program_data};
use super::hold::{Hold, holds};
use super::phrase;
use crate::diag::Problem;
use crate::geom::{Bounds, Loop, Point};
use crate::plan::{DoneBy, HandWork, Plan, ShortGrain, Stretch};
use crate::prove::ProvedProgram;
use crate::read::Role;
use crate::shop::{Bit, Machine, Shop};
use crate::units::Paper;
use serde::Serialize;

/// A place: x and y.
type At = [f64; 2];

/// The whole plan.
#[derive(Debug, Serialize)]
pub struct Data {
    id: String,
    name: String,
    parts: Vec<PartData>,
    edges: Vec<EdgeData>,
    cut: &'static str,
    template: Option<TemplateData>,
    stock: stock::StockData,
    bits: Vec<BitData>,
    set_ups: Vec<SetUpData>,
    stretches: Vec<StretchData>,
    passes: Vec<PassData>,
    sawn: Vec<SawnData>,
    thick: Vec<ThickData>,
    prepare: Vec<StepData>,
    trial: Option<String>,
    hand_work: Vec<HandData>,
    short_grain: Vec<ShortData>,
    cost: CostData,
    hold_points: Vec<String>,
    program: Option<ProgramData>,
    notes: Vec<NoteData>,
}

#[derive(Debug, Serialize)]
struct PartData {
    name: String,
    area: f64,
    bounds: [f64; 4],
    loops: Vec<LoopData>,
    count: u32,
    template_of: Option<String>,
    template_lies: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct LoopData {
    kind: &'static str,
    length: f64,
}

#[derive(Debug, Serialize)]
struct EdgeData {
    part: String,
    #[serde(rename = "loop")]
    on: usize,
    from: At,
    to: At,
    length: f64,
    role: &'static str,
}

#[derive(Debug, Serialize)]
struct TemplateData {
    offset: f64,
    area: f64,
}

#[derive(Debug, Serialize)]
struct BitData {
    number: usize,
    cutter: f64,
    bearing: f64,
    bearing_end: &'static str,
}

#[derive(Debug, Serialize)]
struct SetUpData {
    number: usize,
    template_face: &'static str,
    bit: usize,
    bearing_end: &'static str,
    station: &'static str,
    motor_face: &'static str,
    face_up: &'static str,
    base_on: &'static str,
    stand: StandData,
    s: i8,
    seen: Seen,
}

#[derive(Debug, Serialize)]
struct StandData {
    teeth_end: Option<f64>,
    on_template: Option<f64>,
    spacer: Option<f64>,
    stands_out: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Seen {
    outside: &'static str,
    opening: &'static str,
}

#[derive(Debug, Serialize)]
struct StretchData {
    name: String,
    part: String,
    #[serde(rename = "loop")]
    on: usize,
    from: At,
    to: At,
    length: f64,
    phi: [f64; 2],
    band: &'static str,
    touched: bool,
    done_by: DoneByData,
    lower: Option<LowerData>,
}

#[derive(Debug, Serialize)]
struct LowerData {
    from: f64,
    done_by: DoneByData,
    why: &'static str,
}

#[derive(Debug, Serialize)]
#[serde(untagged)]
enum DoneByData {
    Pass { set_up: usize, pass: usize },
    Hand(&'static str),
}

#[derive(Debug, Serialize)]
struct PassData {
    number: usize,
    set_up: usize,
    feed: &'static str,
    stretches: Vec<String>,
    from: At,
    to: At,
    start: String,
    starts_at: At,
    exit: &'static str,
    ends_at: At,
    backers: Vec<BackerData>,
    contact: Vec<ContactData>,
    arrival: Option<f64>,
    layer: LayerData,
    bearing: f64,
    lap: LapData,
    limit: LimitData,
    minutes: f64,
    why: &'static str,
}

#[derive(Debug, Serialize)]
struct LapData {
    kind: &'static str,
    light_leaves: Option<f64>,
}

#[derive(Debug, Serialize)]
struct LimitData {
    waste: f64,
    care: f64,
    stop: f64,
}

#[derive(Debug, Serialize)]
struct BackerData {
    at: At,
    length: f64,
    thick: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ContactData {
    from: At,
    to: At,
    waste: f64,
    psi: f64,
    asks_for: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct SawnData {
    part: String,
    #[serde(rename = "loop")]
    on: usize,
    saw: &'static str,
    width: Option<f64>,
    support: bool,
}

#[derive(Debug, Serialize)]
struct ThickData {
    part: String,
    at: At,
    radius: f64,
    left: f64,
    most: f64,
    take_down: &'static str,
    width: Option<f64>,
}

#[derive(Debug, Serialize)]
struct StepData {
    number: usize,
    part: String,
    task: &'static str,
    #[serde(rename = "loop")]
    on: Option<usize>,
    at: Option<At>,
    width: Option<f64>,
    text: String,
    why: &'static str,
}

#[derive(Debug, Serialize)]
struct LayerData {
    number: usize,
    from: f64,
    to: Option<f64>,
    template_on: bool,
}

#[derive(Debug, Serialize)]
struct HandData {
    number: usize,
    part: String,
    kind: &'static str,
    at: At,
    angle: Option<f64>,
    depth: f64,
    sides: Vec<f64>,
    area: f64,
    tool: String,
    rides_on: String,
    from_face: &'static str,
    why: &'static str,
}

#[derive(Debug, Serialize)]
struct ShortData {
    part: String,
    at: At,
    marks: &'static str,
    width: f64,
    fibre: f64,
    slope: f64,
    tip: bool,
}

#[derive(Debug, Serialize)]
struct CostData {
    left: f64,
    care: f64,
    minutes: f64,
    against: f64,
    minutes_in_all: f64,
}

#[derive(Debug, Serialize)]
struct NoteData {
    id: &'static str,
    weight: &'static str,
    text: String,
    at: Option<At>,
}

/// The plan as data, every number finite and rounded to a millionth.
pub fn data(plan: &Plan, shop: &Shop, program: Option<&ProvedProgram>, id: &str) -> Data {
    Data {
        id: id.to_owned(),
        name: shop.name.clone(),
        parts: plan.parts.iter().map(|part| part_data(part, plan)).collect(),
        edges: plan.parts.iter().flat_map(edge_data).collect(),
        cut: shop.machine.as_ref().map_or("template", Machine::cuts),
        template: (!shop.cuts_part()).then(|| template_data(plan)),
        stock: stock::stock(&shop.stock),
        bits: shop.bits.iter().map(|bit| bit_data(bit, shop)).collect(),
        set_ups: (0..plan.set_ups.len()).map(|at| set_up_data(at, plan, shop)).collect(),
        stretches: plan.stretches.iter().map(|s| stretch_data(s, plan)).collect(),
        passes: plan.passes.iter().map(|p| work::pass(p, (plan, shop))).collect(),
        sawn: plan.sawn.iter().map(|it| work::sawn(it, plan)).collect(),
        thick: plan.thick.iter().map(|it| work::thick(it, plan)).collect(),
        prepare: plan.prepare.iter().map(|it| work::step(it, (plan, shop))).collect(),
        trial: plan.trial.map(|index| plan.stretches[index].name.clone()),
        hand_work: plan.hand.iter().map(|work| hand_data(work, plan)).collect(),
        short_grain: plan.short_grain.iter().map(|it| short_data(it, plan)).collect(),
        cost: cost_data(plan),
        hold_points: holds(plan, shop, program.is_some())
            .into_iter()
            .map(Hold::name)
            .collect(),
        program: program.map(|program| program_data(program, shop)),
        notes: plan.notes.iter().map(note_data).collect(),
    }
}

fn part_data(part: &crate::plan::Part, plan: &Plan) -> PartData {
    let outline = &part.outline;
    let loops = outline.loops.iter().zip(&outline.kinds);
    let Bounds { low, high } = outline.bounds();
    PartData {
        name: outline.name.clone(),
        area: rounded(outline.area()),
        bounds: [low.x, low.y, high.x, high.y].map(rounded),
        loops: loops
            .map(|(ring, kind)| LoopData {
                kind: kind.word(),
                length: rounded(ring.length()),
            })
            .collect(),
        count: part.count,
        template_of: part.shared.map(|it| plan.parts[it.with].outline.name.clone()),
        template_lies: part.shared.map(|it| it.way.words()),
    }
}

fn edge_data(part: &crate::plan::Part) -> impl Iterator<Item = EdgeData> {
    let outline = &part.outline;
    let drawn = outline.edges.iter().filter(|edge| edge.role != Role::RunOn);
    drawn.map(|edge| {
        let ring = &outline.loops[edge.span.on];
        EdgeData {
            part: outline.name.clone(),
            on: edge.span.on,
            from: at(ring.at(edge.span.from)),
            to: at(ring.at(edge.span.to())),
            length: rounded(edge.span.length),
            role: edge.role.words(),
        }
    })
}

fn template_data(plan: &Plan) -> TemplateData {
    let offset = plan.parts.first().map_or(0.0, |part| part.template_offset);
    let area = plan.parts.iter().flat_map(|part| &part.template).map(Loop::area).sum();
    TemplateData { offset: rounded(offset), area: rounded(area) }
}

fn bit_data(bit: &Bit, shop: &Shop) -> BitData {
    BitData {
        number: bit.number,
        cutter: rounded(bit.cutter.mm()),
        bearing: rounded(bit.bearing.mm()),
        bearing_end: if shop.cuts_part() { "none" } else { bit.bearing_end() },
    }
}

fn set_up_data(index: usize, plan: &Plan, shop: &Shop) -> SetUpData {
    let (set_up, stand) = (&plan.set_ups[index], &plan.stands[index]);
    let solid = shop.cuts_part();
    SetUpData {
        number: index + 1,
        template_face: set_up.template_face.letter(),
        bit: shop.bits[set_up.bit].number,
        bearing_end: if solid { "none" } else { set_up.guide.word() },
        station: if solid { "machine" } else { set_up.station.word() },
        motor_face: set_up.motor_face().letter(),
        face_up: set_up.face_up().letter(),
        base_on: stand.carried.word(),
        stand: StandData {
            teeth_end: stand.teeth_end.map(rounded),
            on_template: stand.on_template.map(rounded),
            spacer: stand.spacer.map(rounded),
            stands_out: stand.stands_out.map(rounded),
        },
        s: set_up.s(),
        seen: Seen {
            outside: set_up.seen_outside().word(),
            opening: set_up.seen_opening().word(),
        },
    }
}

fn stretch_data(stretch: &Stretch, plan: &Plan) -> StretchData {
    let part = &plan.parts[stretch.part];
    let ring = &part.guide.loops[stretch.span.on];
    StretchData {
        name: stretch.name.clone(),
        part: part.outline.name.clone(),
        on: stretch.span.on,
        from: at(ring.at(stretch.span.from)),
        to: at(ring.at(stretch.span.to())),
        length: rounded(stretch.span.length),
        phi: [stretch.phi.0, stretch.phi.1].map(rounded),
        band: stretch.band.words(),
        touched: stretch.touched,
        lower: stretch.lower.as_ref().map(|lower| LowerData {
            from: rounded(lower.from),
            done_by: done_by(lower.done_by, plan),
            why: lower.why.words(),
        }),
        done_by: done_by(stretch.done_by, plan),
    }
}

fn done_by(done_by: DoneBy, plan: &Plan) -> DoneByData {
    let DoneBy::Pass(pass) = done_by else { return DoneByData::Hand("hand") };
    let found = plan.passes.iter().find(|other| other.number == pass);
    DoneByData::Pass { set_up: found.map_or(0, |found| found.set_up + 1), pass }
}

fn hand_data(work: &HandWork, plan: &Plan) -> HandData {
    HandData {
        number: work.number,
        part: plan.parts[work.part].outline.name.clone(),
        kind: phrase::hand_kind(work.kind),
        at: at(work.at),
        angle: work.angle.map(rounded),
        depth: rounded(work.depth),
        sides: work.sides.iter().copied().map(rounded).collect(),
        area: rounded(work.area),
        tool: phrase::tool(work.tool, Paper::MM),
        rides_on: phrase::rides_on(work, plan),
        from_face: phrase::from_face(work.from_face),
        why: work.why.words(),
    }
}

fn short_data(short: &ShortGrain, plan: &Plan) -> ShortData {
    ShortData {
        part: plan.parts[short.part].outline.name.clone(),
        at: at(short.at),
        marks: short.sign(),
        width: rounded(short.width),
        fibre: rounded(short.fibre),
        slope: rounded(short.slope),
        tip: short.tip,
    }
}

fn cost_data(plan: &Plan) -> CostData {
    let cost = plan.cost;
    CostData {
        left: rounded(cost.left),
        care: rounded(cost.care),
        minutes: rounded(cost.minutes),
        against: rounded(cost.against),
        minutes_in_all: rounded(plan.minutes),
    }
}

fn note_data(note: &Problem) -> NoteData {
    let place = note.place.as_ref().and_then(|place| place.at);
    NoteData {
        id: note.id,
        weight: note.weight.word(),
        text: phrase::note(note),
        at: place.map(|(x, y)| [rounded(x), rounded(y)]),
    }
}

fn at(point: Point) -> At {
    [rounded(point.x), rounded(point.y)]
}

/// To a millionth; minus nought is nought.
///
/// # Panics
/// Panics on a number that is not finite: no figure of a plan may be one.
fn rounded(value: f64) -> f64 {
    assert!(value.is_finite(), "every figure of a plan is finite");
    (value * 1e6).round() / 1e6 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::fixture;
    use serde_json::{Value, json};

    fn made(set_up: usize) -> Value {
        let plan = fixture::plan(vec![fixture::holdings()[set_up]]);
        serde_json::to_value(data(&plan, &fixture::shop(), None, "a1b2-c3"))
            .expect("data")
    }

    #[test]
    fn the_notched_square_as_data() {
        let data = made(0);
        assert_eq!(data["parts"][0]["bounds"], json!([0.0, 0.0, 100.0, 100.0]));
        assert_eq!(data["parts"][0]["loops"][1]["kind"], "opening");
        assert_eq!(data["edges"][4]["role"], "true already");
        assert_eq!(data["stretches"][2]["to"], json!([66.35, 60.0]), "along the walk");
        assert_eq!(data["stretches"][2]["done_by"], json!({"set_up": 1, "pass": 1}));
        assert_eq!(data["stretches"][4]["done_by"], "hand");
        assert_eq!(data["passes"][0]["stretches"], json!(["A", "B", "C", "D"]));
        let corner = &data["hand_work"][0];
        assert_eq!(corner["kind"], "inside corner");
        assert_eq!(corner["rides_on"], "stretch C");
        assert_eq!(corner["from_face"], "both");
        assert_eq!(data["program"], Value::Null, "no machine");
        assert_eq!(data["notes"][0]["weight"], "caution");
        assert_eq!(data["notes"][0]["at"], Value::Null);
    }

    /// Basis: geometry, as the set-ups' own test has it.
    #[test]
    fn a_set_up_says_what_follows_from_it() {
        let by_hand_tip = made(2);
        let set_up = &by_hand_tip["set_ups"][0];
        assert_eq!(set_up["bearing_end"], "tip");
        assert_eq!(
            (&set_up["motor_face"], &set_up["face_up"]),
            (&json!("B"), &json!("B"))
        );
        assert_eq!(set_up["s"], -1);
        assert_eq!(set_up["seen"], json!({"outside": "ccw", "opening": "cw"}));
    }

    #[test]
    fn figures_are_rounded_to_a_millionth() {
        assert!((rounded(0.123_456_78) - 0.123_457).abs() < 1e-12, "not more, not less");
        assert!(rounded(-1e-9).is_sign_positive(), "no minus nought");
    }

    #[test]
    #[should_panic(expected = "finite")]
    fn a_figure_that_is_not_finite_stops_everything() {
        rounded(f64::NAN);
    }
}
