//! The samples: each plans, and what holds of every plan holds of them.

#![expect(clippy::disallowed_methods, reason = "reads what the command wrote")]

use crate::command::{Folder, here, list, number, plan, spelch, text};
use serde_json::Value;

/// Every sample with the options it is planned with.
pub(crate) const SAMPLES: [(&str, &[&str]); 17] = [
    ("trestle-foot.toml", &[]),
    ("arched-apron.toml", &[]),
    ("gate-rail-scarf.toml", &[]),
    ("house-sign.toml", &[]),
    ("saw-handle.toml", &[]),
    ("one-way-bracket.toml", &[]),
    ("other-way-bracket.toml", &[]),
    ("shelf-end.toml", &[]),
    ("pole-bracket.toml", &[]),
    ("wall-hook.toml", &[]),
    ("gate-rail-wedged.toml", &[]),
    ("lapped-stretcher.toml", &[]),
    ("class-half-lap.toml", &[]),
    ("cap-rail-mouth.toml", &[]),
    ("oak-bracket.toml", &[]),
    ("ogee-bracket.svg", &OGEE),
    ("key-rack.dxf", &KEY_RACK),
];

/// Planned by hand with both bearings.
const KEY_RACK: [&str; 6] = [
    "--thick",
    "19mm",
    "--bit",
    "12.7mm pattern, 25mm long",
    "--bit",
    "12.7mm flush-trim, 25mm long",
];

/// How the drawing's own description says it is planned.
const OGEE: [&str; 12] = [
    "--units",
    "mm",
    "--grain",
    "45",
    "--thick",
    "19",
    "--true-edges",
    "left,far",
    "--bit",
    "1/2in pattern, 1in long",
    "--bit",
    "1/2in flush-trim, 1in long",
];

#[test]
fn every_sample_plans() {
    for (sample, options) in SAMPLES {
        let input = here(&format!("samples/{sample}"));
        let mut words = vec![input.as_str()];
        words.extend(options);
        let (folder, data) = plan(&words);
        let files = folder.files();
        for ending in ["-bench.html", "-picture-1.svg", "-plan.json"] {
            assert!(
                files.iter().any(|file| file.ends_with(ending)),
                "{sample}: {ending} in {files:?}"
            );
        }
        every_plan(sample, &data);
    }
}

/// All words of a picture, a blank between two rows.
fn words_of(svg: &str) -> Vec<&str> {
    let texts = svg.split("<text ").skip(1);
    texts.filter_map(|text| text.split_once('>')?.1.split('<').next()).collect()
}

/// Whether a sign stands by itself, and what says what it means.
const SIGNS: [(&str, &str); 4] =
    [("!", "!: "), ("!!", "!!: "), ("SLOW ", "SLOW: "), ("EASE IN ", "EASE IN: ")];

#[test]
fn every_picture_says_stop_and_what_its_signs_mean_whatever_the_grain() {
    let (mut pictures, mut signs) = (0, [0; SIGNS.len()]);
    // With so much left by the saw the handle's hollows are SLOW.
    let more: (&str, &[&str]) = ("saw-handle.toml", &["--leave", "3mm"]);
    for (sample, options) in SAMPLES.into_iter().chain([more]) {
        let input = here(&format!("samples/{sample}"));
        for angle in (0..180).step_by(15).map(|angle| angle.to_string()) {
            let folder = Folder::new();
            let out = folder.0.to_string_lossy().into_owned();
            let mut all = vec!["plan", input.as_str()];
            all.extend(options.chunks(2).filter(|two| two[0] != "--grain").flatten());
            all.extend(["--grain", &angle, "--out", &out]);
            // A part that no bit may cut along this grain has no pictures.
            if spelch(&all).code != 0 {
                continue;
            }
            for file in folder.files().iter().filter(|file| file.contains("-picture-")) {
                let svg = std::fs::read_to_string(folder.0.join(file)).expect("it is");
                let (rows, what) = (words_of(&svg), format!("{file} at {angle}"));
                let text = rows.join(" ");
                let stops = text.contains("Only these stretches. Then STOP.");
                assert!(stops || text.contains("FINISHING LAP"), "{what}: {text}");
                for (count, (sign, means)) in signs.iter_mut().zip(SIGNS) {
                    let is_sign = |row: &&str| {
                        let rest = row.strip_prefix(sign);
                        rest.is_some_and(|rest| rest.ends_with('°') || rest.is_empty())
                    };
                    let on_it = rows.iter().any(is_sign);
                    assert!(!on_it || text.contains(means), "{what}, {sign}: {text}");
                    *count += usize::from(on_it);
                }
                pictures += 1;
            }
        }
    }
    assert!(200 < pictures, "{pictures} pictures");
    assert!(signs.iter().all(|&count| 0 < count), "each sign is on one: {signs:?}");
}

