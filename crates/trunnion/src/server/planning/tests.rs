//! What comes of a plan when something else happened meanwhile.

use serde_json::{Value, json};

use super::*;

fn read(command: &str, arguments: Vec<Value>) -> Result<(Url, String, Option<String>)> {
    let command = command.to_owned();
    super::arguments(&ExecuteCommandParams { command, arguments, ..Default::default() })
}

#[test]
fn arguments_are_read_or_refused() {
    let url = Url::parse("file:///a.trunnion").expect("an address");
    let address = json!("file:///a.trunnion");
    let good = |way| Ok((url.clone(), "easy".to_owned(), way));
    assert_eq!(read(COMMAND, vec![address.clone(), json!("easy")]), good(None));
    assert_eq!(read(COMMAND, vec![address.clone(), json!("easy"), Value::Null]), good(None));
    assert_eq!(read(COMMAND, vec![address.clone(), json!("easy"), json!("kit")]), good(Some("kit".into())));
    for wrong in
        [vec![], vec![address.clone()], vec![json!("a b"), json!("easy")], vec![address.clone(), json!(7)]]
    {
        assert!(read(COMMAND, wrong.clone()).is_err(), "{wrong:?}");
    }
    assert!(read(COMMAND, vec![address.clone(), json!("easy"), json!(1)]).is_err());
    assert!(read("trunnion.other", vec![address, json!("easy")]).is_err());
}

/// A state with one file, its plan begun with that number, and what it ends with after something else
/// happened.
fn landed(answer: Option<Answer>, meanwhile: impl FnOnce(&mut State)) -> Landing {
    let runtime = tokio::runtime::Builder::new_current_thread().build().expect("a runtime");
    let mut state = State::new(runtime.handle().clone());
    state.session.edit("a.trunnion", "conversion easy { recipient van }\n".to_owned());
    let wish = Wish { path: "a.trunnion".to_owned(), conversion: "easy".to_owned(), way: None };
    let snapshot = Arc::new(state.session.snapshot());
    let run = Run { number: 1, snapshot, stop: Arc::default(), stopped: None };
    state.running.plans.insert(("a.trunnion".to_owned(), "easy".to_owned()), run);
    meanwhile(&mut state);
    let landing = land(&mut state, &wish, 1, answer);
    assert!(state.running.plans.values().all(|it| it.number != 1), "it is still running");
    landing
}

fn offer() -> Option<Answer> {
    let text = "conversion easy { recipient van }\n";
    let edits = vec![(trunnion_syntax::tree::Span::new(0, 0), "// new\n".to_owned())];
    let told = "one line".to_owned();
    Some(Answer::Offer(Offer { path: "a.trunnion".to_owned(), text: text.into(), edits, told, whole: true }))
}

#[test]
fn a_panic_is_told_and_changes_nothing() {
    let landing = landed(None, |_| {});
    let (how, what) = landing.told.expect("told");
    assert_eq!((how, landing.edit.is_none()), (MessageType::ERROR, true));
    assert!(what.starts_with("plan: make easy whole: something went wrong"), "{what}");
}

#[test]
fn what_was_changed_cancelled_or_overtaken_is_not_applied() {
    let edited = |text: &str| {
        let text = text.to_owned();
        move |state: &mut State| state.session.edit("a.trunnion", text)
    };
    let changed = landed(offer(), edited("conversion easy { recipient bus }\n"));
    assert!(changed.edit.is_none() && changed.told.expect("told").1.contains("a.trunnion was changed"));
    // Once seen as changed it stays so, though the old text is there again.
    let back = landed(offer(), |state| {
        edited("")(state);
        stop_stale(state);
        edited("conversion easy { recipient van }\n")(state);
    });
    assert!(back.edit.is_none() && back.told.is_some());
    let cancelled = landed(offer(), |state| cancel(state, &token(1)));
    assert!(cancelled.edit.is_none() && cancelled.told.is_none());
    let overtaken = landed(offer(), |state| {
        state.running.plans.values_mut().for_each(|it| it.number = 2);
    });
    assert!(overtaken.edit.is_none() && overtaken.told.is_none());
}

#[test]
fn what_still_holds_is_offered_with_its_version() {
    let url = Url::parse("file:///a.trunnion").expect("an address");
    let taken = |versions| {
        let url = url.clone();
        landed(offer(), move |state| {
            state.offered = Offered { progress: false, edits: true, versions };
            state.open.insert("a.trunnion".to_owned(), (url, 5));
        })
    };
    let edit = taken(true).edit.expect("an edit");
    let Some(DocumentChanges::Edits(edits)) = edit.document_changes else { panic!("with versions") };
    assert_eq!((edits[0].text_document.version, edits[0].edits.len()), (Some(5), 1));
    let edit = taken(false).edit.expect("an edit");
    assert_eq!(edit.changes.map(|it| it[&url].len()), Some(1));
    let none = landed(offer(), |_| {});
    assert!(none.edit.is_none() && none.told.expect("told").1.contains("takes no edits"));
}

#[test]
fn each_proposal_is_reported_once_and_a_stop_is_seen() {
    let (news, mut heard) = unbounded_channel();
    let stop = Arc::new(AtomicBool::new(false));
    let go_on = reporting(news, stop.clone());
    assert!([0, 0, 1, 1, 3, 3].into_iter().all(&go_on));
    stop.store(true, Ordering::Relaxed);
    assert!(!go_on(3));
    let mut told = Vec::new();
    while let Ok(News::Judged(judged)) = heard.try_recv() {
        told.push(judged);
    }
    assert_eq!(told, [1, 3]);
}
