//! The atoms of a clause: paths, figures, dates, text, operators, groups.

use smol_str::{SmolStr, SmolStrBuilder};

use crate::parse::{Errors, date, error, figure, marking, quoted, slice};
use crate::token::{self, Spanned, Token};
use crate::tree::{At, Atom, AtomKind, Clause, Op, Path, Span};

/// Reads the tokens of a clause, brackets being complete.
pub(super) fn atoms(text: &str, tokens: &[Spanned], errors: &mut Errors) -> Vec<Atom> {
    let mut reader = Atoms { text, tokens, at: 0, errors };
    let mut atoms = Vec::with_capacity(tokens.len());
    while let Some(token) = reader.peek() {
        let before = reader.at;
        if let Some(atom) = reader.atom(token, atoms.last()) {
            atoms.push(atom);
        }
        debug_assert!(reader.at > before, "every atom takes a token");
    }
    atoms
}

/// Tokens being read.
pub(super) struct Atoms<'a> {
    pub text: &'a str,
    pub tokens: &'a [Spanned],
    pub at: usize,
    pub errors: &'a mut Errors,
}

impl<'a> Atoms<'a> {
    pub fn peek(&self) -> Option<Spanned> {
        self.tokens.get(self.at).copied()
    }

    pub fn peek_at(&self, ahead: usize) -> Option<Spanned> {
        self.tokens.get(self.at + ahead).copied()
    }

    pub fn is(&self, ahead: usize, token: Token) -> bool {
        self.peek_at(ahead).is_some_and(|it| it.token == token)
    }

    /// Whether nothing stands between two tokens.
    pub fn touching(&self, ahead: usize) -> bool {
        match (self.peek_at(ahead), self.peek_at(ahead + 1)) {
            (Some(a), Some(b)) => a.span.end == b.span.start,
            _ => false,
        }
    }

