//! A bit as a person writes it: `1/2in pattern, 1in long, max 22000`.

#![expect(
    clippy::result_large_err,
    reason = "a bit is read once; its problem is told as it is"
)]

use super::defaults::{NARROWEST_CUTTER, WIDEST_CUTTER};
use super::{Bit, BitBody, Guide};
use crate::diag::{Place, Problem};
use crate::read::{BearingAt, BitText, Job, Rack, RackBit, nearest};
use crate::units::{Diameter, LengthError, Mm, Paper, Unit, parse_length};

const EXAMPLE: &str = "write a bit like `1/2in flush-trim` (bearing at the tip), `1/2in pattern` (bearing by the shank), `3/4in pattern both bearings, 1 1/2in long`, or `1/4in straight + 1/2in bush`";

/// Words that say how the cutter is shaped and change nothing in the plan.
const SHAPES: [&str; 9] = [
    "straight",
    "spiral",
    "up-cut",
    "down-cut",
    "upcut",
    "downcut",
    "compression",
    "shear",
    "bit",
];

/// What a bit's text says, before the job's defaults.
#[derive(Debug, Default)]
struct Said {
    cutter: Option<Diameter>,
    bearing: Option<Diameter>,
    shank: bool,
    tip: bool,
    bush: bool,
    cut_length: Option<Mm>,
    reach: Option<Mm>,
    marked_speed: Option<f64>,
    body: BitBody,
}

/// Reads one bit, by its own words or by its name on the rack; `number` counts from 1.
pub(super) fn bit(text: &BitText, number: usize, job: &Job) -> Result<Bit, Problem> {
    let said = match text.rack_name() {
        Some(name) => of_rack(text, name, job)?,
        None => read(text, job.units)?,
    };
    let bad = |found: String| unreadable(&text.place, found);
    let cutter = said.cutter.ok_or_else(|| bad(no_width(&text.text)))?;
    check_width(cutter, text, job)?;
    let guides = match (said.bush, said.shank, said.tip) {
        (true, false, false) => vec![Guide::Bush],
        (true, _, _) => {
            return Err(bad(format!("`{}` names a bush and a bearing", text.text)));
        }
        (false, true, true) => vec![Guide::Shank, Guide::Tip],
        (false, true, false) => vec![Guide::Shank],
        (false, false, true) => vec![Guide::Tip],
        (false, false, false) => {
            return Err(Problem::stop(
                "bit-without-guide",
                format!("nothing guides the bit `{}`", text.text),
                EXAMPLE,
            )
            .at(text.place.clone()));
        }
    };
    Ok(Bit {
        number,
        text: text.text.trim().to_owned(),
        cutter,
        bearing: said.bearing.or(job.bearing).unwrap_or(cutter),
        guides,
        cut_length: said.cut_length.or(job.cut_length),
        reach: said.reach,
        marked_speed: said.marked_speed,
        body: said.body,
    })
}

/// Refuses a cutter of a width that no bit has: a unit has slipped.
fn check_width(cutter: Diameter, text: &BitText, job: &Job) -> Result<(), Problem> {
    let [least, most] = [NARROWEST_CUTTER, WIDEST_CUTTER].map(|limit| limit.value);
    if (least..=most).contains(&cutter.mm()) {
        return Ok(());
    }
    let paper = job.on_paper();
    let found = format!(
        "the bit `{}` would be {} wide",
        text.text.trim(),
        paper.length(cutter.mm())
    );
    let hint = "write its width with the unit it is measured in, like `1/2in pattern` or `12.7mm pattern`";
    let expected =
        format!("a cutter from {} to {}", paper.length(least), paper.length(most));
    let problem = Problem::stop("bit-width-absurd", found, hint);
    Err(problem.expected(expected).at(text.place.clone()))
}

