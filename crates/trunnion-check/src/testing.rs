//! For the tests of checks: a snippet goes in, the verdicts of one check come out.

use trunnion_model::db::Host;
use trunnion_model::verdict::{Outcome, Verdict};

use crate::run::check_workspace;

/// The verdicts of one check on a snippet.
pub struct Found {
    verdicts: Vec<Verdict>,
    all: Vec<Verdict>,
    host: Host,
    source: String,
}

/// Checks a snippet as a file of its own and keeps the verdicts of the check of that name.
pub fn check(name: &str, source: &str) -> Found {
    let mut host = Host::new();
    host.set_file("test.trunnion", source);
    let all = check_workspace(host.db(), host.workspace());
    let verdicts = all.iter().filter(|it| it.check == name).cloned().collect();
    Found { verdicts, all, host, source: source.to_owned() }
}

impl Found {
    /// The only verdict of the check; all are shown when there are none or several.
    #[track_caller]
    pub fn only(&self) -> &Verdict {
        match self.verdicts.as_slice() {
            [only] => only,
            others => panic!("one verdict expected, found {}:\n{}", others.len(), self.listing()),
        }
    }

    /// The verdict with that subject.
    #[track_caller]
    pub fn about(&self, subject: &str) -> &Verdict {
        let found = self.verdicts.iter().find(|it| it.subject == subject);
        found.unwrap_or_else(|| panic!("no verdict about {subject}:\n{}", self.listing()))
    }

    /// The verdicts of the check.
    pub fn verdicts(&self) -> &[Verdict] {
        &self.verdicts
    }

    /// That there is one verdict, clear, with this message.
    #[track_caller]
    pub fn clear(&self, message: &str) {
        assert!(matches!(self.only().outcome, Outcome::Clear(_)), "{}", self.listing());
        assert_eq!(self.only().message, message);
    }

    /// That there is one verdict, a clash, with this message.
    #[track_caller]
    pub fn clash(&self, message: &str) {
        assert_eq!(self.only().outcome, Outcome::Clash, "{}", self.listing());
        assert_eq!(self.only().message, message);
    }

    /// That there is one verdict, open, with this message and a question.
    #[track_caller]
    pub fn open(&self, message: &str) {
        assert_eq!(self.only().outcome, Outcome::Open, "{}", self.listing());
        assert_eq!(self.only().message, message);
        assert!(self.only().question.is_some(), "an open verdict asks");
    }

    /// That the check says nothing.
    #[track_caller]
    pub fn silent(&self) {
        assert!(self.verdicts.is_empty(), "nothing expected:\n{}", self.listing());
    }

    /// The text that the only verdict points at.
    #[track_caller]
    pub fn text(&self) -> &str {
        self.text_of(self.only())
    }

    /// The text that a verdict points at.
    pub fn text_of(&self, verdict: &Verdict) -> &str {
        let location = self.host.locate(verdict.site).expect("the item is there");
        &self.source[location.span.range()]
    }

    /// The snippet after one fix of the only verdict, by number.
    #[track_caller]
    pub fn fixed(&self, nth: usize) -> String {
        let fix = &self.only().fixes[nth];
        let mut edits: Vec<_> = fix
            .edits
            .iter()
            .map(|it| (self.host.locate(it.site).expect("the item is there").span, &it.text))
            .collect();
        edits.sort_by_key(|it| std::cmp::Reverse(it.0.start));
        let mut text = self.source.clone();
        for (span, new) in edits {
            text.replace_range(span.range(), new);
        }
        text
    }

    /// All verdicts of all checks, a line each.
    pub fn listing(&self) -> String {
        let lines = self
            .all
            .iter()
            .map(|it| format!("{} {} [{}] {}", it.outcome.word(), it.check, it.subject, it.message));
        lines.collect::<Vec<_>>().join("\n")
    }
}
