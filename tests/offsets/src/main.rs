//! Offsets random outlines of every sort and judges each by brute force and by laws: how many,
//! how many fit exactly, how many each method refused. What is accepted and wrong is told with
//! its seed.

use kernel::judge::{Tally, judge};
use kernel::shapes::Dice;
use kernel::sorts::{SORTS, Sort};
use std::process::ExitCode;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

/// The tool's kernel, from its source: it needs no other room, and is built in seconds.
#[allow(dead_code, unused_imports, unreachable_pub, reason = "what only other rooms use")]
#[path = "../../../src/geom/mod.rs"]
mod geom;

/// The shapes, sorts and judge of the kernel's own tests.
#[path = "../../../src/geom"]
mod kernel {
    pub(crate) use crate::geom::*;

    #[allow(dead_code, reason = "what only the kernel's tests use")]
    pub(crate) mod shapes;

    pub(crate) mod sorts;

    #[allow(dead_code, reason = "what only the kernel's tests use")]
    pub(crate) mod judge;
}

/// Offsets tried where no number is given.
const COUNT: u64 = 100_000;
/// One in so many outlines is given to the second method as well, where no number is given.
const TWICE: u64 = 8;
/// Of so many offsets the first method may refuse one: at the radius and down the ladder.
const FIRST: u64 = 10_000;
/// Of so many offsets the second method may refuse one.
const SECOND: u64 = 1_000;

fn main() -> ExitCode {
    let mut numbers =
        std::env::args().skip(1).map(|word| word.parse::<u64>().expect("a number"));
    let (count, seed) = (numbers.next().unwrap_or(COUNT), numbers.next().unwrap_or(0));
    let twice = numbers.next().unwrap_or(TWICE).max(1);
    let each = count.div_ceil(SORTS.len() as u64);
    let start = Instant::now();
    println!(
        "| sort | offsets | fit exactly | refused by the first | by the second, of |"
    );
    println!("|---|---|---|---|---|");
    let (mut all, mut wrong) = (Tally::default(), 0);
    for sort in &SORTS {
        let (tally, faults) = tried(sort, each, (seed, twice));
        row(sort.name, &tally);
        for fault in faults.iter().take(5) {
            println!("WRONG: {fault}");
        }
        (all, wrong) = (all.and(tally), wrong + faults.len());
    }
    row("all", &all);
    println!(
        "{wrong} wrong, {} refused, {:.0} s",
        all.refused,
        start.elapsed().as_secs_f64()
    );
    let rare = all.refused_by_first * FIRST <= all.offsets
        && all.refused_by_second * SECOND <= all.second;
    if wrong == 0 && rare && count <= all.offsets {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn row(name: &str, tally: &Tally) {
    println!(
        "| {name} | {} | {} | {} | {}, {} |",
        tally.offsets,
        tally.shrunk,
        tally.refused_by_first,
        tally.refused_by_second,
        tally.second
    );
}

/// At least so many offsets of one sort from a seed on, one in `twice` by the second method too,
/// on all cores; with what is wrong.
fn tried(sort: &Sort, count: u64, (seed, twice): (u64, u64)) -> (Tally, Vec<String>) {
    let done = AtomicU64::new(0);
    let next = AtomicU64::new(seed);
    let work = || {
        let (mut tally, mut faults) = (Tally::default(), Vec::new());
        while done.load(Ordering::Relaxed) < count {
            let seed = next.fetch_add(1, Ordering::Relaxed);
            let mut dice = Dice::new(seed);
            let Some((loops, radius)) = (sort.make)(&mut dice) else { continue };
            match judge(&loops, radius, seed % twice == 0, &mut dice) {
                Ok(one) => {
                    if 0 < one.refused_by_first {
                        println!("refused by the first: {}, seed {seed}", sort.name);
                    }
                    tally = tally.and(one);
                }
                Err(fault) => faults.push(format!("{}, seed {seed}: {fault}", sort.name)),
            }
            done.fetch_add(2, Ordering::Relaxed);
        }
        (tally, faults)
    };
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        workers.into_iter().map(|worker| worker.join().expect("a worker")).fold(
            (Tally::default(), Vec::new()),
            |(tally, mut faults), (own, more)| {
                faults.extend(more);
                (tally.and(own), faults)
            },
        )
    })
}
