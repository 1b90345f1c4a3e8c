//! Says what each token is for, before the grammar sees them: makes braces and brackets pair,
//! joins lines that go on, and leaves out comments and what belongs to nothing.
//!
//! Every text then has a tree, whatever is missing in it: what is not closed is closed, what
//! closes nothing is left out, and each is told once. Nesting has a bound, and what lies deeper
//! is passed over without recursion.

use crate::chunk;
use crate::parse::{Errors, error, slice};
use crate::token::{self, Spanned, Token};
use crate::tree::{Span, SyntaxError};

/// How deep blocks may nest, and how deep round brackets.
const DEEPEST: usize = 64;

/// What a token is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    /// The grammar reads it.
    Read,
    /// A comma in round brackets.
    GroupComma,
    /// A newline that ends a line, or an empty line.
    LineEnd,
    /// A newline after which the statement goes on.
    GoesOn,
    /// A comment, or a doc comment that stands above nothing.
    Comment,
    /// An opening square bracket that the token after it closes, as its own is missing.
    Unclosed,
    /// Left out: it closes nothing, is not closed, or belongs to nothing.
    Stray,
    /// Left out: too deep.
    Deep,
}

/// The tokens' roles, and where the pieces of the text end.
pub(crate) struct Paired {
    /// One for each token.
    pub roles: Vec<Role>,
    /// Where a top-level statement begins, by token, and how many blocks it closes.
    pub ends: Vec<End>,
}

/// The end of a top-level statement.
pub(crate) struct End {
    /// The first token after it.
    pub token: usize,
    /// Where it is in the text.
    pub at: u32,
    /// How many blocks are open there.
    pub open: usize,
}

/// The tokens that the grammar reads, with all pairs complete.
pub(crate) fn read(tokens: &[Spanned], paired: &Paired) -> Vec<Spanned> {
    let mut out: Vec<Spanned> = Vec::with_capacity(tokens.len() + paired.ends.len() * 2);
    let mut ends = paired.ends.iter().peekable();
    for (nth, (token, role)) in tokens.iter().zip(&paired.roles).enumerate() {
        if let Some(end) = ends.next_if(|it| it.token == nth) {
            close(end, &mut out);
        }
        match role {
            Role::Read | Role::LineEnd => out.push(*token),
            Role::GroupComma => out.push(Spanned { token: Token::GroupComma, ..*token }),
            Role::Unclosed => {
                out.push(*token);
                continue;
            }
            Role::GoesOn | Role::Comment | Role::Stray | Role::Deep => {}
        }
        if nth > 0 && paired.roles[nth - 1] == Role::Unclosed {
            let end = Span::new(token.span.end, token.span.end);
            out.push(Spanned { token: Token::BracketClose, span: end });
        }
    }
    for end in ends {
        close(end, &mut out);
    }
    out
}

/// Closes what is open with tokens that have no length.
fn close(end: &End, out: &mut Vec<Spanned>) {
    let span = Span::new(end.at, end.at);
    out.extend(std::iter::repeat_n(Spanned { token: Token::BraceClose, span }, end.open));
    out.push(Spanned { token: Token::Newline, span });
}

/// Finds each token's role.
pub(crate) fn pair(text: &str, tokens: &[Spanned], errors: &mut Errors) -> Paired {
    let starts: Vec<u32> = chunk::chunks(text).iter().skip(1).map(|it| it.start).collect();
    let mut pairing = Pairing {
        text,
        tokens,
        errors,
        partners: partners(tokens, &starts),
        roles: Vec::with_capacity(tokens.len()),
        ends: Vec::with_capacity(starts.len() + 1),
        open: Vec::new(),
        round: 0,
        last: None,
        fresh: true,
        indent: 0,
        line_start: 0,
        docs: Vec::new(),
        stray: false,
        suspect: None,
        told_deep: false,
    };
    let mut starts = starts.into_iter().peekable();
    let mut nth = 0;
    while let Some(token) = tokens.get(nth) {
        if let Some(at) = starts.next_if(|it| token.span.start >= *it) {
            pairing.end(at);
        }
        let until = starts.peek().copied().unwrap_or(u32::MAX);
        nth = pairing.token(nth, *token, until);
    }
    pairing.end(text.len() as u32);
    Paired { roles: pairing.roles, ends: pairing.ends }
}

