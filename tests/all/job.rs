//! The job file and its commands, as a person uses them.

#![expect(
    clippy::disallowed_methods,
    reason = "writes jobs and reads what the command wrote"
)]

use crate::command::{Folder, here, list, number, plan, spelch, text};
use serde_json::Value;

/// A folder with one file in it; the file's path.
fn with_file(name: &str, source: &str) -> (Folder, String) {
    let folder = Folder::new();
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let path = folder.0.join(name);
    std::fs::write(&path, source).expect("a file");
    (folder, path.to_string_lossy().into_owned())
}

/// Two plates side by side, a hole in the one that is drawn first.
const TWO_PLATES: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="500mm"
    height="200mm" viewBox="0 0 500 200"><rect x="10" y="10" width="200" height="150"/>
    <circle cx="100" cy="80" r="30" fill="none" stroke="black"/>
    <rect x="260" y="10" width="200" height="150"/></svg>"#;

#[test]
fn a_part_with_openings_is_planned_beside_one_without() {
    let (_folder, drawing) = with_file("plates.svg", TWO_PLATES);
    let (_plan, data) = plan(&[&drawing, "--bit", "12.7mm pattern", "--thick", "18mm"]);
    let steps = list(&data["prepare"]).iter();
    let sawn: Vec<(&str, &str)> = steps
        .map(|step| (text(&step["task"]), text(&step["part"])))
        .filter(|(task, _)| task.starts_with("saw"))
        .collect();
    let wanted = [
        ("saw opening", "plates 1"),
        ("saw outside", "plates 1"),
        ("saw outside", "plates 2"),
    ];
    assert_eq!(sawn, wanted, "each by its own loops");
}

