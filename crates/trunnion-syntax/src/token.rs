//! Tokens.
//!
//! Every form of writing that a mechanic uses is one token here, also those that are answered
//! with a mend: `0,5`, `04/2012`, `M12 x 1.5`. No token but a CRLF crosses a line end.

use logos::Logos;

use crate::tree::Span;

/// A token; its text is in the source at its span.
#[derive(Logos, Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[logos(skip r"[ \t\u{b}\u{c}\u{a0}\u{2000}-\u{200a}\u{202f}\u{205f}\u{3000}]+")]
pub enum Token {
    /// The end of a line: LF, CRLF or a lone CR.
    #[regex(r"\r\n|\n|\r")]
    Newline,
    /// `///` and what follows on the line.
    #[regex(r"///([^/\n\r][^\n\r]*)?", priority = 20, allow_greedy = true)]
    Doc,
    /// `//`, or a row of four or more, and what follows on the line.
    #[regex(r"//([^/\n\r][^\n\r]*)?", priority = 10, allow_greedy = true)]
    #[regex(r"////[^\n\r]*", priority = 30, allow_greedy = true)]
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
    /// `,` in round brackets: never made by the lexer, but by what pairs the brackets.
    GroupComma,
    /// `.` between the words of a path.
    #[token(".")]
    Dot,
    /// `+`
    #[token("+")]
    Plus,
    /// `-`, a true minus sign, or the dash that some programs put for it.
    #[token("-")]
    #[token("−")]
    #[token("–")]
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
    /// A word: a name, a unit, a leading word. `/` and `-` belong to it directly between two
    /// of its letters or figures.
    #[regex(
        r"[\p{L}_°%‰][\p{L}\p{M}\p{N}_²³·%]*(\^[23])?([/\-][\p{L}\p{N}_][\p{L}\p{M}\p{N}_²³·%]*)*",
        priority = 3
    )]
    #[token("€")]
    #[token("£")]
    Word,
    /// A number, plain: `12`, `0.5`, `.5`, `1e-3`.
    #[regex(r"[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?|\.[0-9]+", priority = 4)]
    Number,
    /// A fraction or a whole number with one: `3/4`, `1 1/4`, `1½`.
    #[regex(r"([0-9]+[ \t]+)?[0-9]+/[0-9]+", priority = 5)]
    #[regex(r"([0-9]+[ \t]*)?[½¼¾⅛⅜⅝⅞]", priority = 6)]
    Fraction,
    /// A number with a decimal comma: `0,5`.
    #[regex(r"[0-9]+,[0-9]+", priority = 6)]
    DecimalComma,
    /// Numbers with commas and no blanks between: `1,2,3`.
    #[regex(r"[0-9]+(,[0-9]+){2,}", priority = 6)]
    NumberRow,
    /// A number with marks between the thousands: `1'450`, `1.450,00`; or with a dash for no
    /// cents: `310,-`, which the lexer reads as a number and [`tokens`] widens.
    #[regex(r"[0-9]{1,3}(['’][0-9]{3})+(\.[0-9]+)?", priority = 7)]
    #[regex(r"[0-9]{1,3}(\.[0-9]{3})+,[0-9]+", priority = 8)]
    #[regex(r"[0-9]{1,3}(,[0-9]{3})+\.[0-9]+", priority = 8)]
    Thousands,
    /// Numbers with several dots: `1.4.2`, a version.
    #[regex(r"[0-9]+(\.[0-9]+){2,}", priority = 6)]
    Version,
    /// `1/min`: a unit that begins with a figure.
    #[token("1/min", priority = 12)]
    PerMinute,
    /// A date: `2013-08`, `2013-08-14`.
    #[regex(r"[0-9]{4}-[0-9]{1,2}(-[0-9]{1,2})?", priority = 12)]
    Date,
    /// A date written another way: `04/2012`, `14.08.2013`, `14/08/2013`, `2013/08`.
    #[regex(r"[0-9]{1,2}/(19|20)[0-9]{2}", priority = 13)]
    #[regex(r"(19|20)[0-9]{2}/(0[0-9]|1[0-9])(/[0-9]{2})?", priority = 13)]
    #[regex(r"[0-9]{1,2}\.[0-9]{1,2}\.(19|20)[0-9]{2}", priority = 13)]
    #[regex(r"[0-9]{1,2}/[0-9]{1,2}/(19|20)[0-9]{2}", priority = 13)]
    OtherDate,
    /// A thread: `M12`, `M12x1.5`, `G 1/4`, `1/4 NPT`, `7/16-20 UNF`.
    #[regex(r"M[0-9]+([.,][0-9]+)?([ \t]*[x×X][ \t]*[0-9]+([.,][0-9]+)?)?", priority = 30)]
    #[regex(r"(G|R|Rc|Rp)[ \t]*([0-9]+[ \t]+)?[0-9]+/[0-9]+", priority = 30)]
    #[regex(r"([0-9]+[ \t]+)?[0-9]+/[0-9]+[ \t]+NPTF?", priority = 30)]
    #[regex(r"([0-9]+[ \t]+)?[0-9]+(/[0-9]+)?-[0-9]+[ \t]+(UNF|UNC|UN|UNS|UNEF)", priority = 30)]
    Thread,
    /// A tyre marking: `205/65 R16`, `205/65R16C 107/105T`.
    #[regex(
        r"[0-9]{3}/[0-9]{2}[ \t]*Z?R[ \t]*[0-9]{2}([ \t]*C)?([ \t]+[0-9]{2,3}(/[0-9]{2,3})?[ \t]?[A-Z])?",
        priority = 40
    )]
    Tyre,
    /// Text in double quotes on one line; the closing quote may be missing.
    #[regex(r#""([^"\\\n\r]|\\[^\n\r])*["\\]?"#, priority = 10)]
    Text,
    /// Text in the curled quotes that some programs put for straight ones.
    #[regex(r#"[“”„]([^"“”\n\r])*["“”]?"#, priority = 10)]
    CurledText,
    /// Characters that belong to nothing.
    Unknown,
}

