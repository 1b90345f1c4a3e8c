//! The one layout.
//!
//! Two blanks a depth, one blank between atoms, one line a line; a block that stands on one line
//! stays there. Comments are kept, and so is everything that cannot be read. The sources at the
//! ends of neighbouring lines stand in one column. Meaning is kept: what is laid out gives the same
//! tree, and laying it out again changes nothing.

mod gap;
mod rows;

use crate::layout::rows::{Row, Rows};
use crate::parse::Errors;
use crate::parse::nesting::{self, Paired, Role};
use crate::token::{self, Spanned, Token};

/// The text in the one layout. Line ends become LF, threads and tyre markings take their one form.
pub fn tidy(text: &str) -> String {
    let tokens = token::tokens(text);
    let paired = nesting::pair(text, &tokens, &mut Errors::default());
    let one_line = blocks_on_one_line(&tokens, &paired);
    let mut layout = Layout {
        text,
        tokens: &tokens,
        roles: &paired.roles,
        one_line,
        rows: Rows::default(),
        row: None,
        open: Vec::new(),
        in_brackets: 0,
        goes_on: false,
        blank: false,
        line_has_token: false,
    };
    let mut ends = paired.ends.iter().map(|it| it.token).peekable();
    let mut nth = 0;
    while nth < tokens.len() {
        while ends.next_if(|it| *it <= nth).is_some() {
            layout.end_statement();
        }
        nth = layout.token(nth);
    }
    layout.end_row();
    layout.rows.print()
}

/// For each opening brace whether its block stands on one line.
fn blocks_on_one_line(tokens: &[Spanned], paired: &Paired) -> Vec<bool> {
    let mut one_line = vec![false; tokens.len()];
    let mut open: Vec<(usize, usize)> = Vec::new();
    let mut newlines = 0;
    let mut ends = paired.ends.iter().map(|it| it.token).peekable();
    for (nth, (token, role)) in tokens.iter().zip(&paired.roles).enumerate() {
        while ends.next_if(|it| *it <= nth).is_some() {
            open.clear();
        }
        match (token.token, role) {
            (Token::Newline, _) => newlines += 1,
            (Token::BraceOpen, Role::Read) => open.push((nth, newlines)),
            (Token::BraceClose, Role::Read) => {
                if let Some((opening, line)) = open.pop() {
                    one_line[opening] = line == newlines;
                }
            }
            _ => {}
        }
    }
    one_line
}

struct Layout<'a> {
    text: &'a str,
    tokens: &'a [Spanned],
    roles: &'a [Role],
    one_line: Vec<bool>,
    rows: Rows,
    row: Option<Row>,
    /// For each open block whether it stands on one line.
    open: Vec<bool>,
    /// How many square brackets are open.
    in_brackets: usize,
    /// Whether the next row goes on with a statement.
    goes_on: bool,
    /// Whether an empty line stands before the next row.
    blank: bool,
    /// Whether something stands on the source line so far.
    line_has_token: bool,
}

