//! `spelch prove` on programs of our own and of others, right and wrong.

#![expect(clippy::disallowed_methods, reason = "reads and writes programs")]

use crate::command::{here, plan, spelch};
use serde_json::Value;

/// A job with a machine, as words for the command.
fn words(job: &str) -> [&str; 3] {
    [job, "--end-mill", "3mm"]
}

/// The answer's code and data for a program's text.
fn proved(text: &str, job: &str) -> (u8, Value) {
    let (folder, _) = plan(&words(job));
    let file = folder.0.join("other.nc").to_string_lossy().into_owned();
    std::fs::write(&file, text).expect("it can be written");
    let [job, mill, size] = words(job);
    let said = spelch(&["prove", &file, "--job", job, mill, size, "--format", "json"]);
    let data = serde_json::from_str(&said.data);
    (said.code, data.unwrap_or_else(|error| panic!("{error}: {}", said.talk)))
}

/// The program that the job's plan holds.
fn program_of(job: &str) -> String {
    let (folder, data) = plan(&words(job));
    let file = data["program"]["file"].as_str().expect("it has a program").to_owned();
    std::fs::read_to_string(folder.0.join(file)).expect("it is there")
}

#[test]
fn a_program_of_ours_is_right_for_its_own_job_and_no_other() {
    let apron = here("samples/arched-apron.toml");
    let text = program_of(&apron);
    let (code, data) = proved(&text, &apron);
    assert_eq!((code, &data["right"]), (0, &Value::Bool(true)), "its own job: {data}");
    assert!(data["figures"]["gouge"].as_f64().is_some_and(|mm| mm < 0.01), "{data}");
    let (code, data) = proved(&text, &here("samples/trestle-foot.toml"));
    assert_eq!(code, 1, "another job: {data}");
    assert!(data["cut"].as_array().is_some_and(|faults| !faults.is_empty()), "{data}");
}

#[test]
fn what_is_wrong_is_told_in_the_units_of_the_job() {
    let text = program_of(&here("samples/arched-apron.toml"));
    let folder = crate::command::Folder::new();
    std::fs::create_dir(&folder.0).expect("a folder");
    let file = folder.0.join("other.nc").to_string_lossy().into_owned();
    let first = text.find("G1 ").expect("it cuts");
    let (head, rest) = text.split_at(first);
    // Of another job; deeper and too fast; far beside the blank.
    let spoilt = format!("{head}G1 Z-30 F900\n{}", rest.replace('F', "F9"));
    let beside = format!("{head}G1 X-900 F600\n{rest}");
    for (text, job, what) in [
        (&text, "samples/trestle-foot.toml", "inside the template"),
        (&spoilt, "samples/arched-apron.toml", "below the blank's top"),
        (&beside, "samples/arched-apron.toml", "outside the blank"),
    ] {
        std::fs::write(&file, text).expect("it can be written");
        let job = here(job);
        let said = |units| {
            let [job, mill, size] = words(&job);
            let said =
                spelch(&["prove", &file, "--job", job, mill, size, "--units", units]);
            assert_eq!(said.code, 1, "{}", said.talk);
            assert!(said.talk.contains(what), "{what}: {}", said.talk);
            // A program's own lines are as it writes them.
            let ours = |line: &&str| !line.contains('|');
            let talk: Vec<_> = said.talk.lines().filter(ours).collect();
            talk.join("\n") + &said.data
        };
        let (mm, inch) = (said("mm"), said("in"));
        assert!(!mm.contains(" in,") && !mm.contains(" in\n"), "{mm}");
        assert!(inch.contains(" in,") && !inch.contains(" mm"), "{inch}");
    }
}

#[test]
fn a_word_changed_is_told_with_its_line() {
    let apron = here("samples/arched-apron.toml");
    let text = program_of(&apron);
    let at = text.lines().position(|line| line == "G90").expect("it says so");
    let (code, data) = proved(&text.replacen("G90", "G91", 1), &apron);
    assert_eq!(code, 1, "{data}");
    let told =
        data["legal"].as_array().into_iter().chain(data["bench"].as_array()).flatten();
    let lines: Vec<_> = told.filter_map(|fault| fault["line"].as_u64()).collect();
    assert!(lines.iter().any(|&line| at < usize::try_from(line).unwrap_or(0)), "{data}");
}

/// Published: NIST, The NIST RS274NGC Interpreter - Version 3, NISTIR 6556, 2000, appendix C.1: a
/// legal program that no careful person would start as it is.
#[test]
fn the_published_program_is_legal_and_not_fit_for_the_bench() {
    let text =
        std::fs::read_to_string(here("tests/data/nist-c1.ngc")).expect("it is there");
    let (code, data) = proved(&text, &here("samples/arched-apron.toml"));
    assert_eq!(code, 1, "{data}");
    assert_eq!(data["legal"], Value::Array(Vec::new()), "it is legal");
    let rules: Vec<_> = data["bench"].as_array().into_iter().flatten().collect();
    for rule in ["program-state", "program-first-move", "program-spindle"] {
        assert!(rules.iter().any(|fault| fault["rule"] == rule), "{rule} in {data}");
    }
}

