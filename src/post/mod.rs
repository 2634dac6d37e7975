//! What a controller can do and how it wants its words: posts as data.

mod dialect;

mod file;

pub use dialect::{Arcs, Comments, Dialect, Dwell, End, Rapids, Spindle};

use crate::diag::{Failure, Outcome, Place, Problem, Source, Told};
use crate::read::PostChoice;

/// The posts that are compiled in, by name.
const BUILT_IN: [(&str, &str); 8] = [
    ("iso-mm", include_str!("../../posts/iso-mm.toml")),
    ("iso-inch", include_str!("../../posts/iso-inch.toml")),
    ("iso-mm-lines", include_str!("../../posts/iso-mm-lines.toml")),
    ("iso-inch-lines", include_str!("../../posts/iso-inch-lines.toml")),
    ("iso-mm-hand", include_str!("../../posts/iso-mm-hand.toml")),
    ("iso-inch-hand", include_str!("../../posts/iso-inch-hand.toml")),
    ("iso-mm-lines-hand", include_str!("../../posts/iso-mm-lines-hand.toml")),
    ("iso-inch-lines-hand", include_str!("../../posts/iso-inch-lines-hand.toml")),
];

/// The names of the posts that are compiled in.
pub fn names() -> impl Iterator<Item = &'static str> {
    BUILT_IN.iter().map(|(name, _)| *name)
}

/// The dialect a person chose: one of those compiled in, or a file's.
///
/// # Errors
/// An input failure for a name that is not known, or a file with a mistake in it.
///
/// ```
/// use spelch::{post::dialect, read::PostChoice};
/// let inch = dialect(&PostChoice::Named("iso-inch".to_owned())).unwrap().value;
/// assert_eq!(inch.decimals, 4);
/// ```
pub fn dialect(choice: &PostChoice) -> Outcome<Dialect> {
    let (name, text) = match choice {
        PostChoice::Named(name) => (name.as_str(), built_in(name)?),
        PostChoice::File { name, text } => (name.as_str(), text.as_str()),
    };
    let value = file::read(name, text)?;
    Ok(Told { value, notes: Vec::new() })
}

fn built_in(wanted: &str) -> Result<&'static str, Failure> {
    let known = BUILT_IN.iter().find(|(name, _)| *name == wanted);
    known.map(|(_, text)| *text).ok_or_else(|| {
        let listed: Vec<_> = names().map(|name| format!("`{name}`")).collect();
        Failure::input(
            Problem::stop(
                "post-unknown",
                format!("there is no post `{wanted}`"),
                "name one of these, or give a post file of your own",
            )
            .expected(listed.join(", "))
            .at(Place::whole(Source::Post, wanted)),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Unit;

    #[test]
    fn every_post_that_is_compiled_in_reads_and_has_its_own_name() {
        for name in names() {
            let read = dialect(&PostChoice::Named(name.to_owned())).expect(name);
            assert_eq!(read.value.name, name, "the name in the file");
            assert!(!read.value.about.is_empty(), "{name} says what it is");
        }
    }

    /// The three questions of `spelch posts` lead to one post each way.
    #[test]
    fn there_is_one_post_for_every_answer() {
        let posts: Vec<Dialect> = names()
            .map(|name| dialect(&PostChoice::Named(name.to_owned())).expect(name).value)
            .collect();
        for units in [Unit::Mm, Unit::Inch] {
            for arcs in [Arcs::Centre, Arcs::None] {
                for spindle in [Spindle::Words, Spindle::ByHand] {
                    let fits = |post: &&Dialect| {
                        post.units == units
                            && post.arcs == arcs
                            && post.spindle == spindle
                    };
                    let found = posts.iter().filter(fits).count();
                    assert_eq!(found, 1, "{units:?} {arcs:?} {spindle:?}");
                }
            }
        }
    }

    #[test]
    fn an_unknown_name_lists_the_known_ones() {
        let failure = dialect(&PostChoice::Named("iso-cm".to_owned())).unwrap_err();
        let problem = &failure.problems()[0];
        assert_eq!(problem.id, "post-unknown", "{problem:?}");
        for name in names() {
            assert!(problem.expected.contains(name), "{name} is listed");
        }
    }

    #[test]
    fn a_mistake_in_a_post_file_is_refused_with_its_line() {
        let good = BUILT_IN[0].1;
        for (from, to, line) in [
            ("decimals = 3", "decimals = 2", 7),
            ("arcs = \"centre\"", "arcs = \"radius\"", 9),
            ("line_numbers = false", "line_number = false", 19),
            ("end = \"M2\"", "end = \"M2", 15),
            ("extension = \"nc\"", "extension = \"n/c\"", 21),
            ("line_length = 70", "line_length = 700", 17),
            ("comments = \"brackets\"", "comments = \"semicolon\"", 23),
            ("percent = false", "percent = \"no\"", 25),
            ("rapids = \"own rate\"", "rapids = \"fast\"", 27),
        ] {
            assert!(good.contains(from), "{from} stands in the post");
            let text = good.replace(from, to);
            let choice = PostChoice::File { name: "own.toml".to_owned(), text };
            let failure = dialect(&choice).unwrap_err();
            assert!(matches!(failure, Failure::Input(_)), "{to}: wrong input");
            let problem = &failure.problems()[0];
            let place = problem.place.as_ref().expect("a place");
            assert_eq!(place.line, Some(line), "{to}: {problem:?}");
            assert!(!problem.hint.is_empty(), "{to}: a hint");
        }
        let missing = good.replace("end = \"M2\"\n", "");
        let choice = PostChoice::File { name: "own.toml".to_owned(), text: missing };
        let failure = dialect(&choice).unwrap_err();
        assert!(failure.problems()[0].found.contains("end"), "{failure:?}");
    }
}