/// No partner.
const NONE: u32 = u32::MAX;

/// For each round or square bracket the one it pairs with. Braces and the ends of top-level
/// statements are never inside a pair, nor are line ends inside square brackets.
fn partners(tokens: &[Spanned], starts: &[u32]) -> Vec<u32> {
    let bracket = |it: &Spanned| matches!(it.token, Token::BracketOpen | Token::ParenOpen);
    if !tokens.iter().any(bracket) {
        return Vec::new();
    }
    let mut partners = vec![NONE; tokens.len()];
    let mut open: Vec<usize> = Vec::new();
    let mut starts = starts.iter().peekable();
    let mut line = 0;
    for (nth, token) in tokens.iter().enumerate() {
        if starts.next_if(|it| token.span.start >= **it).is_some() {
            open.clear();
        }
        let closes = match token.token {
            Token::BracketOpen | Token::ParenOpen => {
                open.push(nth);
                continue;
            }
            Token::BracketClose => Token::BracketOpen,
            Token::ParenClose => Token::ParenOpen,
            Token::BraceOpen | Token::BraceClose => {
                open.clear();
                continue;
            }
            Token::Newline => {
                line = nth;
                continue;
            }
            _ => continue,
        };
        while open.pop_if(|it| tokens[*it].token == Token::BracketOpen && *it < line).is_some() {}
        if let Some(last) = open.pop_if(|it| tokens[*it].token == closes) {
            partners[last] = nth as u32;
            partners[nth] = last as u32;
        }
    }
    partners
}

struct Open {
    brace: Spanned,
    /// How far its line is indented.
    indent: u32,
}

struct Pairing<'a> {
    text: &'a str,
    tokens: &'a [Spanned],
    errors: &'a mut Errors,
    partners: Vec<u32>,
    roles: Vec<Role>,
    ends: Vec<End>,
    open: Vec<Open>,
    /// How many round brackets are open.
    round: usize,
    /// The last token that is read, by number, in this statement.
    last: Option<usize>,
    /// Whether nothing has stood on this line yet.
    fresh: bool,
    indent: u32,
    line_start: u32,
    /// Doc comments whose statement has not come yet.
    docs: Vec<usize>,
    /// Whether something was left out on this line.
    stray: bool,
    /// A block that was closed by a brace that stands under another one.
    suspect: Option<Spanned>,
    told_deep: bool,
}

