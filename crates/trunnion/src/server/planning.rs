//! Planning for the editor. It takes long: it runs on a thread of its own, on a snapshot of the texts, so
//! that the session goes on; what comes of it lands in the session's queue, and counts only when the texts
//! are still those of the snapshot.

mod tell;

#[cfg(test)]
mod tests;

use std::cell::Cell;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;

use tokio::sync::mpsc::{UnboundedSender, unbounded_channel};
use tower_lsp::Client;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::*;
use trunnion_ide::plan::{Answer, Offer, Snapshot, Wish, plan};

use self::tell::{Landing, News, tell};
use super::convert;
use super::worker::{Job, State};

/// The command: an address, a conversion's name, a way's name or null.
pub const COMMAND: &str = "trunnion.plan";

/// What a client can do with a plan.
#[derive(Clone, Copy, Debug, Default)]
pub struct Offered {
    /// It shows the progress of work that the server began.
    pub progress: bool,
    /// It takes edits from the server.
    pub edits: bool,
    /// Its edits may name the version that they are for.
    pub versions: bool,
}

impl Offered {
    /// As the client says.
    pub fn by(client: &ClientCapabilities) -> Self {
        let window = client.window.as_ref();
        let workspace = client.workspace.as_ref();
        let edit = workspace.and_then(|it| it.workspace_edit.as_ref());
        Self {
            progress: window.and_then(|it| it.work_done_progress).unwrap_or_default(),
            edits: workspace.and_then(|it| it.apply_edit).unwrap_or_default(),
            versions: edit.and_then(|it| it.document_changes).unwrap_or_default(),
        }
    }
}

/// The plans that are being worked out: the newest for each conversion.
#[derive(Default)]
pub struct Running {
    plans: BTreeMap<(String, String), Run>,
    last: u32,
}

struct Run {
    number: u32,
    snapshot: Arc<Snapshot>,
    stop: Arc<AtomicBool>,
    stopped: Option<Stopped>,
}

/// Why a plan was stopped.
enum Stopped {
    /// The user said so.
    Cancelled,
    /// The file of that path is no longer as it was.
    Changed(String),
}

impl Run {
    fn stop(&mut self, why: Stopped) {
        self.stop.store(true, Ordering::Relaxed);
        self.stopped.get_or_insert(why);
    }
}

/// Reads the arguments of the command.
///
/// # Errors
/// They are none that the server gave out.
pub fn arguments(params: &ExecuteCommandParams) -> Result<(Url, String, Option<String>)> {
    if params.command != COMMAND {
        return Err(Error::invalid_params(format!("no command `{}`", params.command)));
    }
    let wrong =
        || Error::invalid_params(format!("{COMMAND} wants an address, a conversion and a way or null"));
    let mut words = params.arguments.iter().map(|it| it.as_str());
    let url = words.next().flatten().and_then(|it| Url::parse(it).ok()).ok_or_else(wrong)?;
    let conversion = words.next().flatten().ok_or_else(wrong)?.to_owned();
    match params.arguments.get(2) {
        None | Some(serde_json::Value::Null) => Ok((url, conversion, None)),
        Some(serde_json::Value::String(way)) => Ok((url, conversion, Some(way.clone()))),
        Some(_) => Err(wrong()),
    }
}

/// Begins to plan. An older plan of the same conversion is stopped.
pub fn begin(state: &mut State, wish: Wish, client: Client, queue: Sender<Job>) {
    let key = (wish.path.clone(), wish.conversion.clone());
    if let Some(older) = state.running.plans.remove(&key) {
        older.stop.store(true, Ordering::Relaxed);
    }
    state.running.last += 1;
    let number = state.running.last;
    let snapshot = Arc::new(state.session.snapshot());
    let stop = Arc::new(AtomicBool::new(false));
    let run = Run { number, snapshot: snapshot.clone(), stop: stop.clone(), stopped: None };
    state.running.plans.insert(key.clone(), run);
    let (news, heard) = unbounded_channel();
    let progress = state.offered.progress.then(|| token(number));
    state.handle.spawn(tell(client, progress, format!("plan: {}", wish.shown()), heard));
    let late = news.clone();
    let work = move || {
        let go_on = reporting(news.clone(), stop);
        // Nothing that it holds is used after a panic.
        let answer = catch_unwind(AssertUnwindSafe(|| plan(&snapshot, &wish, &go_on)));
        let job: Job = Box::new(move |state| {
            let _ = news.send(News::Landed(land(state, &wish, number, answer.ok())));
        });
        // The queue is gone only when the program is ending.
        let _ = queue.send(job);
    };
    let spawned = std::thread::Builder::new().name("plan".to_owned()).stack_size(16 << 20).spawn(work);
    if spawned.is_err() {
        state.running.plans.remove(&key);
        let told = "No thread could be started to plan; nothing was changed.".to_owned();
        let _ = late.send(News::Landed(Landing::told("failed", MessageType::ERROR, told)));
    }
}

