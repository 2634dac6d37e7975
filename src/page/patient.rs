//! Connections that do not wait for ever: one over which nothing has gone out for a while is closed,
//! so that a request that never ends, or that comes a letter at a time, holds nothing.

use axum::serve::Listener;
use std::io;
use std::net::SocketAddr;
use std::pin::Pin;
use std::task::{Context, Poll};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::{TcpListener, TcpStream};
use tokio::time::{Duration, Instant, Sleep, sleep};

/// A listener whose connections wait only so long.
pub(super) struct Patient {
    /// Where they come in.
    pub(super) listener: TcpListener,
    /// How long they wait.
    pub(super) patience: Duration,
}

impl Listener for Patient {
    type Io = Waiting;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Waiting, SocketAddr) {
        let (stream, address) = Listener::accept(&mut self.listener).await;
        // An answer's lines go out one by one: none waits till the one before is acknowledged,
        // which takes a browser 40 ms. A connection that cannot do so is only slower.
        let _ = stream.set_nodelay(true);
        let (patience, end) = (self.patience, Box::pin(sleep(self.patience)));
        (Waiting { stream, patience, end }, address)
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }
}

/// A connection with the moment at which it is closed, unless something goes out over it.
#[derive(Debug)]
pub(super) struct Waiting {
    stream: TcpStream,
    patience: Duration,
    end: Pin<Box<Sleep>>,
}

impl Waiting {
    /// Fails where the time is over.
    fn in_time<T>(
        &mut self,
        cx: &mut Context<'_>,
        done: Poll<io::Result<T>>,
    ) -> Poll<io::Result<T>> {
        match self.end.as_mut().poll(cx) {
            Poll::Ready(()) => Poll::Ready(Err(io::ErrorKind::TimedOut.into())),
            Poll::Pending => done,
        }
    }
}

impl AsyncRead for Waiting {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let done = Pin::new(&mut self.stream).poll_read(cx, into);
        self.in_time(cx, done)
    }
}

impl AsyncWrite for Waiting {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let done = Pin::new(&mut self.stream).poll_write(cx, bytes);
        if done.is_ready() {
            let end = Instant::now() + self.patience;
            self.end.as_mut().reset(end);
        }
        self.in_time(cx, done)
    }

    fn poll_flush(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(cx)
    }

    fn poll_shutdown(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::Router;
    use tokio::io::{AsyncReadExt, AsyncWriteExt};
    use tokio::time::timeout;

    #[tokio::test]
    async fn a_head_that_never_ends_is_not_waited_for() {
        let listener = TcpListener::bind("127.0.0.1:0").await.expect("a port");
        let address = listener.local_addr().expect("an address");
        let patient = Patient { listener, patience: Duration::from_millis(50) };
        tokio::spawn(async move { axum::serve(patient, Router::new()).await });
        for drips in [false, true] {
            let stream = TcpStream::connect(address).await.expect("it listens");
            let (mut answer, mut question) = stream.into_split();
            question.write_all(b"GET / HTTP/1.1\r\nHost:").await.expect("it listens");
            let dripping = async {
                while drips && question.write_all(b"a").await.is_ok() {
                    sleep(Duration::from_millis(5)).await;
                }
            };
            let mut rest = Vec::new();
            let closed = timeout(Duration::from_secs(10), answer.read_to_end(&mut rest));
            let ((), closed) = tokio::join!(dripping, closed);
            assert!(closed.is_ok(), "it is closed, dripping or not: {drips}");
        }
    }
}
