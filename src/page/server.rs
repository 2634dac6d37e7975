//! The server: the one file that knows HTTP.
//!
//! It listens on the loopback only, below a token in the address; it refuses a foreign `Host` or
//! `Origin`, limits the size and the time of every request, and reads and writes no file.

use super::assets::{self, Asset};
use super::change::Change;
use super::desk::{Ask, Desk, hexadecimal};
use super::kept::Kept;
use super::line::{Line, Newest, Reply, Request, WorkerCommand};
use super::patient::Patient;
use super::start::{self, Start};
use crate::files;
use axum::Router;
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::{Path, Request as Asked, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use futures_util::{StreamExt, stream};
use serde::Deserialize;
use serde_json::{Value, json};
use std::convert::Infallible;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tokio::net::TcpListener;
use tokio::sync::mpsc;
use tokio::time::{Duration, Instant, timeout, timeout_at};

/// The largest desk that is taken, in bytes (from memory: a job is written by hand).
const LARGEST_DESK: usize = 2_000_000;
/// The longest that a request may take to arrive (from memory: it comes from this computer).
const ARRIVAL: Duration = Duration::from_secs(30);
/// The longest that nothing may go out over a connection (from memory: longer than any work takes).
const PATIENCE: Duration = Duration::from_mins(5);
/// Work that is done sooner tells no stage (from memory: nobody reads it in that time).
const SOON: Duration = Duration::from_millis(200);
/// So many ports are tried, one after the other (from memory).
const PORTS: u16 = 50;

/// What is needed to begin.
#[derive(Debug)]
pub struct Opening {
    /// What lies on the desk at first, if anything was named.
    pub desk: Option<Desk>,
    /// The rack that the person's jobs share, if there is one.
    pub rack: Option<Vec<u8>>,
    /// The bytes of its files.
    pub files: Vec<Vec<u8>>,
    /// The port to begin with.
    pub port: u16,
    /// How a worker is started.
    pub worker: WorkerCommand,
    /// Where the page's files are read from in place of those built in, while the page itself is
    /// worked on.
    pub assets: Option<PathBuf>,
}

/// Serves the page until the person stops it; `say` is told the address.
///
/// # Errors
/// No port can be had, or the system gives no random numbers.
pub async fn serve(opening: Opening, say: impl FnOnce(&str)) -> std::io::Result<()> {
    let listener = listen(opening.port).await?;
    let port = listener.local_addr()?.port();
    let token = token()?;
    let app = router(&token, port, opening);
    let listener = Patient { listener, patience: PATIENCE };
    say(&format!("http://127.0.0.1:{port}/{token}/"));
    let stopped = async {
        // Where the signal cannot be heard the process is simply ended by it.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    tokio::select! {
        served = axum::serve(listener, app) => served,
        () = stopped => Ok(()),
    }
}

/// The first free port from this one on; 0 takes any.
async fn listen(port: u16) -> std::io::Result<TcpListener> {
    let mut last = None;
    for port in port..=port.saturating_add(if port == 0 { 0 } else { PORTS }) {
        match TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port))).await {
            Ok(listener) => return Ok(listener),
            Err(error) => last = Some(error),
        }
    }
    Err(last.unwrap_or_else(|| std::io::ErrorKind::AddrInUse.into()))
}

/// 128 random bits in hexadecimal.
fn token() -> std::io::Result<String> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes)
        .map_err(|error| std::io::Error::other(error.to_string()))?;
    Ok(hexadecimal(&bytes))
}

/// What the requests share.
#[derive(Debug)]
struct Shared {
    port: u16,
    line: Line,
    assets: Vec<Asset>,
    assets_elsewhere: Option<PathBuf>,
    first: Option<Desk>,
    rack: Option<String>,
    newest: Arc<AtomicU64>,
    kept: Mutex<Kept>,
}

/// What a step of a request gives, or the answer that refuses it.
type Granted<T> = Result<T, Box<Response>>;

impl Shared {
    fn kept(&self) -> MutexGuard<'_, Kept> {
        // A request that failed leaves whole files and plans behind: nothing is half kept.
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The desk of a plan, by the plan's id.
    fn desk_of(&self, id: &str) -> Option<Desk> {
        let plans = &self.kept().plans;
        plans.iter().find(|(other, _)| other == id).map(|(_, desk)| desk.clone())
    }

