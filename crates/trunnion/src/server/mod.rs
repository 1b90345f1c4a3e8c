//! The language server: LSP 3.17 over standard input and output.
//!
//! One thread owns the session and takes jobs from one queue, strictly in the
//! order received. The server library runs handlers concurrently by default;
//! here it is told to start them one at a time, every notification puts its job
//! in the queue before its handler first waits, and no handler waits for a
//! reply of the client. Long work runs on a thread of its own, on a snapshot of the texts.

mod backend;
mod convert;
mod frames;
mod planning;
mod worker;

use tower_lsp::{LspService, Server};

use crate::{CLASH, CLEAR, Failure};

/// How much of the input may wait, in bytes.
const WAITING: usize = 1 << 20;

/// Serves until the editor says to stop. Ends with a failure when it stops without saying so
/// first, as the protocol demands.
pub fn run() -> Result<u8, Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    let end = runtime.block_on(async {
        let service = LspService::build(backend::Backend::new)
            // The library knows the request for progress, not this notification.
            .custom_method("window/workDoneProgress/cancel", backend::Backend::cancel);
        let (service, socket) = service.finish();
        let (sender, receiver) = tokio::io::duplex(WAITING);
        let input = tokio::spawn(frames::hand_on(tokio::io::stdin(), sender));
        Server::new(receiver, tokio::io::stdout(), socket).concurrency_level(1).serve(service).await;
        input.await
    });
    // A read of standard input may still be waiting; it must not hold the end up.
    runtime.shutdown_background();
    Ok(if matches!(end, Ok(frames::End::Abrupt)) { CLASH } else { CLEAR })
}
