//! One line of a program as words, by the grammar of the report: published: NIST, The NIST
//! RS274NGC Interpreter - Version 3, NISTIR 6556, 2000, section 3.3.

/// The longest line the report allows.
const LONGEST: usize = 256;
/// The letters that may start a word (table 3 of the report), `N` apart.
const LETTERS: &str = "ABCDFGHIJKLMPQRSTXYZ";

/// One line, taken apart; used again for the next.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Block {
    /// Whether it starts with `/`: it is skipped where a switch says so.
    pub optional: bool,
    /// Its words in order.
    pub words: Vec<(char, f64)>,
    /// Whether it is `%` alone.
    pub percent: bool,
    /// Whether a comment holds anything but ASCII.
    pub odd_comment: bool,
}

impl Block {
    /// The number of the word with this letter.
    pub(super) fn get(&self, letter: char) -> Option<f64> {
        self.words.iter().find(|word| word.0 == letter).map(|word| word.1)
    }

    /// Takes a line apart; `bare` is room to work in.
    ///
    /// # Errors
    /// Says what is not allowed, or not read here.
    pub(super) fn read(&mut self, line: &str, bare: &mut String) -> Result<(), String> {
        self.words.clear();
        (self.optional, self.percent, self.odd_comment) = (false, false, false);
        if LONGEST < line.len() && LONGEST < line.chars().count() {
            return Err(format!("the line is longer than {LONGEST} characters"));
        }
        without_comments(line, self, bare)?;
        if bare == "%" {
            self.percent = true;
            return Ok(());
        }
        let mut rest = bare.as_str();
        if let Some(after) = rest.strip_prefix('/') {
            self.optional = true;
            rest = after;
        }
        if let Some(after) = rest.strip_prefix('N') {
            rest = line_number(after)?;
        }
        while let Some(letter) = rest.chars().next() {
            let (number, after) = word(letter, &rest[letter.len_utf8()..])?;
            if !matches!(letter, 'G' | 'M') && self.get(letter).is_some() {
                return Err(format!("`{letter}` stands twice on the line"));
            }
            self.words.push((letter, number));
            rest = after;
        }
        Ok(())
    }
}

/// The line in capitals, without white space and comments.
fn without_comments(
    line: &str,
    block: &mut Block,
    bare: &mut String,
) -> Result<(), String> {
    bare.clear();
    let plain = |c: &u8| matches!(c, b'A'..=b'Z' | b'0'..=b'9' | b'.' | b'-');
    let (mut inside, mut rest) = (false, line);
    loop {
        if !inside {
            let run = rest.bytes().take_while(plain).count();
            bare.push_str(&rest[..run]);
            rest = &rest[run..];
        }
        let Some(c) = rest.chars().next() else { break };
        rest = &rest[c.len_utf8()..];
        match (inside, c) {
            (true, '(') => return Err("a comment holds a bracket".to_owned()),
            (true, ')') => inside = false,
            (true, c) => block.odd_comment |= !c.is_ascii(),
            (false, '(') => inside = true,
            (false, ' ' | '\t' | '\r') => {}
            (false, c) => bare.push(c.to_ascii_uppercase()),
        }
    }
    if inside { Err("a comment is not closed".to_owned()) } else { Ok(()) }
}

/// What follows a line number.
fn line_number(text: &str) -> Result<&str, String> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    if (1..=5).contains(&digits) {
        Ok(&text[digits..])
    } else {
        Err("a line number has one to five digits".to_owned())
    }
}

/// The number of a word, and what follows it.
fn word(letter: char, text: &str) -> Result<(f64, &str), String> {
    if letter == '#' || letter == '[' || text.starts_with(['#', '[']) {
        return Err("parameters and expressions are not read".to_owned());
    }
    if !LETTERS.contains(letter) {
        return Err(format!("`{letter}` starts no word"));
    }
    let sign = usize::from(text.starts_with(['+', '-']));
    let digits = |c: &u8| c.is_ascii_digit() || *c == b'.';
    let length = sign + text.bytes().skip(sign).take_while(digits).count();
    let number = &text[sign..length];
    let points = number.bytes().filter(|&c| c == b'.').count();
    let plain = points <= 1 && points < number.len();
    let value =
        text[..length].trim_start_matches('+').parse::<f64>().ok().filter(|_| plain);
    value
        .map(|value| (value, &text[length..]))
        .ok_or_else(|| format!("`{letter}` has no number"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(line: &str) -> Result<Block, String> {
        let mut block = Block::default();
        block.read(line, &mut String::new()).map(|()| block)
    }

    #[test]
    fn white_space_case_and_comments_change_nothing() {
        let plain = block("G1X1.5Y-.25").expect("a plain line").words;
        for text in [
            "g 1 x +1. 5 y- .25 (to the corner)",
            "N0010 G1 (a) X1.50 (b) Y-0.25",
            "  n9g01x01.5y-00.25\r",
        ] {
            assert_eq!(block(text).expect(text).words, plain, "{text}");
        }
        assert_eq!(plain, [('G', 1.0), ('X', 1.5), ('Y', -0.25)], "three words");
    }

    #[test]
    fn what_the_grammar_does_not_allow_is_refused() {
        for text in [
            "G1 X1e3",
            "G1 X",
            "G1 X1.2.3",
            "G1 X.",
            "N123456 G1",
            "N G1",
            "G1 U4",
            "X1 X2",
            "G1 X#3",
            "#3=1",
            "G1 X[1+2]",
            "(open",
            "(a (b))",
            "G1 X1 ; comment",
            "X--1",
        ] {
            assert!(block(text).is_err(), "{text}");
        }
    }
}
