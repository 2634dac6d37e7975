//! The printed sheets as a maker reads them at the bench: one setting for one thing, nothing
//! asked for that is not there, no step against an earlier one.
//!
//! Basis: geometry, and common practice, no source, where a test names nothing else.

#![expect(clippy::disallowed_methods, reason = "writes jobs and reads the sheets")]

use crate::command::{Folder, here, plan, spelch};

/// A part with a hump, its sole and ends straight.
const HUMP: &str = r#"
    [outline]
    start = [0, 0]
    steps = ["right 400", "up 60", "arc left 900 to 0, 60 as top", "close"]
"#;

/// A leg of two straight lengths that meet at 168 degrees, drawn upright; its grain splits
/// the bend, so that the upper edges want one bearing end and the lower ones the other.
const LEG: &str = r#"
    units = "mm"
    grain = 96
    thick = 38
    bits = ["1/2in both bearings, 2in long"]
    [outline]
    start = [0, 0]
    steps = ["right 45", "up 450", "by -116.43, 547.76", "left 44", "to 0, 450", "close"]
"#;

/// A scarf in stock thicker than the cutter is long.
const SCARF: &str = r#"
    units = "mm"
    grain = "long"
    thick = 45
    bits = ["1/2in pattern, 1in long"]
    [board]
    length = 900
    width = 70
    [board.line]
    start = [240, 0]
    steps = ["up 8", "by 420, 54", "up 8"]
"#;

/// The sheets of a job, as text.
fn sheets(job: &str) -> String {
    let folder = Folder::new();
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let file = folder.0.join("job.toml");
    std::fs::write(&file, job).expect("a job");
    of_file(&file.to_string_lossy())
}

fn of_file(file: &str) -> String {
    let (folder, _) = plan(&[file]);
    let text = folder.files().into_iter().find(|name| name.ends_with("-bench.md"));
    std::fs::read_to_string(folder.0.join(text.expect("sheets"))).expect("text")
}

/// A job with the hump, these keys above it.
fn hump(keys: &str) -> String {
    sheets(&format!("units = \"mm\"\nthick = 20\n{keys}\n{HUMP}"))
}

/// What a job that cannot be planned is told.
fn refused(job: &str) -> String {
    let folder = Folder::new();
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let file = folder.0.join("job.toml");
    std::fs::write(&file, job).expect("a job");
    let out = folder.0.join("out");
    let said =
        spelch(&["plan", &file.to_string_lossy(), "--out", &out.to_string_lossy()]);
    assert_eq!(said.code, 1, "{}", said.talk);
    said.talk
}

fn says(text: &str, words: &[&str]) {
    for word in words {
        assert!(text.contains(word), "`{word}` is not in\n{text}");
    }
}

fn says_not(text: &str, words: &[&str]) {
    for word in words {
        let line = text.lines().find(|line| line.contains(word));
        assert_eq!(line, None, "`{word}` is said");
    }
}

/// A cutter of 25.4 begins right under a template of 12.7, so that it ends 38.1 below the base,
/// however thin the stock: there is no other height at which it may stand.
#[test]
fn a_bit_has_one_height() {
    let text = hump("bits = [\"1/2in pattern, 1in long\"]");
    says(
        &text,
        &["reach at least 38.1 mm below the base", "the teeth end 38.1 mm below"],
    );
    let text = hump("bits = [\"1/2in pattern\"]");
    says(&text, &["so that its teeth begin right under the template"]);
    says(&text, &["Height: the teeth begin right under the template"]);
    let text = hump("work = \"table\"\nbits = [\"1/2in pattern, 1in long\"]");
    says(&text, &["38.1 mm above the table"]);
    says_not(&text, &["below the base"]);
}

/// A cutter in a bush goes through: 12.7 of template, 20 of stock and 1 beyond.
#[test]
fn a_bit_in_a_bush_has_a_height_too() {
    let text = hump("bits = [\"1/4in straight + 1/2in bush, 2in long\"]");
    says(&text, &["Height: the teeth end 33.7 mm below the base."]);
}

/// Of a bit with two bearings the one that does not serve is left out, not the bit.
#[test]
fn a_bit_that_is_used_is_not_called_left_out() {
    let text = hump("bits = [\"1/2in both bearings, 20mm long\"]");
    says(&text, &["its bearing at the tip is left out of the plan", "by the SHANK"]);
    says_not(&text, &["it is left out of the plan"]);
}