impl Pairing<'_> {
    /// Finds the role of the token at `nth` and returns the number of the next one.
    fn token(&mut self, nth: usize, token: Spanned, until: u32) -> usize {
        let fresh = self.fresh;
        if token.token == Token::Newline {
            self.newline(token, fresh);
            return nth + 1;
        }
        if fresh {
            self.indent = token.span.start - self.line_start;
            self.fresh = false;
        }
        let role = match token.token {
            Token::Comment => {
                self.marks(token);
                Role::Comment
            }
            Token::Doc => {
                self.marks(token);
                if fresh && self.round == 0 && !self.after_comma() {
                    self.docs.push(nth);
                    self.roles.push(Role::Read);
                    return nth + 1;
                }
                Role::Comment
            }
            Token::Unknown => {
                if let Some(told) = unknown(self.text, token) {
                    self.errors.tell_row(self.text, told);
                }
                self.marks(token);
                Role::Stray
            }
            Token::BraceOpen if self.open.len() >= DEEPEST => return self.deep(nth, token, until),
            Token::BraceOpen => {
                // A brace on a line of its own opens the block of the statement above.
                if fresh && self.after_statement() {
                    self.go_on();
                }
                self.open.push(Open { brace: token, indent: self.indent });
                Role::Read
            }
            Token::BraceClose => self.brace_close(token, fresh),
            Token::BracketOpen | Token::ParenOpen => match self.partner(nth) {
                Some(partner) if self.round >= DEEPEST => return self.deep_bracket(nth, partner, token),
                Some(_) => {
                    self.round += 1;
                    Role::Read
                }
                None if let Some(end) = self.cavity(nth, token) => {
                    let told = error("write/bracket", token, "This bracket is not closed: `]` is missing.");
                    self.errors.tell(told.with_mend("close the bracket", Span::new(end, end), "]"));
                    Role::Unclosed
                }
                None => {
                    let missing = if token.token == Token::ParenOpen { ")" } else { "]" };
                    let told = format!("This bracket is not closed: `{missing}` is missing.");
                    self.errors.tell_row(self.text, error("write/bracket", token, told));
                    Role::Stray
                }
            },
            Token::BracketClose | Token::ParenClose if self.partner(nth).is_some() => {
                self.round = self.round.saturating_sub(1);
                Role::Read
            }
            Token::BracketClose | Token::ParenClose => {
                let told =
                    error("write/bracket", token, "This closes nothing: there is no open bracket here.");
                self.errors.tell_row(self.text, told.taken_out());
                Role::Stray
            }
            Token::Comma if self.round > 0 => Role::GroupComma,
            Token::Text | Token::CurledText => {
                self.marks(token);
                Role::Read
            }
            Token::Word if fresh && self.leads_on(nth, token) => {
                self.go_on();
                Role::Read
            }
            _ => Role::Read,
        };
        self.roles.push(role);
        self.stray |= role == Role::Stray;
        if matches!(role, Role::Read | Role::GroupComma) {
            if token.token == Token::BraceClose {
                self.detach();
            }
            self.docs.clear();
            self.last = Some(nth);
        }
        nth + 1
    }

    /// Where the cavity ends that begins with a bracket which is not closed: `van.B1[8 to`.
    fn cavity(&self, nth: usize, open: Spanned) -> Option<u32> {
        let (before, next) = (self.tokens[self.last?], self.tokens.get(nth + 1)?);
        let named = matches!(before.token, Token::Word | Token::Number | Token::Thread);
        let numbered = matches!(next.token, Token::Word | Token::Number);
        let touch = before.span.end == open.span.start && open.span.end == next.span.start;
        (open.token == Token::BracketOpen && named && numbered && touch).then_some(next.span.end)
    }

    fn newline(&mut self, token: Spanned, empty: bool) {
        if empty || std::mem::take(&mut self.stray) {
            self.detach();
        }
        let goes_on = self.round > 0 || self.after_comma();
        self.roles.push(if goes_on { Role::GoesOn } else { Role::LineEnd });
        self.fresh = true;
        self.line_start = token.span.end;
    }

    fn after_comma(&self) -> bool {
        self.last.is_some_and(|it| self.tokens[it].token == Token::Comma)
    }

    /// Joins the line with the statement before it. Doc comments between are comments.
    fn go_on(&mut self) {
        let since = self.last.map_or(0, |it| it + 1);
        for role in &mut self.roles[since..] {
            match role {
                Role::LineEnd => *role = Role::GoesOn,
                Role::Read => *role = Role::Comment,
                _ => {}
            }
        }
        self.docs.clear();
    }

    /// Whether the last that was read may be the end of a statement without a block.
    fn after_statement(&self) -> bool {
        self.last.is_some_and(|it| {
            !matches!(self.tokens[it].token, Token::BraceOpen | Token::BraceClose | Token::Comma)
        })
    }

    /// A line that begins with `per` or `because` goes on with the statement before it.
    fn leads_on(&self, nth: usize, token: Spanned) -> bool {
        let path = self.tokens.get(nth + 1).is_some_and(|it| {
            matches!(it.token, Token::Dot | Token::BracketOpen) && it.span.start == token.span.end
        });
        !path
            && matches!(slice(self.text, token), "per" | "because")
            && self.last.is_some_and(|it| self.tokens[it].token != Token::BraceOpen)
    }

    /// Doc comments that stand above nothing are comments.
    fn detach(&mut self) {
        for nth in self.docs.drain(..) {
            self.roles[nth] = Role::Comment;
        }
    }

    fn partner(&self, nth: usize) -> Option<usize> {
        self.partners.get(nth).filter(|it| **it != NONE).map(|it| *it as usize)
    }

    fn brace_close(&mut self, token: Spanned, fresh: bool) -> Role {
        match self.open.pop() {
            Some(last) => {
                let under_another = fresh
                    && last.indent != self.indent
                    && self.open.iter().any(|it| it.indent == self.indent);
                if under_another && self.suspect.is_none() {
                    self.suspect = Some(last.brace);
                }
                Role::Read
            }
            None => {
                let told = error("write/brace", token, "This closes nothing: there is no open block here.");
                self.errors.tell_row(self.text, told.taken_out());
                Role::Stray
            }
        }
    }

    /// Passes over a block that is too deep, up to its end.
    fn deep(&mut self, nth: usize, token: Spanned, until: u32) -> usize {
        if !self.told_deep {
            self.told_deep = true;
            let told = format!("Blocks nest deeper than {DEEPEST} here; what is inside is not read.");
            self.errors.tell(error("write/brace", token, told));
        }
        let mut depth = 0_usize;
        let mut next = nth;
        while let Some(token) = self.tokens.get(next).filter(|it| it.span.start < until) {
            self.roles.push(Role::Deep);
            next += 1;
            match token.token {
                Token::BraceOpen => depth += 1,
                Token::BraceClose => depth -= 1,
                Token::Newline => self.line_start = token.span.end,
                _ => {}
            }
            if depth == 0 {
                break;
            }
        }
        next
    }

    /// Passes over brackets that are too deep.
    fn deep_bracket(&mut self, nth: usize, partner: usize, token: Spanned) -> usize {
        let told = format!("Brackets nest deeper than {DEEPEST} here; what is inside is not read.");
        self.errors.tell(error("write/bracket", token, told));
        self.roles.extend(std::iter::repeat_n(Role::Deep, partner + 1 - nth));
        partner + 1
    }

    /// Ends the statement: closes what is open and tells of it once.
    fn end(&mut self, at: u32) {
        self.detach();
        self.ends.push(End { token: self.roles.len(), at, open: self.open.len() });
        if let Some(first) = self.open.first()
            && !self.told_deep
        {
            let what = match self.open.len() {
                1 => "This block is not closed: `}` is missing.".to_owned(),
                count => format!("This block and {} in it are not closed: `}}` is missing.", count - 1),
            };
            let told = match self.suspect {
                Some(brace) => error("write/brace", brace, "This block is not closed: `}` is missing."),
                None => {
                    let start = first.brace.span.end as usize;
                    let body = self.text[start..at as usize].trim_end().len() + start;
                    let place = Span::new(body as u32, body as u32);
                    let title = if self.open.len() == 1 { "close the block" } else { "close the blocks" };
                    error("write/brace", first.brace, what).with_mend(
                        title,
                        place,
                        "\n}".repeat(self.open.len()),
                    )
                }
            };
            self.errors.tell(told);
        }
        self.open.clear();
        (self.round, self.last, self.suspect, self.told_deep) = (0, None, None, false);
        (self.fresh, self.line_start) = (true, at);
    }

    /// Tells of marks in a token that turn the direction of writing.
    fn marks(&mut self, token: Spanned) {
        let text = slice(self.text, token);
        if !text.as_bytes().contains(&0xe2) {
            return;
        }
        let Some((first, _)) = text.char_indices().find(|(_, it)| token::is_direction_mark(*it)) else {
            return;
        };
        let run: usize =
            text[first..].chars().take_while(|it| token::is_direction_mark(*it)).map(char::len_utf8).sum();
        let start = token.span.start + first as u32;
        let place = Spanned { span: Span::new(start, start + run as u32), ..token };
        let told = "An invisible direction mark stands here; it can make text look other than it is.";
        self.errors.tell_row(self.text, error("write/character", place, told).taken_out());
    }
}

