//! One piece of work given to several workers: timed in turns, each by itself for its memory, and
//! their answers held against each other.

use rustix::time::{ClockId, clock_gettime};
use std::process::{Command, ExitCode};
use std::time::Instant;

/// Rounds of timing; every worker has its turn in each.
const ROUNDS: usize = 9;
/// Work that takes less, in seconds, is done several times in one turn.
const SHORTEST: f64 = 0.005;
/// A worker that takes longer for it, in seconds, does it once and no more.
const LONGEST: f64 = 5.0;
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

/// Who does a piece of work; the first worker is ours.
pub(crate) type Workers = Vec<(String, Work)>;

/// A piece of work and who does it.
pub(crate) struct Case {
    /// What is to be done.
    pub(crate) name: &'static str,
    /// Makes it ready and says who does it: not before it is wanted, so that no process holds
    /// the work of another case.
    pub(crate) workers: Box<dyn Fn() -> Workers>,
    /// The worker that does a part of ours which nobody else does: what ours takes without it
    /// has a column of its own.
    pub(crate) part: Option<&'static str>,
}

/// How long something took, in seconds: by the clock, and of the processor in all threads, which
/// other work on the machine hardly changes.
#[derive(Clone, Copy)]
struct Took {
    clock: f64,
    processor: f64,
}

impl Case {
    /// Has it done and prints a table; whether all answers agree with ours.
    pub(crate) fn run(&self, subject: &str) -> bool {
        let workers = (self.workers)();
        let tried: Vec<(Answer, Took)> = workers.iter().map(|(_, work)| tried(work)).collect();
        let is_slow = |index: usize| LONGEST < tried[index].1.processor;
        let first = |index: usize| is_slow(index).then_some(tried[index].1);
        let mut times: Vec<Vec<Took>> =
            (0..workers.len()).map(|index| first(index).into_iter().collect()).collect();
        for _ in 0..ROUNDS {
            for (index, (_, work)) in workers.iter().enumerate().filter(|one| !is_slow(one.0)) {
                times[index].push(took(work, tried[index].1.in_a_turn()));
            }
        }
        println!("{}, {ROUNDS} rounds\n", self.name);
        let part = workers.iter().position(|(name, _)| Some(name.as_str()) == self.part);
        let without = part.map(|_| " without what only we do |").unwrap_or_default();
        println!("| who | seconds | of the processor | ours by theirs | of the processor |{without} peak memory | found | measure | |");
        println!("|---|---|---|---|---|---|---|---|---|{}", if part.is_some() { "---|" } else { "" });
        let mut agreed = true;
        for (index, (name, _)) in workers.iter().enumerate() {
            let answer = tried[index].0;
            let good = agree(tried[0].0, answer);
            agreed &= good;
            let measure = answer.measure.map_or("-".to_owned(), |m| format!("{m:.2}"));
            let row = [Took::clock, Took::processor].map(|by| {
                let ours = times[0].iter().map(by);
                let theirs: Vec<f64> = times[index].iter().map(by).collect();
                let shares: Vec<f64> = ours.zip(&theirs).map(|(own, other)| own / other).collect();
                (spread(&theirs, 5), spread(&shares, 3))
            });
            let [(clock, share), (processor, of_it)] = row;
            let less = part.map(|part| {
                let rest = times[0].iter().zip(&times[part]).map(|(own, part)| {
                    own.processor - part.processor
                });
                let theirs = times[index].iter().map(Took::processor);
                let shares: Vec<f64> = rest.zip(theirs).map(|(own, other)| own / other).collect();
                format!(" {} |", spread(&shares, 3))
            });
            let less = less.unwrap_or_default();
            println!(
                "| {name} | {clock} | {processor} | {share} | {of_it} |{less} {} | {} | {measure} | {} |",
                peak(subject, self.name, name),
                answer.count,
                if good { "agrees" } else { "DIFFERS" }
            );
        }
        println!();
        agreed
    }
}

impl Took {
    /// How often work that takes so long is done in a turn.
    fn in_a_turn(&self) -> u32 {
        (SHORTEST / self.processor.max(1e-9)).ceil().max(1.0) as u32
    }

    fn clock(&self) -> f64 {
        self.clock
    }

    fn processor(&self) -> f64 {
        self.processor
    }
}

/// Does the work for the first time: what it found, and how long it took; where that is not
/// long, a second time, for the first one makes it ready.
fn tried(work: &Work) -> (Answer, Took) {
    let (start, spent) = (Instant::now(), spent());
    let answer = work();
    assert!(0 < answer.count, "the work was done");
    let once = Took { clock: start.elapsed().as_secs_f64(), processor: self::spent() - spent };
    (answer, if LONGEST < once.processor { once } else { took(work, 1) })
}

/// How long the work takes once, done so many times.
fn took(work: &Work, times: u32) -> Took {
    let (start, spent) = (Instant::now(), spent());
    for _ in 0..times {
        assert!(0 < work().count, "the work was done");
    }
    let times = f64::from(times);
    Took {
        clock: start.elapsed().as_secs_f64() / times,
        processor: (self::spent() - spent) / times,
    }
}

/// The middle of the seconds of the processor that the work takes, round by round.
pub(crate) fn processor(work: &Work) -> f64 {
    let times = tried(work).1.in_a_turn();
    let mut seconds: Vec<f64> = (0..ROUNDS).map(|_| took(work, times).processor).collect();
    seconds.sort_by(f64::total_cmp);
    seconds[ROUNDS / 2]
}

/// Seconds of the processor that this process has had in all its threads.
pub(crate) fn spent() -> f64 {
    let time = clock_gettime(ClockId::ProcessCPUTime);
    time.tv_sec as f64 + time.tv_nsec as f64 * 1e-9
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

/// Lets one worker do one case, and prints the most memory that the process held meanwhile, and
/// how much of it before it began (Linux tells both).
pub(crate) fn child(cases: &[Case], (case, worker): (&str, &str)) -> ExitCode {
    let workers = cases.iter().filter(|one| one.name == case).flat_map(|one| (one.workers)());
    for (_, work) in workers.filter(|(name, _)| name == worker) {
        let before = memory("VmRSS:");
        // What making the work ready took is not counted: forget the peak so far.
        let forgot = std::fs::write("/proc/self/clear_refs", "5").is_ok();
        let answer = work();
        let told = before.zip(memory("VmHWM:")).filter(|_| forgot);
        let told = told.map(|(before, most)| format!("{most:.0} MB, {before:.0} before"));
        println!("{}", told.unwrap_or_else(|| "not told here".to_owned()));
        return if 0 < answer.count { ExitCode::SUCCESS } else { ExitCode::FAILURE };
    }
    eprintln!("there is no {worker} in {case}");
    ExitCode::FAILURE
}

/// What Linux tells of this process's memory under a name, in MB.
fn memory(name: &str) -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix(name))?;
    line.trim().strip_suffix("kB")?.trim().parse::<f64>().ok().map(|kb| kb / 1024.0)
}
