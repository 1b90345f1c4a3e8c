//! The recipient as it would be with another build date and other options.

use jiff::civil::Date;
use trunnion_model::built::vehicle;
use trunnion_model::db::Host;
use trunnion_model::name::Id;
use trunnion_syntax::tree::Span;

/// The recipient's file as it was, and where in it the build date and the options stand.
pub struct Variant {
    path: String,
    text: String,
    /// Where the build date stands, from `built` to the end of the dates; where it would be put.
    built: Result<Span, usize>,
    /// Where the value of each stated option stands.
    options: Vec<(String, Span)>,
    /// Where a statement may be added.
    inside: Option<usize>,
}

impl Variant {
    /// Of a vehicle. None where its text cannot be found.
    pub fn of(host: &Host, id: Id) -> Option<Self> {
        let db = host.db();
        let whole = host.locate(id.site(id.decl(db)?.span))?;
        let text = host.text(&whole.path)?.to_string();
        let decl = vehicle(db, id)?;
        let place = |span: Span| host.locate(id.site(span)).map(|it| it.span);
        let slice = text.get(whole.span.range())?;
        let inside = slice.find('{').map(|it| whole.span.start as usize + it + 1);
        let built = match &decl.built {
            Some((from, _)) => Ok(dates_at(&text, place(from.span)?)),
            None => Err(inside?),
        };
        let options = decl
            .facts
            .iter()
            .filter(|it| it.target.is_empty())
            .filter_map(|it| Some((it.name.value.to_string(), place(it.values.first()?.span)?)))
            .collect();
        Some(Self { path: whole.path.to_string(), text, built, options, inside })
    }

    /// Puts a date and options into the text that the host holds.
    pub fn put(&self, host: &mut Host, built: (Date, Date), set: &[(String, String)]) {
        let date = span(built);
        let mut edits: Vec<(usize, usize, String)> = Vec::new();
        match self.built {
            Ok(span) => edits.push((span.start as usize, span.end as usize, date)),
            Err(at) => edits.push((at, at, format!(" built {date}, "))),
        }
        for (name, value) in set {
            match (self.options.iter().find(|it| it.0 == *name), self.inside) {
                (Some((_, span)), _) => edits.push((span.start as usize, span.end as usize, value.clone())),
                (None, Some(at)) => edits.push((at, at, format!(" {name} {value}, "))),
                (None, None) => {}
            }
        }
        edits.sort_by_key(|it| std::cmp::Reverse(it.0));
        let mut text = self.text.clone();
        for (start, end, new) in edits {
            text.replace_range(start..end, &new);
        }
        host.set_file(&self.path, &text);
    }

    /// Puts the text back as it was.
    pub fn restore(&self, host: &mut Host) {
        host.set_file(&self.path, &self.text);
    }
}

/// A span as the language writes it.
fn span((from, to): (Date, Date)) -> String {
    if from == to { from.to_string() } else { format!("{from} to {to}") }
}

/// The range of one date or of `DATE to DATE`, from where the first begins.
fn dates_at(text: &str, first: Span) -> Span {
    let rest = text.get(first.end as usize..).unwrap_or_default();
    let words = rest.trim_start_matches([' ', '\t']);
    let Some(second) = words.strip_prefix("to ") else { return first };
    let second = second.trim_start_matches([' ', '\t']);
    let length = second.find(|it: char| !(it.is_ascii_digit() || it == '-')).unwrap_or(second.len());
    let end = first.end as usize + (rest.len() - second.len()) + length;
    Span::new(first.start, end as u32)
}
