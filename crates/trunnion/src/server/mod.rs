//! The language server: LSP 3.17 over standard input and output.
//!
//! One thread owns the session and takes jobs from one queue, strictly in the
//! order received. The server library runs handlers concurrently by default;
//! here it is told to start them one at a time, every notification puts its job
//! in the queue before its handler first waits, and no handler waits for a
//! reply of the client.

mod backend;
mod convert;
mod worker;

use tower_lsp::{LspService, Server};

use crate::{CLEAR, Failure};

/// Serves until the editor says to stop.
pub fn run() -> Result<u8, Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    runtime.block_on(async {
        let (service, socket) = LspService::build(backend::Backend::new).finish();
        Server::new(tokio::io::stdin(), tokio::io::stdout(), socket)
            .concurrency_level(1)
            .serve(service)
            .await;
    });
    // A read of standard input may still be waiting; it must not hold the end up.
    runtime.shutdown_background();
    Ok(CLEAR)
}
