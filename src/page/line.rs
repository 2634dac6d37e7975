//! The line of requests before the one worker.
//!
//! The worker is a process of its own, so that whatever it does can be stopped: it is ended when
//! its time is over or nobody waits for its answer any more, and the next request starts another.

use super::desk::{Ask, Said};
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::process::Stdio;
use std::sync::Arc;
use tokio::io::{AsyncBufReadExt, AsyncReadExt, AsyncWriteExt, BufReader};
use tokio::process::{Child, ChildStdin, ChildStdout, Command};
use tokio::sync::mpsc;
use tokio::time::{Duration, timeout};

/// The longest that one request may take the worker (from memory: a drawing that takes longer
/// is full of noise).
const LIMIT: Duration = Duration::from_mins(2);
/// So many requests wait at most (from memory).
const WAITING: usize = 64;
/// The largest answer, in bytes (from memory: far above the data of any plan).
const LARGEST_ANSWER: usize = 500_000_000;

/// The bytes of a file under their digest.
pub(super) type ByDigest = (String, Arc<Vec<u8>>);

/// A worker that has been given more bytes of files than this makes room for another (from
/// memory).
const MOST_GIVEN: usize = 300_000_000;

/// A request with all it needs.
#[derive(Debug)]
pub(super) struct Request {
    /// What is asked.
    pub(super) ask: Ask,
    /// The files it needs, by digest.
    pub(super) files: Vec<ByDigest>,
    /// Whether a newer one has taken its place.
    pub(super) is_passed_over: Newest,
    /// Where its answer goes.
    pub(super) reply: mpsc::Sender<Reply>,
}

/// Tells whether a request is still the newest of its kind.
#[derive(Debug, Clone)]
pub(super) struct Newest {
    /// The number of the newest.
    pub(super) newest: Arc<std::sync::atomic::AtomicU64>,
    /// This one's.
    pub(super) own: u64,
}

impl Newest {
    fn is_passed_over(&self) -> bool {
        self.own < self.newest.load(std::sync::atomic::Ordering::SeqCst)
    }
}

/// What comes back of a request.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Reply {
    /// It has come to this stage.
    At(String),
    /// The answer: what it is, and its bytes; nothing where there is none.
    Answer(Option<(String, Vec<u8>)>),
    /// A newer one has taken its place.
    PassedOver,
    /// The worker has ended before it answered.
    Failed,
    /// It took too long.
    TooLong,
}

/// Where requests are put in.
#[derive(Debug, Clone)]
pub(super) struct Line(mpsc::Sender<Request>);

impl Line {
    /// A line before a worker that this command starts.
    pub(super) fn new(worker: WorkerCommand) -> Self {
        Self::with_limit(worker, LIMIT)
    }

    fn with_limit(worker: WorkerCommand, limit: Duration) -> Self {
        let (sender, receiver) = mpsc::channel(WAITING);
        tokio::spawn(serve(worker, limit, receiver));
        Self(sender)
    }

    /// Puts a request in; `false` where the line is full.
    pub(super) fn put(&self, request: Request) -> bool {
        self.0.try_send(request).is_ok()
    }
}

/// How a worker is started: the program and its word.
#[derive(Debug, Clone)]
pub struct WorkerCommand {
    /// The program: this one.
    pub program: PathBuf,
    /// The word that makes a worker of it.
    pub word: String,
}

async fn serve(
    command: WorkerCommand,
    limit: Duration,
    mut requests: mpsc::Receiver<Request>,
) {
    let mut worker = None;
    while let Some(request) = requests.recv().await {
        if request.is_passed_over.is_passed_over() {
            // A page that has gone away needs no answer.
            let _ = request.reply.send(Reply::PassedOver).await;
            continue;
        }
        let done = tokio::select! {
            done = timeout(limit, answered(&command, &mut worker, &request)) => done,
            () = request.reply.closed() => Ok(None),
        };
        let reply = match done {
            Ok(Some(answer)) => Reply::Answer(answer),
            Ok(None) => Reply::Failed,
            Err(_) => Reply::TooLong,
        };
        if !matches!(reply, Reply::Answer(_)) {
            // Dropping it ends the process.
            worker = None;
        }
        let _ = request.reply.send(reply).await;
    }
}

