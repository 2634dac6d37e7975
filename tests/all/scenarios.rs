//! Twelve jobs of our own invention, each worked out by hand first from geometry and the rules
//! of the trade, against what the tool plans.
//!
//! `phi` is the angle from the grain to the tooth for a motor on face A, walked with the part on
//! the left: positive is downhill. By hand a bearing by the shank has the motor on face A with
//! the template there, a bearing at the tip on face B, where the sign of `phi` turns.

#![expect(clippy::disallowed_methods, reason = "writes jobs")]

use crate::command::{Folder, here, list, near, number, plan, spelch, text};
use serde_json::Value;

/// The plan of a job given as text.
fn planned(job: &str) -> Value {
    planned_with(job, &[])
}

fn planned_with(job: &str, options: &[&str]) -> Value {
    let folder = written(job);
    let file = folder.0.join("job.toml").to_string_lossy().into_owned();
    let mut words = vec![&*file];
    words.extend(options);
    plan(&words).1
}

fn written(job: &str) -> Folder {
    let folder = Folder::new();
    std::fs::create_dir_all(&folder.0).expect("a folder");
    std::fs::write(folder.0.join("job.toml"), job).expect("a job");
    folder
}

/// The ids of the notes, those of stops marked with `!`.
fn ids(data: &Value) -> Vec<String> {
    let id = |note: &Value| {
        let stop = if text(&note["weight"]) == "stop" { "!" } else { "" };
        format!("{stop}{}", text(&note["id"]))
    };
    list(&data["notes"]).iter().map(id).collect()
}

fn has(data: &Value, id: &str) -> bool {
    ids(data).iter().any(|found| found.trim_start_matches('!') == id)
}

/// The hand work of a kind.
fn hand<'a>(data: &'a Value, kind: &str) -> Vec<&'a Value> {
    list(&data["hand_work"]).iter().filter(|work| text(&work["kind"]) == kind).collect()
}

fn is_by_hand(stretch: &Value) -> bool {
    stretch["done_by"] == "hand"
}

/// The bearing ends of the set-ups, in working order.
fn ends(data: &Value) -> Vec<&str> {
    list(&data["set_ups"]).iter().map(|set_up| text(&set_up["bearing_end"])).collect()
}

/// The stretches whose middle lies within a box, by their ends.
fn in_box(data: &Value, low: [f64; 2], high: [f64; 2]) -> Vec<&Value> {
    let middle = |stretch: &Value, axis: usize| {
        f64::midpoint(number(&stretch["from"][axis]), number(&stretch["to"][axis]))
    };
    list(&data["stretches"])
        .iter()
        .filter(|stretch| {
            (0..2).all(|axis| {
                let at = middle(stretch, axis);
                low[axis] <= at && at <= high[axis]
            })
        })
        .collect()
}

/// A gate rail's scarf. Both halves' slopes are walked at atan(54/420) = 7.33 degrees to the
/// grain, half B's from its other end: downhill for a motor on face A in both, towards the thin
/// end. Cutter 25.4 in stock of 45: two laps, the second with the template off. The flush-trim
/// bit would need 46 of cutter: left out. At the foot of each half's slope is an inside corner
/// of 90 + 7.33 = 97.33 degrees: 6.35 (1/sin 48.66 - 1) = 2.107 deep and 6.35/tan 48.66 = 5.586
/// a side. The nib beside it is 8 of end grain into an inside corner: to the hand; the nib at
/// the thin end is routed. One template serves both, turned half round.
#[test]
fn s1_gate_rail_scarf() {
    let data = planned(
        r#"
        units = "mm"
        grain = "long"
        thick = 45
        bits = ["1/2in pattern, 1in long", "1/2in flush-trim, 1 1/2in long"]
        [board]
        length = 900
        width = 70
        [board.line]
        start = [240, 0]
        steps = ["up 8 as nib", "by 420, 54 as slope", "up 8 as nib"]
        "#,
    );
    assert!(has(&data, "bit-too-short"), "38.1 of cutter in 45: {:?}", ids(&data));
    assert_eq!(ends(&data), ["shank"], "one set-up");
    let slopes: Vec<&Value> = list(&data["stretches"])
        .iter()
        .filter(|it| 300.0 < number(&it["length"]))
        .collect();
    assert_eq!(slopes.len(), 2, "one a half");
    for slope in slopes {
        near(&slope["phi"][0], 7.327, 0.01);
        assert_eq!(slope["band"], "downhill", "towards the thin end");
        assert!(!is_by_hand(slope), "routed");
    }
    let laps: Vec<(f64, bool)> = list(&data["passes"])
        .iter()
        .map(|pass| &pass["layer"])
        .map(|lap| (number(&lap["from"]), lap["template_on"] == true))
        .collect();
    assert!(laps.contains(&(0.0, true)) && laps.contains(&(25.4, false)), "{laps:?}");
    let corners = hand(&data, "inside corner");
    assert_eq!(corners.len(), 2, "one a half");
    for corner in corners {
        near(&corner["angle"], 97.327, 0.01);
        near(&corner["depth"], 2.107, 0.005);
        near(&corner["sides"][0], 5.586, 0.005);
    }
    let nibs = hand(&data, "stretch")
        .into_iter()
        .filter(|it| text(&it["why"]).contains("inside corner"))
        .count();
    assert_eq!(nibs, 2, "the nib in the corner, one a half: {}", data["hand_work"]);
    assert!(has(&data, "halves-alike"), "one template serves both");
}

