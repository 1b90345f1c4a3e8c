//! What would be open if something were stated: the same files with an edit, checked anew.

use std::collections::BTreeSet;

use trunnion_check::run::verdicts_of_conversion;
use trunnion_model::db::{Db, Host, Item, Workspace};
use trunnion_model::lower::lowered;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Edit, Outcome};

/// A copy of a workspace in which statements can be tried.
pub struct WhatIf {
    host: Host,
    /// Each file with its items, in order.
    files: Vec<(String, Vec<Item>, Vec<String>)>,
    /// The conversion: file, item and declaration in it.
    conversion: (usize, usize, u32),
}

impl WhatIf {
    /// Of a conversion. None where its file is not in the workspace.
    pub fn of(db: &dyn Db, workspace: Workspace, id: Id) -> Option<Self> {
        let mut files = Vec::new();
        for (path, file) in workspace.files(db).iter() {
            let items = file.items(db).to_vec();
            let texts: Vec<String> = items.iter().map(|it| it.text(db).to_string()).collect();
            files.push((path.to_string(), items, texts));
        }
        let at = |item: Item| {
            files
                .iter()
                .enumerate()
                .find_map(|(nth, it)| Some((nth, it.1.iter().position(|it| *it == item)?)))
        };
        let (file, item) = at(id.item)?;
        let mut host = Host::new();
        let whole: Vec<(String, String)> = files.iter().map(|it| (it.0.clone(), it.2.join("\n\n"))).collect();
        host.set_files(whole.iter().map(|(path, text)| (path.as_str(), text.as_str())));
        Some(Self { host, files, conversion: (file, item, id.nth) })
    }

    /// The open points, check and subject, with these edits; those that were accepted left out. None where an edit
    /// leads out of the workspace or breaks the conversion.
    pub fn open_with(&mut self, edits: &[Edit]) -> Option<BTreeSet<(String, String)>> {
        let mut texts: Vec<(usize, Vec<String>)> = Vec::new();
        let mut edits: Vec<&Edit> = edits.iter().collect();
        edits.sort_by_key(|it| std::cmp::Reverse(it.site.span.start));
        for edit in edits {
            let find =
                |it: &(String, Vec<Item>, Vec<String>)| it.1.iter().position(|it| *it == edit.site.item);
            let (file, item) = self.files.iter().enumerate().find_map(|(nth, it)| Some((nth, find(it)?)))?;
            if !texts.iter().any(|it| it.0 == file) {
                texts.push((file, self.files[file].2.clone()));
            }
            let (_, texts) = texts.iter_mut().find(|it| it.0 == file)?;
            let range = edit.site.span.range();
            texts[item].get(range.clone())?;
            texts[item].replace_range(range, &edit.text);
        }
        for (file, texts) in &texts {
            self.host.set_file(&self.files[*file].0, &texts.join("\n\n"));
        }
        let open = self.open();
        for (file, _) in &texts {
            self.host.set_file(&self.files[*file].0, &self.files[*file].2.join("\n\n"));
        }
        open
    }

    fn open(&self) -> Option<BTreeSet<(String, String)>> {
        let db = self.host.db();
        let (file, item, nth) = self.conversion;
        let item = *self.host.file(&self.files[file].0)?.items(db).get(item)?;
        let id = Id { item, nth };
        lowered(db, item).decls.get(nth as usize)?;
        let verdicts = verdicts_of_conversion(db, self.host.workspace(), id);
        let open = verdicts.iter().filter(|it| it.outcome == Outcome::Open && it.accepted.is_none());
        Some(open.map(|it| (it.check.to_owned(), it.subject.clone())).collect())
    }
}
