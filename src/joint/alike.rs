//! How the halves of a joint are alike: which template serves which half, and how it may lie.

/// How the halves of a joint are alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Alike {
    /// Whether half A's template serves half B, and how it lies on it.
    pub serves: Option<Serves>,
    /// Whether the template of half A, and that of half B, may lie with either face up: the half
    /// is its own mirror image.
    pub either_face: [bool; 2],
}

/// How half A's template lies on half B.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Serves {
    /// The second piece end for end, the same face up.
    EndForEnd,
    /// The same face up, as each half is drawn.
    SameFace,
    /// The template turned over: half B is half A's mirror image.
    TurnedOver,
}

impl Alike {
    /// The facts in the trade's words, one sentence each.
    pub fn words(&self) -> Vec<&'static str> {
        let mut words = vec![match self.serves {
            Some(Serves::EndForEnd) => {
                "One template serves both halves: for half B lay the second piece end for end, the same face up."
            }
            Some(Serves::SameFace) => {
                "One template serves both halves, with the same face up on each."
            }
            Some(Serves::TurnedOver) => {
                "Half B is half A's mirror image: the template of half A turned over serves half B too."
            }
            None => "Half A and half B each need a template of their own.",
        }];
        let either = match self.either_face {
            [true, true] => {
                "Each half is its own mirror image: its template may lie with either face up."
            }
            [true, false] => {
                "Half A is its own mirror image: its template may lie with either face up, half B's may not."
            }
            [false, true] => {
                "Half B is its own mirror image: its template may lie with either face up, half A's may not."
            }
            [false, false] => return words,
        };
        words.push(either);
        words
    }
}
