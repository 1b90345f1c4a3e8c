//! The text of a conversion with statements put in and taken out: tried in a host, or written for good.

use trunnion_model::db::{Db, Host, Item, Site};
use trunnion_model::name::Id;
use trunnion_model::world::conversion;
use trunnion_syntax::layout::tidy;
use trunnion_syntax::tree::Span;

/// One statement of a plan: put in, put in the place of others, or others taken out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The statement; none where something is only taken out.
    pub text: Option<String>,
    /// The statements that it takes the place of.
    pub replaces: Vec<Site>,
    /// Why, as one clause.
    pub because: String,
    /// What sort of work it is.
    pub sort: Sort,
}

/// The sorts of steps, in the order in which they are shown and written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sort {
    /// A part is put in or taken out.
    Part,
    /// A terminal is moved, a wire spliced, run or capped.
    Wire,
    /// A setting, a pairing.
    Software,
    /// A duty is handed over.
    Duty,
    /// An end is closed.
    End,
}

impl Sort {
    /// As a heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Part => "Parts",
            Self::Wire => "Wiring",
            Self::Software => "Software",
            Self::Duty => "Duties handed over",
            Self::End => "Ends closed",
        }
    }
}

/// A conversion's file as it is, and where in it statements go.
pub struct Draft {
    path: String,
    text: String,
    /// Where a statement is added.
    at: usize,
    /// Whether the conversion's block stands on several lines.
    lines: bool,
    /// Whether nothing stands in the block yet.
    empty: bool,
    /// The item that the conversion stands in, how long it was, and where in it statements are added.
    item: Item,
    item_length: u32,
    at_in_item: u32,
}

impl Draft {
    /// Of a conversion. None where its text cannot be found or it has no block.
    pub fn of(host: &Host, id: Id) -> Option<Self> {
        let db = host.db();
        let span = id.decl(db)?.span;
        let whole = host.locate(id.site(span))?;
        let text = host.text(&whole.path)?.to_string();
        let slice = text.get(whole.span.range())?;
        let open = whole.span.start as usize + slice.find('{')? + 1;
        let close = whole.span.start as usize + slice.rfind('}')?;
        if close < open {
            return None;
        }
        // New statements go before the first way, after all that stands before it.
        let ways = conversion(db, id).map(|it| it.ways.as_slice()).unwrap_or_default();
        let first = ways.first().and_then(|it| host.locate(id.site(it.span)));
        let end = first.map_or(close, |it| before_comments(&text, it.span.start as usize)).max(open);
        let inside = text.get(open..end)?;
        let at = open + inside.trim_end().len();
        let empty = inside.trim().is_empty();
        let lines = text.get(open..close)?.contains('\n');
        let item_length = id.item.text(db).len() as u32;
        let at_in_item = span.start + at as u32 - whole.span.start;
        let path = whole.path.to_string();
        Some(Self { path, text, at, lines, empty, item: id.item, item_length, at_in_item })
    }

    /// The path of the file.
    pub fn path(&self) -> &str {
        &self.path
    }

    /// The file as it was.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The file with the steps made; the layout is left as it falls.
    pub fn with(&self, host: &Host, steps: &[Step]) -> String {
        let mut edits: Vec<(usize, usize, String)> = Vec::new();
        let mut added = String::new();
        for step in steps {
            let statement = step.text.as_ref().map(|it| self.statement(it, &step.because));
            let mut places = step.replaces.iter().filter_map(|it| self.place(host, *it));
            match (places.next(), statement) {
                (Some(first), Some(statement)) => edits.push(self.instead(first, step, statement)),
                (Some(first), None) => edits.push(self.out(first)),
                (None, Some(statement)) => added.push_str(&self.joined(&statement, added.is_empty())),
                (None, None) => {}
            }
            edits.extend(places.map(|it| self.out(it)));
        }
        if !added.is_empty() {
            edits.push((self.at, self.at, added));
        }
        // From the end, so that places before stay; what overlaps is done once.
        edits.sort_by_key(|it| (std::cmp::Reverse(it.0), std::cmp::Reverse(it.1)));
        let mut text = self.text.clone();
        let mut least = usize::MAX;
        for (start, end, new) in edits {
            if end <= least {
                text.replace_range(start..end, &new);
                least = start;
            }
        }
        text
    }