/// The template stays on its spacer: a second set-up on the same face has it too, and there the
/// teeth end where the template begins, at 38 + 3. At a bend of 12 degrees no block finds room:
/// the bit swings in. The length of what is drawn upright is its longer side, and the grain
/// 6 degrees from that.
#[test]
fn a_leg_can_be_made_as_printed() {
    let text = sheets(LEG);
    assert_eq!(text.matches("Spacer 3 mm thick between").count(), 2, "in both\n{text}");
    says(&text, &["the teeth end 41 mm below the base", "the teeth end 63.5 mm below"]);
    says(&text, &["swing in at the star"]);
    says_not(&text, &["on a backer", "96.0 degrees"]);
    says(
        &text,
        &["6.0 degrees from the length, counter-clockwise", "997.8 mm × 160.4 mm"],
    );
}

/// The template comes off for a lap in depth: afterwards no chisel rides on it, and a set-up that
/// wants it again says how it finds its place.
#[test]
fn a_template_that_came_off_guides_no_hand() {
    let text = sheets(SCARF);
    says(
        &text,
        &["template off", "Knife the lines of this list along the template before"],
    );
    says_not(
        &text,
        &["| template | A |", "| template | half", "ride on the template's edge"],
    );
    let pocket = r#"
        units = "mm"
        thick = 45
        bits = ["3/4in pattern, 1in long", "1/2in pattern, 1 1/2in long"]
        [outline]
        start = [0, 0]
        steps = ["right 450", "up 200", "left 450", "close"]
        [[outline.openings]]
        start = [106, 70]
        steps = ["right 64", "turn left 6 by 90", "on 44", "turn left 6 by 90", "on 64",
            "turn left 6 by 90", "on 44", "turn left 6 by 90", "close"]
    "#;
    let text = sheets(pocket);
    says(&text, &["Template back in its place, flush to a fingertip"]);
}

/// A side that is true already, or that goes on, wants no waste: only the nib's end is routed.
#[test]
fn a_blank_has_waste_where_it_is_routed() {
    says(&sheets(SCARF), &["| 660 mm | 70 mm | 45 mm | 672 mm × 70 mm |"]);
}

/// What only the layer below needs is taken down to the face above it: on the other side there
/// is no template to knife along.
#[test]
fn a_lower_layer_has_the_face_above_for_its_line() {
    let job = "units = \"mm\"\nthick = 60\nbits = [\"1/2in pattern, 1/2in long, reach 30mm\"]\n";
    let text = sheets(&format!("{job}{HUMP}"));
    says(&text, &["only the layer below 30 mm from face A still stands"]);
    says_not(&text, &["routed face above; knife along the template's edge"]);
}

/// A hole no larger than the bit is bored once, from the hand list, and not drilled to a saw
/// line before.
#[test]
fn a_small_hole_is_bored_once() {
    let hole = r#"
        [[outline.openings]]
        name = "pin"
        start = [203, 30]
        steps = ["through 200, 33 to 197, 30", "through 200, 27 to 203, 30"]
    "#;
    let job = "units = \"mm\"\nthick = 20\nbits = [\"1/2in pattern, 1in long\"]\n";
    let text = sheets(&format!("{job}{HUMP}{hole}"));
    says(&text, &["bore it 6 mm wide"]);
    says_not(&text, &["hole beside hole", "a little under size"]);
}

/// In strips the hand goes by the strip it works in: along the near edge the grain rises at 10
/// degrees, so that it is uphill to the right.
#[test]
fn the_hand_goes_by_the_strip() {
    let job = r#"
        units = "mm"
        thick = 20
        grain = 0
        strips = [{ wide = "40mm", grain = 10 }, { wide = "60mm", grain = -10 }]
        bits = ["1/2in pattern, 1in long"]
        [outline]
        start = [0, 0]
        steps = ["right 400", "up 100", "left 400", "close"]
    "#;
    says(&sheets(job), &["plane or shave to the line, pushing towards the left"]);
}

