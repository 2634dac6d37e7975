//! A binary drawing's groups written out as the text that says the same.
//!
//! So everything after this reads one form only.

/// What a binary drawing starts with, behind its maker's word.
const MARK: &[u8] = b" Binary DXF\r\n\x1a\0";
/// The mark with the word before it, in bytes.
const MARK_LENGTH: usize = 22;

/// Whether these bytes are a binary drawing.
pub(super) fn is_binary(bytes: &[u8]) -> bool {
    bytes.get(..MARK_LENGTH).is_some_and(|head| head.ends_with(MARK))
}

/// The text of a binary drawing; `Err` with the byte where it breaks off.
pub(super) fn text(bytes: &[u8]) -> Result<Vec<u8>, usize> {
    let mut groups = Groups { bytes, at: MARK_LENGTH, wide: false };
    // The first group is `0 SECTION`: codes of two bytes show by its second zero.
    groups.wide = bytes.get(MARK_LENGTH + 1) == Some(&0);
    let mut text = Vec::new();
    while groups.at < bytes.len() {
        let at = groups.at;
        groups.write_next(&mut text).ok_or(at)?;
    }
    Ok(text)
}

struct Groups<'a> {
    bytes: &'a [u8],
    at: usize,
    wide: bool,
}

impl Groups<'_> {
    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let taken = self.bytes.get(self.at..self.at + N)?.try_into().ok()?;
        self.at += N;
        Some(taken)
    }

    fn code(&mut self) -> Option<u16> {
        if self.wide {
            return self.take().map(u16::from_le_bytes);
        }
        match self.take()? {
            [255] => self.take().map(u16::from_le_bytes),
            [code] => Some(u16::from(code)),
        }
    }

    /// Writes the next group as two lines.
    fn write_next(&mut self, text: &mut Vec<u8>) -> Option<()> {
        let code = self.code()?;
        text.extend(format!("{code}\n").bytes());
        match code {
            10..=59 | 110..=149 | 210..=239 | 460..=469 | 1010..=1059 => {
                let number = f64::from_le_bytes(self.take()?);
                text.extend(format!("{number:?}").bytes());
            }
            60..=79 | 170..=179 | 270..=289 | 370..=389 | 400..=409 | 1060..=1070 => {
                text.extend(i16::from_le_bytes(self.take()?).to_string().bytes());
            }
            90..=99 | 420..=429 | 440..=459 | 1071 => {
                text.extend(i32::from_le_bytes(self.take()?).to_string().bytes());
            }
            160..=169 => {
                text.extend(i64::from_le_bytes(self.take()?).to_string().bytes());
            }
            290..=299 => text.extend(u8::from_le_bytes(self.take()?).to_string().bytes()),
            310..=319 | 1004 => {
                let [length] = self.take()?;
                let end = self.at + usize::from(length);
                let chunk = self.bytes.get(self.at..end)?;
                text.extend(chunk.iter().flat_map(|b| format!("{b:02X}").into_bytes()));
                self.at = end;
            }
            _ => {
                let rest = self.bytes.get(self.at..)?;
                let end = rest.iter().position(|&byte| byte == 0)?;
                // A text over more than one line would read as more than one group.
                let line = rest[..end].iter().filter(|byte| !b"\r\n".contains(byte));
                text.extend(line);
                self.at += end + 1;
            }
        }
        text.push(b'\n');
        Some(())
    }
}