/// The guides of the set-ups that a sample's plan needs.
fn guides(sample: &str) -> Vec<String> {
    let (_folder, data) = plan(&[&here(&format!("samples/{sample}"))]);
    list(&data["set_ups"]).iter().map(|s| text(&s["bearing_end"]).to_owned()).collect()
}

#[test]
fn one_sample_needs_the_first_set_up_one_the_second_and_one_both() {
    assert_eq!(guides("one-way-bracket.toml"), ["shank"]);
    assert_eq!(guides("other-way-bracket.toml"), ["tip"]);
    assert_eq!(guides("trestle-foot.toml"), ["shank", "tip"]);
}

/// Basis: geometry; each half stands back from the line by half of the gap, 0.08 where the job
/// says nothing, so together they lack the line's length times the gap.
#[test]
fn the_halves_of_a_board_and_a_line_meet() {
    let (_folder, data) = plan(&[&here("samples/gate-rail-scarf.toml")]);
    let routed = |part: &str| -> Vec<f64> {
        list(&data["edges"])
            .iter()
            .filter(|edge| {
                text(&edge["part"]).ends_with(part) && text(&edge["role"]) == "rout"
            })
            .map(|edge| number(&edge["length"]))
            .collect()
    };
    let (a, mut b) = (routed("half A"), routed("half B"));
    assert_eq!(a.len(), 3, "nib, slope, nib");
    b.reverse();
    // The half-turn lays the first nib of the one on the last of the other.
    let turned: Vec<f64> = b.iter().rev().copied().collect();
    for (of_a, of_b) in a.iter().zip(&turned) {
        assert!((of_a - of_b).abs() < 1e-4, "the same cut: {a:?} and {turned:?}");
    }
    let total: f64 = list(&data["parts"]).iter().map(|part| number(&part["area"])).sum();
    let line = 8.0 + (420.0_f64 * 420.0 + 54.0 * 54.0).sqrt() + 8.0;
    let lacking = 900.0 * 70.0 - total;
    assert!((lacking - 0.08 * line).abs() < 1e-3, "the gap is {lacking} of {line}");
}

/// Basis: geometry; sizes that all follow one length make parts of one shape, so areas go by
/// its square.
#[test]
fn a_sample_whose_sizes_follow_the_stock_grows_with_it() {
    let input = here("samples/shelf-end.toml");
    let area = |words: &[&str]| number(&plan(words).1["parts"][0]["area"]);
    let (one, wider) = (area(&[&input]), area(&[&input, "--set", "width=300mm"]));
    let grown = (300.0_f64 / 240.0) * (300.0 / 240.0);
    assert!((wider / one - grown).abs() < 1e-6, "{wider} from {one}");
    let (_folder, taller) = plan(&[&input, "--set", "high=500mm", "--width", "240mm"]);
    assert!(
        (number(&taller["parts"][0]["bounds"][3]) - 500.0).abs() < 1e-6,
        "its own size"
    );
}

