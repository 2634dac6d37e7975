//! One piece of work given to several workers: each by itself first, for its answer and its memory,
//! then timed in turns, and their answers held against each other.

use rustix::process::{Resource, Rlimit, Signal, getrlimit, setrlimit};
use rustix::time::{ClockId, clock_gettime};
use std::os::unix::process::ExitStatusExt;
use std::process::{Command, ExitCode};
use std::time::Instant;

/// Rounds of timing; every worker has its turn in each.
const ROUNDS: usize = 9;
/// Work that takes less, in seconds, is done several times in one turn.
const SHORTEST: f64 = 0.005;
/// A worker that takes longer for it, in seconds, does it once and no more.
const LONGEST: f64 = 5.0;
/// A worker that has had so many seconds of the processor for it is broken off: that it takes
/// more is all that need be known.
const MOST: u64 = 60;
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

/// What a worker did once, in a process of its own.
struct Once {
    /// None where it was broken off: then it took more than is told.
    answer: Option<Answer>,
    took: Took,
    /// The most that the process held.
    memory: String,
}

impl Case {
    /// Has it done and prints a table; whether all answers agree with ours.
    pub(crate) fn run(&self, subject: &str) -> bool {
        let workers = (self.workers)();
        let alone = |(name, _): &(String, Work)| Once::by([subject, self.name, name]);
        let once: Vec<Once> = workers.iter().map(alone).collect();
        let times = rounds(&workers, &once);
        let part = workers.iter().position(|(name, _)| Some(name.as_str()) == self.part);
        println!("{}, {ROUNDS} rounds\n", self.name);
        let (without, line) =
            part.map_or(("", ""), |_| (" without what only we do |", "---|"));
        println!(
            "| who | seconds | of the processor | ours by theirs | of the processor |{without} \
             peak memory | found | measure | |"
        );
        println!("|---|---|---|---|---|---|---|---|---|{line}");
        let mut agreed = true;
        for (index, (name, _)) in workers.iter().enumerate() {
            let (said, good) = verdict(once[0].answer, once[index].answer);
            agreed &= good;
            let cells = once[index].cells(
                &times[0],
                &times[index],
                part.map(|part| &times[part]),
            );
            println!("| {name} |{cells} {said} |");
        }
        println!();
        agreed
    }
}

impl Took {
    fn clock(&self) -> f64 {
        self.clock
    }

    fn processor(&self) -> f64 {
        self.processor
    }
}

impl Once {
    /// What a worker of a case of a subject does in a process of its own.
    fn by(names: [&str; 3]) -> Self {
        let own = std::env::current_exe().expect("this program");
        let start = Instant::now();
        let output = Command::new(own).arg("child").args(names).output();
        let output = output.expect("this program, once more");
        if output.status.signal() == Some(Signal::XCPU.as_raw()) {
            let took =
                Took { clock: start.elapsed().as_secs_f64(), processor: MOST as f64 };
            return Self { answer: None, took, memory: "-".to_owned() };
        }
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        Self::read(&String::from_utf8_lossy(&output.stdout)).expect("what `child` prints")
    }

    /// Reads what `child` prints.
    fn read(text: &str) -> Option<Self> {
        let words: Vec<&str> = text.trim_end().split('\t').collect();
        let &[count, measure, clock, processor, memory] = &words[..] else { return None };
        let answer = Answer { count: count.parse().ok()?, measure: measure.parse().ok() };
        let took =
            Took { clock: clock.parse().ok()?, processor: processor.parse().ok()? };
        Some(Self { answer: Some(answer), took, memory: memory.to_owned() })
    }

    fn is_slow(&self) -> bool {
        LONGEST < self.took.processor
    }

    /// Its cells in the table, by our times, its own, and those of the part that only we do.
    fn cells(&self, ours: &[Took], own: &[Took], part: Option<&Vec<Took>>) -> String {
        let of = |times: &[Took], by: fn(&Took) -> f64| {
            times.iter().map(by).collect::<Vec<f64>>()
        };
        let (clock, processor) = (of(own, Took::clock), of(own, Took::processor));
        let rest = part.map(|part| {
            let both = ours.iter().zip(part);
            both.map(|(ours, part)| ours.processor - part.processor).collect::<Vec<f64>>()
        });
        let shares = [
            Some(shares(&of(ours, Took::clock), &clock)),
            Some(shares(&of(ours, Took::processor), &processor)),
            rest.map(|rest| shares(&rest, &processor)),
        ];
        let (more, less) = self.answer.map_or(("more than ", "less than "), |_| ("", ""));
        let times = [clock, processor].into_iter().map(|times| (more, times));
        let shares = shares.into_iter().flatten().map(|shares| (less, shares));
        let cells: String = times
            .chain(shares)
            .map(|(bound, numbers)| format!(" {bound}{} |", spread(&numbers)))
            .collect();
        let count = self.answer.map_or("-".to_owned(), |answer| answer.count.to_string());
        let measure = self.answer.and_then(|answer| answer.measure);
        let measure = measure.map_or("-".to_owned(), |measure| format!("{measure:.2}"));
        format!("{cells} {} | {count} | {measure} |", self.memory)
    }
}

