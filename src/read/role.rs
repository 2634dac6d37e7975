//! What is done to an edge.

/// What is done to an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Routed against the template.
    Rout,
    /// Planed or sawn true already; a reference; never routed.
    TrueAlready,
    /// The piece continues past the template here.
    GoesOn,
    /// Only the template has this edge: it runs on past the part, where passes start and end.
    RunOn,
}

impl Role {
    /// The trade's words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rout => "rout",
            Self::TrueAlready => "true already",
            Self::GoesOn => "goes on",
            Self::RunOn => "run-on",
        }
    }
}
