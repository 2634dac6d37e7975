//! Which part of a drawing is asked for: layers by name, colours by number.

use super::Checked;
use crate::diag::{Place, Problem};

/// The layers and colours asked for; where there are none, all.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Pick {
    /// Names of layers, with `*` for any run of letters and `?` for any one.
    pub layers: Vec<(String, Place)>,
    /// Numbers of colours.
    pub colours: Vec<(u8, Place)>,
}

impl Pick {
    /// Whether nothing was asked for, so that everything is.
    pub fn is_all(&self) -> bool {
        self.layers.is_empty() && self.colours.is_empty()
    }

    /// Whether a layer of this name is asked for by its name.
    pub fn names(&self, layer: &str) -> bool {
        self.layers.iter().any(|(pattern, _)| fits(pattern, layer))
    }

    /// Whether what lies on this layer in this colour is asked for.
    pub fn takes(&self, layer: &str, colour: u8) -> bool {
        (self.layers.is_empty() || self.names(layer))
            && (self.colours.is_empty() || self.colours.iter().any(|(c, _)| *c == colour))
    }
}

/// Whether a name fits a pattern; large and small letters are alike, as layers have it.
pub(super) fn fits(pattern: &str, name: &str) -> bool {
    let letters = |text: &str| -> Vec<char> { text.to_lowercase().chars().collect() };
    let (pattern, name) = (letters(pattern), letters(name));
    let (mut at, mut next) = (0, 0);
    // Where the last `*` stands, and how many letters of the name it and all before took.
    let mut star: Option<(usize, usize)> = None;
    while at < name.len() {
        match (pattern.get(next), star) {
            (Some('*'), _) => {
                star = Some((next, at));
                next += 1;
            }
            (Some(letter), _) if *letter == '?' || *letter == name[at] => {
                (at, next) = (at + 1, next + 1);
            }
            (_, Some((star_at, taken))) => {
                star = Some((star_at, taken + 1));
                (at, next) = (taken + 1, star_at + 1);
            }
            (_, None) => return false,
        }
    }
    pattern[next..].iter().all(|letter| *letter == '*')
}

/// A layer's name or pattern.
///
/// # Errors
/// `layer-empty`.
pub fn layer_text(text: &str, place: &Place) -> Checked<(String, Place)> {
    let name = text.trim();
    if name.is_empty() {
        let hint = "name a layer of the drawing, with `*` for any run of letters and `?` for any one";
        let problem = Problem::stop("layer-empty", "a layer without a name", hint);
        return Err(problem.at(place.clone()).into());
    }
    Ok((name.to_owned(), place.clone()))
}

/// A colour's number.
///
/// # Errors
/// `colour-unreadable`.
pub fn colour_text(text: &str, place: &Place) -> Checked<(u8, Place)> {
    match text.trim().parse() {
        Ok(number) if 0 < number => Ok((number, place.clone())),
        _ => {
            let found = format!("`{text}` is no number of a colour");
            let hint = "give the colour's number in the drawing, like `1` for red";
            let problem = Problem::stop("colour-unreadable", found, hint);
            Err(problem.expected("a number from 1 to 255").at(place.clone()).into())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Source;

    #[test]
    fn stars_and_question_marks_stand_for_letters() {
        for (pattern, name, good) in [
            ("outline", "Outline", true),
            ("out*", "OUTLINE-18", true),
            ("*18", "outline-18", true),
            ("*-*-1?", "top-cut-18", true),
            ("*a*b*c", "aabbcc", true),
            ("out", "outline", false),
            ("?", "", false),
            ("*", "", true),
            ("a?c", "ac", false),
            ("*x", "outline", false),
        ] {
            assert_eq!(fits(pattern, name), good, "{pattern} and {name}");
        }
        let long = "a".repeat(5000);
        assert!(!fits(&("*a".repeat(200) + "b"), &long), "no pattern takes long");
    }

    #[test]
    fn layer_and_colour_must_both_be_asked_for() {
        let place = Place::whole(Source::Command, "--layer");
        let mut pick = Pick::default();
        assert!(pick.is_all() && pick.takes("x", 7), "all of it");
        pick.layers.push(layer_text("cut*", &place).expect("a name"));
        pick.colours.push(colour_text("1", &place).expect("a number"));
        assert!(pick.takes("CUT-18", 1), "both fit");
        assert!(!pick.takes("CUT-18", 2) && !pick.takes("dims", 1), "one does not");
        for text in ["0", "256", "red"] {
            assert_eq!(
                colour_text(text, &place).expect_err(text).id,
                "colour-unreadable"
            );
        }
    }
}