fn token(number: u32) -> ProgressToken {
    NumberOrString::String(format!("trunnion/plan/{number}"))
}

/// Tells each time that something was judged, and whether to go on.
fn reporting(news: UnboundedSender<News>, stop: Arc<AtomicBool>) -> impl Fn(usize) -> bool {
    let last = Cell::new(0);
    move |judged| {
        if judged > last.get() {
            last.set(judged);
            let _ = news.send(News::Judged(judged));
        }
        !stop.load(Ordering::Relaxed)
    }
}

/// Stops the plan whose progress has that token.
pub fn cancel(state: &mut State, wanted: &ProgressToken) {
    if let Some(run) = state.running.plans.values_mut().find(|it| token(it.number) == *wanted) {
        run.stop(Stopped::Cancelled);
    }
}

/// Stops the plans whose texts have changed: nothing can come of them.
pub fn stop_stale(state: &mut State) {
    if state.running.plans.is_empty() {
        return;
    }
    let now = state.session.snapshot();
    for run in state.running.plans.values_mut() {
        if let Some(path) = run.snapshot.changed(&now).map(str::to_owned) {
            run.stop(Stopped::Changed(path));
        }
    }
}

/// What comes of a plan: none where it panicked.
fn land(state: &mut State, wish: &Wish, number: u32, answer: Option<Answer>) -> Landing {
    let key = (wish.path.clone(), wish.conversion.clone());
    if state.running.plans.get(&key).is_none_or(|it| it.number != number) {
        return Landing::silent("overtaken by a newer plan");
    }
    // A change that is in the queue before this is seen here, though nothing was stopped by it yet.
    stop_stale(state);
    let stopped = state.running.plans.remove(&key).and_then(|it| it.stopped);
    let what = format!("plan: {}", wish.shown());
    match (stopped, answer) {
        (Some(Stopped::Cancelled), _) => Landing::silent("stopped"),
        (Some(Stopped::Changed(path)), _) => Landing::told(
            "overtaken by a change",
            MessageType::WARNING,
            format!(
                "{what}: {path} was changed while it was worked out, so nothing was applied. Ask for it again."
            ),
        ),
        (None, None) => Landing::told(
            "failed",
            MessageType::ERROR,
            format!(
                "{what}: something went wrong in Trunnion; nothing was changed. Please report what was planned."
            ),
        ),
        (None, Some(Answer::Stopped)) => Landing::silent("stopped"),
        (None, Some(Answer::NoPlan(why))) => Landing::told("no plan", MessageType::WARNING, why),
        (None, Some(Answer::Offer(offer))) => offered(state, offer),
    }
}

fn offered(state: &State, offer: Offer) -> Landing {
    let how = if offer.whole { MessageType::INFO } else { MessageType::WARNING };
    if offer.edits.is_empty() {
        return Landing::told("done", how, offer.told);
    }
    let edit = state.offered.edits.then(|| convert::plan(state, &offer)).flatten();
    match edit {
        Some(edit) => Landing { end: "done", edit: Some(edit), told: Some((how, offer.told)) },
        None => Landing::told(
            "done",
            MessageType::WARNING,
            format!(
                "Nothing was applied, for this editor takes no edits from a server: `trunnion plan --write` \
                 writes the plan. {}",
                offer.told
            ),
        ),
    }
}