/// The worker's process and what it keeps.
struct Worker {
    /// Ended when it is dropped.
    _process: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    kept: BTreeSet<String>,
    /// How many bytes of files it has been given.
    n_bytes: usize,
}

impl Worker {
    fn start(command: &WorkerCommand) -> Option<Self> {
        let mut process = Command::new(&command.program)
            .arg(&command.word)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .kill_on_drop(true)
            .spawn()
            .ok()?;
        let (input, output) = (process.stdin.take()?, process.stdout.take()?);
        let output = BufReader::new(output);
        Some(Self { _process: process, input, output, kept: BTreeSet::new(), n_bytes: 0 })
    }

    async fn say(&mut self, ask: &Ask, bytes: &[u8]) -> Option<()> {
        let mut line = serde_json::to_vec(ask).ok()?;
        line.push(b'\n');
        self.input.write_all(&line).await.ok()?;
        self.input.write_all(bytes).await.ok()?;
        self.input.flush().await.ok()
    }

    async fn hear(&mut self) -> Option<Said> {
        let mut line = String::new();
        self.output.read_line(&mut line).await.ok()?;
        serde_json::from_str(&line).ok()
    }
}

/// What the worker answers; nothing where it has ended.
async fn answered(
    command: &WorkerCommand,
    worker: &mut Option<Worker>,
    request: &Request,
) -> Option<Option<(String, Vec<u8>)>> {
    if worker.as_ref().is_none_or(|worker| MOST_GIVEN < worker.n_bytes) {
        *worker = Worker::start(command);
    }
    let worker = worker.as_mut()?;
    for (digest, bytes) in &request.files {
        if worker.kept.insert(digest.clone()) {
            worker.n_bytes += bytes.len();
            let keep = Ask::Keep { digest: digest.clone(), bytes: bytes.len() };
            worker.say(&keep, bytes).await?;
        }
    }
    worker.say(&request.ask, &[]).await?;
    loop {
        match worker.hear().await? {
            Said::At(stage) => request.reply.send(Reply::At(stage)).await.ok()?,
            Said::Answer { kind, bytes } if bytes <= LARGEST_ANSWER => {
                let mut answer = vec![0; bytes];
                worker.output.read_exact(&mut answer).await.ok()?;
                return Some(kind.map(|kind| (kind, answer)));
            }
            Said::Answer { .. } => return None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::AtomicU64;

    /// A request and where its answers come.
    fn request(own: u64, newest: &Arc<AtomicU64>) -> (Request, mpsc::Receiver<Reply>) {
        let (reply, replies) = mpsc::channel(4);
        let is_passed_over = Newest { newest: Arc::clone(newest), own };
        let request =
            Request { ask: Ask::Offers, files: Vec::new(), is_passed_over, reply };
        (request, replies)
    }

    fn command(program: &str, word: &str) -> WorkerCommand {
        WorkerCommand { program: program.into(), word: word.to_owned() }
    }

    #[tokio::test]
    async fn what_takes_too_long_is_ended_and_the_next_has_its_turn() {
        let newest = Arc::new(AtomicU64::new(1));
        let line = Line::with_limit(command("sleep", "100"), Duration::from_millis(50));
        let (first, mut one) = request(1, &newest);
        let (second, mut other) = request(1, &newest);
        assert!(line.put(first) && line.put(second), "there is room");
        assert_eq!(one.recv().await, Some(Reply::TooLong));
        assert_eq!(other.recv().await, Some(Reply::TooLong), "another worker, as slow");
    }

    #[tokio::test]
    async fn an_older_request_makes_room_for_a_newer_one() {
        let newest = Arc::new(AtomicU64::new(2));
        let line = Line::with_limit(command("sleep", "100"), Duration::from_millis(50));
        let (old, mut replies) = request(1, &newest);
        assert!(line.put(old), "there is room");
        assert_eq!(replies.recv().await, Some(Reply::PassedOver));
    }

    #[tokio::test]
    async fn a_worker_that_ends_or_talks_nonsense_is_told_of() {
        let newest = Arc::new(AtomicU64::new(1));
        for program in ["true", "cat", "no-such-program"] {
            let line = Line::with_limit(command(program, "-"), Duration::from_secs(5));
            let (request, mut replies) = request(1, &newest);
            assert!(line.put(request), "there is room");
            assert_eq!(replies.recv().await, Some(Reply::Failed), "{program}");
        }
    }
}
