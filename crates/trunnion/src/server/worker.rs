//! The thread that owns the session.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};

use tokio::runtime::Handle;
use tower_lsp::Client;
use tower_lsp::lsp_types::{Diagnostic, MessageType, Url};
use trunnion_ide::Session;

use super::convert::{self, Encoding};
use super::planning::{self, Offered, Running};

/// Something to do with the session.
pub type Job = Box<dyn FnOnce(&mut State) + Send>;

/// The session and what the protocol adds to it.
pub struct State {
    /// The texts.
    pub session: Session,
    /// How positions count.
    pub encoding: Encoding,
    /// The roots of the workspace, with the prefix of their paths.
    pub roots: Vec<(PathBuf, String)>,
    /// The address and version of each open file, by path.
    pub open: BTreeMap<String, (Url, i32)>,
    /// What was last published for each file.
    published: BTreeMap<Url, Vec<Diagnostic>>,
    /// Whether anything changed since diagnostics were last computed.
    pub dirty: bool,
    /// What the client can do with a plan.
    pub offered: Offered,
    /// The plans that are being worked out.
    pub running: Running,
    /// Whether the client asks for lenses anew when told to.
    pub refreshes_lenses: bool,
    /// The lenses of the open files, as they were last.
    lenses: BTreeMap<String, Vec<String>>,
    /// Where what waits for the client runs.
    pub handle: Handle,
}

impl State {
    /// Before a client has said anything.
    pub fn new(handle: Handle) -> Self {
        Self {
            session: Session::new(),
            encoding: Encoding::Utf16,
            roots: Vec::new(),
            open: BTreeMap::new(),
            published: BTreeMap::new(),
            dirty: false,
            offered: Offered::default(),
            running: Running::default(),
            refreshes_lenses: false,
            lenses: BTreeMap::new(),
            handle,
        }
    }

    /// The workspace path of a file; one outside the roots keeps its whole path.
    pub fn path_of(&self, url: &Url) -> String {
        let Ok(file) = url.to_file_path() else { return format!("outside/{url}") };
        let file = file.canonicalize().unwrap_or(file);
        for (root, prefix) in &self.roots {
            if let Ok(below) = file.strip_prefix(root) {
                return format!("{prefix}{}", slashes(below));
            }
        }
        format!("outside/{}", slashes(&file).trim_start_matches('/'))
    }

    /// The address of a workspace path.
    pub fn url_of(&self, path: &str) -> Option<Url> {
        if let Some((url, _)) = self.open.get(path) {
            return Some(url.clone());
        }
        if let Some(outside) = path.strip_prefix("outside/") {
            return Url::from_file_path(Path::new("/").join(outside)).ok();
        }
        let (root, prefix) = self.roots.iter().rev().find(|(_, prefix)| path.starts_with(prefix.as_str()))?;
        Url::from_file_path(root.join(&path[prefix.len()..])).ok()
    }

    /// Reads all files below the roots.
    pub fn load(&mut self) {
        let roots = self.roots.clone();
        for (root, prefix) in roots {
            let files = crate::load::texts_below(&root);
            self.session.load(files.into_iter().map(|(path, text)| (format!("{prefix}{path}"), text)));
        }
        self.dirty = true;
    }
}

fn slashes(path: &Path) -> String {
    let parts = path.components().filter(|it| !matches!(it, std::path::Component::RootDir));
    parts.map(|it| it.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/")
}

/// Starts the thread; the queue ends when its sender is gone.
pub fn start(client: Client) -> Sender<Job> {
    let (sender, receiver) = channel();
    let handle = Handle::current();
    let spawned = std::thread::Builder::new()
        .name("session".to_owned())
        .stack_size(16 << 20)
        .spawn(move || work(&receiver, &client, &handle));
    if let Err(error) = spawned {
        // Without the thread the queue has no receiver, and every request says so.
        drop(error);
    }
    sender
}

fn work(receiver: &Receiver<Job>, client: &Client, handle: &Handle) {
    let mut state = State::new(handle.clone());
    while let Ok(job) = receiver.recv() {
        guarded(&mut state, client, handle, job);
        // All that is waiting is done first: diagnostics are computed for the newest text.
        while let Ok(job) = receiver.try_recv() {
            guarded(&mut state, client, handle, job);
        }
        if state.dirty {
            state.dirty = false;
            planning::stop_stale(&mut state);
            let publish: Job = {
                let (client, handle) = (client.clone(), handle.clone());
                Box::new(move |state| publish(state, &client, &handle))
            };
            guarded(&mut state, client, handle, publish);
            let refresh: Job = {
                let client = client.clone();
                Box::new(move |state| refresh_lenses(state, client))
            };
            guarded(&mut state, client, handle, refresh);
        }
    }
}

/// Does a job. Should it panic, the session is computed anew from the texts.
fn guarded(state: &mut State, client: &Client, handle: &Handle, job: Job) {
    if catch_unwind(AssertUnwindSafe(|| job(state))).is_ok() {
        return;
    }
    let client = client.clone();
    handle.spawn(async move {
        let told =
            "Something went wrong in Trunnion; it goes on with the same texts. Please report what was typed.";
        client.log_message(MessageType::ERROR, told).await;
    });
    let fresh = catch_unwind(AssertUnwindSafe(|| state.session.afresh()));
    state.session = fresh.unwrap_or_default();
}

/// Publishes the diagnostics of the open files, where they differ from what was published.
fn publish(state: &mut State, client: &Client, handle: &Handle) {
    let open: Vec<(String, Url, i32)> =
        state.open.iter().map(|(path, (url, version))| (path.clone(), url.clone(), *version)).collect();
    let gone: Vec<Url> =
        state.published.keys().filter(|url| !open.iter().any(|it| it.1 == **url)).cloned().collect();
    let mut news: Vec<(Url, Vec<Diagnostic>, Option<i32>)> = Vec::new();
    for url in gone {
        state.published.remove(&url);
        news.push((url, Vec::new(), None));
    }
    for (path, url, version) in open {
        let diagnostics = convert::diagnostics(state, &path);
        state.published.insert(url.clone(), diagnostics.clone());
        news.push((url, diagnostics, Some(version)));
    }
    let client = client.clone();
    // One task in order: a later set never overtakes an earlier one, since each waits for
    // its turn in the client's queue.
    handle.block_on(async move {
        for (url, diagnostics, version) in news {
            client.publish_diagnostics(url, diagnostics, version).await;
        }
    });
}

/// Has the client ask anew where what the lenses of an open file say is no longer what they said: the
/// change may be in another file.
fn refresh_lenses(state: &mut State, client: Client) {
    if !state.refreshes_lenses {
        return;
    }
    let shown = |path: &String| {
        let conversions = state.session.conversions(path);
        (path.clone(), conversions.iter().flat_map(|it| &it.by).map(|it| it.shown()).collect())
    };
    let lenses: BTreeMap<String, Vec<String>> = state.open.keys().map(shown).collect();
    if lenses != state.lenses {
        state.lenses = lenses;
        state.handle.spawn(async move { client.code_lens_refresh().await });
    }
}