/// What is to say about characters that belong to nothing; none where they are direction marks.
fn unknown(text: &str, token: Spanned) -> Option<SyntaxError> {
    let it = slice(text, token).chars().find(|it| !token::is_direction_mark(*it))?;
    let message = match it {
        '\0' => "A NUL character stands here; it belongs to nothing.".to_owned(),
        '\u{feff}' => "A byte order mark stands here; it belongs at the start of a file only.".to_owned(),
        '\u{fffd}' => "Bytes that are not UTF-8 stand here; save the file as UTF-8.".to_owned(),
        '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}'..='\u{2064}' => {
            format!("An invisible character (U+{:04X}) stands here.", u32::from(it))
        }
        it if it.is_control() || it.is_whitespace() => {
            format!("A control character (U+{:04X}) stands here.", u32::from(it))
        }
        it => format!("`{it}` belongs to nothing here."),
    };
    Some(error("write/character", token, message).taken_out())
}

#[cfg(test)]
mod tests {
    use crate::parse::parse;
    use crate::tree::{Line, Tree};

    fn told(text: &str) -> Vec<(&'static str, String)> {
        let told = |tree: Tree| {
            tree.errors.into_iter().map(|it| (it.name, text[it.span.range()].to_owned())).collect()
        };
        told(parse(text))
    }