    /// The whole answer to a request that no newer one passes over.
    async fn answered(
        &self,
        ask: Ask,
        desk: &Desk,
    ) -> Result<(String, Vec<u8>), StatusCode> {
        let replies = self.ask(ask, desk, u64::MAX);
        let mut replies = replies.map_err(|refused| refused.status())?;
        while let Some(reply) = replies.recv().await {
            match reply {
                Reply::At(_) => {}
                Reply::Answer(answer) => return answer.ok_or(StatusCode::NOT_FOUND),
                Reply::TooLong => return Err(StatusCode::GATEWAY_TIMEOUT),
                Reply::PassedOver | Reply::Failed => break,
            }
        }
        Err(StatusCode::INTERNAL_SERVER_ERROR)
    }

    /// Puts a request for a desk in the line.
    fn ask(&self, ask: Ask, desk: &Desk, own: u64) -> Granted<mpsc::Receiver<Reply>> {
        let files = self.kept().files_of(desk).map_err(|missing| {
            let missing = json!({ "missing": missing }).to_string();
            Box::new((StatusCode::CONFLICT, missing).into_response())
        })?;
        let (reply, replies) = mpsc::channel(16);
        let is_passed_over = Newest { newest: Arc::clone(&self.newest), own };
        if self.line.put(Request { ask, files, is_passed_over, reply }) {
            Ok(replies)
        } else {
            Err(StatusCode::SERVICE_UNAVAILABLE.into_response().into())
        }
    }
}

fn router(token: &str, port: u16, opening: Opening) -> Router {
    let mut kept = Kept::default();
    for bytes in opening.files {
        kept.keep(bytes);
    }
    let rack = opening.rack.map(|bytes| kept.keep(bytes));
    let shared = Arc::new(Shared {
        port,
        line: Line::new(opening.worker),
        assets: assets::all(),
        assets_elsewhere: opening.assets,
        first: opening.desk.map(|desk| desk.with_shared_rack(rack.as_ref())),
        rack,
        newest: Arc::new(AtomicU64::new(0)),
        kept: Mutex::new(kept),
    });
    let at = |path: &str| format!("/{token}/{path}");
    Router::new()
        .route(&at(""), get(page))
        .route(&at("{name}"), get(asset))
        .route(&at("offers"), get(offers))
        .route(&at("start"), post(start))
        .route(&at("file"), post(file))
        .route(&at("file/{digest}"), get(kept_file))
        .route(&at("plan"), post(plan))
        .route(&at("made/{id}/{file}"), get(made))
        .route(&at("made/{id}/sheets"), get(sheets))
        .route(&at("made/{id}/steps/{program}"), get(steps))
        .layer(middleware::from_fn_with_state(Arc::clone(&shared), guarded))
        .with_state(shared)
}

/// Lets only this computer's own page in, and marks every answer.
async fn guarded(
    State(shared): State<Arc<Shared>>,
    asked: Asked,
    next: Next,
) -> Response {
    let mut response = if is_own(asked.headers(), shared.port) {
        next.run(asked).await
    } else {
        StatusCode::FORBIDDEN.into_response()
    };
    for (name, value) in HEADERS {
        response.headers_mut().insert(name, header::HeaderValue::from_static(value));
    }
    response
}

/// What every answer says.
const HEADERS: [(header::HeaderName, &str); 4] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; \
         font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; \
         frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::CACHE_CONTROL, "no-store"),
];

/// Whether a request was meant for this server, and by its own page.
fn is_own(headers: &HeaderMap, port: u16) -> bool {
    let text = |name| headers.get(name).map(|value| value.to_str().unwrap_or(""));
    let Some(host) = text(header::HOST) else { return false };
    let hosts = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let own_origin = format!("http://{host}");
    hosts.iter().any(|own| own == host)
        && text(header::ORIGIN).is_none_or(|origin| origin == own_origin)
}

/// The file of an asset.
const fn file_of(name: &str) -> &str {
    if name.is_empty() { "index.html" } else { name }
}

async fn page(shared: State<Arc<Shared>>) -> Response {
    asset(shared, Path(String::new())).await
}

