//! One piece of work given to several workers: timed in turns, each by itself for its memory, and
//! their answers held against each other.

use std::process::{Command, ExitCode};
use std::time::Instant;

/// Rounds of timing; every worker has its turn in each.
const ROUNDS: usize = 9;
/// Answers may differ by this share.
const SHARE: f64 = 1e-3;

/// What a worker found, so that its time is not that of an answer to something else.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Answer {
    /// How many things it found.
    pub(crate) count: usize,
    /// Their length, in mm, or another measure; none where the worker does not get so far.
    pub(crate) measure: Option<f64>,
}

/// Does the work once.
pub(crate) type Work = Box<dyn Fn() -> Answer>;

/// A piece of work and who does it; the first worker is ours.
pub(crate) struct Case {
    /// What is to be done.
    pub(crate) name: &'static str,
    /// Who does it.
    pub(crate) workers: Vec<(&'static str, Work)>,
}

impl Case {
    /// Has it done and prints a table; whether all answers agree with ours.
    pub(crate) fn run(&self, subject: &str) -> bool {
        let answers: Vec<Answer> = self.workers.iter().map(|(_, work)| work()).collect();
        let mut times = vec![Vec::new(); self.workers.len()];
        for _ in 0..ROUNDS {
            for ((_, work), times) in self.workers.iter().zip(&mut times) {
                let start = Instant::now();
                let answer = work();
                times.push(start.elapsed().as_secs_f64());
                assert!(0 < answer.count, "the work was done");
            }
        }
        println!("{}, {ROUNDS} rounds\n", self.name);
        println!("| who | seconds | ours takes so many times as long | peak memory | found | measure | |");
        println!("|---|---|---|---|---|---|---|");
        let mut agreed = true;
        for (index, (name, _)) in self.workers.iter().enumerate() {
            let shares: Vec<f64> =
                times[0].iter().zip(&times[index]).map(|(own, other)| own / other).collect();
            let answer = answers[index];
            let good = agree(answers[0], answer);
            agreed &= good;
            let measure = answer.measure.map_or("-".to_owned(), |m| format!("{m:.2}"));
            println!(
                "| {name} | {} | {} | {} | {} | {measure} | {} |",
                spread(&times[index], 3),
                if index == 0 { "1".to_owned() } else { spread(&shares, 2) },
                peak(subject, self.name, name),
                answer.count,
                if good { "agrees" } else { "DIFFERS" }
            );
        }
        println!();
        agreed
    }
}

fn agree(ours: Answer, other: Answer) -> bool {
    let near = ours.measure.zip(other.measure).is_none_or(|(own, other)| {
        (own - other).abs() <= SHARE * own.abs()
    });
    ours.count == other.count && near
}

/// The middle one, with the least and the most.
fn spread(numbers: &[f64], digits: usize) -> String {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f64::total_cmp);
    let (least, middle, most) = (sorted[0], sorted[sorted.len() / 2], sorted[sorted.len() - 1]);
    format!("{middle:.digits$} ({least:.digits$} to {most:.digits$})")
}

/// The most memory a worker takes, in a process of its own.
fn peak(subject: &str, case: &str, worker: &str) -> String {
    let own = std::env::current_exe().expect("this program");
    let output = Command::new(own).args(["child", subject, case, worker]).output();
    let output = output.expect("this program, once more");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}

/// Lets one worker do one case, and prints the most memory that it held (Linux tells it).
pub(crate) fn child(cases: &[Case], (case, worker): (&str, &str)) -> ExitCode {
    let workers = cases.iter().filter(|one| one.name == case).flat_map(|one| &one.workers);
    for (_, work) in workers.filter(|(name, _)| *name == worker) {
        let answer = work();
        let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kb = line.and_then(|line| line.trim().strip_suffix("kB"));
        let mb = kb.and_then(|kb| kb.trim().parse::<f64>().ok()).map(|kb| kb / 1024.0);
        println!("{}", mb.map_or("not told here".to_owned(), |mb| format!("{mb:.0} MB")));
        return if 0 < answer.count { ExitCode::SUCCESS } else { ExitCode::FAILURE };
    }
    eprintln!("there is no {worker} in {case}");
    ExitCode::FAILURE
}