/// An arched apron, only the arch routed: R = (420² + 30²)/60 = 2955. Walked left to right it
/// begins at +asin(420/2955) = +8.17 degrees (1 in 7) and ends at -8.17. With the one bearing by
/// the shank the right end from -5 degrees on is uphill: 2955 × (8.17 - 5)° = 163.6 to the hand,
/// unless the template may move.
const APRON: &str = r#"
    units = "mm"
    grain = "long"
    thick = 20
    bits = ["3/4in pattern, 1in long"]
    [outline]
    start = [0, 0]
    steps = ["right 30 as flat", "arc right 2955 to 870, 0 as arch", "right 30 as flat",
        "up 100", "left 900", "close"]
    [edges]
    true = ["left", "right", "far", "flat"]
"#;

#[test]
fn s2_arched_apron() {
    let data = planned(APRON);
    assert_eq!(ends(&data), ["shank"], "one set-up");
    let left = hand(&data, "stretch");
    assert_eq!(left.len(), 1, "one end of the arch");
    near(&left[0]["sides"][0], 163.6, 0.2);
    assert!(450.0 < number(&left[0]["at"][0]), "the right end: {}", left[0]);
    assert!(has(&data, "uphill-left-to-hand"), "what would save it: {:?}", ids(&data));
    assert_eq!(data["sawn"][0]["saw"], "bandsaw", "2955 is wide: {}", data["sawn"]);
    let moved = planned_with(APRON, &["--template-moves"]);
    assert!(hand(&moved, "stretch").is_empty(), "all routed");
    let faces: Vec<&str> =
        list(&moved["set_ups"]).iter().map(|it| text(&it["template_face"])).collect();
    assert_eq!(faces, ["A", "B"], "the same bit from the other face");
}

/// A chair's rear leg, raked 12 degrees above the seat, the grain split between: its axis at
/// 96 degrees. Up the right side the lower edge is walked at 90 (-6: uphill with the motor on
/// face A), the upper at 102 (+6: downhill); down the left side the upper at 282 (+6) and the
/// lower at 270 (-6). Both bearings: the upper edges with the one by the shank, the lower with
/// the one at the tip. The bend on the left is an inside corner of 168 degrees: 6.35 (1/sin 84 -
/// 1) = 0.035 deep, less than a knife line: not listed.
#[test]
fn s3_chair_rear_legs() {
    let (sin, cos) = libm::sincos(12_f64.to_radians());
    let (dx, dy) = (-560.0 * sin, 560.0 * cos);
    let data = planned(&format!(
        r#"
        units = "mm"
        grain = 96
        thick = 38
        make = 4
        bits = ["1/2in both bearings, 2in long"]
        [outline]
        start = [0, 0]
        steps = ["right 45 as foot", "up 450", "by {dx}, {dy}", "left 44 as head",
            "to 0, 450", "close"]
        "#
    ));
    assert_eq!(list(&data["set_ups"]).len(), 2, "both bearing ends");
    let by = |low: [f64; 2], high: [f64; 2]| -> Vec<String> {
        in_box(&data, low, high)
            .into_iter()
            .filter(|it| 100.0 < number(&it["length"]))
            .map(|it| {
                let set_up = number(&it["done_by"]["set_up"]);
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "small"
                )]
                let index = set_up as usize - 1;
                ends(&data)[index].to_owned()
            })
            .collect()
    };
    assert_eq!(by([-10.0, 100.0], [60.0, 400.0]), ["tip", "tip"], "the lower edges");
    assert_eq!(by([-100.0, 500.0], [60.0, 900.0]), ["shank", "shank"], "the upper edges");
    assert!(hand(&data, "inside corner").is_empty(), "0.035 deep is not listed");
    assert!(hand(&data, "stretch").is_empty(), "nothing by hand: {}", data["hand_work"]);
    let one_lap = list(&data["passes"]).iter().all(|pass| pass["layer"]["number"] == 1);
    assert!(one_lap, "50.8 of cutter in 38: one lap");
}

