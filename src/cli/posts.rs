//! `spelch posts`: what each post is, and three questions that lead to the one to use.

use super::Answer;
use super::args::{Arcs, PostsArgs, Spindle, Units};
use crate::post::{self, Comments, Dialect, Dwell, Rapids};
use crate::read::PostChoice;
use crate::units::Unit;
use std::io::{BufRead, Write};

/// What is printed above the list.
const HEAD: &str = "\
A post says how a machine's control wants its program. Name one with --post, or in a job with
`post` under [machine]. To make your own, copy one from the folder `posts` and change it.
";

/// The list of posts that fit the answers so far, and the one to use where it is the only one.
pub(super) fn list(args: &PostsArgs) -> Answer {
    let posts: Vec<Dialect> = post::names().filter_map(built_in).collect();
    let fitting: Vec<&Dialect> = posts.iter().filter(|post| fits(post, args)).collect();
    let mut lines = vec![HEAD.to_owned()];
    for post in &fitting {
        let details = details(post);
        lines.push(format!("{}\n    {}\n    {details}", post.name, post.about));
    }
    lines.push(String::new());
    match fitting.as_slice() {
        [one] => lines.push(format!("Use `--post {}`.", one.name)),
        _ => lines
            .extend(QUESTIONS.map(|(question, option)| format!("{question} {option}"))),
    }
    Answer { code: 0, data: lines.join("\n") + "\n", talk: String::new() }
}

/// The questions, and the option that answers each.
const QUESTIONS: [(&str, &str); 3] = [
    ("Does the machine show millimetres or inches?", "--units mm|in"),
    (
        "Does it cut smooth arcs (G2, G3), or only straight moves?",
        "--arcs smooth|straight",
    ),
    (
        "Does the program start its spindle, or do you switch the router on?",
        "--spindle program|hand",
    ),
];

/// Asks what no option answered; an empty answer, or the end of the input, leaves it open.
pub(super) fn asked(
    mut args: PostsArgs,
    answers: &mut impl BufRead,
    talk: &mut impl Write,
) -> PostsArgs {
    let mut ask = |question: &str, words: [&str; 2]| -> Option<usize> {
        loop {
            let _ = write!(talk, "{question} [{} or {}] ", words[0], words[1]);
            let _ = talk.flush();
            let mut line = String::new();
            let word = match answers.read_line(&mut line) {
                Ok(0) | Err(_) => return None,
                Ok(_) => line.trim().to_lowercase(),
            };
            if word.is_empty() {
                return None;
            }
            if let Some(found) = words.iter().position(|known| known.starts_with(&word)) {
                return Some(found);
            }
        }
    };
    if args.units.is_none() {
        args.units = ask(QUESTIONS[0].0, ["mm", "in"]).map(|n| [Units::Mm, Units::In][n]);
    }
    if args.arcs.is_none() {
        let answer = ask(QUESTIONS[1].0, ["arcs", "straight"]);
        args.arcs = answer.map(|n| [Arcs::Smooth, Arcs::Straight][n]);
    }
    if args.spindle.is_none() {
        let answer = ask(QUESTIONS[2].0, ["program", "hand"]);
        args.spindle = answer.map(|n| [Spindle::Program, Spindle::Hand][n]);
    }
    args
}

fn built_in(name: &str) -> Option<Dialect> {
    Some(post::dialect(&PostChoice::Named(name.to_owned())).ok()?.value)
}

fn fits(post: &Dialect, args: &PostsArgs) -> bool {
    let units = args.units.is_none_or(|units| match units {
        Units::Mm => post.units == Unit::Mm,
        Units::In => post.units == Unit::Inch,
    });
    let arcs = args.arcs.is_none_or(|arcs| match arcs {
        Arcs::Smooth => post.arcs == post::Arcs::Centre,
        Arcs::Straight => post.arcs == post::Arcs::None,
    });
    let spindle = args.spindle.is_none_or(|spindle| match spindle {
        Spindle::Program => post.spindle == post::Spindle::Words,
        Spindle::Hand => post.spindle == post::Spindle::ByHand,
    });
    units && arcs && spindle
}

/// The words it writes.
fn details(post: &Dialect) -> String {
    let arcs = match post.arcs {
        post::Arcs::Centre => "arcs G2 and G3 with I and J",
        post::Arcs::None => "G0 and G1 only",
    };
    let spindle = match (post.spindle, post.dwell) {
        (post::Spindle::Words, Dwell::Seconds) => "S, M3, G4 in seconds, M5",
        (post::Spindle::Words, Dwell::Milliseconds) => "S, M3, G4 in milliseconds, M5",
        (post::Spindle::ByHand, _) => "M0 to have the router switched on",
    };
    let mut words = vec![
        format!("{} and {} figures after the point", post.units_word(), post.decimals),
        arcs.to_owned(),
        spindle.to_owned(),
        format!("{} at the end", post.end.word()),
        format!("lines of at most {} characters", post.line_length),
    ];
    if post.comments == Comments::None {
        words.push("no comments".to_owned());
    }
    if post.rapids == Rapids::LastFeed {
        words.push("F on every G0".to_owned());
    }
    words.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    const NONE: PostsArgs = PostsArgs { units: None, arcs: None, spindle: None };

    #[test]
    fn three_answers_name_one_post() {
        let mut talk = Vec::new();
        let args = asked(NONE, &mut "in\nwhat\nstraight\nhand\n".as_bytes(), &mut talk);
        let said = list(&args).data;
        assert!(said.ends_with("Use `--post iso-inch-lines-hand`.\n"), "{said}");
        let questions = String::from_utf8(talk).expect("plain text");
        assert_eq!(questions.matches('?').count(), 4, "one is asked twice: {questions}");
    }

    #[test]
    fn without_answers_all_are_listed_and_the_questions_stand_below() {
        let args = asked(NONE, &mut "".as_bytes(), &mut Vec::new());
        let said = list(&args).data;
        for name in post::names() {
            assert!(said.contains(&format!("{name}\n")), "{name} in {said}");
        }
        assert!(said.contains("--spindle program|hand"), "{said}");
    }
}
