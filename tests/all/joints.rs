//! `spelch joint`, `wedges` and `layout` as a person runs them, and the samples of joints.

#![expect(clippy::disallowed_methods, reason = "reads what the command wrote")]

use crate::command::{Folder, here, list, near, number, plan, spelch, text};
use spelch::cli::Answer;

fn run(words: &[&str]) -> (Folder, Answer) {
    let folder = Folder::new();
    let out = folder.0.to_string_lossy().into_owned();
    let mut all = words.to_vec();
    all.extend(["--out", &out]);
    let said = spelch(&all);
    (folder, said)
}

fn read(folder: &Folder, file: &str) -> String {
    std::fs::read_to_string(folder.0.join(file)).expect(file)
}

#[test]
fn every_joint_is_drawn_by_its_name() {
    for name in [
        "half-lap",
        "dovetailed-lap",
        "bridle",
        "splayed-scarf",
        "tabled-scarf",
        "tusk-tenon",
        "finger-joint",
    ] {
        let (folder, said) = run(&["joint", name, "--width", "70mm", "--thick", "24mm"]);
        assert_eq!(said.code, 0, "{name}: {}", said.talk);
        let words = read(&folder, &format!("{name}-joint.md"));
        for heading in [
            "## Joint",
            "### Templates",
            "## Layout",
            "## Fit and glue",
            "### Paper test",
        ] {
            assert!(words.contains(heading), "{name}: {heading}");
        }
        let has_wedges = matches!(name, "tabled-scarf" | "tusk-tenon");
        assert_eq!(words.contains("## Wedges"), has_wedges, "{name}");
        for half in ["A", "B"] {
            let svg = read(&folder, &format!("{name}-half-{half}.svg"));
            assert!(svg.contains("<path"), "{name}: half {half}");
        }
    }
}