async fn asset(State(shared): State<Arc<Shared>>, Path(name): Path<String>) -> Response {
    match shared.assets.iter().find(|asset| asset.name == name) {
        Some(Asset { name, kind, text }) => {
            let own = || text.as_bytes().to_vec();
            let folder = shared.assets_elsewhere.as_ref();
            let file = folder.map(|folder| folder.join(file_of(name)));
            let elsewhere = file.and_then(|file| files::load(&file).ok());
            let bytes = elsewhere.unwrap_or_else(own);
            ([(header::CONTENT_TYPE, *kind)], bytes).into_response()
        }
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

/// What a job can begin with, and what lay on the desk when the page was opened.
async fn offers(State(shared): State<Arc<Shared>>) -> Response {
    match shared.answered(Ask::Offers, &Desk::default()).await {
        Ok((_, bytes)) => {
            let mut all: Value = serde_json::from_slice(&bytes).unwrap_or_default();
            all["given"] = json!(shared.first);
            all["largest_file"] = json!(files::LARGEST_INPUT);
            as_json(all.to_string())
        }
        Err(status) => status.into_response(),
    }
}

/// A desk to begin with.
async fn start(State(shared): State<Arc<Shared>>, asked: Asked) -> Response {
    let bytes = match body(asked, LARGEST_DESK).await {
        Ok(bytes) => bytes,
        Err(refused) => return *refused,
    };
    let Ok(start) = serde_json::from_slice::<Start>(&bytes) else {
        return StatusCode::BAD_REQUEST.into_response();
    };
    let desk = start::desk(&start, |bytes| shared.kept().keep(bytes.to_vec()));
    let Some(desk) = desk else { return StatusCode::NOT_FOUND.into_response() };
    as_json(json!(desk.with_shared_rack(shared.rack.as_ref())).to_string())
}

/// A file that is kept, by its digest.
async fn kept_file(
    State(shared): State<Arc<Shared>>,
    Path(digest): Path<String>,
) -> Response {
    let bytes = shared.kept().files.get(&digest).cloned();
    match bytes {
        Some(bytes) => {
            let kind = [(header::CONTENT_TYPE, "application/octet-stream")];
            (kind, bytes.to_vec()).into_response()
        }
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

fn as_json(text: impl Into<Body>) -> Response {
    ([(header::CONTENT_TYPE, "application/json")], text.into()).into_response()
}

/// The body of a request, within its limits.
async fn body(asked: Asked, limit: usize) -> Granted<Bytes> {
    match timeout(ARRIVAL, to_bytes(asked.into_body(), limit)).await {
        Ok(Ok(bytes)) => Ok(bytes),
        Ok(Err(_)) => Err(StatusCode::PAYLOAD_TOO_LARGE.into_response().into()),
        Err(_) => Err(StatusCode::REQUEST_TIMEOUT.into_response().into()),
    }
}

async fn file(State(shared): State<Arc<Shared>>, asked: Asked) -> Response {
    match body(asked, files::LARGEST_INPUT).await {
        Ok(bytes) => {
            let digest = shared.kept().keep(bytes.to_vec());
            as_json(json!({ "digest": digest }).to_string())
        }
        Err(refused) => *refused,
    }
}

/// A request for a plan.
#[derive(Debug, Deserialize)]
struct ToPlan {
    desk: Desk,
    change: Option<Change>,
    #[serde(default)]
    in_sight: Vec<String>,
}

async fn plan(State(shared): State<Arc<Shared>>, asked: Asked) -> Response {
    let bytes = match body(asked, LARGEST_DESK).await {
        Ok(bytes) => bytes,
        Err(refused) => return *refused,
    };
    let Ok(ToPlan { desk, change, in_sight }) = serde_json::from_slice(&bytes) else {
        return StatusCode::BAD_REQUEST.into_response();
    };
    let own = shared.newest.fetch_add(1, Ordering::SeqCst) + 1;
    let ask = Ask::Plan { desk: desk.clone(), change, in_sight };
    match shared.ask(ask, &desk, own) {
        Ok(replies) => as_lines(Stages::of(replies), shared).await,
        Err(refused) => *refused,
    }
}

/// An answer that comes line by line: the stages, then the plan. Where there are none to tell
/// it goes out in one: a browser is woken once.
async fn as_lines(mut replies: Stages, shared: Arc<Shared>) -> Response {
    let first = replies.line(&shared).await;
    let rest = stream::unfold((replies, shared), |(mut replies, shared)| async {
        Some((replies.line(&shared).await?, (replies, shared)))
    });
    let lines = stream::iter(first).chain(rest).map(Ok::<_, Infallible>);
    ([(header::CONTENT_TYPE, "application/x-ndjson")], Body::from_stream(lines))
        .into_response()
}

/// What comes back of a request; stages only of work that lasts.
struct Stages {
    replies: mpsc::Receiver<Reply>,
    /// Before this no stage is told.
    lasts: Instant,
}

impl Stages {
    fn of(replies: mpsc::Receiver<Reply>) -> Self {
        Self { replies, lasts: Instant::now() + SOON }
    }

    async fn next(&mut self) -> Option<Reply> {
        let mut stage = None;
        loop {
            let next = self.replies.recv();
            let next = match stage {
                None => Ok(next.await),
                Some(_) => timeout_at(self.lasts, next).await,
            };
            match next {
                Ok(Some(Reply::At(name))) => stage = Some(name),
                Ok(other) => return other,
                Err(_) => return stage.map(Reply::At),
            }
        }
    }

    async fn line(&mut self, shared: &Shared) -> Option<Vec<u8>> {
        let mut line = match self.next().await? {
            Reply::At(stage) => json!({ "at": stage }).to_string().into_bytes(),
            Reply::Answer(Some((_, bytes))) => {
                remember(shared, &bytes);
                bytes
            }
            Reply::Answer(None) | Reply::Failed => trouble("the-work-stopped"),
            Reply::PassedOver => br#"{"passed_over":true}"#.to_vec(),
            Reply::TooLong => trouble("the-work-took-too-long"),
        };
        line.push(b'\n');
        Some(line)
    }
}

/// Keeps a plan's desk by its id, so that its files can be made when they are asked for.
fn remember(shared: &Shared, answer: &[u8]) {
    #[derive(Deserialize)]
    struct Came {
        shown: Head,
    }
    #[derive(Deserialize)]
    struct Head {
        id: String,
        desk: Desk,
    }
    if let Ok(Came { shown: Head { id, desk } }) = serde_json::from_slice(answer) {
        shared.kept().remember(id, desk);
    }
}

/// What is said where the worker gave no answer.
fn trouble(id: &str) -> Vec<u8> {
    let (text, hint) = if id == "the-work-took-too-long" {
        (
            "planning this took too long, and was stopped",
            "make the outline simpler in the drawing program: fewer points, or curves for them; \
             noise of a scan is taken off there too",
        )
    } else {
        ("planning this was stopped by a fault of the tool", "undo the last change")
    };
    json!({ "problems": [{ "weight": "stop", "id": id, "text": text, "hint": hint }] })
        .to_string()
        .into_bytes()
}

async fn made(
    State(shared): State<Arc<Shared>>,
    Path((id, file)): Path<(String, String)>,
) -> Response {
    let Some(desk) = shared.desk_of(&id) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let disposition = format!("attachment; filename*=UTF-8''{}", encoded(&file));
    match shared.answered(Ask::Made { desk: desk.clone(), file }, &desk).await {
        Ok((kind, bytes)) => {
            let headers = [
                (header::CONTENT_TYPE, kind),
                (header::CONTENT_DISPOSITION, disposition),
            ];
            (headers, bytes).into_response()
        }
        Err(status) => status.into_response(),
    }
}

async fn steps(
    shared: State<Arc<Shared>>,
    Path((id, program)): Path<(String, usize)>,
) -> Response {
    of_plan(shared, &id, |desk| Ask::Steps { desk, program }).await
}

async fn sheets(shared: State<Arc<Shared>>, Path(id): Path<String>) -> Response {
    of_plan(shared, &id, |desk| Ask::Sheets { desk }).await
}

/// What is asked of the desk of a plan.
async fn of_plan(
    State(shared): State<Arc<Shared>>,
    id: &str,
    ask: impl FnOnce(Desk) -> Ask,
) -> Response {
    let Some(desk) = shared.desk_of(id) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    match shared.answered(ask(desk.clone()), &desk).await {
        Ok((kind, bytes)) => ([(header::CONTENT_TYPE, kind)], bytes).into_response(),
        Err(status) => status.into_response(),
    }
}

/// A file's name as a header takes it.
fn encoded(name: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    name.bytes()
        .map(|byte| {
            if plain(byte) {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}