/// A guitar's body, reduced to what decides: stock of 45, a horn 14 wide and 40 long across
/// the grain, a cutaway of R 22, a pocket with corners of R 6. The bits at the tip are too short
/// (46 is needed). The half-inch bit leaves each R 6 corner: (6.35 - 6)(sqrt 2 - 1) = 0.145
/// deep. The horn is short grain, `!!`, a tip 14 wide whose fibres are 14 long. Pocket and
/// outside take two laps: 25.4 and the rest.
#[test]
fn s4_guitar_body() {
    let data = planned(
        r#"
        units = "mm"
        grain = 0
        thick = 45
        bits = ["3/4in pattern, 1in long", "1/2in both bearings, 1 1/2in long", "1/4in flush-trim, 1in long"]
        [outline]
        start = [0, 0]
        steps = ["right 450", "up 120", "left 60 as cutaway", "turn right 22 by 180 as cutaway",
            "right 60 as cutaway", "up 166", "left 200", "up 40 as horn", "left 14 as horn",
            "down 40 as horn", "left 236", "close"]
        [[outline.openings]]
        name = "pocket"
        start = [106, 100]
        steps = ["right 64", "turn left 6 by 90", "on 44", "turn left 6 by 90", "on 64",
            "turn left 6 by 90", "on 44", "turn left 6 by 90", "close"]
        "#,
    );
    let short =
        list(&data["notes"]).iter().filter(|note| note["id"] == "bit-too-short").count();
    assert_eq!(short, 2, "both bearings at the tip: {:?}", ids(&data));
    let shallow = list(&data["hand_work"])
        .iter()
        .filter(|it| (number(&it["depth"]) - 0.145).abs() < 0.003)
        .count();
    assert_eq!(shallow, 4, "the pocket's corners: {}", data["hand_work"]);
    let horn: Vec<&Value> = list(&data["short_grain"]).iter().collect();
    assert!(!horn.is_empty(), "the horn");
    for place in horn {
        assert_eq!(
            (text(&place["marks"]), place["tip"] == true),
            ("!!", true),
            "{place}"
        );
        near(&place["width"], 14.0, 1e-6);
        near(&place["fibre"], 14.0, 1e-6);
    }
    assert!(has(&data, "short-grain"), "a support is asked for: {:?}", ids(&data));
    let deepest =
        list(&data["passes"]).iter().filter(|pass| pass["layer"]["number"] == 2);
    assert!(0 < deepest.count(), "two laps");
}

/// A bracket's square inside corner: the half-inch bit leaves 6.35² (1 - pi/4) = 8.653 mm²,
/// the 3/8 in bit 4.7625² (1 - pi/4) = 4.867, 4.7625 (sqrt 2 - 1) = 1.973 deep; the smaller
/// reaches all the larger does and 2 × 1.5875 more, so it does it alone.
const BRACKET: &str = r#"
    units = "mm"
    grain = 45
    thick = 19
    bits = ["1/2in both bearings, 1in long", "3/8in both bearings, 1in long"]
    [outline]
    start = [0, 0]
    steps = ["right 254", "up 50", "left 204", "up 153", "left 50", "close"]
"#;

