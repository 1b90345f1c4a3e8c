//! Tokens.

use logos::Logos;

use crate::tree::Span;

/// A token; its text is in the source at its span.
#[derive(Logos, Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[logos(skip r"[ \t\u{a0}]+")]
pub enum Token {
    /// The end of a line.
    #[regex(r"\r\n|\n|\r")]
    Newline,
    /// `///` and what follows on the line.
    #[regex(r"///[^\n\r]*", priority = 20, allow_greedy = true)]
    Doc,
    /// `//` and what follows on the line.
    #[regex(r"//[^\n\r]*", priority = 10, allow_greedy = true)]
    Comment,
    /// `{`
    #[token("{")]
    BraceOpen,
    /// `}`
    #[token("}")]
    BraceClose,
    /// `[`
    #[token("[")]
    BracketOpen,
    /// `]`
    #[token("]")]
    BracketClose,
    /// `(`
    #[token("(")]
    ParenOpen,
    /// `)`
    #[token(")")]
    ParenClose,
    /// `,`
    #[token(",")]
    Comma,
    /// `.` between the words of a path.
    #[token(".")]
    Dot,
    /// `+`
    #[token("+")]
    Plus,
    /// `-` or a true minus sign.
    #[token("-")]
    #[token("−")]
    Minus,
    /// `*`, `×`
    #[token("*")]
    #[token("×")]
    Times,
    /// `/`
    #[token("/")]
    Over,
    /// `±`, `+/-`, `+-`
    #[token("±")]
    #[token("+/-")]
    #[token("+-")]
    PlusMinus,
    /// `=`
    #[token("=")]
    #[token("==")]
    Equal,
    /// `!=`, `≠`
    #[token("!=")]
    #[token("≠")]
    Unequal,
    /// `<`
    #[token("<")]
    Less,
    /// `<=`, `≤`
    #[token("<=")]
    #[token("≤")]
    AtMost,
    /// `>`
    #[token(">")]
    More,
    /// `>=`, `≥`
    #[token(">=")]
    #[token("≥")]
    AtLeast,
    /// A word: a name, a unit, a leading word.
    #[regex(r"[\p{L}_°%‰Ωµμ][\p{L}\p{N}_²³·%]*([/\-][\p{L}Ω][\p{L}\p{N}_²³·]*)*", priority = 3)]
    #[token("l/100km", priority = 9)]
    Word,
    /// A number, plain: `12`, `0.5`, `1e-3`.
    #[regex(r"[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?|\.[0-9]+", priority = 4)]
    Number,
    /// A fraction or a whole number with one: `3/4`, `1 1/4`, `1½`.
    #[regex(r"([0-9]+[ \t]+)?[0-9]+/[0-9]+", priority = 5)]
    #[regex(r"[0-9]*[½¼¾⅛⅜⅝⅞]", priority = 6)]
    Fraction,
    /// A number with a decimal comma: `0,5`.
    #[regex(r"[0-9]+,[0-9]+", priority = 6)]
    DecimalComma,
    /// A number with marks between the thousands: `1'450`, `1.450,00`.
    #[regex(r"[0-9]{1,3}('[0-9]{3})+(\.[0-9]+)?", priority = 7)]
    #[regex(r"[0-9]{1,3}(\.[0-9]{3})+,[0-9]+", priority = 8)]
    Thousands,
    /// `1/min`: a unit that begins with a figure.
    #[token("1/min", priority = 12)]
    PerMinute,
    /// A date: `2013-08`, `2013-08-14`.
    #[regex(r"[0-9]{4}-[0-9]{1,2}(-[0-9]{1,2})?", priority = 12)]
    Date,
    /// A date written another way: `04/2012`, `14.08.2013`, `2013/08`.
    #[regex(r"[0-9]{1,2}/[0-9]{4}", priority = 13)]
    #[regex(r"[0-9]{4}/[0-9]{2}", priority = 13)]
    #[regex(r"[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{4}", priority = 13)]
    OtherDate,
    /// A thread: `M12`, `M12x1.5`, `G 1/4`, `1/4 NPT`, `7/16-20 UNF`.
    #[regex(r"M[0-9]+([.,][0-9]+)?([ \t]*[x×X][ \t]*[0-9]+([.,][0-9]+)?)?", priority = 30)]
    #[regex(r"(G|R|Rc|Rp)[ \t]?([0-9][ \t])?[0-9]+/[0-9]+", priority = 30)]
    #[regex(r"([0-9][ \t])?[0-9]+/[0-9]+[ \t]+(NPT|NPTF)", priority = 30)]
    #[regex(r"([0-9][ \t])?[0-9]+(/[0-9]+)?-[0-9]+[ \t]+(UNF|UNC|UN|UNS|UNEF)", priority = 30)]
    Thread,
    /// A tyre marking: `205/65 R16`, `205/65R16C 107/105T`.
    #[regex(r"[0-9]{3}/[0-9]{2}[ \t]*Z?R[ \t]*[0-9]{2}([ \t]*C)?([ \t]+[0-9]{2,3}(/[0-9]{2,3})?[A-Z])?", priority = 40)]
    Tyre,
    /// Text in double quotes on one line; the closing quote may be missing.
    #[regex(r#""([^"\\\n\r]|\\[^\n\r])*"?"#, priority = 10)]
    Text,
    /// Characters that belong to nothing.
    Unknown,
}

