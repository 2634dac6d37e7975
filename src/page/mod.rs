//! The local page: requests in, the same functions as the command line.
//!
//! Two processes: a server, which alone knows HTTP, and a worker, which plans. The server holds
//! no plan and the worker no person's work: a desk, the text of a job with the files it names,
//! goes to and fro whole. A worker that takes too long, or whose answer nobody waits for any
//! more, is ended, and another begins.

mod assets;

mod change;

mod desk;

mod fields;

mod hints;

mod kept;

mod line;

mod offers;

mod patient;

mod rack;

mod server;

mod shown;

mod start;

mod worker;

pub use change::with_options;
pub use desk::{Desk, digest};
pub use hints::options_of_hints;
pub use line::WorkerCommand;
pub use server::{Opening, serve};
pub use start::{job_of_drawing, named_job};
pub use worker::{Keep, work};
