//! Figures of the trade that anyone can check by hand, through the whole tool.

#![expect(
    clippy::disallowed_methods,
    reason = "writes jobs and reads what the command wrote"
)]

use crate::command::{Folder, here, list, near, number, plan, spelch, text};

/// The template's offset for a bush.
fn offset(bit: &str) -> f64 {
    let (_folder, data) = plan(&[&here("tests/cases/notch.svg"), "--bit", bit]);
    number(&data["template"]["offset"])
}

/// Basis: common practice, no source (half the difference of bush and bit).
#[test]
fn a_template_for_a_bush_is_smaller_by_half_the_difference() {
    let three_quarters = offset("1/2in straight + 3/4in bush");
    assert!((three_quarters + 3.175).abs() < 1e-9, "1/8 in: {three_quarters}");
    let metric = offset("9mm straight + 15mm bush");
    assert!((metric + 3.0).abs() < 1e-9, "3 mm: {metric}");
}

/// Basis: geometry. A rise of 1 in 8 is 7.13 degrees, of 1 in 12 it is 4.76.
#[test]
fn a_slope_of_a_scarf_meets_the_grain_at_its_own_angle() {
    for (run, degrees, band) in [(400.0, 7.125, "downhill"), (600.0, 4.764, "along")] {
        let folder = Folder::new();
        std::fs::create_dir_all(&folder.0).expect("a folder");
        let job = folder.0.join("scarf.toml");
        let source = format!(
            "units = \"mm\"\nbits = [\"12.7mm pattern\"]\n[board]\nlength = 1000\nwidth = 50\n\
             [board.line]\nstart = [200, 0]\nsteps = [\"by {run}, 50 as slope\"]\n"
        );
        std::fs::write(&job, source).expect("a job");
        let (_out, data) = plan(&[&job.to_string_lossy()]);
        let stretch = &list(&data["stretches"])[0];
        near(&stretch["phi"][0], degrees, 0.01);
        assert_eq!(text(&stretch["band"]), band, "1 in {}", run / 50.0);
    }
}

/// Basis: geometry. The cut of a program in inches is that of the one in millimetres.
#[test]
fn every_post_gives_a_proved_program() {
    let input = here("tests/cases/notch.svg");
    for post in ["iso-mm", "iso-inch", "iso-mm-lines"] {
        let words =
            [&*input, "--bit", "12.7mm pattern", "--end-mill", "6mm", "--post", post];
        let (folder, data) = plan(&words);
        let program = &data["program"];
        assert!(number(&program["gouge"]) <= 0.01, "{post}: {program}");
        let file = folder.0.join(text(&program["file"]));
        let source = std::fs::read_to_string(file).expect("the program");
        let units = if post == "iso-inch" { "G20" } else { "G21" };
        assert!(source.contains(units), "{post} says {units}");
        assert_eq!(
            source.contains("G2 ") || source.contains("G3 "),
            post != "iso-mm-lines"
        );
        assert!(source.lines().all(|line| line.len() <= 70), "{post}: short lines");
        let first = source.lines().next().unwrap_or("");
        assert!(
            first.contains(text(&data["id"])),
            "{post}: the id stands first: {first}"
        );
    }
}

#[test]
fn a_blank_that_is_too_small_is_refused() {
    let folder = Folder::new();
    let (input, out) =
        (here("tests/cases/notch.svg"), folder.0.to_string_lossy().into_owned());
    let said = spelch(&[
        "plan",
        &input,
        "--bit",
        "12.7mm pattern",
        "--end-mill",
        "6mm",
        "--blank",
        "80x80mm",
        "--out",
        &out,
    ]);
    assert_ne!(said.code, 0, "80 mm do not hold 100 mm");
    assert!(said.talk.contains("80"), "it says both sizes:\n{}", said.talk);
    assert!(!folder.0.exists(), "nothing is written");
}