    fn words(lines: &[Line]) -> String {
        let clause = |it: &crate::tree::Clause| {
            let atoms: Vec<String> = it.atoms.iter().map(|_| "a".to_owned()).collect();
            let block = it.block.as_ref().map(|it| format!("{{{}}}", words(&it.lines)));
            atoms.into_iter().chain(block).collect::<Vec<_>>().join(" ")
        };
        let line = |it: &Line| it.clauses.iter().map(clause).collect::<Vec<_>>().join(",");
        lines.iter().map(line).collect::<Vec<_>>().join(";")
    }

    #[test]
    fn lines_go_on_in_brackets_after_commas_and_before_per() {
        for (text, shape) in [
            ("x y\nz", "a a;a"),
            ("x (y\n z)\nz", "a a;a"),
            ("x,\n// note\n\ny\nz", "a,a;a"),
            ("x\n  per z\n  because \"w\"\nz", "a a a a a;a"),
            ("x {\n per y\n}", "a {a a}"),
            ("x {\n y\n}\nper z", "a a a {a}"),
            ("x { y } per z, because \"w\"", "a a a {a},a a"),
            ("per x", "a a"),
            ("x\n\n// note\n{\n y\n}\nz", "a {a};a"),
            ("x { y }\n{ z }", "a {a};{a}"),
            ("x [\ny", "a;a"),
        ] {
            assert_eq!(words(&parse(text).lines), shape, "{text}");
        }
    }