/// What holds of every plan.
fn every_plan(sample: &str, data: &Value) {
    let stretches = list(&data["stretches"]);
    let rout: f64 = list(&data["edges"])
        .iter()
        .filter(|edge| text(&edge["role"]) == "rout")
        .map(|edge| number(&edge["length"]))
        .sum();
    let covered: f64 = stretches.iter().map(|stretch| number(&stretch["length"])).sum();
    assert!(
        (rout - covered).abs() < 1e-3,
        "{sample}: stretches cover {covered} of {rout}"
    );
    if data["cut"] == "part" {
        every_run(sample, data);
        return;
    }
    for pass in list(&data["passes"]) {
        assert_eq!(text(&pass["feed"]), "conventional", "{sample}: {pass}");
        let set_up = list(&data["set_ups"])
            .iter()
            .find(|set_up| set_up["number"] == pass["set_up"])
            .unwrap_or_else(|| panic!("{sample}: the set-up of {pass}"));
        let s = number(&set_up["s"]);
        for name in list(&pass["stretches"]) {
            let stretch = stretches.iter().find(|stretch| stretch["name"] == *name);
            let stretch = stretch.unwrap_or_else(|| panic!("{sample}: stretch {name}"));
            let band = text(&stretch["band"]);
            let wrong = if 0.0 < s { "uphill" } else { "downhill" };
            assert_ne!(band, wrong, "{sample}: no pass goes uphill: {stretch}");
            assert_eq!(stretch["touched"], true, "{sample}: {stretch}");
        }
    }
}

/// What holds of every run of a part that the machine cuts itself: nothing is finished
/// conventionally uphill, nothing is climbed downhill.
fn every_run(sample: &str, data: &Value) {
    let stretches = list(&data["stretches"]);
    for pass in list(&data["passes"]) {
        let wrong = match text(&pass["feed"]) {
            "climb" => ["downhill", "end grain"],
            _ => ["uphill", "uphill"],
        };
        for name in list(&pass["stretches"]) {
            let stretch = stretches.iter().find(|stretch| stretch["name"] == *name);
            let stretch = stretch.unwrap_or_else(|| panic!("{sample}: stretch {name}"));
            let band = text(&stretch["band"]);
            assert!(!wrong.contains(&band), "{sample}: {pass} on {stretch}");
            assert_eq!(stretch["touched"], true, "{sample}: {stretch}");
        }
    }
}

/// Basis: geometry: a bracket with its grain at 45 degrees, cut with a mill of 6 mm that takes the
/// last millimetre: its foot and its top are uphill and climbed, its wall and the first half of
/// its hollow are downhill, and what of its nose is steeper than 53.19 degrees is left.
#[test]
fn the_machine_finishes_the_oak_bracket_by_its_grain() {
    let (folder, data) = plan(&[&here("samples/oak-bracket.toml")]);
    let feed = |name: &str| {
        let runs = list(&data["passes"]).iter();
        let own = runs.filter(|run| list(&run["stretches"]).iter().any(|it| it == name));
        own.map(|run| text(&run["feed"]).to_owned()).collect::<Vec<_>>()
    };
    for stretch in list(&data["stretches"]) {
        let name = text(&stretch["name"]);
        let phi = [number(&stretch["phi"][0]), number(&stretch["phi"][1])];
        let middle = f64::midpoint(phi[0], phi[1]);
        if stretch["touched"] == false {
            continue;
        }
        let expected: &[&str] = if (-70.0..-53.19).contains(&middle) {
            &[]
        } else if (-53.19..0.0).contains(&middle) {
            &["climb"]
        } else {
            &["conventional"]
        };
        assert_eq!(feed(name), expected, "{name} at {phi:?}");
    }
    let hand = list(&data["hand_work"]);
    assert_eq!(hand.len(), 1, "the nose's steep place, and no corner: {hand:?}");
    assert!((number(&hand[0]["depth"]) - 1.0).abs() < 1e-9, "the allowance stands");
    assert!(data["template"].is_null() && list(&data["sawn"]).is_empty(), "no template");
    let page = folder.files().into_iter().find(|file| file.ends_with("-bench.md"));
    let page = std::fs::read_to_string(folder.0.join(page.expect("the sheets")));
    let page = page.expect("text").to_lowercase();
    for word in ["template", "router", "bearing", "saw line", "pass "] {
        assert!(!page.contains(word), "`{word}` on a sheet of a part that is milled");
    }
}

#[test]
fn the_picture_in_the_readme_is_todays() {
    let (folder, _) = plan(&[&here("samples/trestle-foot.toml")]);
    let read = |path: &std::path::Path| std::fs::read_to_string(path).expect("a picture");
    let made = read(&folder.0.join("trestle-foot-picture-1.svg"));
    let black = made.replace("#0072b2", "#000").replace("#d55e00", "#000");
    let shown = read(here("samples/pictures/trestle-foot.svg").as_ref());
    assert_eq!(shown, black, "in black and white, as the tool draws it");
}
