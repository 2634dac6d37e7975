//! The letters of a PDF: a free font's Latin letters, their codes and their widths.
//!
//! The font and its licence lie in `font`. Letters that Windows code page 1252 does not have
//! come out as question marks, which nobody takes for a figure.

use ttf_parser::Face;

/// One face of the font.
#[derive(Debug, Clone, Copy)]
pub(super) struct Font {
    /// Its name inside the PDF.
    pub(super) name: &'static str,
    /// The file.
    pub(super) bytes: &'static [u8],
}

/// Plain letters.
pub(super) const PLAIN: Font = Font {
    name: "NotoSans-Regular",
    bytes: include_bytes!("font/NotoSans-Regular-Latin.ttf"),
};

/// Heavy letters.
pub(super) const HEAVY: Font =
    Font { name: "NotoSans-Bold", bytes: include_bytes!("font/NotoSans-Bold-Latin.ttf") };

/// The letters of the code page from 0x80 to 0x9f; `\0` where it has none.
const UPPER: &str = "\u{20ac}\0\u{201a}\u{192}\u{201e}\u{2026}\u{2020}\u{2021}\u{2c6}\u{2030}\u{160}\u{2039}\u{152}\0\u{17d}\0\0\u{2018}\u{2019}\u{201c}\u{201d}\u{2022}\u{2013}\u{2014}\u{2dc}\u{2122}\u{161}\u{203a}\u{153}\0\u{17e}\u{178}";

/// A text in the code page.
pub(super) fn encoded(text: &str) -> Vec<u8> {
    text.chars().map(|letter| code(letter).unwrap_or(b'?')).collect()
}

fn code(letter: char) -> Option<u8> {
    let number = u32::from(letter);
    if (0x20..0x7f).contains(&number) || (0xa0..0x100).contains(&number) {
        return u8::try_from(number).ok();
    }
    let found = (0x80..).zip(UPPER.chars()).find(|&(_, upper)| upper == letter);
    found.filter(|_| letter != '\0').map(|(code, _)| code)
}

fn letter(code: u8) -> Option<char> {
    let upper = code.checked_sub(0x80).and_then(|index| UPPER.chars().nth(index.into()));
    let letter = upper.unwrap_or(char::from(code));
    (letter != '\0').then_some(letter)
}

/// What a PDF says of a font, in thousandths of the type's height.
#[derive(Debug)]
pub(super) struct Metrics {
    /// The widths of the codes from 32 to 255.
    pub(super) widths: Vec<f32>,
    /// The box that holds every letter: left, low, right, high.
    pub(super) bounds: [f32; 4],
    /// How far letters go up, how far down, and how high a capital is.
    pub(super) heights: [f32; 3],
}

impl Font {
    /// Its metrics.
    pub(super) fn metrics(self) -> Metrics {
        let face = self.face();
        let share = 1000.0 / f32::from(face.units_per_em());
        let bounds = face.global_bounding_box();
        let bounds = [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max];
        let capital = face.capital_height().unwrap_or(face.ascender());
        let heights = [face.ascender(), face.descender(), capital];
        Metrics {
            widths: (32..=255)
                .map(|code| f32::from(width(&face, code)) * share)
                .collect(),
            bounds: bounds.map(|number| f32::from(number) * share),
            heights: heights.map(|number| f32::from(number) * share),
        }
    }

    /// How wide a text is, in the unit of the type's height.
    pub(super) fn width_of(self, text: &str, size: f64) -> f64 {
        let face = self.face();
        let units: f64 =
            encoded(text).into_iter().map(|code| f64::from(width(&face, code))).sum();
        units * size / f64::from(face.units_per_em())
    }

    fn face(self) -> Face<'static> {
        Face::parse(self.bytes, 0).expect("the built-in font is sound")
    }
}

/// How wide a letter is, in the font's units.
fn width(face: &Face<'_>, code: u8) -> u16 {
    let glyph = letter(code).and_then(|letter| face.glyph_index(letter));
    glyph.and_then(|glyph| face.glyph_hor_advance(glyph)).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_of_the_code_page_has_a_width() {
        for font in [PLAIN, HEAVY] {
            for (code, width) in (32_u8..=255).zip(font.metrics().widths) {
                if letter(code).is_some() && code != 0x7f {
                    assert!(0.0 < width, "{} has {code:#x}", font.name);
                }
            }
        }
    }

    #[test]
    fn letters_that_the_font_lacks_are_marked() {
        let codes = [0xc4, b' ', b'9', b'0', 0xb0, b' ', 0x96, b' ', 0xd7];
        assert_eq!(encoded("Ä 90° – ×"), codes);
        assert_eq!(encoded("Ω"), b"?");
    }
}