impl Layout<'_> {
    /// Lays out the token at `nth`, and returns the number of the next one.
    fn token(&mut self, nth: usize) -> usize {
        let token = self.tokens[nth];
        match (self.roles[nth], token.token) {
            (Role::LineEnd | Role::GoesOn, _) => self.newline(self.roles[nth] == Role::GoesOn),
            (Role::Deep, _) => return self.deep(nth),
            (Role::Comment, _) | (Role::Read, Token::Doc) => self.comment(token),
            (Role::Read, Token::BraceOpen) => self.brace_open(nth),
            (Role::Read, Token::BraceClose) => self.brace_close(nth),
            _ => {
                self.break_before(nth);
                self.row().tokens.push(nth);
                match (token.token, self.roles[nth]) {
                    (Token::BracketOpen, Role::Read) => self.in_brackets += 1,
                    (Token::BracketClose, Role::Read) => {
                        self.in_brackets = self.in_brackets.saturating_sub(1)
                    }
                    _ => {}
                }
            }
        }
        if !matches!(self.roles[nth], Role::LineEnd | Role::GoesOn) {
            self.line_has_token = true;
        }
        nth + 1
    }

    /// The row being written, a new one where there is none.
    fn row(&mut self) -> &mut Row {
        let indent = self.open.len() + usize::from(self.goes_on);
        let blank = self.blank && !self.goes_on;
        self.row.get_or_insert_with(|| {
            self.blank = false;
            Row { indent, blank, in_brackets: self.in_brackets, ..Row::default() }
        })
    }

    fn end_row(&mut self) {
        if let Some(row) = self.row.take() {
            self.rows.add(row, self.text, self.tokens, self.roles);
        }
    }

    /// Ends a statement of the top, closing what is open.
    fn end_statement(&mut self) {
        self.end_row();
        self.open.clear();
        self.goes_on = false;
    }

    fn newline(&mut self, goes_on: bool) {
        if !self.line_has_token {
            self.blank = true;
        }
        self.end_row();
        self.line_has_token = false;
        self.goes_on = goes_on;
    }

    fn comment(&mut self, token: Spanned) {
        let words = self.text[token.span.range()].trim_end().to_owned();
        if self.line_has_token {
            self.row().comment = Some(words);
        } else {
            self.row().own_comment = Some(words);
        }
        self.end_row();
    }

    /// Begins a row for the token at `nth` where it stands in a new line of the tree.
    fn break_before(&mut self, nth: usize) {
        if self.begins_row(nth) {
            self.end_row();
            self.goes_on = false;
        }
    }

    /// Whether the token at `nth` begins a row of its own, since the one before it ended a block
    /// or opened one.
    fn begins_row(&self, nth: usize) -> bool {
        // What is left out stays on the line it stands on.
        if self.roles[nth] == Role::Stray {
            return false;
        }
        let read = |it: &&usize| self.roles[**it] == Role::Read;
        let last = self.row.as_ref().and_then(|it| it.tokens.iter().rev().find(read)).copied();
        let Some(last) = last else { return false };
        match self.tokens[last].token {
            Token::BraceOpen => !self.one_line[last],
            Token::BraceClose => {
                let on_one_line = self.open.last().is_some_and(|it| *it);
                let goes_on = self.tokens[nth].token == Token::Comma || self.leads_on(nth);
                !on_one_line && !goes_on
            }
            _ => false,
        }
    }

    /// `per` and `because`, unless they begin a path.
    fn leads_on(&self, nth: usize) -> bool {
        let token = self.tokens[nth];
        let path = self.tokens.get(nth + 1).is_some_and(|it| {
            matches!(it.token, Token::Dot | Token::BracketOpen) && it.span.start == token.span.end
        });
        !path && matches!(&self.text[token.span.range()], "per" | "because")
    }

    fn brace_open(&mut self, nth: usize) {
        self.break_before(nth);
        if self.row.is_none() && self.goes_on {
            // A brace on a line of its own is drawn up to its statement.
            self.row = self.rows.reopen(self.roles);
            self.goes_on = false;
            self.blank &= self.row.is_none();
        }
        self.row().tokens.push(nth);
        self.open.push(self.one_line[nth]);
    }

    fn brace_close(&mut self, nth: usize) {
        let one_line = self.open.pop().unwrap_or_default();
        if !one_line {
            self.end_row();
            self.goes_on = false;
            self.blank = false;
        }
        self.row().tokens.push(nth);
    }

    /// What is too deep is kept as it is.
    fn deep(&mut self, nth: usize) -> usize {
        let run = self.roles[nth..].iter().take_while(|it| **it == Role::Deep).count();
        let deep = &self.tokens[nth..nth + run];
        let kept = deep.iter().rposition(|it| it.token != Token::Newline).map_or(0, |it| it + 1);
        self.break_before(nth);
        self.row().tokens.extend(nth..nth + kept);
        self.line_has_token = true;
        if kept < run {
            self.newline(false);
        }
        nth + run
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laid(text: &str, out: &str) {
        assert_eq!(tidy(text), out);
        assert_eq!(tidy(out), out, "twice");
    }

    #[test]
    fn blanks_and_indents_are_regular() {
        laid(
            "part  a{\n\n\nface   b is c ,mass 3kg\n\n\n\n   torque limit   400 Nm\n\n}\n\n\n\nuse \"x\"",
            "part a {\n  face b is c, mass 3 kg\n\n  torque limit 400 Nm\n}\n\nuse \"x\"\n",
        );
        laid("a van . B1 [ 8 ]\nb.c[ 8 ] ( 1 ,2 )", "a van . B1 [8]\nb.c[8] (1, 2)\n");
        laid("a<=3*b", "a <= 3 * b\n");
        laid("", "");
        laid("\r\n\ra\r\nb\r", "a\nb\n");
    }

    #[test]
    fn blocks_on_one_line_stay_there() {
        laid("part a{face b,mass 3 kg}", "part a { face b, mass 3 kg }\n");
        laid("part a { }  part b {plug c{1 x}}", "part a { }\npart b { plug c { 1 x } }\n");
        laid("part a {face b\nmass 3 kg}", "part a {\n  face b\n  mass 3 kg\n}\n");
        laid("part a\n{\nface b\n}", "part a {\n  face b\n}\n");
        laid("part a { // why\nface b } // end", "part a {  // why\n  face b\n}  // end\n");
    }

    #[test]
    fn comments_stay_where_they_are() {
        laid(
            "// head\n\n///  doc\npart a { \n//x\n  face b//y\n\n  // z\n\n}\n//end",
            "// head\n\n///  doc\npart a {\n  //x\n  face b  //y\n\n  // z\n}\n//end\n",
        );
    }

    #[test]
    fn what_goes_on_is_indented_once_more() {
        laid(
            "needs a = 3\nbecause \"x\"\nsource m \"t\",\n// why\nmeasured\nf (1,\n2)\n",
            "needs a = 3\n  because \"x\"\nsource m \"t\",\n  // why\n  measured\nf (1,\n  2)\n",
        );
        laid("part a { face b }\nper x", "part a { face b }\n  per x\n");
    }

    #[test]
    fn sources_of_neighbours_stand_in_one_column() {
        laid(
            "part a {\nmass 86 kg per manual\ntorque limit 400 Nm per bench\n\nface b per x\nwait 3 days\n}",
            "part a {\n  mass 86 kg           per manual\n  torque limit 400 Nm  per bench\n\n  face b  per x\n  wait 3 days\n}\n",
        );
        laid("a[per yard\nmass 3 kg per x", "a[per yard\nmass 3 kg  per x\n");
        let long = format!("{}  per manual\nb  per x\n", "a".repeat(71));
        laid(&long, &long);
    }

    #[test]
    fn threads_and_tyres_take_their_one_form() {
        laid("thread M12 x 1,5\ntyre 205/65R16", "thread M12x1.5\ntyre 205/65 R16\n");
        laid("port 1/4  NPT, G 1/4", "port 1/4 NPT, G1/4\n");
    }

    #[test]
    fn a_blank_that_would_change_the_meaning_is_not_put() {
        laid("a 1/4NPT", "a 1/4NPT\n");
        laid("a 3-4, b -4, c - 4", "a 3-4, b -4, c - 4\n");
    }

    #[test]
    fn what_cannot_be_read_is_kept() {
        laid("part a {\n face b §§ }\n}}\n) x", "part a {\n  face b §§\n}\n}}\n) x\n");
        laid("part a {\n face b\npart c {\n", "part a {\n  face b\npart c {\n");
        let deep = format!("{}x  y\n {}\nz", "a {".repeat(70), "}".repeat(70));
        let once = tidy(&deep);
        assert!(once.contains("x  y\n"));
        assert_eq!(tidy(&once), once);
    }
}
