//! What is thought of programs, whoever wrote them: two verdicts on the text, one on the cut.

use super::promise::Promise;
use super::reader::{Program, read};
use super::verdict::{Fault, Rule};
use super::{Figures, bench, cut};

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
    let mut judgement = Judgement {
        legal: Vec::new(),
        bench: Vec::new(),
        cut: Vec::new(),
        figures: None,
    };
    let mut programs: Vec<Program> = Vec::new();
    for (index, text) in texts.iter().enumerate() {
        match read(text) {
            Ok(program) => programs.push(program),
            Err(verdict) => judgement
                .legal
                .extend(verdict.faults.into_iter().map(|fault| fault.in_program(index))),
        }
    }
    if texts.is_empty() {
        judgement.legal.push(Fault::new(Rule::Legal, 0, "there is no program"));
    }
    if !judgement.legal.is_empty() {
        return judgement;
    }
    let tools = promise.tools();
    if 1 < tools.len() && tools.len() != programs.len() {
        let given = match programs.len() {
            1 => "one program is".to_owned(),
            many => format!("{many} programs are"),
        };
        let text = format!("{given} given where {} tools have one each", tools.len());
        judgement.legal.push(Fault::new(Rule::Legal, 0, text));
        return judgement;
    }
    for (index, program) in programs.iter().enumerate() {
        let (_, machine) = &tools[index.min(tools.len() - 1)];
        let faults = bench::faults(program, promise, machine).into_iter();
        judgement.bench.extend(faults.map(|fault| fault.in_program(index)));
    }
    let judged = cut::judge(&programs, promise);
    judgement.cut = judged.faults;
    judgement.figures = Some(judged.figures);
    judgement
}