/// What the rack says of a bit, and what the job adds behind its name: `half-pattern, bearing
/// 9/16in`.
fn of_rack(text: &BitText, name: &str, job: &Job) -> Result<Said, Problem> {
    let found = job.rack.bits.iter().find(|bit| bit.name.eq_ignore_ascii_case(name));
    let bit = found.ok_or_else(|| not_on_the_rack(text, name, &job.rack))?;
    let mut said = Said {
        cutter: Some(bit.cutter),
        bearing: Some(bit.bearing.unwrap_or(bit.cutter)),
        shank: matches!(bit.guided, BearingAt::Shank | BearingAt::Both),
        tip: matches!(bit.guided, BearingAt::Tip | BearingAt::Both),
        bush: bit.guided == BearingAt::Bush,
        cut_length: bit.cut_length,
        reach: bit.reach,
        marked_speed: bit.marked_speed,
        body: BitBody {
            shank: bit.shank,
            bearing_height: bit.bearing_height,
            bearings: bit.bearings.clone(),
            flutes: bit.flutes,
        },
    };
    let reader = Reader { whole: text, units: job.units };
    for part in text.text.split(',').skip(1) {
        let words = part.trim().to_lowercase();
        if !words.is_empty() {
            reader.part(&words, &mut said)?;
        }
    }
    let fits = |one: &Diameter| Some(one.mm()) == said.bearing.map(Diameter::mm);
    let asked = said.bearing != Some(bit.bearing.unwrap_or(bit.cutter));
    if asked && !bit.bearings.iter().any(fits) {
        return Err(does_not_fit(text, bit, job));
    }
    Ok(said)
}

fn does_not_fit(text: &BitText, bit: &RackBit, job: &Job) -> Problem {
    let unit = job.paper_unit();
    let paper = Paper { unit, fraction: job.fraction.unwrap_or(Paper::MM.fraction) };
    let found = format!("no such bearing fits `{}`, as the rack has it", bit.name);
    let list: Vec<String> =
        bit.bearings.iter().map(|one| paper.measured(one.mm())).collect();
    let hint = if list.is_empty() {
        "add the bearings that fit it to the rack: `bearings = [\"1/2in\", \"9/16in\"]`"
            .to_owned()
    } else {
        format!(
            "choose one of those that fit it: {}; or add it to the rack",
            list.join(", ")
        )
    };
    Problem::stop("bearing-does-not-fit", found, hint).at(text.place.clone())
}

fn not_on_the_rack(text: &BitText, name: &str, rack: &Rack) -> Problem {
    let (found, hint) = if rack.bits.is_empty() {
        (
            format!(
                "`{name}` is no bit in its own words, and there is no rack to look it up on"
            ),
            format!("{EXAMPLE}; `spelch bits` says where your own rack is kept"),
        )
    } else {
        let list: Vec<&str> = rack.bits.iter().map(|bit| bit.name.as_str()).collect();
        let names = list.join("`, `");
        let hint = match nearest(name, &list) {
            Some(near) => {
                format!("use `{near}`, if that was meant; the rack has `{names}`")
            }
            None => format!("use one of the rack's bits, `{names}`, or {EXAMPLE}"),
        };
        (format!("the rack `{}` has no bit called `{name}`", rack.name), hint)
    };
    Problem::stop("bit-not-on-rack", found, hint).at(text.place.clone())
}

fn read(text: &BitText, units: Option<Unit>) -> Result<Said, Problem> {
    let reader = Reader { whole: text, units };
    let mut said = Said::default();
    let (first, bush) = match text.text.split_once('+') {
        Some((first, rest)) => {
            // What follows the bush in the text are further parts: `+ 1/2in bush, 1in long`.
            let (bush, parts) = rest.split_once(',').unwrap_or((rest, ""));
            (format!("{first},{parts}"), Some(bush.to_owned()))
        }
        None => (text.text.clone(), None),
    };
    for (index, part) in first.split(',').enumerate() {
        let words = part.trim().to_lowercase();
        if index == 0 {
            reader.first(&words, &mut said)?;
        } else if !words.is_empty() {
            reader.part(&words, &mut said)?;
        }
    }
    if let Some(bush) = bush {
        let words = bush.trim().to_lowercase();
        let width = words.strip_suffix("bush").or_else(|| words.strip_suffix("bushing"));
        let width = width.ok_or_else(|| reader.strange(bush.trim()))?;
        said.bush = true;
        said.bearing = Some(reader.diameter(width)?);
    }
    Ok(said)
}

