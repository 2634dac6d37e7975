//! The page on jobs and the reader know the same keys, and everything on it is read.

use super::{job, rack};
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

/// The first cells of the table below a head that begins so: keys in backquotes.
fn column(head: &str) -> BTreeSet<String> {
    let below = PAGE.split(head).nth(1).expect("the table");
    let rows = below.lines().skip(2).take_while(|line| line.starts_with('|'));
    let key = |row: &str| row.split('`').nth(1).expect("a key").to_owned();
    rows.map(key).collect()
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
    keys.entry(String::new()).or_default().extend(column("| key | what it says |"));
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
        let keys = problem.expected.split(", ").map(str::to_owned).collect();
        (table.to_owned(), keys)
    };
    unknown.map(one).collect()
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
    assert_eq!(documented, known, "keys on the page, and keys that are read");
}

#[test]
fn every_block_and_every_example_of_the_page_is_read() {
    for block in blocks() {
        let text = format!("units = \"mm\"\n{block}");
        job("page.toml", &text).unwrap_or_else(|failure| panic!("{text}: {failure:?}"));
    }
    let rows =
        PAGE.lines().filter(|line| line.starts_with("| `") && line.contains(" = "));
    for row in rows {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        let Some(example) = cells.last().and_then(|cell| cell.strip_prefix('`')) else {
            continue;
        };
        for example in example.trim_end_matches('`').split("`, `") {
            let text = format!("width = \"4in\"\n{example}\n")
                .replace("width = \"4in\"\nwidth", "width");
            let whole = format!("[a]\n{example}\n");
            let read = job("page.toml", &text).is_ok() || is_of_a_rack(&whole, example);
            assert!(read, "{example} is read");
        }
    }
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
    let keys: BTreeSet<String> =
        failure.problems()[0].expected.split(", ").map(str::to_owned).collect();
    let mut page = column("| key of the rack |");
    assert!(page.remove("units"), "above the first table");
    assert_eq!(page, keys, "keys on the page, and keys that are read");
}