    pub fn slice(&self, token: Spanned) -> &'a str {
        slice(self.text, token)
    }

    fn atom(&mut self, token: Spanned, before: Option<&Atom>) -> Option<Atom> {
        let kind = match token.token {
            Token::Word if before.is_some() && figure::is_money_sign(self) => {
                return Some(figure::figure(self));
            }
            Token::Word => return Some(self.path()),
            Token::Thread if self.begins_path(token) => return Some(self.path()),
            it if it.is_number() => return Some(figure::figure(self)),
            Token::Minus if self.negative(token, before) => return Some(figure::figure(self)),
            Token::ParenOpen => return Some(self.group()),
            _ => {
                let previous = self.at.checked_sub(1).map(|it| self.tokens[it]);
                self.at += 1;
                self.simple(token, previous)?
            }
        };
        Some(Atom { kind, span: token.span })
    }

    /// An atom of one token, which has been taken.
    fn simple(&mut self, token: Spanned, previous: Option<Spanned>) -> Option<AtomKind> {
        let raw = self.slice(token);
        Some(match token.token {
            Token::Date | Token::OtherDate => AtomKind::Date(date::date(raw, token, self.errors)),
            Token::Text => AtomKind::Text(quoted::straight(raw, token, previous, self.errors)),
            Token::CurledText => AtomKind::Text(quoted::curled(raw, token, self.errors)),
            Token::Version => AtomKind::Text(quoted::bare(raw, token, self.errors)),
            Token::Thread => AtomKind::Thread(marking::thread(raw)),
            Token::Tyre => AtomKind::Tyre(marking::tyre(raw)),
            Token::PerMinute => {
                let parts = vec![At { value: raw.into(), span: token.span }];
                AtomKind::Path(Path { parts, index: None })
            }
            Token::Plus => AtomKind::Op(Op::Plus),
            Token::Minus => AtomKind::Op(Op::Minus),
            Token::Times => AtomKind::Op(Op::Times),
            Token::Over => AtomKind::Op(Op::Over),
            Token::Equal => AtomKind::Op(Op::Equal),
            Token::Unequal => AtomKind::Op(Op::Unequal),
            Token::Less => AtomKind::Op(Op::Less),
            Token::AtMost => AtomKind::Op(Op::AtMost),
            Token::More => AtomKind::Op(Op::More),
            Token::AtLeast => AtomKind::Op(Op::AtLeast),
            Token::BracketOpen => {
                self.past_bracket(token);
                return None;
            }
            _ => {
                let told = error("write/character", token, format!("`{raw}` belongs to nothing here."));
                self.errors.tell(told.taken_out());
                return None;
            }
        })
    }

    /// `-40 °C`: the sign touches its number, and nothing before touches the sign.
    fn negative(&self, token: Spanned, before: Option<&Atom>) -> bool {
        let number = self.peek_at(1).is_some_and(|it| it.token.is_number());
        let operand =
            before.is_some_and(|it| !matches!(it.kind, AtomKind::Op(_)) && it.span.end == token.span.start);
        number && self.touching(0) && !operand
    }

    /// `M12.x`, `M1[3]`: a name that looks like a thread.
    fn begins_path(&self, token: Spanned) -> bool {
        marking::is_plain(self.slice(token))
            && self.touching(0)
            && (self.is(1, Token::Dot) || self.is(1, Token::BracketOpen))
    }

    fn path(&mut self) -> Atom {
        let mut parts: Vec<At<SmolStr>> = Vec::with_capacity(1);
        let mut span = self.peek().map(|it| it.span).unwrap_or_default();
        while let Some(token) = self.peek() {
            parts.push(At { value: self.slice(token).into(), span: token.span });
            span = span.to(token.span);
            self.at += 1;
            self.numbered(&mut parts, &mut span);
            let Some(dot) = self.peek().filter(|it| it.token == Token::Dot && it.span.start == span.end)
            else {
                break;
            };
            self.at += 1;
            let next = self.peek().is_some_and(|it| {
                let name = match it.token {
                    Token::Word | Token::Number => true,
                    Token::Thread => marking::is_plain(self.slice(it)),
                    _ => false,
                };
                name && it.span.start == dot.span.end
            });
            if !next {
                span = span.to(dot.span);
                let told = error("write/path", dot, "A name is missing after this dot.");
                self.errors.tell(told.taken_out());
                break;
            }
        }
        let index = self.index(&mut span);
        Atom { kind: AtomKind::Path(Path { parts, index }), span }
    }

    /// `.5` directly after a word: a part that is a number.
    fn numbered(&mut self, parts: &mut Vec<At<SmolStr>>, span: &mut Span) {
        while let Some(token) =
            self.peek().filter(|it| it.token == Token::Number && it.span.start == span.end)
        {
            let Some(number) = self.slice(token).strip_prefix('.') else { return };
            let at = Span::new(token.span.start + 1, token.span.end);
            parts.push(At { value: number.into(), span: at });
            *span = span.to(token.span);
            self.at += 1;
        }
    }

    /// `[8]` directly after a path.
    fn index(&mut self, span: &mut Span) -> Option<At<SmolStr>> {
        let open = self.peek().filter(|it| it.token == Token::BracketOpen && it.span.start == span.end)?;
        self.at += 1;
        let inside = self.inside_bracket();
        *span = span.to(self.tokens[self.at - 1].span);
        let (Some(first), Some(last)) = (inside.first(), inside.last()) else {
            self.errors.tell(error(
                "write/bracket",
                open,
                "The number of the cavity is missing in these brackets.",
            ));
            return None;
        };
        let mut value = SmolStrBuilder::new();
        let mut end = first.span.start;
        for token in inside {
            if token.span.start > end {
                value.push(' ');
            }
            value.push_str(&marking::shown(self.slice(*token), token.token));
            end = token.span.end;
        }
        Some(At { value: value.finish(), span: first.span.to(last.span) })
    }

    /// The tokens up to the bracket that closes the one just taken; that one is taken, too.
    fn inside_bracket(&mut self) -> &'a [Spanned] {
        let start = self.at;
        let mut depth = 1;
        while let Some(token) = self.peek() {
            self.at += 1;
            match token.token {
                Token::BracketOpen => depth += 1,
                Token::BracketClose => depth -= 1,
                _ => {}
            }
            if depth == 0 {
                return &self.tokens[start..self.at - 1];
            }
        }
        &self.tokens[start..]
    }

    /// Square brackets that stand after no name.
    fn past_bracket(&mut self, open: Spanned) {
        // The bracket itself has been taken.
        let plug = self.at.checked_sub(2).map(|it| self.tokens[it]).filter(|it| it.token == Token::Word);
        self.inside_bracket();
        let span = open.span.to(self.tokens[self.at - 1].span);
        let told = "Square brackets hold a cavity and stand directly after a plug: `van.B1[8]`.";
        let told = error("write/bracket", Spanned { span, ..open }, told);
        let blank = plug.map(|it| Span::new(it.span.end, open.span.start));
        self.errors.tell(match blank.filter(|it| self.text[it.range()].chars().all(token::is_blank)) {
            Some(blank) => told.with_mend("take the blank out", blank, ""),
            None => told,
        });
    }

    fn group(&mut self) -> Atom {
        let open = self.tokens[self.at].span;
        self.at += 1;
        let start = self.at;
        let mut depth = 1;
        let mut clauses = Vec::new();
        let mut from = start;
        while let Some(token) = self.peek() {
            match token.token {
                Token::ParenOpen => depth += 1,
                Token::ParenClose => depth -= 1,
                Token::GroupComma if depth == 1 => {
                    clauses.push(self.clause(from, open));
                    from = self.at + 1;
                }
                _ => {}
            }
            if depth == 0 {
                break;
            }
            self.at += 1;
        }
        clauses.push(self.clause(from, open));
        let close = self.peek().map_or(open, |it| it.span);
        self.at += 1;
        Atom { kind: AtomKind::Group(clauses), span: open.to(close) }
    }

    /// The clause of a group from a token up to this one.
    fn clause(&mut self, from: usize, open: Span) -> Clause {
        let atoms = atoms(self.text, &self.tokens[from..self.at], self.errors);
        let span = match (atoms.first(), atoms.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => Span::new(open.end, open.end),
        };
        Clause { atoms, block: None, span }
    }
}

