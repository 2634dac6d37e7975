//! What a place of the drawing answers when it is pointed at: the words of the sheets.

use super::bench::{self, hand, rout};
use super::picture::key;
use super::{phrase, put};
use crate::geom::Point;
use crate::grain::{Band, of_mirror_image};
use crate::outline::{self, Calls, Outline};
use crate::plan::{DoneBy, HandWork, Pass, Stretch};
use crate::read::Role;
use crate::units::Paper;
use std::collections::BTreeMap;

/// What one thing answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// What it is.
    pub title: String,
    /// Its numbers and its reason.
    pub lines: Vec<String>,
    /// What a job calls the edge it lies on, if it calls it anything.
    pub edge: Option<String>,
}

/// All answers, by their keys in the pictures.
pub(super) fn answers(job: &bench::Job<'_>) -> BTreeMap<String, Answer> {
    let plan = job.plan;
    let calls: Vec<Calls<'_>> =
        plan.parts.iter().map(|part| part.outline.calls()).collect();
    let stretches =
        plan.stretches.iter().map(|it| (key::stretch(it), stretch(job, &calls, it)));
    let passes = plan.passes.iter().map(|it| (key::pass(it), pass(job, it)));
    let hand =
        plan.hand.iter().map(|it| (key::hand(it.number), hand_work(job, &calls, it)));
    let mut all: BTreeMap<String, Answer> = stretches.chain(passes).chain(hand).collect();
    for (part, calls) in plan.parts.iter().zip(&calls) {
        all.extend(kept(&part.outline, calls, job.shop.paper));
    }
    let mirrored = of_mirror_image(job.shop.stock.grain);
    let is_pair = plan.parts.iter().any(|part| part.outline.mirrored);
    all.insert(key::GRAIN.to_owned(), grain(job, is_pair.then_some(mirrored)));
    if is_pair {
        all.insert(key::MIRRORED_GRAIN.to_owned(), mirrored_grain(mirrored));
    }
    all.insert(key::SAW.to_owned(), saw(job));
    if !plan.short_grain.is_empty() {
        all.insert(key::SHORT.to_owned(), short_grain(job));
    }
    let notes = plan.notes.iter().enumerate();
    all.extend(notes.map(|(index, note)| {
        let title = note.weight.word().to_owned();
        (key::note(index), Answer { title, lines: vec![phrase::note(note)], edge: None })
    }));
    all
}

/// What a job calls the edge of a part that is nearest to a point.
fn edge_near((outline, calls): (&Outline, &Calls<'_>), at: Point) -> Option<String> {
    Some(calls.of(outline::edge_near([outline], at)?)?.key())
}

fn stretch(job: &bench::Job<'_>, calls: &[Calls<'_>], it: &Stretch) -> Answer {
    let part = &job.plan.parts[it.part];
    let ring = &part.guide.loops[it.span.on];
    let middle = ring.at(it.span.from + it.span.length / 2.0);
    let edge = edge_near((&part.outline, &calls[it.part]), middle);
    let mut lines = vec![format!("{} long.", job.shop.paper.length(it.span.length))];
    lines.push(done(job, it, it.done_by, it.why.words()));
    if let Some(lower) = &it.lower {
        let from = job.shop.paper.length(lower.from);
        let words = done(job, it, lower.done_by, lower.why.words());
        lines.push(format!("From {from} below face A: {words}"));
    }
    Answer { title: format!("Stretch {}", it.name), lines, edge }
}

/// Who does a stretch, how the tooth meets the grain then, and why.
fn done(job: &bench::Job<'_>, it: &Stretch, by: DoneBy, why: &str) -> String {
    let number = match by {
        DoneBy::Hand => {
            let work = job.plan.hand.iter().find(|work| {
                work.part == it.part
                    && work.spans.iter().any(|span| span.on == it.span.on)
            });
            let number =
                work.map_or_else(String::new, |_| " (see the hand list)".to_owned());
            return format!("By hand{number}: {why}.");
        }
        DoneBy::Pass(number) => number,
    };
    let pass = &job.plan.passes[number - 1];
    let s = f64::from(job.plan.set_ups[pass.set_up].s());
    let (low, high) = (it.phi.0.min(it.phi.1) * s, it.phi.0.max(it.phi.1) * s);
    let band = if s < 0.0 { it.band.turned() } else { it.band };
    let mut text = format!(
        "Pass {number} in set-up {}, {}: {why}. ",
        pass.set_up + 1,
        phrase::feed(pass.feed)
    );
    put(
        &mut text,
        format_args!("Grain to tooth {}", range(low.min(high), low.max(high))),
    );
    put(&mut text, format_args!(": {}.", band.words()));
    let most = pass.contact.iter().filter(|contact| contact.span.on == it.span.on);
    let most = most.filter(|contact| overlaps(job, it, contact.span.from));
    let most = most.map(|contact| contact.psi).fold(0.0, f64::max);
    if 0.0 < most {
        put(&mut text, format_args!(" At most {most:.0}° of the bit in wood."));
    }
    text
}