/// A drawing that `joint` gives can be planned as it is.
#[test]
fn the_drawing_of_a_half_is_read_again() {
    let (folder, said) =
        run(&["joint", "half-lap", "--width", "60mm", "--thick", "20mm"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let half = folder.0.join("half-lap-half-A.svg").to_string_lossy().into_owned();
    let (_again, data) =
        plan(&[&half, "--thick", "20mm", "--bit", "1/2in pattern, 1in long"]);
    assert_eq!(list(&data["parts"]).len(), 1, "one part");
}

#[test]
fn a_joint_with_a_bit_is_planned_with_its_own_sheets() {
    let (folder, said) = run(&[
        "joint",
        "splayed-scarf",
        "--width",
        "70mm",
        "--thick",
        "30mm",
        "--bit",
        "1/2in pattern, 2in long",
        "--bit",
        "1/2in flush-trim, 2in long",
    ]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let words = read(&folder, "splayed-scarf-bench.md");
    assert!(words.contains("## Joint") && words.contains("## Fit and glue"), "{words}");
}

#[test]
fn joints_that_cannot_be_are_refused() {
    for (words, code, id) in [
        (vec!["joint", "dowel", "--width", "70mm"], 2, "joint-unknown"),
        (vec!["joint", "bridle", "--width", "70mm"], 2, "joint-leaves-no-wood"),
        (
            vec!["joint", "splayed-scarf", "--width", "70mm", "--nib", "40mm"],
            2,
            "joint-leaves-no-wood",
        ),
        (vec!["joint", "half-lap", "--width", "70"], 2, "length-without-unit"),
        (
            vec!["wedges", "folding", "--slot", "9x25mm", "--thick", "45mm"],
            1,
            "wedge-tip-thin",
        ),
        (
            vec![
                "wedges",
                "folding",
                "--slot",
                "14x25mm",
                "--thick",
                "45mm",
                "--push",
                "long-grain",
            ],
            1,
            "wedge-splits",
        ),
        (
            vec!["wedges", "tusk", "--slot", "30mm", "--thick", "45mm"],
            2,
            "blank-unreadable",
        ),
    ] {
        let (folder, said) = run(&words);
        assert_eq!(said.code, code, "{words:?}: {}", said.talk);
        assert!(said.talk.contains(id), "{words:?}: {id} in {}", said.talk);
        assert!(folder.files().is_empty(), "{words:?}: nothing is written");
    }
}

#[test]
fn wedges_have_a_sheet_in_either_unit() {
    for (units, height) in [("mm", "24.85 mm"), ("in", " in")] {
        let (folder, said) = run(&[
            "wedges", "folding", "--slot", "14x25mm", "--thick", "45mm", "--units", units,
        ]);
        assert_eq!(said.code, 0, "{}", said.talk);
        let words = read(&folder, "wedges-wedges.md");
        assert!(words.contains(height), "{height} in {words}");
        assert!(words.contains("lifts the halves apart"), "what a high wedge does");
    }
}

#[test]
fn a_layout_has_steps_and_closing_checks() {
    let (folder, said) = run(&["layout", &here("samples/gate-rail-wedged.toml")]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let words = read(&folder, "gate-rail-wedged-layout.md");
    for part in [
        "all sizes running",
        "Square off the slope",
        "Rub out",
        "Closing checks",
        "Reference end: the right one",
    ] {
        assert!(words.contains(part), "{part}");
    }
}

/// Basis: the rules; one template serves a class, a tail and its socket need two.
#[test]
fn the_samples_of_joints_say_how_many_templates_they_need() {
    for (sample, one) in [
        ("gate-rail-wedged", true),
        ("class-half-lap", true),
        ("lapped-stretcher", false),
    ] {
        let (folder, data) = plan(&[&here(&format!("samples/{sample}.toml"))]);
        let words = read(&folder, &format!("{sample}-bench.md"));
        assert_eq!(words.contains("One template serves both halves"), one, "{sample}");
        let parts = list(&data["parts"]);
        assert_eq!(parts.len(), 2, "{sample}");
        assert!(text(&parts[0]["name"]).ends_with("half A"), "{sample}");
    }
}

/// Basis: geometry; a lap is half the thickness, the bit stands the template's 12.7 and the
/// lap's 12.5 below its base, and nothing of the socket is sawn through.
#[test]
fn a_lap_is_planned_to_its_floor_and_never_past_it() {
    let (folder, data) = plan(&[&here("samples/lapped-stretcher.toml")]);
    let words = read(&folder, "lapped-stretcher-bench.md");
    for part in [
        "the socket has a floor there",
        "## Lap",
        "Set the gauge to 12.5 mm",
        "| lapped-stretcher half B | 1 | 375 mm | 75 mm | 25 mm |",
        "25.2 mm below the base",
        "lower the tail of half A straight down",
    ] {
        assert!(words.contains(part), "{part} in {words}");
    }
    assert!(!words.contains("26.2 mm"), "a millimetre into the floor");
    let sawn = list(&data["sawn"]).iter().map(|line| text(&line["part"]));
    let sawn: Vec<&str> = sawn.collect();
    assert!(
        !sawn.is_empty() && sawn.iter().all(|part| part.ends_with("half A")),
        "{sawn:?}"
    );
    let (lap, saw) = (words.find("## Lap"), words.find("## Saw"));
    assert!(lap < saw, "the cheek is sawn before the outline");
}

/// Basis: geometry; what rides below the work cannot stop at a floor 12 deep, and a cutter of
/// 50.8 with its bearing by the shank wants a spacer of 38.8 that is no sheet.
#[test]
fn no_bit_cuts_a_lap_that_cannot_end_at_its_floor() {
    for (bit, goes) in [
        ("1/2in flush-trim, 2in long", false),
        ("1/2in pattern, 2in long", false),
        ("1/2in pattern", false),
        ("1/2in pattern, 21mm long", true),
    ] {
        let words = ["joint", "dovetailed-lap", "--width", "70mm", "--thick", "24mm"];
        let (folder, said) = run(&[&words[..], &["--bit", bit]].concat());
        assert_eq!(said.code == 0, goes, "{bit}: {}", said.talk);
        assert_eq!(said.talk.contains("cannot end at a lap's floor"), !goes, "{bit}");
        assert_eq!(folder.files().is_empty(), !goes, "{bit}: nothing is written");
    }
}

/// Basis: geometry; a lap 10 deep under a cutter of 14 has a spacer of 4: the teeth end the
/// template's 12.7, the 4 and the 10 below the base, which is 10 below face A.
#[test]
fn a_lap_is_as_deep_as_its_set_up_whatever_lies_on_it() {
    let words = ["joint", "dovetailed-lap", "--width", "70mm", "--thick", "20mm"];
    let bit = ["--bit", "1/2in pattern, 14mm long", "--leave", "1mm"];
    let (folder, said) = run(&[&words[..], &bit, &["--template-moves"]].concat());
    assert_eq!(said.code, 0, "{}", said.talk);
    let sheets = read(&folder, "dovetailed-lap-bench.md");
    for part in [
        "the teeth end 26.7 mm below the base",
        "the teeth end 10 mm below face A of the stock",
        "inside each wall, 1 mm off its line",
    ] {
        assert!(sheets.contains(part), "{part} in {sheets}");
    }
    let (folder, said) = run(&words);
    assert_eq!(said.code, 0, "{}", said.talk);
    let sheets = read(&folder, "dovetailed-lap-joint.md");
    assert!(sheets.contains("inside each wall, 1.6 mm off its line"), "{sheets}");
    for words in
        ["shoulder and cheek sawn from face B", "Nothing of the socket is sawn through"]
    {
        assert!(sheets.contains(words), "{words} in {sheets}");
    }
    assert!(!sheets.contains("knifed on face B: the lines of both"), "{sheets}");
}

/// Basis: the floor: what guides the bit from the other face cannot end there.
#[test]
fn over_a_floor_no_other_set_up_is_advised() {
    let words = ["joint", "dovetailed-lap", "--width", "70mm", "--thick", "20mm"];
    let bit = ["--bit", "1/2in pattern, 14mm long"];
    let (_folder, said) = run(&[&words[..], &bit].concat());
    let hint = "over a floor no other set-up can; plane or pare it from the other end";
    assert!(said.talk.contains(hint), "{}", said.talk);
    assert!(!said.talk.contains("bearing at the tip"), "{}", said.talk);
    assert!(!said.talk.contains("--template-moves"), "{}", said.talk);
    let (_folder, said) = run(&[&words[..], &bit, &["--template-moves"]].concat());
    assert!(said.talk.contains("lap-keeps-its-face"), "{}", said.talk);
}

/// The list of bits knows the floor that the plan knows.
#[test]
fn a_bit_that_cannot_cut_a_lap_is_in_no_set_up_of_the_list() {
    let sample = here("samples/lapped-stretcher.toml");
    let bits =
        ["--bit", "1/2in pattern, 14mm long", "--bit", "1/2in flush-trim, 1in long"];
    let said = spelch(&[&["bits", &sample][..], &bits].concat());
    assert_eq!(said.code, 0, "{}", said.talk);
    let row = said.data.lines().find(|line| line.contains("flush-trim, 1in"));
    let row = row.unwrap_or_else(|| panic!("a row in {}", said.data));
    assert!(row.contains("may not be used"), "{}", said.data);
    assert!(said.talk.contains("cannot end at a lap's floor"), "{}", said.talk);
}

/// Nothing of a plan reckons with a saw in the socket.
#[test]
fn what_is_said_of_the_saw_is_of_the_tail_alone() {
    let (_folder, data) = plan(&[&here("samples/lapped-stretcher.toml")]);
    let steps = list(&data["prepare"]);
    assert!(!steps.is_empty(), "the tail is sawn");
    for (step, number) in steps.iter().zip(1_u32..) {
        near(&step["number"], f64::from(number), 0.0);
        assert!(text(&step["part"]).ends_with("half A"), "{step}");
    }
    let about_saw = |note: &&serde_json::Value| text(&note["id"]).starts_with("saw-");
    for note in list(&data["notes"]).iter().filter(about_saw) {
        assert!(!note.to_string().contains("half B"), "{note}");
    }
}

/// Basis: the scarf's own sizes: as wide as its stock, one inside corner in each half, one
/// template for both halves; a machine that cuts the template needs none of it.
#[test]
fn a_template_is_made_by_hand_where_no_machine_cuts_it() {
    let sample = here("samples/gate-rail-scarf.toml");
    let (folder, _data) = plan(&[&sample]);
    let words = read(&folder, "gate-rail-scarf-bench.md");
    for part in [
        "### Made by hand",
        "as wide as the stock itself, 70 mm",
        "BOARD'S EDGE",
        "the inside corners at 240 mm from the end and 8 mm from the edge.",
        "Half-turn test",
    ] {
        assert!(words.contains(part), "{part} in {words}");
    }
    let (folder, _data) = plan(&[&sample, "--end-mill", "6mm"]);
    let words = read(&folder, "gate-rail-scarf-bench.md");
    assert!(!words.contains("### Made by hand"), "the machine makes it");
}

/// The row of a joint's sheet for a size.
fn size(words: &[&str], what: &str) -> String {
    let (folder, said) = run(words);
    assert_eq!(said.code, 0, "{}", said.talk);
    let name = words[1];
    let sheet = read(&folder, &format!("{name}-joint.md"));
    let row = sheet.lines().find(|line| line.starts_with(&format!("| {what} |")));
    row.unwrap_or_else(|| panic!("{what} in {sheet}")).to_owned()
}

/// Basis: published: Tredgold's rules for scarfs, chestofbooks.com, "Tredgold's Rules": without
/// bolts 6 times the depth in hard wood, 12 times in straight-grained soft wood; the indents of
/// a tabled scarf together a third of the depth.
#[test]
fn scarfs_are_as_long_as_tredgold_says() {
    let scarf = |wood| ["joint", "splayed-scarf", "--width", "70mm", "--wood", wood];
    for (wood, long) in [("hard", "420 mm"), ("soft", "840 mm")] {
        let row = size(&scarf(wood), "Length of the scarf");
        assert!(row.contains(long), "{wood}: {row}");
    }
    let tabled = ["joint", "tabled-scarf", "--width", "75mm", "--thick", "45mm"];
    let row = size(&tabled, "Depth of the table");
    assert!(row.contains("| 25 mm"), "{row}");
}

/// Basis: published: Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, chapter 10,
/// Madison: slopes of 1 in 8 for plywood and 1 in 12 for the highest strength; by geometry 160
/// and 240 mm in 20 mm, 7.1 and 4.8 degrees.
#[test]
fn slopes_of_glued_scarfs_have_their_lengths_and_angles() {
    for (long, slope) in [("160mm", "1 in 8.00 (7.1°)"), ("240mm", "1 in 12.00 (4.8°)")]
    {
        let words =
            ["joint", "splayed-scarf", "--width", "24mm", "--nib", "2mm", "--long", long];
        let row = size(&words, "Slope of the scarf");
        assert!(row.contains(slope), "{row}");
    }
}

/// Basis: geometry, with friction of 0.25 from memory: slopes of 1 in 6 to 1 in 12 hold with
/// one face slipping, as does anything flatter than tan(angle) = 0.25; from there to twice that
/// angle, 1 in 1.875, only while both faces are dry; 1 in 1.5 springs back.
#[test]
fn wedges_hold_by_the_friction_of_their_slope() {
    for (slope, says) in [
        ("1:6", Some("even where one face slips")),
        ("1:8", Some("even where one face slips")),
        ("1:10", Some("even where one face slips")),
        ("1:12", Some("even where one face slips")),
        ("1:4.1", Some("even where one face slips")),
        ("1:3.9", Some("1 in 3.9 holds only while both its faces are dry")),
        ("1:3", Some("or drive it dry and peg it before it is sawn off")),
        ("1:2", Some("taper it flatter than 1 in 4,")),
        ("1:1.8", None),
        ("1:1.5", None),
    ] {
        let (folder, said) = run(&[
            "wedges", "folding", "--slot", "40x40mm", "--thick", "45mm", "--slope", slope,
        ]);
        let Some(says) = says else {
            assert!(said.talk.contains("wedge-springs-back"), "{slope}: {}", said.talk);
            continue;
        };
        let words = read(&folder, "wedges-wedges.md");
        assert!(words.contains(says), "{slope}: {words}");
        let slipping = words.contains("even where one face slips");
        assert_ne!(
            slipping,
            words.contains("**CAUTION:** Slope"),
            "{slope}: one of them"
        );
    }
}

/// A half whose right end is a curve that lies on itself after a half-turn about its middle.
const CURVED: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="80mm" viewBox="0 0 400 80">
<path d="M0 80 H300 C300 40 360 40 360 0 H0 Z"/></svg>"#;

/// Basis: geometry. One drawing, laid on itself by a half-turn, is both halves: its curves meet
/// with the gap, one template serves, and the gap is what both lack of the two rails.
#[test]
fn one_drawing_turned_half_round_is_both_halves() {
    let folder = Folder::new();
    std::fs::create_dir(&folder.0).expect("a folder");
    let job = "units = \"mm\"\nthick = 20\nbits = [\"1/4in pattern, 1in long\", \"1/4in flush-trim, 1in long\"]\n[outline]\ndrawing = \"half.svg\"\n[edges]\ntrue = [\"near\", \"far\"]\ngoes-on = [\"left\"]\n[mate]\ndrawing = \"half.svg\"\nturn = \"half\"\nslide = [660, 80]\nclearance = 0.2\n[mate.edges]\ntrue = [\"near\", \"far\"]\ngoes-on = [\"left\"]\n";
    std::fs::write(folder.0.join("half.svg"), CURVED).expect("a drawing");
    let file = folder.0.join("curved.toml");
    std::fs::write(&file, job).expect("a job");
    let (out, data) = plan(&[&file.to_string_lossy()]);
    let area: f64 = list(&data["parts"]).iter().map(|part| number(&part["area"])).sum();
    let routed: f64 = list(&data["edges"])
        .iter()
        .filter(|edge| text(&edge["role"]) == "rout")
        .map(|edge| number(&edge["length"]))
        .sum();
    let lacking = 660.0 * 80.0 - area;
    // Each half's arcs may stray 0.001 from its curve.
    assert!(
        (lacking - 0.2 * routed / 2.0).abs() < 0.001 * routed,
        "{lacking} of {routed}"
    );
    let lies = text(&list(&data["parts"])[1]["template_lies"]);
    assert_eq!(lies, "laid the same way, same face up", "it is made once");
    let words = read(&out, "curved-bench.md");
    for said in
        ["One template serves both halves, face A up on each.", "| 0.2 mm | meets |"]
    {
        assert!(words.contains(said), "{said} in {words}");
    }
    assert!(!words.contains("stands open"), "{words}");
}

/// What a maker with nothing but the sheets would otherwise have to guess.
#[test]
fn the_sheets_alone_say_where_a_template_lies_and_what_is_cut_how_deep() {
    let words = |sample: &str| {
        let (folder, _) = plan(&[&here(&format!("samples/{sample}.toml"))]);
        read(&folder, &format!("{sample}-bench.md"))
    };
    let lapped = words("lapped-stretcher");
    for said in [
        "the template's own line lies 3.2 mm INSIDE the part's wood",
        "along every routed edge it stands 3.2 mm beyond it",
        "down to the floor, and no deeper",
        "Where a part goes on past its template",
    ] {
        assert!(lapped.contains(said), "{said} in {lapped}");
    }
    assert!(!lapped.contains("flush all round"), "a bush leaves it standing out");
    let wedged = words("gate-rail-wedged");
    for said in
        ["In the ears the line", "nothing is cut for it", "Push both wedges in by hand"]
    {
        assert!(wedged.contains(said), "{said} in {wedged}");
    }
    assert!(
        wedged.contains("flush all round") && !wedged.contains("own line lies"),
        "{wedged}"
    );
}

/// Basis: geometry; the mouth lies where it did when its drawing is turned over instead of round.
#[test]
fn a_half_with_its_other_face_up_is_said_and_lies_where_it_should() {
    let sample =
        std::fs::read_to_string(here("samples/cap-rail-mouth.toml")).expect("a job");
    let over = sample
        .replace("turn = \"half\"", "face = \"B\"")
        .replace("slide = [600, 80]", "slide = [600, 0]");
    let folder = Folder::new();
    std::fs::create_dir(&folder.0).expect("a folder");
    let file = folder.0.join("cap-rail-mouth.toml");
    std::fs::write(&file, over).expect("a job");
    let (out, _) = plan(&[&file.to_string_lossy()]);
    let words = read(&out, "cap-rail-mouth-bench.md");
    for said in [
        "half B: turned over, its face B up, moved 600 mm right.",
        "half A has its face A up, half B its face B.",
        "| 2 | Far cheek | 56.5 mm | 0.08 mm | meets |",
    ] {
        assert!(words.contains(said), "{said} in {words}");
    }
    let (out, _) = plan(&[&here("samples/cap-rail-mouth.toml")]);
    let words = read(&out, "cap-rail-mouth-bench.md");
    let said =
        "half B: turned half round about its zero, moved 600 mm right and 80 mm up.";
    assert!(words.contains(said), "{said} in {words}");
}
