//! The page on jobs and the reader know the same keys, and everything on it is read.

use super::{job, rack, readings};
use crate::diag::{Failure, Problem};
use std::collections::{BTreeMap, BTreeSet};
use toml::{Table, Value};

const PAGE: &str = include_str!("../../../samples/JOB.md");

/// Keys by the table they stand in; the job itself has no name.
type Keys = BTreeMap<String, BTreeSet<String>>;

/// The `toml` blocks of the page.
fn blocks() -> Vec<&'static str> {
    let blocks = PAGE.split("```toml\n").skip(1);
    blocks.filter_map(|rest| rest.split("```").next()).collect()
}

/// A table of keys: of the job (no name), of one of its tables, or of a rack.
struct Listed {
    of: String,
    /// Each key with its example.
    rows: Vec<(String, String)>,
}

/// Every table of keys: its head says whose they are, and its last column is an example.
fn tables() -> Vec<Listed> {
    let heads = PAGE.match_indices("\n| key").map(|(at, _)| &PAGE[at + 1..]);
    heads.map(listed_in).collect()
}

fn listed_in(below: &str) -> Listed {
    let head = below.lines().next().unwrap_or("");
    let of = if head.starts_with("| key of the rack") {
        "rack"
    } else {
        head.split("`[").nth(1).and_then(|rest| rest.split(']').next()).unwrap_or("")
    };
    let rows = below.lines().skip(2).take_while(|line| line.starts_with('|'));
    let rows = rows.map(|row| {
        let key = row.split('`').nth(1).expect("a key");
        let cells = row.trim_end_matches(['|', ' ']);
        let example = cells.rsplit("| ").next().expect("a cell");
        (key.to_owned(), example.to_owned())
    });
    Listed { of: of.to_owned(), rows: rows.collect() }
}

/// Every key of a table and of the tables in it; entries of a list share a name.
fn gather(name: &str, table: &Table, keys: &mut Keys) {
    // What is named in `[sizes]` is the person's own.
    if name == "sizes" {
        return;
    }
    for (key, value) in table {
        keys.entry(name.to_owned()).or_default().insert(key.clone());
        let inner = if name.is_empty() { key.clone() } else { format!("{name}.{key}") };
        for table in tables_of(value) {
            gather(&inner, table, keys);
        }
    }
}

fn tables_of(value: &Value) -> Vec<&Table> {
    match value {
        Value::Table(table) => vec![table],
        Value::Array(all) => all.iter().filter_map(Value::as_table).collect(),
        _ => Vec::new(),
    }
}

/// What the page says.
fn documented() -> Keys {
    let mut keys = Keys::new();
    for block in blocks() {
        gather("", &block.parse().expect("the block is TOML"), &mut keys);
    }
    for Listed { of, rows } in tables().into_iter().filter(|table| table.of != "rack") {
        keys.entry(of).or_default().extend(rows.into_iter().map(|(key, _)| key));
    }
    keys
}

const STRANGER: &str = "no-such-key";

/// Puts a key that nobody knows into every table.
fn with_strangers(name: &str, table: &mut Table) {
    for (key, value) in table.iter_mut() {
        let inner: Vec<&mut Table> = match value {
            Value::Table(table) => vec![table],
            Value::Array(all) => all.iter_mut().filter_map(Value::as_table_mut).collect(),
            _ => Vec::new(),
        };
        for table in inner {
            with_strangers(&format!("{name}.{key}"), table);
        }
    }
    if name != ".sizes" {
        table.insert(STRANGER.to_owned(), Value::Boolean(true));
    }
}

/// The keys that the reader names when it refuses one that it does not know.
fn listed(problems: &[Problem]) -> Keys {
    let unknown = problems.iter().filter(|problem| problem.id == "job-unknown-key");
    let one = |problem: &Problem| {
        let place = problem.place.as_ref().and_then(|place| place.element.clone());
        let name = place.expect("a key's name");
        let table = name.strip_suffix(STRANGER).unwrap_or(&name).trim_end_matches('.');
        (table.to_owned(), keys_of(problem))
    };
    unknown.map(one).collect()
}

/// The keys that a problem says are known.
fn keys_of(problem: &Problem) -> BTreeSet<String> {
    let list = problem.expected.strip_prefix("one of: ").expect("the keys are listed");
    list.split(", ").map(str::to_owned).collect()
}

/// What the reader knows, of every table that the page shows.
fn known() -> Keys {
    let mut keys = Keys::new();
    for block in blocks() {
        let mut table: Table = block.parse().expect("the block is TOML");
        with_strangers("", &mut table);
        let text = format!("units = \"mm\"\n{table}");
        let Err(Failure::Input(problems)) = job("page.toml", &text) else {
            panic!("a key that nobody knows is refused:\n{text}")
        };
        keys.extend(listed(&problems));
    }
    keys
}

