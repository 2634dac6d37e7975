//! The local page: requests in, the same functions as the command line.
//!
//! Two processes: a server, which alone knows HTTP, and a worker, which plans. The server holds
//! no plan and the worker no person's work: a desk, the text of a job with the files it names,
//! goes to and fro whole. A worker that takes too long, or whose answer nobody waits for any
//! more, is ended, and another begins.

mod assets;

mod desk;

mod line;

mod server;

mod shown;

mod worker;

pub use desk::Desk;
pub use line::WorkerCommand;
pub use server::{Opening, serve};
pub use worker::{Keep, work};