/// A token and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spanned {
    /// The token.
    pub token: Token,
    /// Where.
    pub span: Span,
}

/// All tokens of a text. Neighbouring characters that belong to nothing are one token.
pub fn tokens(text: &str) -> Vec<Spanned> {
    let mut tokens: Vec<Spanned> = Vec::with_capacity(text.len() / 4);
    for (token, range) in Token::lexer(text).spanned() {
        let span = Span::new(range.start as u32, range.end as u32);
        match token {
            Ok(token) => tokens.push(Spanned { token, span }),
            Err(()) => match tokens.last_mut() {
                Some(last) if last.token == Token::Unknown && last.span.end == span.start => {
                    last.span.end = span.end;
                }
                _ => tokens.push(Spanned { token: Token::Unknown, span }),
            },
        }
    }
    tokens
}

#[cfg(test)]
mod tests {
    use super::Token::*;
    use super::*;

    fn kinds(text: &str) -> Vec<Token> {
        tokens(text).into_iter().map(|it| it.token).collect()
    }

    #[test]
    fn the_forms_of_figures() {
        for (text, token) in [
            ("12", Number),
            ("0.5", Number),
            ("0,5", DecimalComma),
            ("1 1/4", Fraction),
            ("3/4", Fraction),
            ("1½", Fraction),
            ("1'450", Thousands),
            ("1.450,00", Thousands),
            ("2013-08", Date),
            ("2013-08-14", Date),
            ("04/2012", OtherDate),
            ("14.08.2013", OtherDate),
            ("M12", Thread),
            ("M12 x 1.5", Thread),
            ("M12x1.5", Thread),
            ("G 1/4", Thread),
            ("1/4 NPT", Thread),
            ("7/16-20 UNF", Thread),
            ("205/65 R16", Tyre),
            ("205/65R16", Tyre),
            ("205/65 R16 C 107/105T", Tyre),
        ] {
            assert_eq!(kinds(text), [token], "{text}");
        }
    }

    #[test]
    fn the_forms_of_words() {
        for text in ["km/h", "YE/GN", "drive/ratio", "work/no-return", "mm²", "°C", "%", "Ω", "lbf", "M12_bolt", "Ω/km", "été", "l/100km"] {
            assert_eq!(kinds(text), [Word], "{text}");
        }
        assert_eq!(kinds("van.B1[8]"), [Word, Dot, Word, BracketOpen, Number, BracketClose]);
        assert_eq!(kinds("a - b"), [Word, Minus, Word]);
        assert_eq!(kinds("ratios 4.31, 2.47"), [Word, Number, Comma, Number]);
    }

    #[test]
    fn strange_characters_are_one_token() {
        assert_eq!(kinds("a \u{0}\u{1}\u{202e} b"), [Word, Unknown, Word]);
        assert_eq!(kinds("\"open"), [Text]);
    }
}
