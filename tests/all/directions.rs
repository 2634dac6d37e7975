//! Every direction of every sample, derived again in `tests/directions.md`, against the plan.

use crate::command::{here, list, number, plan, text};
use crate::samples::SAMPLES;
use serde_json::Value;

/// One row of the table.
struct Row {
    sample: String,
    part: String,
    stretch: String,
    set_up: String,
    s: f64,
    phi: (f64, f64),
    band: String,
    seen: String,
}

fn rows() -> Vec<Row> {
    let table = include_str!("../directions.md");
    let cells = |line: &str| -> Vec<String> {
        line.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect()
    };
    let rows = table.lines().filter(|line| line.starts_with('|')).skip(2).map(cells);
    rows.map(|row| {
        let (from, to) = row[7].split_once(" to ").expect("phi at both ends");
        let angle = |text: &str| text.parse().expect("an angle");
        Row {
            sample: row[0].clone(),
            part: row[1].clone(),
            stretch: row[2].clone(),
            set_up: row[5].clone(),
            s: angle(&row[6]),
            phi: (angle(from), angle(to)),
            band: row[8].clone(),
            seen: row[9].clone(),
        }
    })
    .collect()
}

/// The same angle, where both signs of 90 are square to the grain.
fn same(one: f64, other: f64) -> bool {
    let apart = (one - other).abs();
    apart < 0.1 || (179.9 < apart && apart < 180.1)
}

fn check(row: &Row, stretch: &Value, data: &Value) {
    let at = format!("{} {}", row.sample, row.stretch);
    assert_eq!(text(&stretch["part"]), row.part, "{at}: the part");
    let phi = |end: usize| row.s * number(&stretch["phi"][end]);
    assert!(same(phi(0), row.phi.0), "{at}: phi {} at its start", phi(0));
    assert!(same(phi(1), row.phi.1), "{at}: phi {} at its end", phi(1));
    let band = match (text(&stretch["band"]), row.s < 0.0) {
        ("uphill", true) => "downhill",
        ("downhill", true) => "uphill",
        (band, _) => band,
    };
    assert_eq!(band, row.band, "{at}: the band of the tooth");
    if row.set_up == "hand" {
        assert_eq!(stretch["done_by"], "hand", "{at}: left to the hand");
        return;
    }
    let number_of = &stretch["done_by"]["set_up"];
    assert_eq!(number_of.to_string(), row.set_up, "{at}: the set-up");
    let set_up = list(&data["set_ups"])
        .iter()
        .find(|set_up| set_up["number"] == *number_of)
        .unwrap_or_else(|| panic!("{at}: its set-up"));
    assert!((number(&set_up["s"]) - row.s).abs() < 0.5, "{at}: s");
    let part = list(&data["parts"]).iter().find(|part| part["name"] == row.part.as_str());
    let on = usize::try_from(stretch["loop"].as_u64().expect("an index")).expect("small");
    let kind = text(&part.expect("the part")["loops"][on]["kind"]);
    let round = if kind == "opening" { "opening" } else { "outside" };
    let climbs = list(&data["passes"]).iter().any(|pass| {
        pass["number"] == stretch["done_by"]["pass"] && pass["feed"] == "climb"
    });
    let seen = match (text(&set_up["seen"][round]), climbs) {
        ("ccw", true) => "cw",
        ("cw", true) => "ccw",
        (seen, _) => seen,
    };
    assert_eq!(seen, row.seen, "{at}: as the person sees it");
}

#[test]
fn every_direction_of_every_sample_is_as_derived_again() {
    let rows = rows();
    for (sample, options) in SAMPLES {
        let stem = sample.split('.').next().expect("a name");
        let input = here(&format!("samples/{sample}"));
        let words: Vec<&str> =
            std::iter::once(input.as_str()).chain(options.iter().copied()).collect();
        let (_folder, data) = plan(&words);
        let stretches = list(&data["stretches"]);
        let derived: Vec<&Row> = rows.iter().filter(|row| row.sample == stem).collect();
        assert_eq!(derived.len(), stretches.len(), "{sample}: every stretch is derived");
        for stretch in stretches {
            let row = derived.iter().find(|row| row.stretch == text(&stretch["name"]));
            check(row.unwrap_or_else(|| panic!("{sample}: {stretch}")), stretch, &data);
        }
    }
}