/// Reads the parts of one bit's text.
struct Reader<'a> {
    whole: &'a BitText,
    units: Option<Unit>,
}

impl Reader<'_> {
    /// `1/2in flush-trim`: the cutter's width and what guides it.
    fn first(&self, words: &str, said: &mut Said) -> Result<(), Problem> {
        let words: Vec<&str> = words.split_whitespace().collect();
        let taken = self.leading_length(&words);
        let (width, rest) = words.split_at(taken);
        if width.is_empty() {
            return Err(
                self.length_error(words.first().unwrap_or(&""), &LengthError::Unreadable)
            );
        }
        said.cutter = Some(self.diameter(&width.join(" "))?);
        self.guide_words(&rest.join(" "), said)
    }

    /// How many of the first words are a length, with or without its unit.
    fn leading_length(&self, words: &[&str]) -> usize {
        let is_length = |taken: usize, bare: Option<Unit>| {
            taken <= words.len() && parse_length(&words[..taken].join(" "), bare).is_ok()
        };
        let named = (1..=3).rev().find(|&taken| is_length(taken, self.units));
        let bare = (1..=2).rev().find(|&taken| is_length(taken, Some(Unit::Mm)));
        named.or(bare).unwrap_or(0)
    }

    fn guide_words(&self, words: &str, said: &mut Said) -> Result<(), Problem> {
        let words = words.replace("flush trim", "flush-trim");
        let mut words: Vec<&str> = words.split_whitespace().collect();
        if let Some(at) = words.iter().position(|word| word.starts_with("bearing")) {
            let both = 0 < at && ["both", "two", "double"].contains(&words[at - 1]);
            if !both {
                return Err(self.strange(&words.join(" ")));
            }
            words.drain(at - 1..=at);
            (said.shank, said.tip) = (true, true);
        }
        for word in words {
            match word {
                "flush-trim" => said.tip = true,
                "pattern" | "template" => said.shank = true,
                _ if SHAPES.contains(&word) => {}
                _ => return Err(self.strange(word)),
            }
        }
        Ok(())
    }

    /// A part after a comma.
    fn part(&self, words: &str, said: &mut Said) -> Result<(), Problem> {
        if let Some(length) = words.strip_suffix("long") {
            said.cut_length = Some(self.length(length)?);
        } else if let Some(reach) = words.strip_prefix("reach") {
            said.reach = Some(self.length(reach)?);
        } else if let Some(speed) = words.strip_prefix("max") {
            said.marked_speed = Some(self.speed(speed)?);
        } else if let Some(height) = high(words) {
            said.body.bearing_height = Some(self.length(height)?);
        } else if let Some(width) = words.strip_prefix("shank ") {
            said.body.shank = Some(self.diameter(width)?);
        } else if let Some(count) = words.strip_suffix("flutes") {
            let count = count.trim().parse().map_err(|_why| self.strange(words))?;
            said.body.flutes = Some(count);
        } else if let Some(list) = words.strip_prefix("bearings ") {
            for width in list.split(" and ") {
                said.body.bearings.push(self.diameter(width)?);
            }
        } else if let Some(width) = words.strip_prefix("bearing ") {
            said.bearing = Some(self.diameter(width)?);
        } else {
            self.guide_words(words, said)?;
        }
        Ok(())
    }

    fn speed(&self, words: &str) -> Result<f64, Problem> {
        let digits = words.split_whitespace().next().unwrap_or("");
        let turns = digits.parse::<u32>().map_err(|_why| self.strange(words.trim()))?;
        if turns == 0 {
            return Err(self.strange("max 0"));
        }
        Ok(f64::from(turns))
    }

    fn length(&self, words: &str) -> Result<Mm, Problem> {
        let words = words.trim();
        let length = parse_length(words, self.units)
            .map_err(|error| self.length_error(words, &error))?;
        if length.mm() <= 0.0 {
            return Err(self.strange(words));
        }
        Ok(length)
    }

    fn diameter(&self, words: &str) -> Result<Diameter, Problem> {
        let length = self.length(words)?;
        Diameter::new(length).ok_or_else(|| self.strange(words))
    }

    fn length_error(&self, words: &str, error: &LengthError) -> Problem {
        let id = match error {
            LengthError::NoUnit { .. } => "length-without-unit",
            LengthError::Unreadable => "bit-unreadable",
        };
        let found = format!("{} in the bit `{}`", error.found(words), self.whole.text);
        let hint = match error {
            LengthError::NoUnit { .. } => error.hint(),
            LengthError::Unreadable => EXAMPLE,
        };
        Problem::stop(id, found, hint).at(self.whole.place.clone())
    }

    fn strange(&self, words: &str) -> Problem {
        let found = format!("`{words}` means nothing in the bit `{}`", self.whole.text);
        unreadable(&self.whole.place, found)
    }
}