    #[test]
    fn what_does_not_pair_is_told_once() {
        assert_eq!(told("x {\n y {\n  z"), [("write/brace", "{".to_owned())]);
        assert_eq!(told("x }"), [("write/brace", "}".to_owned())]);
        assert_eq!(told("x } }}\ny"), [("write/brace", "} }}".to_owned())]);
        assert_eq!(told("x (y\nz"), [("write/bracket", "(".to_owned())]);
        assert_eq!(told("x y)\nz"), [("write/bracket", ")".to_owned())]);
        assert_eq!(told("x { y (z }\nw"), [("write/bracket", "(".to_owned())]);
        assert_eq!(
            told("x y[8 to z[9]\nx z 9]"),
            [("write/bracket", "[".to_owned()), ("write/bracket", "]".to_owned())]
        );
        assert_eq!(told("x \u{0}\u{1} y"), [("write/character", "\u{0}\u{1}".to_owned())]);
        assert_eq!(told("x,,, "), [("write/comma", ",,,".to_owned())]);
    }

    #[test]
    fn a_block_closed_by_a_brace_under_another_is_the_one_told() {
        let text = "part a {\n  plug b {\n    1 x\n  face c\n}\n";
        assert_eq!(told(text), [("write/brace", "{".to_owned())]);
        assert_eq!(parse(text).errors[0].span.start, 18);
    }

    #[test]
    fn the_mend_closes_the_block() {
        let text = "part a {\n  plug b {\n    1 x\n\n";
        let mend = parse(text).errors.remove(0).mend.expect("a mend");
        let mut mended = text.to_owned();
        mended.replace_range(mend.span.range(), &mend.text);
        assert_eq!(told(&mended), []);
    }

    #[test]
    fn an_open_block_ends_where_a_statement_of_the_top_begins() {
        let tree = parse("part a {\n  face b\npart c {\n}\n");
        assert_eq!(words(&tree.lines), "a a {a a};a a {}");
        assert_eq!(tree.errors.len(), 1);
    }

    #[test]
    fn doc_comments_stand_directly_above() {
        let docs = |text: &str| {
            let doc = |it: &Line| it.doc.as_deref().map(str::to_owned);
            parse(text).lines.iter().map(doc).collect::<Vec<_>>()
        };
        assert_eq!(docs("/// a\n// n\n/// b\nx"), [Some("a\nb".to_owned())]);
        assert_eq!(docs("/// a\n\nx\ny /// b\nz"), [None, None, None]);
        assert_eq!(docs("x\n/// a\n  per y"), [None]);
        assert_eq!(docs("x,\n/// a\ny"), [None]);
        assert_eq!(docs("///a\r\nx"), [Some("a".to_owned())]);
    }

    #[test]
    fn direction_marks_are_told_wherever_they_stand() {
        for text in ["x \u{202e} y", "x // \u{202e}y", "/// \u{2066}\nx", "x \"\u{202a}\u{202b}\""] {
            assert_eq!(told(text).len(), 1, "{text}");
            assert_eq!(told(text)[0].0, "write/character");
        }
        assert_eq!(told("x \"שלום\""), []);
    }

    #[test]
    fn what_is_too_deep_is_told_once_and_passed_over() {
        let deep = |count: usize| format!("{}x{}\ny", "a {".repeat(count), "}".repeat(count));
        assert_eq!(told(&deep(64)), []);
        assert_eq!(told(&deep(65)).len(), 1);
        assert_eq!(parse(&deep(5000)).lines.len(), 2);
        assert_eq!(told(&deep(5000)).len(), 1);
        let round = |count: usize| format!("x {}1{}\ny", "(".repeat(count), ")".repeat(count));
        assert_eq!(told(&round(64)), []);
        assert_eq!(told(&round(5000)).len(), 1);
    }

    #[test]
    fn a_million_of_anything_is_read() {
        for text in ["{", "[", "("] {
            assert!(parse(&text.repeat(1_000_000)).errors.len() <= 2, "{text}");
        }
        for text in
            ["}", "]", ")", ",", "\n", "\r", "\0", "\"", ".", "{}", "()", "a ", "per\n", "/// x\n", "} a\n"]
        {
            let tree = parse(&text.repeat(100_000));
            assert!(tree.errors.len() <= crate::parse::MOST_TOLD + 1, "{text}");
        }
    }
}
