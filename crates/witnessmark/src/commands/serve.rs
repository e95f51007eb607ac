//! `witnessmark serve`: the pages of a book.

use crate::output::say;
use crate::{arguments::Serve, error::Failed};
use book::{Book, Clock};
use std::{net::SocketAddr, sync::Arc};
use tracing_subscriber::EnvFilter;

pub fn run(of: &Serve) -> Result<(), Failed> {
    let book = Arc::new(Book::open(&of.book.folder)?);
    serve(book, of.today.clock(), of.listen)
}

/// Serves until the process is told to stop.
pub fn serve(book: Arc<Book>, clock: Clock, listen: SocketAddr) -> Result<(), Failed> {
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("warn"));
    _ = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).try_init();
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().map_err(Failed::Server)?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::bind(listen)
            .await
            .map_err(|source| Failed::Listen { address: listen.to_string(), source })?;
        let address = listener.local_addr().map_err(Failed::Server)?;
        say!("Witness Mark is at http://{address}/");
        if !address.ip().is_loopback() {
            say!("Everybody on this network can read and write the book: keep it inside the workshop.");
        }
        web::serve(listener, book, clock).await.map_err(Failed::Server)
    })
}