#[test]
fn the_page_and_the_reader_know_the_same_keys() {
    let (mut documented, known) = (documented(), known());
    let islands = documented.remove("outline.islands").expect("islands are shown");
    let openings = documented.entry("outline.openings".to_owned()).or_default();
    openings.extend(islands);
    // The page says of these that they have all keys of the others.
    for (like, table) in [("outline", "mate"), ("edges", "mate.edges")] {
        let all = documented[like].clone();
        documented.entry(table.to_owned()).or_default().extend(all);
    }
    assert_eq!(documented, known, "keys on the page, and keys that are read");
}

#[test]
fn the_readings_on_the_page_are_all_that_are_read() {
    let (_, rest) = PAGE.split_once("```toml readings\n").expect("readings are shown");
    let (block, _) = rest.split_once("```").expect("the block ends");
    readings("readings.toml", block, None).expect("they are read");
    let failure = readings("readings.toml", &format!("{block}{STRANGER} = 1\n"), None)
        .expect_err("a key that nobody knows");
    let table: Table = block.parse().expect("the block is TOML");
    let shown: BTreeSet<String> = table.into_iter().map(|(key, _)| key).collect();
    assert_eq!(shown, keys_of(&failure.problems()[0]), "on the page, and read");
}

#[test]
fn the_axes_on_the_page_are_all_that_a_rack_keeps_of_them() {
    let (_, rest) = PAGE.split_once("```toml rack\n").expect("axes are shown");
    let (block, _) = rest.split_once("```").expect("the block ends");
    let read = rack("bits.toml", block).expect("they are read").value;
    assert_eq!(read.axes.len(), 1, "of one machine: {read:?}");
    let failure = rack("bits.toml", &format!("{block}{STRANGER} = 1\n"))
        .expect_err("a key that nobody knows");
    let table: Table = block.parse().expect("the block is TOML");
    let axes = table["bench-router"].as_table().expect("a table");
    let shown: BTreeSet<String> = axes.keys().cloned().collect();
    assert_eq!(shown, keys_of(&failure.problems()[0]), "on the page, and read");
}

#[test]
fn every_block_and_every_example_of_the_page_is_read() {
    for block in blocks() {
        let text = format!("units = \"mm\"\n{block}");
        job("page.toml", &text).unwrap_or_else(|failure| panic!("{text}: {failure:?}"));
    }
    for Listed { of, rows } in tables() {
        for (key, cell) in rows {
            for example in cell.trim_matches('`').split("`, `") {
                assert!(example.starts_with(&key), "{example} is of `{key}`");
                assert!(is_read(&of, example), "{example} is read");
            }
        }
    }
}

/// Whether an example is read in a job that has what it needs, or in a rack.
fn is_read(of: &str, example: &str) -> bool {
    let width = if example.starts_with("width") { "" } else { "width = \"4in\"\n" };
    let text = match of {
        "rack" if example.starts_with("units") => {
            return rack("bits.toml", example).is_ok();
        }
        "rack" => return is_of_a_rack(&format!("[a]\n{example}\n"), example),
        "" => format!("{width}{example}\n"),
        _ => format!("[{of}]\ndrawing = \"a.svg\"\n{example}\n"),
    };
    job("page.toml", &text).is_ok()
}

/// Whether a rack with this key has nothing against it; a cutter and a guide are added.
fn is_of_a_rack(text: &str, example: &str) -> bool {
    let cutter = if example.starts_with("cutter ") { "" } else { "cutter = \"6mm\"\n" };
    let guided = example.starts_with("bearing-at") || example.starts_with("bush");
    let guide = if guided { "" } else { "bearing-at = \"tip\"\n" };
    rack("bits.toml", &format!("{text}{cutter}{guide}")).is_ok()
}

#[test]
fn the_page_and_the_rack_know_the_same_keys() {
    let told = rack(
        "bits.toml",
        "[a]\ncutter = \"6mm\"\nbearing-at = \"tip\"\nno-such-key = 1\n",
    );
    let failure = told.expect_err("a key that nobody knows");
    let keys = keys_of(&failure.problems()[0]);
    let table = tables().into_iter().find(|table| table.of == "rack").expect("a table");
    let mut page: BTreeSet<String> = table.rows.into_iter().map(|(key, _)| key).collect();
    assert!(page.remove("units"), "above the first table");
    assert_eq!(page, keys, "keys on the page, and keys that are read");
}
