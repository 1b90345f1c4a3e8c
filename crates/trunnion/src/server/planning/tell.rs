//! What the client is told of a plan: that it began, how far it is, what came of it.

use std::time::Duration;

use tokio::sync::mpsc::UnboundedReceiver;
use tower_lsp::Client;
use tower_lsp::lsp_types::notification::Progress;
use tower_lsp::lsp_types::request::{ApplyWorkspaceEdit, WorkDoneProgressCreate};
use tower_lsp::lsp_types::*;

/// How long a client may take to make room for progress; after that there is none.
const PATIENCE: Duration = Duration::from_secs(10);

/// What a plan says while it is worked out, and at the end.
pub enum News {
    /// So many proposals were judged.
    Judged(usize),
    /// It is over.
    Landed(Landing),
}

/// What the client is told at the end.
pub struct Landing {
    /// With the end of the progress.
    pub end: &'static str,
    /// To be applied first.
    pub edit: Option<WorkspaceEdit>,
    /// In a message, once the edit was applied.
    pub told: Option<(MessageType, String)>,
}

impl Landing {
    /// Nothing is told.
    pub fn silent(end: &'static str) -> Self {
        Self { end, edit: None, told: None }
    }

    /// Nothing is applied.
    pub fn told(end: &'static str, how: MessageType, what: String) -> Self {
        Self { end, edit: None, told: Some((how, what)) }
    }
}

/// Tells the client, in order: that it began, how far it is, that it is over, what is to be applied, and
/// what came of it. Waits for the client's answers; nothing else waits for this.
pub async fn tell(
    client: Client,
    token: Option<ProgressToken>,
    title: String,
    mut heard: UnboundedReceiver<News>,
) {
    let mut shown = None;
    if let Some(token) = token {
        let made = client
            .send_request::<WorkDoneProgressCreate>(WorkDoneProgressCreateParams { token: token.clone() });
        if let Ok(Ok(())) = tokio::time::timeout(PATIENCE, made).await {
            let begin = WorkDoneProgressBegin { title, cancellable: Some(true), ..Default::default() };
            progress(&client, &token, WorkDoneProgress::Begin(begin)).await;
            shown = Some(token);
        }
    }
    let mut landing = Landing::silent("stopped");
    while let Some(news) = heard.recv().await {
        match news {
            News::Judged(judged) => {
                let proposals = if judged == 1 { "proposal" } else { "proposals" };
                let message = Some(format!("{judged} {proposals} judged"));
                let report =
                    WorkDoneProgressReport { message, cancellable: Some(true), ..Default::default() };
                if let Some(token) = &shown {
                    progress(&client, token, WorkDoneProgress::Report(report)).await;
                }
            }
            News::Landed(it) => {
                landing = it;
                break;
            }
        }
    }
    if let Some(token) = &shown {
        let end = WorkDoneProgressEnd { message: Some(landing.end.to_owned()) };
        progress(&client, token, WorkDoneProgress::End(end)).await;
    }
    if let Some(edit) = landing.edit {
        let params = ApplyWorkspaceEditParams { label: Some("plan".to_owned()), edit };
        let refused = match client.send_request::<ApplyWorkspaceEdit>(params).await {
            Ok(it) if it.applied => None,
            Ok(it) => Some(it.failure_reason.unwrap_or_else(|| "the editor did not take it".to_owned())),
            Err(error) => Some(error.message.to_string()),
        };
        if let Some(why) = refused {
            let told = format!("The plan was not applied: {}. Ask for it again.", why.trim_end_matches('.'));
            landing.told = Some((MessageType::WARNING, told));
        }
    }
    if let Some((how, what)) = landing.told {
        client.show_message(how, what).await;
    }
}

async fn progress(client: &Client, token: &ProgressToken, value: WorkDoneProgress) {
    let params = ProgressParams { token: token.clone(), value: ProgressParamsValue::WorkDone(value) };
    client.send_notification::<Progress>(params).await;
}