#[test]
fn a_new_job_plans_as_it_stands_and_is_never_overwritten() {
    let folder = Folder::new();
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let name = folder.0.join("table-apron").to_string_lossy().into_owned();
    let said = spelch(&["new", &name]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let file = format!("{name}.toml");
    let source = std::fs::read_to_string(&file).expect("the job");
    assert!(10 < source.matches('#').count(), "it is commented");
    let (_plan, data) = plan(&[&file]);
    assert_eq!(text(&data["name"]), "table-apron", "it has its name");
    assert!(!list(&data["passes"]).is_empty(), "something is routed");
    let again = spelch(&["new", &file]);
    assert_eq!(again.code, 2, "it is there: {}", again.talk);
    assert!(again.talk.contains("file-exists"), "{}", again.talk);
    assert_eq!(std::fs::read_to_string(&file).expect("the job"), source, "as it was");
    let odd = spelch(&["new", "two\"words"]);
    assert!(odd.code == 2 && odd.talk.contains("job-name"), "{}", odd.talk);
}

#[test]
fn the_rack_is_listed_and_its_bits_are_called_by_name() {
    let rack = here("samples/rack.toml");
    let said = spelch(&["bits", "--bits", &rack]);
    assert_eq!(said.code, 0, "{}", said.talk);
    for words in ["half-pattern", "12.7 mm (1/2 in)", "bearings that fit", "22000"] {
        assert!(said.data.contains(words), "{words} in:\n{}", said.data);
    }
    let said = spelch(&["bits", "--bits", &rack, "--format", "json"]);
    let data: Value = serde_json::from_str(&said.data).expect("JSON");
    assert_eq!(text(&data["bits"][2]["guided"]), "bush");
    let none = spelch(&["bits", "--bits", "no-such-rack.toml"]);
    assert_eq!(none.code, 2, "{}", none.talk);
    let notch = here("tests/cases/notch.svg");
    let none =
        spelch(&["plan", &notch, "--bits", "no-such-rack.toml", "--bit", "6mm pattern"]);
    assert_eq!(none.code, 2, "though no bit is named on it: {}", none.talk);
    let words = [
        &here("tests/cases/notch.svg"),
        "--bits",
        &rack,
        "--bit",
        "half-pattern, bearing 9/16in",
    ];
    let (_folder, data) = plan(&words);
    assert!(
        (number(&data["bits"][0]["bearing"]) - 14.2875).abs() < 1e-6,
        "the oversize one"
    );
}

/// Whatever is on the rack is part of what a plan was made from.
#[test]
fn the_short_id_changes_with_the_bits_of_the_rack() {
    let source = std::fs::read_to_string(here("samples/rack.toml")).expect("a rack");
    let id = |from: &str, to: &str| {
        let (_folder, rack) = with_file("bits.toml", &source.replace(from, to));
        let words =
            [&here("tests/cases/notch.svg"), "--bits", &rack, "--bit", "half-pattern"];
        text(&plan(&words).1["id"]).to_owned()
    };
    let as_it_is = id("", "");
    assert_eq!(as_it_is, id("", ""), "the same rack, the same plan");
    for (from, to) in [
        ("flutes = 2", "flutes = 3"),
        ("speed = 22000", "speed = 21000"),
        ("shank = \"1/2\"", "shank = \"8mm\""),
        ("bearing-height = \"3/16\"", "bearing-height = \"1/4\""),
        ("cut-length = \"1 1/4\"", "cut-length = \"1 3/8\""),
    ] {
        assert_ne!(as_it_is, id(from, to), "{to}");
    }
}

#[test]
fn look_tells_and_draws_without_a_plan() {
    let folder = Folder::new();
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let picture = folder.0.join("look.svg").to_string_lossy().into_owned();
    let input = here("samples/shelf-end.toml");
    let words = ["look", &input, "--picture", &picture];
    let said = spelch(&words);
    assert_eq!(said.code, 0, "{}", said.talk);
    for words in [
        "240 mm (9 29/64 in shy) wide",
        "400 mm",
        "true already, `sole`",
        "rout, `sweep`",
    ] {
        assert!(said.data.contains(words), "{words} in:\n{}", said.data);
    }
    assert_eq!(folder.files(), ["look.svg"], "a picture and nothing else");
    let drawn = std::fs::read_to_string(&picture).expect("the picture");
    assert!(drawn.contains("AS READ: FACE A UP"), "it says what it is");
    let again = spelch(&words);
    assert_eq!(again.code, 2, "nothing is overwritten: {}", again.talk);
    let json =
        spelch(&["look", &input, "--picture", &picture, "--force", "--format", "json"]);
    let data: Value = serde_json::from_str(&json.data).expect("JSON");
    let part = &data["parts"][0];
    assert_eq!(list(&part["loops"][0]["edges"]).len(), 7, "every edge: {part}");
    let svg = spelch(&[
        "look",
        &here("tests/cases/island.svg"),
        "--picture",
        &picture,
        "--force",
    ]);
    assert!(svg.data.contains("island:") && svg.code == 0, "{}{}", svg.data, svg.talk);
    let bad =
        spelch(&["look", &here("samples/bad/open-outline.svg"), "--picture", "no.svg"]);
    assert_eq!(bad.code, 2, "what cannot be read is refused: {}", bad.talk);
}

/// Basis: geometry; a mirror image has the same area, its routed edge run the other way.
#[test]
fn a_pair_is_planned_for_both_hands() {
    let (folder, data) = plan(&[&here("samples/pole-bracket.toml")]);
    let names: Vec<&str> =
        list(&data["parts"]).iter().map(|part| text(&part["name"])).collect();
    assert_eq!(names, ["pole-bracket left", "pole-bracket right"]);
    let set_up = |part: &str| -> Vec<i64> {
        let stretches =
            list(&data["stretches"]).iter().filter(|one| text(&one["part"]) == part);
        stretches.filter_map(|one| one["done_by"]["set_up"].as_i64()).collect()
    };
    let (left, right) = (set_up(names[0]), set_up(names[1]));
    assert!(
        !left.is_empty() && left.iter().all(|one| !right.contains(one)),
        "one falls to the left, the other to the right: {left:?}, {right:?}"
    );
    let files = folder.files();
    assert!(
        files.iter().all(|file| !file.contains("bench.md")),
        "only what was asked for"
    );
    let page = files.iter().find(|file| file.contains("bench.html")).expect("a page");
    let page = std::fs::read_to_string(folder.0.join(page)).expect("a page");
    assert!(page.contains("120 mm wide"), "the stock's width is on the sheet");
}

#[test]
fn stock_that_is_too_narrow_is_told() {
    let input = here("samples/shelf-end.toml");
    let notes = |width: &str| -> bool {
        let (_folder, data) = plan(&[&input, "--set", "high=400mm", "--set", width]);
        list(&data["notes"])
            .iter()
            .any(|note| text(&note["text"]).contains("across the grain"))
    };
    assert!(!notes("width=240mm"), "as wide as the part");
    let source = std::fs::read_to_string(&input)
        .expect("a job")
        .replace("left head", "left head + 5mm");
    let source =
        source.replace("\"close as back\"", "\"to -5, 0 as back\", \"close as sole\"");
    let (_folder, job) = with_file("wide.toml", &source);
    let (_plan, data) = plan(&[&job]);
    let told = list(&data["notes"])
        .iter()
        .any(|note| text(&note["text"]).contains("245 mm wide"));
    assert!(told, "{}", data["notes"]);
}