fn overlaps(job: &bench::Job<'_>, it: &Stretch, from: f64) -> bool {
    let ring = &job.plan.parts[it.part].guide.loops[it.span.on];
    ring.wrapped(from - it.span.from) <= it.span.length
}

/// From one angle to another, in whole degrees.
fn range(low: f64, high: f64) -> String {
    // Rounding leaves a minus before nothing.
    let [low, high] = [low, high].map(|angle| angle.round() + 0.0);
    if high - low < 0.5 {
        format!("{high:.0}°")
    } else {
        format!("{low:.0}° to {high:.0}°")
    }
}

/// The cells of a table's row with the heads of their columns.
fn told(head: &[&str], row: Vec<String>) -> Vec<String> {
    let cells = head.iter().zip(row).skip(1).filter(|(_, cell)| !cell.is_empty());
    cells.map(|(head, cell)| format!("{head}: {cell}")).collect()
}

fn pass(job: &bench::Job<'_>, it: &Pass) -> Answer {
    let mut lines = told(&rout::PASS, rout::pass_row(job, it));
    if let Some(psi) = it.arrival {
        lines.push(format!(
            "Ease into the inside corner: {psi:.0}° of the bit in wood there."
        ));
    }
    let title = format!("Pass {} in set-up {}", it.number, it.set_up + 1);
    Answer { title, lines, edge: None }
}

fn hand_work(job: &bench::Job<'_>, calls: &[Calls<'_>], it: &HandWork) -> Answer {
    let mut lines = told(&hand::HEAD, hand::row(job, it));
    if !it.how.is_empty() {
        lines.push(format!("How: {}.", it.how.join("; ")));
    }
    let outline = &job.plan.parts[it.part].outline;
    let edge = edge_near((outline, &calls[it.part]), it.at);
    Answer { title: format!("Hand work, number {}", it.number), lines, edge }
}

/// The edges that are not routed.
fn kept(
    outline: &Outline,
    calls: &Calls<'_>,
    paper: Paper,
) -> impl Iterator<Item = (String, Answer)> {
    let edges = outline.edges.iter();
    let edges =
        edges.filter(|edge| matches!(edge.role, Role::TrueAlready | Role::GoesOn));
    edges.filter_map(move |edge| {
        let called = calls.of(edge)?;
        let title = format!("Edge {}: {}", called.words(paper), edge.role.words());
        let why = match edge.role {
            Role::GoesOn => "The piece goes on here past the template: never routed.",
            _ => "It is true already, and is never routed.",
        };
        let lines = vec![why.to_owned()];
        let called = called.key();
        Some((key::edge(&called), Answer { title, lines, edge: Some(called) }))
    })
}

/// The grain of what is drawn, and that of its mirror image where there is one.
fn grain(job: &bench::Job<'_>, mirrored: Option<f64>) -> Answer {
    let stock = &job.shop.stock;
    let mut lines = vec![format!(
        "{:.1}° counter-clockwise from the drawing's x, on face A.",
        stock.grain
    )];
    lines.push(format!("It is {}.", stock.kind.word()));
    if let Some(mirrored) = mirrored {
        lines.push(format!(
            "In the mirror image {mirrored:.1}°: its arrow turns with this one."
        ));
    }
    for band in [Band::Along, Band::Downhill, Band::Uphill, Band::EndGrain] {
        let own = job.plan.stretches.iter().filter(|stretch| stretch.band == band);
        let length: f64 = own.map(|stretch| stretch.span.length).sum();
        if 0.0 < length {
            let words = band.words();
            let length = job.shop.paper.length(length);
            lines.push(format!("{length} {words}, with the motor on face A."));
        }
    }
    Answer { title: key::GRAIN_WORDS.to_owned(), lines, edge: None }
}

fn mirrored_grain(degrees: f64) -> Answer {
    let lines = [
        format!(
            "{degrees:.1}° counter-clockwise from left to right, on face A of the mirror image."
        ),
        "It is the mirrored grain of the part as drawn, whose arrow turns with this one."
            .to_owned(),
    ];
    Answer {
        title: key::MIRRORED_GRAIN_WORDS.to_owned(),
        lines: lines.to_vec(),
        edge: None,
    }
}

fn saw(job: &bench::Job<'_>) -> Answer {
    let mut lines = vec!["Saw on the dashed line, to its waste side.".to_owned()];
    for line in &job.plan.saw {
        let words =
            format!("Leave {} outside the edge.", job.shop.paper.length(line.leave));
        if !lines.contains(&words) {
            lines.push(words);
        }
    }
    Answer { title: key::SAW_WORDS.to_owned(), lines, edge: None }
}

fn short_grain(job: &bench::Job<'_>) -> Answer {
    let paper = job.shop.paper;
    let lines = job.plan.short_grain.iter().map(|it| {
        format!(
            "{} {} wide, fibres {} long: {}.",
            it.sign(),
            paper.length(it.width),
            paper.length(it.fibre),
            if it.tip { "a tip that breaks off" } else { "a neck that breaks across" }
        )
    });
    Answer { title: key::SHORT_WORDS.to_owned(), lines: lines.collect(), edge: None }
}