    /// The file with the steps made, for a trial: what is taken out leaves blanks, and everything new
    /// comes after, so that every statement that stays keeps its place.
    pub fn tried(&self, host: &Host, steps: &[Step]) -> String {
        let mut text = self.text.clone();
        let mut added = String::new();
        for step in steps {
            for (start, end) in step.replaces.iter().filter_map(|it| self.place(host, *it)) {
                let blank: String =
                    self.text[start..end].bytes().map(|it| if it == b'\n' { '\n' } else { ' ' }).collect();
                text.replace_range(start..end, &blank);
            }
            if let Some(statement) = &step.text {
                added.push_str(&format!("\n  {statement}"));
            }
        }
        text.insert_str(self.at, &added);
        text
    }

    /// Where a statement of a trial stands in the text as it was; none for what the trial added.
    pub fn original(&self, db: &dyn Db, site: Site) -> Option<Site> {
        if site.item != self.item || site.span.end <= self.at_in_item {
            return Some(site);
        }
        let added = (site.item.text(db).len() as u32).checked_sub(self.item_length)?;
        let (start, end) = (site.span.start.checked_sub(added)?, site.span.end.checked_sub(added)?);
        (start >= self.at_in_item).then(|| Site { item: site.item, span: Span::new(start, end) })
    }

    /// The file with the steps made, in the one layout.
    pub fn written(&self, host: &Host, steps: &[Step]) -> String {
        tidy(&self.with(host, steps))
    }

    /// Puts a text in place of the file's; [`Self::restore`] puts it back.
    pub fn put(&self, host: &mut Host, text: &str) {
        host.set_file(&self.path, text);
    }

    /// The file as it was.
    pub fn restore(&self, host: &mut Host) {
        host.set_file(&self.path, &self.text);
    }

    fn statement(&self, text: &str, because: &str) -> String {
        if because.is_empty() {
            return text.to_owned();
        }
        let because = because.replace('"', "'");
        let gap = if self.lines { "\n    " } else { " " };
        format!("{text}{gap}because \"{because}\"")
    }

    /// A part picked instead of a `choose` keeps the reason that was given there.
    fn instead(
        &self,
        (start, end): (usize, usize),
        step: &Step,
        statement: String,
    ) -> (usize, usize, String) {
        let old = &self.text[start..end];
        match (old.find(" because \"").or(old.find("\n    because \"")), &step.text) {
            (Some(reason), Some(text)) if step.sort == Sort::Part => {
                (start, start + old[..reason].trim_end().len(), text.clone())
            }
            _ => (start, end, statement),
        }
    }

    fn joined(&self, statement: &str, first: bool) -> String {
        match (self.lines, self.empty && first) {
            (true, _) => format!("\n  {statement}"),
            (false, true) => format!(" {statement}"),
            (false, false) => format!(", {statement}"),
        }
    }

    /// Where a statement stands in the file, with the reason that belongs to it.
    fn place(&self, host: &Host, site: Site) -> Option<(usize, usize)> {
        let located = host.locate(site).filter(|it| *it.path == *self.path)?;
        let Span { start, end } = located.span;
        Some((start as usize, reason_end(&self.text, end as usize)))
    }

    /// An edit that takes a statement out with its line, or with the comma beside it.
    fn out(&self, (start, end): (usize, usize)) -> (usize, usize, String) {
        let line = self.text[..start].rfind('\n').map_or(0, |it| it + 1);
        let rest = self.text[end..].find('\n').map_or(self.text.len(), |it| end + it);
        let alone = self.text[line..start].trim().is_empty() && self.text[end..rest].trim().is_empty();
        if alone {
            return (line, (rest + 1).min(self.text.len()), String::new());
        }
        let after = &self.text[end..rest];
        if let Some(comma) = after.find(',').filter(|it| after[..*it].trim().is_empty()) {
            let gap = after[comma + 1..].len() - after[comma + 1..].trim_start().len();
            return (start, end + comma + 1 + gap, String::new());
        }
        let before = self.text[line..start].trim_end();
        let start = if before.ends_with(',') { line + before.len() - 1 } else { start };
        (start, end, String::new())
    }
}

/// The offset before the comments that stand directly above a place.
fn before_comments(text: &str, at: usize) -> usize {
    let mut at = text[..at].rfind('\n').map_or(at, |it| it + 1);
    loop {
        let above = text[..at].trim_end_matches('\n');
        let line = above.rfind('\n').map_or(0, |it| it + 1);
        if above.len() == at || !above[line..].trim_start().starts_with("//") {
            return at;
        }
        at = line;
    }
}

