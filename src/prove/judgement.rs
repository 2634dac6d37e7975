//! What is thought of programs, whoever wrote them: two verdicts on the text, one on the cut.

use super::promise::Promise;
use super::reader::{Program, read};
use super::verdict::{Fault, Rule};
use super::{Figures, bench, cut};
use crate::shop::{Machine, Tool};

/// What was found wrong with programs that were judged together, in the order in which they
/// run.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// Why they are no programs by the report, or cannot be read here.
    pub legal: Vec<Fault>,
    /// Why they are not fit for the bench.
    pub bench: Vec<Fault>,
    /// What they cut wrong.
    pub cut: Vec<Fault>,
    /// What they do; `None` where they could not be read.
    pub figures: Option<Figures>,
}

impl Judgement {
    /// That they cannot be judged, and why.
    const fn unread(legal: Vec<Fault>) -> Self {
        Self { legal, bench: Vec::new(), cut: Vec::new(), figures: None }
    }

    /// Whether nothing was found wrong.
    pub const fn is_right(&self) -> bool {
        self.legal.is_empty() && self.bench.is_empty() && self.cut.is_empty()
    }

    /// All faults, in the order of the text.
    pub fn faults(&self) -> Vec<Fault> {
        let all = [&self.legal, &self.bench, &self.cut];
        let mut faults: Vec<Fault> = all.into_iter().flatten().cloned().collect();
        faults.sort_by_key(|fault| (fault.program, fault.line));
        faults
    }
}

/// Judges programs that run one after the other, by a promise.
pub fn judge(texts: &[&str], promise: &Promise) -> Judgement {
    let (mut programs, mut faults) = (Vec::new(), Vec::new());
    for (index, text) in texts.iter().enumerate() {
        match read(text) {
            Ok(program) => programs.push(program),
            Err(verdict) => faults
                .extend(verdict.faults.into_iter().map(|fault| fault.in_program(index))),
        }
    }
    let tools = promise.tools();
    let ill_given = ill_given(texts, &tools);
    let ill_given = ill_given.map(|text| Fault::new(Rule::Legal, 0, text));
    faults.splice(..0, ill_given);
    if !faults.is_empty() {
        return Judgement::unread(faults);
    }
    let judgement = judged(&programs, promise);
    if 1 < tools.len() && !judgement.is_right() && is_ill_ordered(&programs, promise) {
        let all = in_order(&tools);
        let text = format!("the programs are given in the wrong order: give {all}");
        return Judgement::unread(vec![Fault::new(Rule::Legal, 0, text)]);
    }
    judgement
}

/// Judges programs that could be read.
fn judged(programs: &[Program], promise: &Promise) -> Judgement {
    let tools = promise.tools();
    let mut fit = Vec::new();
    for (index, program) in programs.iter().enumerate() {
        let (_, machine) = &tools[index.min(tools.len() - 1)];
        let faults = bench::faults(program, promise, machine).into_iter();
        fit.extend(faults.map(|fault| fault.in_program(index)));
    }
    let mut judgement = Judgement { bench: fit, ..Judgement::unread(Vec::new()) };
    // A way without end would be looked at without end.
    if !programs.iter().flat_map(Program::moves).any(|step| bench::is_beyond(&step)) {
        let cut = cut::judge(programs, promise);
        (judgement.cut, judgement.figures) = (cut.faults, Some(cut.figures));
    }
    judgement
}

/// What is wrong with the choice of programs for these tools; nothing where only one has any.
fn ill_given(texts: &[&str], tools: &[(Tool, Machine)]) -> Option<String> {
    let count = match texts.len() {
        0 => return Some("there is no program".to_owned()),
        1 => "one program is".to_owned(),
        many => format!("{many} programs are"),
    };
    if tools.len() < 2 {
        return None;
    }
    if tools.len() != texts.len() {
        let all = in_order(tools);
        return Some(format!("{count} given where there is one for each tool: {all}"));
    }
    let is_twice = |index: usize| texts[..index].contains(&texts[index]);
    let twice = (0..texts.len()).any(is_twice);
    twice.then(|| format!("one program is given twice: give {}", in_order(tools)))
}

/// Whose program comes when.
fn in_order(tools: &[(Tool, Machine)]) -> String {
    let names: Vec<&str> = tools.iter().map(|(tool, _)| tool.word()).collect();
    format!("first that of the {}", names.join(", then that of the "))
}

/// Whether these programs are right in another order: all that is wrong now comes from nothing
/// but that.
fn is_ill_ordered(programs: &[Program], promise: &Promise) -> bool {
    orders(programs.len()).iter().filter(|order| !order.is_sorted()).any(|order| {
        let turned: Vec<Program> = order.iter().map(|&n| programs[n].clone()).collect();
        judged(&turned, promise).is_right()
    })
}

/// Every order of so few programs.
fn orders(count: usize) -> Vec<Vec<usize>> {
    (0..count).fold(vec![Vec::new()], |orders, next| {
        let with_next = |order: Vec<usize>| {
            (0..=order.len()).map(move |at| {
                let mut order = order.clone();
                order.insert(at, next);
                order
            })
        };
        orders.into_iter().flat_map(with_next).collect()
    })
}