/// Where the grain turns no plane is taken, as the caution says.
#[test]
fn grain_that_turns_is_scraped() {
    let text = hump("grain-kind = \"interlocked\"\nbits = [\"1/2in pattern, 1in long\"]");
    says(
        &text,
        &["finish it with a scraper, never with a plane", "fine rasp, then a scraper"],
    );
    says_not(&text, &["plane or flat spokeshave", "plane or shave to the line"]);
}

/// Where the edges beside end grain are true already nothing takes off a break-out: it is the
/// backer that holds.
#[test]
fn no_edge_that_is_never_cut_cleans_up() {
    let job = r#"
        units = "mm"
        thick = 20
        grain = "across"
        bits = ["1/2in pattern, 1in long"]
        [outline]
        start = [0, 0]
        steps = ["right 400", "up 100", "left 400", "close"]
        [edges]
        true = ["left", "right"]
    "#;
    let text = sheets(job);
    says(&text, &["end grain, held where the bit leaves it", "Backers fixed flush"]);
    says_not(&text, &["takes off any break-out"]);
}

/// A plane does not cut up to a shoulder that stands in its way.
#[test]
fn a_plane_stops_short_of_a_shoulder() {
    let text = of_file(&here("samples/lapped-stretcher.toml"));
    says(
        &text,
        &["pushing towards the left, as seen on face A; stop short of the inside corner"],
    );
}

/// One template for two parts is made from one blank and measured once; no size is without
/// end.
#[test]
fn a_template_for_two_parts_is_made_once() {
    let text = of_file(&here("samples/wall-hook.toml"));
    assert_eq!(text.matches("a flat blank at least").count(), 1, "one blank");
    says_not(&text, &["inf mm", "NaN", "### Template for wall-hook right"]);
}

/// Where every bit is refused for itself, no other reason is made up.
#[test]
fn a_refusal_has_the_reason_that_holds() {
    let job = "units = \"mm\"\nthick = 20\nbits = [\"1/2in pattern, bearing 3/8in\"]\n";
    let text = refused(&format!("{job}{HUMP}"));
    says(&text, &["would eat the template", "put a bearing on it"]);
    says_not(&text, &["cannot get in"]);
}

/// Each relieved corner has a mark with its number on the picture, a line about it in the notes
/// beside it, and a note by the same number on the sheet.
#[test]
fn a_relieved_corner_is_marked_on_the_picture_and_told_by_its_number() {
    let (folder, _) = plan(&[&here("samples/oak-bracket.toml")]);
    let read = |name: &str| std::fs::read_to_string(folder.0.join(name)).expect("a file");
    let picture = read("oak-bracket-picture-1.svg");
    for words in ["RELIEF 1", "RELIEF 2", "RELIEF 1, 2", "both lines: no chisel"] {
        assert!(picture.contains(words), "{words}");
    }
    let sheet = read("oak-bracket-bench.md");
    for number in [1, 2] {
        assert!(
            sheet.contains(&format!("elief {number}: at the inside corner")),
            "{sheet}"
        );
    }
    let text = std::fs::read_to_string(here("samples/oak-bracket.toml")).expect("a job");
    let plain = folder.0.join("plain.toml");
    std::fs::write(&plain, text.replace("relieve = ", "# relieve = ")).expect("written");
    let (other, _) = plan(&[&plain.to_string_lossy()]);
    let picture = other.0.join("oak-bracket-picture-1.svg");
    let picture = std::fs::read_to_string(picture).expect("a picture");
    assert!(!picture.contains("RELIEF"), "no corner is relieved");
}

/// A part of solid wood proves however its grain lies. About 52 degrees the hollow is, at its very
/// end, as steep as a climb may be: no tab may stand there.
#[test]
fn a_part_of_solid_wood_proves_however_its_grain_lies() {
    let text = std::fs::read_to_string(here("samples/oak-bracket.toml")).expect("a job");
    let folder = Folder::new();
    std::fs::create_dir_all(&folder.0).expect("a folder");
    for grain in ["0", "52", "52.5", "53", "53.5", "90", "128"] {
        let turned = folder.0.join(format!("{grain}.toml"));
        let job = text.replace("grain = 45 ", &format!("grain = {grain} "));
        assert!(job != text, "the sample says its grain so");
        std::fs::write(&turned, job).expect("written");
        let (made, _) = plan(&[&turned.to_string_lossy()]);
        assert!(made.0.join("oak-bracket-part.nc").exists(), "{grain} degrees");
    }
}