/// Ours by theirs, round by round; by the only time of a worker that is slow.
fn shares(ours: &[f64], theirs: &[f64]) -> Vec<f64> {
    ours.iter().zip(theirs.iter().cycle()).map(|(own, other)| own / other).collect()
}

/// What each worker takes, round by round; who is slow is not asked again.
fn rounds(workers: &Workers, once: &[Once]) -> Vec<Vec<Took>> {
    let often = |((_, work), once): (&(String, Work), &Once)| {
        (!once.is_slow()).then(|| in_a_turn(work))
    };
    let often: Vec<Option<u32>> = workers.iter().zip(once).map(often).collect();
    let slow = |once: &Once| once.is_slow().then_some(once.took).into_iter().collect();
    let mut times: Vec<Vec<Took>> = once.iter().map(slow).collect();
    for _ in 0..ROUNDS {
        for (index, (_, work)) in workers.iter().enumerate() {
            times[index].extend(often[index].map(|often| took(work, often).1));
        }
    }
    times
}

/// How often the work is done in a turn. It is done twice for this, for the first time makes it
/// ready.
fn in_a_turn(work: &Work) -> u32 {
    took(work, 1);
    (SHORTEST / took(work, 1).1.processor.max(1e-9)).ceil().max(1.0) as u32
}

/// What the work finds, and how long it takes once, done so many times.
fn took(work: &Work, times: u32) -> (Answer, Took) {
    let (start, spent) = (Instant::now(), spent());
    let mut answer = work();
    for _ in 1..times {
        answer = work();
    }
    assert!(0 < answer.count, "the work was done");
    let times = f64::from(times);
    let clock = start.elapsed().as_secs_f64() / times;
    (answer, Took { clock, processor: (self::spent() - spent) / times })
}

/// The middle of the seconds of the processor that the work takes, round by round.
pub(crate) fn processor(work: &Work) -> f64 {
    let times = in_a_turn(work);
    let mut seconds: Vec<f64> =
        (0..ROUNDS).map(|_| took(work, times).1.processor).collect();
    seconds.sort_by(f64::total_cmp);
    seconds[ROUNDS / 2]
}

/// Seconds of the processor that this process has had in all its threads.
pub(crate) fn spent() -> f64 {
    let time = clock_gettime(ClockId::ProcessCPUTime);
    time.tv_sec as f64 + time.tv_nsec as f64 * 1e-9
}

/// What is said of an answer beside ours, and whether it stands.
fn verdict(ours: Option<Answer>, other: Option<Answer>) -> (&'static str, bool) {
    match (ours, other) {
        (None, _) => ("NOTHING TO COMPARE", false),
        (_, None) => ("broken off", true),
        (Some(ours), Some(other)) if agree(ours, other) => ("agrees", true),
        _ => ("DIFFERS", false),
    }
}

fn agree(ours: Answer, other: Answer) -> bool {
    let near = ours
        .measure
        .zip(other.measure)
        .is_none_or(|(own, other)| (own - other).abs() <= SHARE * own.abs());
    ours.count == other.count && near
}

/// The middle one, with the least and the most where there are several, in three digits.
fn spread(numbers: &[f64]) -> String {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f64::total_cmp);
    let (least, middle, most) =
        (sorted[0], sorted[sorted.len() / 2], sorted[sorted.len() - 1]);
    let digits = (2.0 - middle.abs().log10().floor()).clamp(0.0, 9.0) as usize;
    match sorted.len() {
        1 => format!("{middle:.digits$}"),
        _ => format!("{middle:.digits$} ({least:.digits$} to {most:.digits$})"),
    }
}

/// Lets one worker do one case once, and prints what it found, how long it took, the most memory
/// that the process held meanwhile, and how much of it before it began (Linux tells both).
pub(crate) fn child(cases: &[Case], (case, worker): (&str, &str)) -> ExitCode {
    limit();
    let mut workers =
        cases.iter().filter(|one| one.name == case).flat_map(|one| (one.workers)());
    let Some((_, work)) = workers.find(|(name, _)| name == worker) else {
        eprintln!("there is no {worker} in {case}");
        return ExitCode::FAILURE;
    };
    let before = memory("VmRSS:");
    // What making the work ready took is not counted: forget the peak so far.
    let forgot = std::fs::write("/proc/self/clear_refs", "5").is_ok();
    let (answer, took) = took(&work, 1);
    let told = before.zip(memory("VmHWM:")).filter(|_| forgot);
    let told = told.map(|(before, most)| format!("{most:.0} MB, {before:.0} before"));
    let told = told.unwrap_or_else(|| "not told here".to_owned());
    let measure = answer.measure.map_or("-".to_owned(), |measure| measure.to_string());
    println!("{}\t{measure}\t{}\t{}\t{told}", answer.count, took.clock, took.processor);
    ExitCode::SUCCESS
}

/// Has the system break this process off where it takes too long, and leave no file of it.
fn limit() {
    for (what, most) in [(Resource::Cpu, MOST), (Resource::Core, 0)] {
        let limit = Rlimit { current: Some(most), ..getrlimit(what) };
        setrlimit(what, limit).expect("no more than is allowed");
    }
}

/// What Linux tells of this process's memory under a name, in MB.
fn memory(name: &str) -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix(name))?;
    line.trim().strip_suffix("kB")?.trim().parse::<f64>().ok().map(|kb| kb / 1024.0)
}