/// The end of a statement with the `per` and `because` that belong to it.
fn reason_end(text: &str, end: usize) -> usize {
    let mut end = end;
    loop {
        let rest = text.get(end..).unwrap_or_default();
        let next = rest.trim_start();
        let gap = rest.len() - next.len();
        let longer = if let Some(after) = next.strip_prefix("because ") {
            quoted(after.trim_start()).map(|it| next.len() - after.trim_start().len() + it)
        } else if let Some(after) = next.strip_prefix("per ") {
            let word = after.trim_start();
            let length = word.find(|it: char| !(it.is_alphanumeric() || it == '_')).unwrap_or(word.len());
            Some(next.len() - word.len() + length)
        } else {
            None
        };
        match longer {
            Some(it) => end += gap + it,
            None => return end,
        }
    }
}

/// The length of a text in double quotes at the start.
fn quoted(text: &str) -> Option<usize> {
    let inside = text.strip_prefix('"')?;
    let mut escaped = false;
    for (at, it) in inside.char_indices() {
        match it {
            '\n' => return None,
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return Some(at + 2),
            _ => {}
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conversions;

    fn host(source: &str) -> (Host, Id) {
        let mut host = Host::new();
        host.set_file("test.trunnion", source);
        let id = conversions(&host, &["test.trunnion".to_owned()])[0];
        (host, id)
    }

    fn add(text: &str, because: &str) -> Step {
        Step {
            text: Some(text.to_owned()),
            replaces: Vec::new(),
            because: because.to_owned(),
            sort: Sort::Part,
        }
    }

    fn change(host: &Host, id: Id, nth: usize) -> Site {
        id.site(conversion(host.db(), id).expect("a conversion").changes[nth].span)
    }

    #[test]
    fn a_statement_goes_before_the_ways_and_their_comments() {
        let (host, id) = host(
            "conversion easy {\n  recipient van\n\n  // two ways\n  way a { remove clutch }\n  way b { remove radiator }\n}\n",
        );
        let draft = Draft::of(&host, id).expect("a draft");
        let written = draft.written(&host, &[add("remove gearbox", "it is \"worn\"")]);
        assert_eq!(
            written,
            "conversion easy {\n  recipient van\n  remove gearbox\n    because \"it is 'worn'\"\n\n  // two ways\n  way a { remove clutch }\n  way b { remove radiator }\n}\n"
        );
    }

    #[test]
    fn a_statement_on_one_line_is_added_with_a_comma() {
        let (host, id) = host("conversion easy { recipient van }");
        let draft = Draft::of(&host, id).expect("a draft");
        assert_eq!(
            draft.written(&host, &[add("remove gearbox", ""), add("remove clutch", "")]),
            "conversion easy { recipient van, remove gearbox, remove clutch }\n"
        );
    }

    #[test]
    fn a_statement_is_replaced_with_its_reason_and_others_go() {
        let (host, id) = host(
            "conversion easy {\n  recipient van\n  remove gearbox\n    because \"old\"\n  // kept\n  remove clutch  // gone with it\n  remove radiator, remove engine\n}\n",
        );
        let draft = Draft::of(&host, id).expect("a draft");
        let step = Step {
            text: Some("fit auto".to_owned()),
            replaces: vec![change(&host, id, 0), change(&host, id, 2)],
            because: "new".to_owned(),
            sort: Sort::Wire,
        };
        let written = draft.written(&host, &[step]);
        assert_eq!(
            written,
            "conversion easy {\n  recipient van\n  fit auto\n    because \"new\"\n  // kept\n  remove clutch  // gone with it\n  remove engine\n}\n"
        );
    }

    #[test]
    fn the_last_of_a_line_goes_with_the_comma_before_it() {
        let (host, id) = host("conversion easy { recipient van, remove engine }");
        let draft = Draft::of(&host, id).expect("a draft");
        let out = Step {
            text: None,
            replaces: vec![change(&host, id, 0)],
            because: String::new(),
            sort: Sort::Part,
        };
        assert_eq!(draft.written(&host, &[out]), "conversion easy { recipient van }\n");
    }

    #[test]
    fn what_was_tried_is_taken_back() {
        let (mut host, id) = host("conversion easy { recipient van }");
        let draft = Draft::of(&host, id).expect("a draft");
        let text = draft.with(&host, &[add("remove gearbox", "")]);
        draft.put(&mut host, &text);
        assert_eq!(conversion(host.db(), id).map(|it| it.changes.len()), Some(1));
        draft.restore(&mut host);
        assert_eq!(conversion(host.db(), id).map(|it| it.changes.len()), Some(0));
    }
}