#[cfg(test)]
mod tests {
    use crate::parse::parse;
    use crate::tree::{Atom, AtomKind, Op};

    fn read(text: &str) -> (Vec<Atom>, Vec<&'static str>) {
        let tree = parse(text);
        let atoms = tree.lines.into_iter().flat_map(|it| it.clauses).flat_map(|it| it.atoms);
        (atoms.collect(), tree.errors.iter().map(|it| it.name).collect())
    }

    fn paths(text: &str) -> Vec<String> {
        let (atoms, errors) = read(text);
        assert!(errors.is_empty(), "{text}: {errors:?}");
        let path = |it: Atom| match it.kind {
            AtomKind::Path(it) => it.to_string(),
            other => panic!("{text}: {other:?}"),
        };
        atoms.into_iter().map(path).collect()
    }

    #[test]
    fn paths_have_words_and_a_cavity() {
        assert_eq!(paths("gearbox van.B1[8] engine.crank"), ["gearbox", "van.B1[8]", "engine.crank"]);
        assert_eq!(
            paths("M1[3] M12.x a.M8.b unit.5 B1[ A 1 ]"),
            ["M1[3]", "M12.x", "a.M8.b", "unit.5", "B1[A 1]"]
        );
    }

    #[test]
    fn broken_paths_are_told_once() {
        assert_eq!(read("gearbox.").1, ["write/path"]);
        assert_eq!(read("van.B1[]").1, ["write/bracket"]);
        assert_eq!(read("van.B1 [8]").1, ["write/bracket"]);
        assert_eq!(read("van.B1[8").1, ["write/bracket"]);
        assert_eq!(read("van.B1[[8]]").1, [] as [&str; 0]);
        assert_eq!(read("mass 3 kg.").1, ["write/character"]);
    }

    #[test]
    fn a_minus_touching_its_number_is_its_sign() {
        let signs = |text: &str| read(text).0.iter().filter(|it| it.kind == AtomKind::Op(Op::Minus)).count();
        assert_eq!(
            (signs("x -40 °C"), signs("-40 °C"), signs("(-4)"), signs("a - 4"), signs("3 * -4")),
            (0, 0, 0, 1, 0)
        );
        assert_eq!(paths("a-4"), ["a-4"]);
    }

    #[test]
    fn groups_hold_clauses() {
        let (atoms, errors) = read("speed(3000 rpm,\n (a + b), c) d");
        assert!(errors.is_empty() && atoms.len() == 3);
        assert!(matches!(&atoms[1].kind, AtomKind::Group(all) if all.len() == 3));
        let (atoms, _) = read("f()");
        assert!(matches!(&atoms[1].kind, AtomKind::Group(all) if all.len() == 1 && all[0].atoms.is_empty()));
    }
}