impl Token {
    /// Whether it is a number in any way of writing.
    pub fn is_number(self) -> bool {
        matches!(self, Self::Number | Self::Fraction | Self::DecimalComma | Self::NumberRow | Self::Thousands)
    }
}

/// A token and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spanned {
    /// The token.
    pub token: Token,
    /// Where.
    pub span: Span,
}

/// U+FEFF, which some programs put at the start of a file.
const BYTE_ORDER_MARK: &str = "\u{feff}";

/// All tokens of a text. Neighbouring characters that belong to nothing are one token.
/// A byte order mark before anything else is passed over.
pub fn tokens(text: &str) -> Vec<Spanned> {
    let mut tokens: Vec<Spanned> = Vec::with_capacity(text.len() / 4 + 8);
    let mut lexer = Token::lexer(text);
    while let Some(token) = lexer.next() {
        let range = lexer.span();
        let span = Span::new(range.start as u32, range.end as u32);
        match token {
            Ok(token @ (Token::Text | Token::CurledText)) => {
                let (body, brace) = before_brace(lexer.slice());
                let end = span.start + body as u32;
                tokens.push(Spanned { token, span: Span::new(span.start, end) });
                if let Some(at) = brace {
                    let at = span.start + at as u32;
                    tokens.push(Spanned { token: Token::BraceOpen, span: Span::new(at, at + 1) });
                }
            }
            Ok(Token::Number) if dash_for_cents(lexer.slice(), lexer.remainder()) > 0 => {
                let more = dash_for_cents(lexer.slice(), lexer.remainder());
                lexer.bump(more);
                let span = Span::new(span.start, span.end + more as u32);
                tokens.push(Spanned { token: Token::Thousands, span });
            }
            Ok(token) => tokens.push(Spanned { token, span }),
            Err(())
                if lexer.slice() == BYTE_ORDER_MARK && tokens.iter().all(|it| it.token == Token::Newline) => {
            }
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

/// How many bytes after a whole number are a dash for no cents: `,-`, `.-`, `,–`, `,--`. A dash
/// before a digit is a sign.
fn dash_for_cents(number: &str, rest: &str) -> usize {
    if !number.bytes().all(|it| it.is_ascii_digit()) {
        return 0;
    }
    let Some(dashes) = rest.strip_prefix([',', '.']) else { return 0 };
    let after = dashes.trim_start_matches(['-', '–', '—']);
    let signs = dashes.len() - after.len();
    let ends = !after.starts_with(|it: char| it.is_alphanumeric() || it == '(');
    if signs > 0 && ends { 1 + signs } else { 0 }
}

/// Where the text in a line ends, and where the brace after it stands: a text whose closing quote
/// is missing takes no brace that ends its line, so that the block is opened all the same.
pub(crate) fn before_brace(raw: &str) -> (usize, Option<usize>) {
    match raw.trim_end_matches(is_blank).strip_suffix('{') {
        Some(body) => (body.trim_end_matches(is_blank).len(), Some(body.len())),
        None => (raw.len(), None),
    }
}

/// Whether a character parts tokens and is none: the class that the lexer skips.
pub(crate) fn is_blank(it: char) -> bool {
    matches!(
        it,
        ' ' | '\t' | '\u{b}' | '\u{c}' | '\u{a0}' | '\u{2000}'
            ..='\u{200a}' | '\u{202f}' | '\u{205f}' | '\u{3000}'
    )
}

/// Whether a character only turns the direction of writing: it cannot be seen, and text with
/// it can read other than it is. Source: Unicode Standard Annex #9, the explicit formatting
/// characters of 2.1 to 2.5 without the marks of 2.6.
pub fn is_direction_mark(it: char) -> bool {
    matches!(it, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::Token::*;
    use super::*;

    fn kinds(text: &str) -> Vec<Token> {
        tokens(text).into_iter().map(|it| it.token).collect()
    }

    #[test]
    fn figures_are_one_token_each() {
        for (text, token) in [
            ("12", Number),
            ("0.5", Number),
            (".5", Number),
            ("1e-3", Number),
            ("1.450", Number),
            ("0,5", DecimalComma),
            ("1,2,3", NumberRow),
            ("1 1/4", Fraction),
            ("3/4", Fraction),
            ("½", Fraction),
            ("1½", Fraction),
            ("1 ½", Fraction),
            ("1'450", Thousands),
            ("1.450,00", Thousands),
            ("1,450.00", Thousands),
            ("310,-", Thousands),
            ("310.–", Thousands),
            ("1.4.2", Version),
            ("2013-08", Date),
            ("2013-08-14", Date),
            ("04/2012", OtherDate),
            ("14.08.2013", OtherDate),
            ("14/08/2013", OtherDate),
            ("2013/08", OtherDate),
            ("M12", Thread),
            ("M12 x 1.5", Thread),
            ("M12x1.5", Thread),
            ("M12×1,5", Thread),
            ("G 1/4", Thread),
            ("Rc1/8", Thread),
            ("1/4 NPT", Thread),
            ("1 1/4 NPT", Thread),
            ("7/16-20 UNF", Thread),
            ("205/65 R16", Tyre),
            ("205/65R16", Tyre),
            ("205/65 R 16 C 107/105T", Tyre),
        ] {
            assert_eq!(kinds(text), [token], "{text}");
        }
    }

    #[test]
    fn words_hold_strokes_between_their_letters() {
        for text in [
            "km/h",
            "YE/GN",
            "drive/ratio",
            "no-return",
            "mm²",
            "mm^2",
            "°C",
            "%",
            "Ω",
            "lbf",
            "M12_bolt",
            "Ω/km",
            "été",
            "e\u{301}te",
            "l/100km",
            "N·m",
            "N/mm2",
            "a-4",
            "€",
            "M12b",
            "kWh/100km",
        ] {
            assert_eq!(kinds(text), [Word], "{text}");
        }
        assert_eq!(kinds("van.B1[8]"), [Word, Dot, Word, BracketOpen, Number, BracketClose]);
        assert_eq!(kinds("a - b"), [Word, Minus, Word]);
        assert_eq!(kinds("a/ b"), [Word, Over, Word]);
        assert_eq!(kinds("12V"), [Number, Word]);
        assert_eq!(kinds("3000 1/min"), [Number, PerMinute]);
        assert_eq!(kinds("ratios 4.31, 2.47"), [Word, Number, Comma, Number]);
        assert_eq!(kinds("4,-3"), [Number, Comma, Minus, Number]);
    }

    #[test]
    fn lines_and_comments() {
        assert_eq!(kinds("a\r\nb\rc\n"), [Word, Newline, Word, Newline, Word, Newline]);
        assert_eq!(kinds("a // b"), [Word, Comment]);
        assert_eq!(kinds("/// b\n//// c\n//"), [Doc, Newline, Comment, Newline, Comment]);
        assert_eq!(kinds("a//b"), [Word, Comment]);
        assert_eq!(kinds("\"//\""), [Text]);
    }

    #[test]
    fn text_ends_with_its_line() {
        assert_eq!(kinds("\"a \\\" b\" c"), [Text, Word]);
        assert_eq!(kinds("\"open\nb"), [Text, Newline, Word]);
        assert_eq!(kinds("\"open\\\nb"), [Text, Newline, Word]);
        assert_eq!(kinds("“curled” a"), [CurledText, Word]);
        assert_eq!(
            kinds("\"open  { \n\"{\n“a{\n\"a\\\"{"),
            [
                Text, BraceOpen, Newline, Text, BraceOpen, Newline, CurledText, BraceOpen, Newline, Text,
                BraceOpen
            ]
        );
        assert_eq!(kinds("\"{\" \"{ a"), [Text, Text]);
    }

    #[test]
    fn blanks_are_what_the_lexer_skips() {
        for it in ('\0'..=char::MAX).filter(|it| !matches!(it, '\u{feff}')) {
            assert_eq!(is_blank(it), tokens(it.encode_utf8(&mut [0; 4])).is_empty(), "{it:?}");
        }
    }

    #[test]
    fn strange_characters_are_one_token() {
        assert_eq!(kinds("a \u{0}\u{1}\u{202e} b"), [Word, Unknown, Word]);
        assert_eq!(kinds("\u{feff}a"), [Word]);
        assert_eq!(kinds("a \u{feff}"), [Word, Unknown]);
    }
}