#[test]
fn s5_bracket() {
    let data = planned(BRACKET);
    let corners = hand(&data, "inside corner");
    assert_eq!(corners.len(), 1, "one");
    near(&corners[0]["depth"], 1.973, 0.002);
    let bits: Vec<f64> =
        list(&data["set_ups"]).iter().map(|it| number(&it["bit"])).collect();
    assert!(bits.iter().all(|&bit| (bit - 2.0).abs() < 1e-9), "the smaller: {bits:?}");
    let folder = written(BRACKET);
    let file = folder.0.join("job.toml").to_string_lossy().into_owned();
    let said = spelch(&["bits", &file, "--format", "json"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let table: Value = serde_json::from_str(&said.data).expect("the data is JSON");
    near(&table["bits"][0]["left"], 8.653, 0.001);
    near(&table["bits"][1]["left"], 4.867, 0.001);
    let words = spelch(&["bits", &file]).data;
    assert!(words.contains("8.7 mm²") && words.contains("corners"), "{words}");
}

/// A cutting board with a handle slot 30 wide with round ends, one bit with its bearing at
/// the tip by hand: the motor is on face B. The slot comes first and is entered through a hole of
/// 12.7 + 2 = 14.7; round the outside the bit goes counter-clockwise as seen from above, in the
/// slot clockwise. With one bearing end half of each rounded corner is uphill: never routed.
#[test]
fn s6_cutting_board() {
    let data = planned(
        r#"
        units = "mm"
        grain = "long"
        thick = 32
        bits = ["1/2in spiral flush-trim, 1 1/2in long"]
        [outline]
        start = [25, 0]
        steps = ["right 407", "turn left 25 by 90", "on 204", "turn left 25 by 90", "on 407",
            "turn left 25 by 90", "on 204", "turn left 25 by 90", "close"]
        [[outline.openings]]
        name = "handle"
        start = [410, 87]
        steps = ["up 80", "turn left 15 by 180", "on 80", "turn left 15 by 180", "close"]
        "#,
    );
    assert_eq!(data["set_ups"][0]["s"], -1, "the motor is on face B");
    assert_eq!(data["set_ups"][0]["face_up"], "B", "and up");
    assert_eq!(data["set_ups"][0]["base_on"], "part", "the base rides on the part");
    let seen = &data["set_ups"][0]["seen"];
    assert_eq!((text(&seen["outside"]), text(&seen["opening"])), ("ccw", "cw"));
    let loop_of = |pass: &Value| {
        let name = text(&pass["stretches"][0]);
        let own = list(&data["stretches"]).iter().find(|it| text(&it["name"]) == name);
        number(&own.expect("it is there")["loop"])
    };
    let order: Vec<f64> = list(&data["passes"]).iter().map(loop_of).collect();
    assert!(order.is_sorted_by(|a, b| b <= a), "the slot first: {order:?}");
    let entry = list(&data["notes"]).iter().find(|note| note["id"] == "entry-hole");
    assert!(text(&entry.expect("an entry")["text"]).contains("14.7 mm"), "{entry:?}");
    for stretch in list(&data["stretches"]).iter().filter(|it| !is_by_hand(it)) {
        // For s = -1 what is downhill for a motor on face A is uphill.
        assert_ne!(stretch["band"], "downhill", "never uphill: {stretch}");
    }
}

/// A house number's triangular counter of 40, 50 and 90 degrees, a quarter-inch bit: the 40
/// degree corner keeps 3.175 (1/sin 20 - 1) = 6.108: sawn with a fretsaw, no chisel; the 50
/// degree one 3.175 (1/sin 25 - 1) = 4.338; the square one 1.315.
#[test]
fn s7_house_sign() {
    let (_folder, data) = plan(&[&here("samples/house-sign.toml")]);
    for (angle, depth, fretsaw) in
        [(40.0, 6.108, true), (50.0, 4.338, true), (90.0, 1.315, false)]
    {
        let found: Vec<&Value> = hand(&data, "inside corner")
            .into_iter()
            .filter(|it| (number(&it["angle"]) - angle).abs() < 0.1)
            .collect();
        assert!(!found.is_empty(), "{angle} degrees");
        for corner in found {
            near(&corner["depth"], depth, 0.02);
            assert_eq!(text(&corner["tool"]).contains("fretsaw"), fretsaw, "{corner}");
        }
    }
}

/// A saw's handle, 130 long: under 300 it is not held in the hands at the table but in a
/// carrier; by hand it is taped down with strips beside it. Its finger hole comes first.
#[test]
fn s8_saw_handle() {
    let sample = here("samples/saw-handle.toml");
    let (_folder, data) = plan(&[&sample]);
    assert!(has(&data, "base-over-part"), "taped down: {:?}", ids(&data));
    assert_eq!(text(&data["passes"][0]["why"]), "openings while the blank is big");
    let job = std::fs::read_to_string(&sample).expect("the sample");
    let at_table = planned(&job.replace("work = \"hand\"", "work = \"table\""));
    let stop =
        list(&at_table["notes"]).iter().find(|it| it["id"] == "small-part-at-table");
    let stop = stop.expect("a hard stop");
    assert!(text(&stop["text"]).contains("carrier"), "{stop}");
    let opening = list(&at_table["hand_work"])
        .iter()
        .filter(|it| {
            text(&it["why"]).contains("start") && 100.0 < number(&it["sides"][0])
        })
        .count();
    assert_eq!(opening, 1, "the narrow hole is one row: {}", at_table["hand_work"]);
}

/// A segment of a ring of R 260 and R 200 with the grain along its chord: of 8 segments the
/// grain runs out at 22.5 degrees at the ends, 1 in 2.4: `!!`; of 12 at 15, 1 in 3.7: `!`.
#[test]
fn s9_mirror_ring() {
    for (count, marks) in [(8.0, "!!"), (12.0, "!")] {
        let half: f64 = std::f64::consts::PI / count;
        let at =
            |radius: f64, turn: f64| (radius * libm::sin(turn), radius * libm::cos(turn));
        let (o1, o2, i2) = (at(260.0, half), at(260.0, -half), at(200.0, -half));
        let i1 = at(200.0, half);
        let data = planned(&format!(
            r#"
            units = "mm"
            grain = 0
            thick = 22
            bits = ["3/4in both bearings, 1in long"]
            [outline]
            start = [{}, {}]
            steps = ["arc left 260 to {}, {} as outer", "to {}, {} as end", "arc right 200 to {}, {} as inner", "close as end"]
            [edges]
            true = ["end"]
            "#,
            o1.0, o1.1, o2.0, o2.1, i2.0, i2.1, i1.0, i1.1
        ));
        let found: Vec<&str> =
            list(&data["short_grain"]).iter().map(|it| text(&it["marks"])).collect();
        assert!(found.contains(&marks), "{count} segments: {found:?}");
        assert!(marks == "!!" || !found.contains(&"!!"), "{count} segments: {found:?}");
    }
}

/// A lapped dovetail's socket, 1 in 8, cut with a quarter-inch bit in a half-inch bush: the
/// template is (12.7 - 6.35)/2 = 3.175 smaller all round, larger in the socket; outside corners
/// lose wood; the socket's inner corners of 90 - 7.125 = 82.875 degrees keep 3.175 (1/sin 41.44
/// - 1) = 1.622, and 3.175/tan 41.44 = 3.596 of each side.
#[test]
fn s10_dovetail_socket() {
    let data = planned(
        r#"
        units = "mm"
        grain = "long"
        thick = 25
        bits = ["1/4in straight + 1/2in bush, 2in long"]
        [outline]
        start = [0, 0]
        steps = ["right 300", "up 75", "left 131.25", "by 6.25, -50 as tail", "left 50 as tail",
            "by 6.25, 50 as tail", "left 131.25", "close"]
        [edges]
        true = ["left", "right", "near", "far"]
        rout = ["tail"]
        "#,
    );
    near(&data["template"]["offset"], -3.175, 1e-9);
    let corners: Vec<&Value> = hand(&data, "inside corner");
    assert_eq!(corners.len(), 2, "{}", data["hand_work"]);
    for corner in corners {
        near(&corner["angle"], 82.875, 0.001);
        near(&corner["depth"], 1.622, 0.002);
        near(&corner["sides"][0], 3.596, 0.002);
    }
    assert!(has(&data, "corners-lost"), "outside corners are rounded: {:?}", ids(&data));
}

/// A trestle foot 70 thick. The bit by the shank reaches 55, 4.2 more than its cutter: the
/// teeth get below a template of 4. A lap of 50.8 on it, one to 55 without it. Turned over, the bit at the tip takes the last 15 with
/// its bearing on the fresh face (16 of cutter are needed, 38.1 are there): the motor is on the
/// other face, so what is downhill above is uphill below; only along the grain and on end grain
/// both layers are routed. By hand: the work is heavy.
#[test]
fn s11_trestle_foot() {
    let data = planned(
        r#"
        units = "mm"
        grain = "long"
        thick = 70
        work = "hand"
        bits = ["1/2in pattern, 2in long, reach 55mm", "1/2in flush-trim, 1 1/2in long"]
        [outline]
        start = [0, 0]
        steps = ["right 700 as sole", "up 39.2 as end", "arc left 900 to 0, 39.2 as top", "close as end"]
        [edges]
        true = ["sole"]
        "#,
    );
    assert_eq!(ends(&data), ["shank", "tip"], "then turned over");
    let faces: Vec<&str> =
        list(&data["set_ups"]).iter().map(|it| text(&it["face_up"])).collect();
    assert_eq!(faces, ["A", "B"], "turned over");
    for stretch in list(&data["stretches"]) {
        let (band, lower) = (text(&stretch["band"]), &stretch["lower"]);
        if band == "uphill" {
            assert!(is_by_hand(stretch), "nothing to ride on below: {stretch}");
            let why = hand(&data, "stretch")
                .iter()
                .any(|it| text(&it["why"]).starts_with("uphill in every"));
            assert!(why, "no further set-up would rout it: {}", data["hand_work"]);
            continue;
        }
        near(&lower["from"], 55.0, 1e-9);
        assert!(!is_by_hand(stretch), "the upper layer is routed: {stretch}");
        let planed = lower["done_by"] == "hand";
        assert_eq!(planed, band == "downhill", "uphill below, and only there: {stretch}");
    }
    assert!(has(&data, "layer-uphill"), "named: {:?}", ids(&data));
    assert!(has(&data, "two-layers"), "said: {:?}", ids(&data));
    let first = &data["set_ups"][0]["stand"];
    near(&first["teeth_end"], 54.8, 1e-9);
    near(&data["set_ups"][1]["stand"]["teeth_end"], 15.0, 1e-9);
    near(&data["passes"][0]["layer"]["to"], 50.8, 1e-9);
}

/// A jig's base with a slot for a quarter-inch bit: 8 wide it does not let the turning bit in
/// with 1 mm all round (8.35); up to 6.35 + 2 × 1.5875 = 9.525 wood would stand on both sides:
/// never; 10 wide it is routed. A pin hole of 6, smaller than the bit, is drilled.
#[test]
fn s12_shop_jig() {
    let job = |wide: f64| {
        format!(
            r#"
            units = "mm"
            grain = "long"
            thick = 17.4
            species = "birch plywood"
            bits = ["1/4in pattern, 1in long"]
            [outline]
            start = [0, 0]
            steps = ["right 800", "up 150", "left 800", "close"]
            [[outline.openings]]
            name = "slot"
            start = [200, 60]
            steps = ["right 200", "up {wide}", "left 200", "close"]
            [[outline.openings]]
            name = "pin"
            start = [503, 75]
            steps = ["through 500, 78 to 497, 75", "through 500, 72 to 503, 75"]
            [edges]
            true = ["left", "right", "near", "far"]
            "#
        )
    };
    let narrow = planned_or_refused(&job(8.0));
    assert!(narrow.contains("no entry hole"), "8.35 are needed: {narrow}");
    let narrow = planned_or_refused(&job(9.0));
    assert!(narrow.contains("both sides"), "a hard stop: {narrow}");
    let data = planned(&job(10.0));
    let routed = list(&data["stretches"]).iter().filter(|it| !is_by_hand(it)).count();
    assert!(0 < routed, "10 wide is routed");
    let holes = hand(&data, "opening");
    assert_eq!(holes.len(), 1, "the pin hole: {}", data["hand_work"]);
    assert!(text(&holes[0]["tool"]).contains("drill"), "{}", holes[0]);
}

/// All that is said of a job that may be refused.
fn planned_or_refused(job: &str) -> String {
    let folder = written(job);
    let file = folder.0.join("job.toml").to_string_lossy().into_owned();
    let out = folder.0.join("out").to_string_lossy().into_owned();
    spelch(&["plan", &file, "--out", &out]).talk
}

/// Traps: a template too thin for a bearing is refused; stock of 51 needs 52 of cutter at the
/// tip, 50 will not do; a hollow of R 6.5 under a half-inch bit is arrived in, not run in.
#[test]
fn traps() {
    let square = |thick: f64, more: &str| {
        format!(
            "units = \"mm\"\nthick = {thick}\n{more}\n[outline]\nstart = [0, 0]\n\
             steps = [\"right 400\", \"up 320\", \"left 400\", \"close\"]\n"
        )
    };
    let thin = planned_or_refused(
        &(square(20.0, "bits = [\"1/2in pattern\"]") + "[template]\nthick = \"2mm\"\n"),
    );
    assert!(thin.contains("does not carry a bearing"), "{thin}");
    let short =
        planned_or_refused(&square(51.0, "bits = [\"1/2in flush-trim, 50mm long\"]"));
    assert!(short.contains("too short") && short.contains("52 mm"), "{short}");
    let none = planned_or_refused(&square(20.0, "bits = []"));
    assert!(none.contains("no bit"), "{none}");
}