#[test]
fn what_is_wrong_with_the_command_is_no_verdict() {
    assert_eq!(spelch(&["prove"]).code, 2, "no program");
    let missing = spelch(&["prove", "no-such-file.nc", "--end-mill", "6mm"]);
    assert_eq!(missing.code, 2, "{}", missing.talk);
    let machine = spelch(&["prove", &here("tests/data/nist-c1.ngc")]);
    assert_eq!(machine.code, 1, "no machine, nothing to judge by: {}", machine.talk);
    assert!(machine.talk.contains("end mill"), "{}", machine.talk);
}

#[test]
fn programs_of_several_tools_are_proved_together_and_drawn() {
    let job = here("samples/house-sign.toml");
    let text = std::fs::read_to_string(&job).expect("it is there");
    let folder = crate::command::Folder::new();
    std::fs::create_dir(&folder.0).expect("a folder");
    let own = folder.0.join("marked.toml").to_string_lossy().into_owned();
    std::fs::write(&own, text + "scribe-point = \"0.5mm\"\n").expect("it can be written");
    let (planned, data) = plan(&[&own]);
    let files: Vec<String> = data["program"]["files"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|program| program["file"].as_str())
        .map(|name| planned.0.join(name).to_string_lossy().into_owned())
        .collect();
    assert_eq!(files.len(), 2, "the point and the end mill: {data}");
    let sheets = planned.0.join("house-sign-bench.html");
    let sheets = std::fs::read_to_string(sheets).expect("the sheets");
    assert!(sheets.contains("Fine lines: marks"), "the blank shows what is scribed");
    let picture = folder.0.join("left.svg").to_string_lossy().into_owned();
    let said =
        spelch(&["prove", &files[0], &files[1], "--job", &own, "--picture", &picture]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let drawn = std::fs::read_to_string(&picture).expect("it was drawn");
    assert!(drawn.contains("LEFT STANDING"), "{drawn}");
    assert_eq!(
        spelch(&["prove", &files[1], "--job", &own]).code,
        1,
        "one alone is not all"
    );
}

#[test]
fn a_test_piece_is_cut_measured_and_its_width_of_cut_used() {
    let job = here("samples/house-sign.toml");
    let folder = crate::command::Folder::new();
    std::fs::create_dir(&folder.0).expect("a folder");
    let file = |name: &str| folder.0.join(name).to_string_lossy().into_owned();
    let said = spelch(&["testpiece", &job, "--out", &file("cut")]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let sheet =
        std::fs::read_to_string(file("cut/house-sign-testpiece.md")).expect("a sheet");
    for key in ["square-x", "ring-y", "slot", "long", "rising"] {
        assert!(sheet.contains(key), "{key} in {sheet}");
    }
    // Basis: geometry: the job's mill is 3.175 mm; a cut of 3.275 leaves outsides 0.1 narrower.
    let readings = "units = \"mm\"\nsquare-x = 99.9\nsquare-y = 99.9\nring-x = 40.1\n\
                    ring-y = 40.1\nslot = 20.1\n";
    std::fs::write(file("read.toml"), readings).expect("it can be written");
    let read = file("read.toml");
    let said = spelch(&["testpiece", &job, "--readings", &read, "--out", &file("told")]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let told =
        std::fs::read_to_string(file("told/house-sign-measured.md")).expect("a sheet");
    assert!(told.contains("kerf = \"3.275mm\""), "{told}");
    let text = std::fs::read_to_string(&job).expect("it is there");
    std::fs::write(file("own.toml"), text + "kerf = \"3.275mm\"\n").expect("written");
    let (_, data) = plan(&[&file("own.toml")]);
    assert_eq!(
        data["program"]["end_mill"].as_f64(),
        Some(3.275),
        "the program counts with it"
    );
}

/// What is cut beside a tab is a lap's own depth below the lap before it, however far from the
/// tab's end the way is looked at: this depends on the plate's length.
#[test]
fn beside_a_tab_a_narrow_mill_cuts_no_deeper() {
    let folder = crate::command::Folder::new();
    std::fs::create_dir(&folder.0).expect("a folder");
    let file = folder.0.join("plate.svg").to_string_lossy().into_owned();
    for long in [92, 96, 98, 116] {
        let drawn = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='200mm' height='170mm' viewBox='0 0 200 170'><rect x='50' y='50' width='{long}' height='70'/></svg>"
        );
        std::fs::write(&file, drawn).expect("it can be written");
        let bit = ["--bit", "1/2in pattern", "--thick", "19mm", "--end-mill", "1.5mm"];
        let (_, data) = plan(&[&[file.as_str()][..], &bit].concat());
        assert!(data["program"]["file"].is_string(), "{long} mm long: proved");
    }
}