/// The height in `bearing 5mm high`.
fn high(words: &str) -> Option<&str> {
    words.strip_prefix("bearing ")?.strip_suffix("high")
}

fn no_width(text: &str) -> String {
    format!("`{text}` does not say how wide the bit is")
}

fn unreadable(place: &Place, found: String) -> Problem {
    Problem::stop("bit-unreadable", found, EXAMPLE).at(place.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Source;

    fn read_bit(text: &str, job: &Job) -> Result<Bit, Problem> {
        let place = Place::whole(Source::BitRack, "--bit");
        bit(&BitText { text: text.to_owned(), place }, 1, job)
    }

    #[test]
    fn bits_as_people_write_them() {
        for (text, cutter, bearing, guides) in [
            ("1/2in flush-trim", 12.7, 12.7, vec![Guide::Tip]),
            ("1/2 in pattern", 12.7, 12.7, vec![Guide::Shank]),
            ("12.7mm pattern, 1in long, max 18000", 12.7, 12.7, vec![Guide::Shank]),
            ("1 1/4\" spiral flush trim", 31.75, 31.75, vec![Guide::Tip]),
            ("3/4in both bearings", 19.05, 19.05, vec![Guide::Shank, Guide::Tip]),
            (
                "3/4in pattern, both bearings",
                19.05,
                19.05,
                vec![Guide::Shank, Guide::Tip],
            ),
            ("12.7mm pattern, bearing 14.3mm", 12.7, 14.3, vec![Guide::Shank]),
            ("1/4in straight + 1/2in bush, 1in long", 6.35, 12.7, vec![Guide::Bush]),
        ] {
            let read = read_bit(text, &Job::default()).expect(text);
            assert!((read.cutter.mm() - cutter).abs() < 1e-9, "{text}: {read:?}");
            assert!((read.bearing.mm() - bearing).abs() < 1e-9, "{text}: {read:?}");
            assert_eq!(read.guides, guides, "{text}");
        }
    }

    #[test]
    fn a_bits_own_words_hold_over_the_jobs() {
        let job = Job {
            cut_length: Some(Mm::of(40.0)),
            bearing: Diameter::new(Mm::of(16.0)),
            ..Job::default()
        };
        let own = read_bit("12mm pattern, 1in long, reach 60mm, bearing 14mm", &job)
            .expect("all is said");
        assert_eq!(own.cut_length, Some(Mm::of(25.4)), "its own length");
        assert_eq!(own.reach, Some(Mm::of(60.0)), "its reach");
        assert!((own.bearing.mm() - 14.0).abs() < 1e-9, "its own bearing");
        let bare = read_bit("12mm pattern", &job).expect("the job says the rest");
        assert_eq!(bare.cut_length, Some(Mm::of(40.0)), "the job's length");
        assert!((bare.bearing.mm() - 16.0).abs() < 1e-9, "the job's bearing");
    }

    #[test]
    fn what_cannot_be_read_is_refused_with_an_example() {
        for (text, id) in [
            ("12.7 pattern", "length-without-unit"),
            ("1/2 pattern, 1in long", "length-without-unit"),
            ("12.7mm pattern, 25 long", "length-without-unit"),
            ("12.7mm", "bit-without-guide"),
            ("1/4in straight", "bit-without-guide"),
            ("pattern", "bit-not-on-rack"),
            ("12mm pattern, many flutes", "bit-unreadable"),
            ("0mm pattern", "bit-unreadable"),
            ("-3mm pattern", "bit-unreadable"),
            ("12mm roundover", "bit-unreadable"),
            ("12mm pattern, max fast", "bit-unreadable"),
            ("12mm pattern + 16mm bush", "bit-unreadable"),
            ("12mm straight + 16mm collar", "bit-unreadable"),
            ("", "bit-unreadable"),
        ] {
            let problem = read_bit(text, &Job::default()).expect_err(text);
            assert_eq!(problem.id, id, "{text}: {problem:?}");
            assert!(!problem.hint.is_empty() && problem.place.is_some(), "{text}");
        }
    }

    /// The rack of a job for the tests below.
    fn racked() -> Job {
        let text = "[half]\ncutter = \"1/2in\"\nbearing-at = \"shank\"\nbearings = [\"9/16in\"]\nflutes = 2\nspeed = 22000\nshank = \"1/4in\"\n";
        let rack = crate::read::rack("bits.toml", text).expect("a rack").value;
        Job { rack, ..Job::default() }
    }

    #[test]
    fn a_bit_is_found_on_the_rack_by_its_name() {
        let half = read_bit("Half", &racked()).expect("on the rack");
        assert_eq!(
            (half.guides.as_slice(), half.body.flutes),
            (&[Guide::Shank][..], Some(2))
        );
        assert_eq!(half.marked_speed, Some(22000.0), "its mark");
        let oversize = read_bit("half, bearing 9/16in", &racked()).expect("it fits");
        assert!((oversize.bearing.mm() - 14.2875).abs() < 1e-9, "the oversize bearing");
        let other = read_bit("half, bearing 5/8in", &racked()).expect_err("it does not");
        assert_eq!(other.id, "bearing-does-not-fit");
        let misspelt = read_bit("haif", &racked()).expect_err("none of that name");
        assert!(misspelt.hint.contains("use `half`"), "{}", misspelt.hint);
        let own = read_bit(
            "1/2in pattern, shank 1/4in, 2 flutes, bearing 5mm high, bearings 1/2in and 9/16in",
            &Job::default(),
        );
        let own = own.expect("the same in its own words").body;
        assert_eq!((own.shank, own.flutes), (half.body.shank, Some(2)));
        assert_eq!(own.bearings.len(), 2, "both: {own:?}");
        assert_eq!(own.bearings[1..], half.body.bearings[..], "the oversize one");
        assert_eq!(own.bearing_height, Some(Mm::of(5.0)));
    }

    #[test]
    fn a_bare_number_takes_the_jobs_unit() {
        let job = Job { units: Some(Unit::Inch), ..Job::default() };
        let read = read_bit("1/2 pattern, 1 long", &job).expect("inches");
        assert!((read.cutter.mm() - 12.7).abs() < 1e-9, "{read:?}");
        assert_eq!(read.cut_length, Some(Mm::of(25.4)), "{read:?}");
    }
}
