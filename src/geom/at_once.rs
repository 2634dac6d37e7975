//! Two works at the same time, on two cores where there are two. The proof has its own: it
//! shares nothing with the kernel that it judges.
//!
//! ```text
//!   first  ====*        each in a thread of its own; the answer is both answers, always in this
//!   second =======*     order, so that it never tells which of them was done sooner
//!                 both
//! ```
//!
//! Common practice, no source.

use std::panic::resume_unwind;
use std::thread::{Builder, scope};

/// What both give: the first is done in a thread of its own, or after the other where the system
/// has none to spare.
pub(super) fn at_once<A: Send, B>(
    first: &(impl Fn() -> A + Sync),
    second: impl FnOnce() -> B,
) -> (A, B) {
    scope(|scope| {
        let thread = Builder::new().spawn_scoped(scope, first);
        let given = second();
        let own = thread.map_or_else(
            |_| first(),
            |thread| thread.join().unwrap_or_else(|panic| resume_unwind(panic)),
        );
        (own, given)
    })
}
