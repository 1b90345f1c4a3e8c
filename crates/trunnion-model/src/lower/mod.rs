//! From statements to declarations.
//!
//! Reads what [`trunnion_syntax::form`] matched into the types of
//! [`crate::decl`]. What makes no sense by itself becomes a [`Problem`]; the
//! rest of the statement is kept.

mod conversion;
mod family;
mod geometry;
mod kind;
mod log;
mod part;
pub(crate) mod reader;
mod vehicle;

use trunnion_syntax::form::{self, Statement};
use trunnion_syntax::tree::{Line, SyntaxError};

use crate::db::{Db, Item};
use crate::decl::{Body, Decl, Family, Lowered, MeasureDecl, Source};
use crate::fact::Standing;
use crate::verdict::Problem;
use reader::Reader;

/// The syntax tree of an item.
#[salsa::tracked(returns(ref))]
pub fn tree(db: &dyn Db, item: Item) -> trunnion_syntax::tree::Tree {
    trunnion_syntax::parse::parse(&item.text(db))
}

/// What an item declares.
#[salsa::tracked(returns(ref))]
pub fn lowered(db: &dyn Db, item: Item) -> Lowered {
    let tree = tree(db, item);
    let mut lowering = Lowering::default();
    lowering.problems.extend(tree.errors.iter().map(problem));
    let mut decls = Vec::new();
    for statement in lowering.statements("file", &tree.lines) {
        decls.extend(lowering.top(&statement));
    }
    let mut problems = lowering.problems;
    problems.sort_by_key(|it| (it.span, it.name));
    problems.dedup();
    Lowered { decls, problems }
}

fn problem(error: &SyntaxError) -> Problem {
    Problem {
        name: error.name,
        message: error.message.clone(),
        span: error.span,
        related: error.related.clone(),
        mend: error.mend.as_ref().map(|it| (it.title.clone(), it.span, it.text.clone())),
    }
}

/// Collects problems while statements are read.
#[derive(Default)]
struct Lowering {
    problems: Vec<Problem>,
}

impl Lowering {
    /// The statements of some lines; what fits no form becomes a problem.
    fn statements<'t>(&mut self, context: &str, lines: &'t [Line]) -> Vec<Statement<'t>> {
        let mut errors = Vec::new();
        let statements = form::statements(context, lines, &mut errors);
        self.problems.extend(errors.iter().map(problem));
        statements
    }

    /// The statements in the block of a statement.
    fn block<'t>(&mut self, context: &str, statement: &Statement<'t>) -> Vec<Statement<'t>> {
        match statement.block {
            Some(block) => self.statements(context, &block.lines),
            None => Vec::new(),
        }
    }

    fn reader<'a, 't>(&'a mut self, statement: &'a Statement<'t>) -> Reader<'a, 't> {
        Reader { statement, problems: &mut self.problems }
    }

    fn top(&mut self, statement: &Statement<'_>) -> Option<Decl> {
        let body = self.body(statement)?;
        let mut reader = self.reader(statement);
        Some(Decl {
            name: reader.word("name"),
            title: reader.text("title").map(|it| it.value),
            doc: statement.doc.clone(),
            span: statement.span,
            claim: reader.claim(),
            body,
        })
    }

    fn body(&mut self, s: &Statement<'_>) -> Option<Body> {
        Some(match s.form.key.as_str() {
            "use" => Body::Use(self.reader(s).text("path")?),
            "private" => Body::Private,
            "source" => {
                let mut reader = self.reader(s);
                let standing = reader.word("standing");
                Body::Source(Source {
                    standing: standing
                        .and_then(|it| Standing::from_word(&it.value))
                        .unwrap_or(Standing::Assumed),
                    date: reader.date("date").map(|it| it.value),
                    by: reader.text("author").map(|it| it.value),
                })
            }
            "family" => Body::Family(Box::new(self.family(s, false))),
            "scheme" => Body::Family(Box::new(self.family(s, true))),
            "kind" => Body::Kind(Box::new(self.kind(s))),
            "measure" => {
                let mut reader = self.reader(s);
                Body::Measure(Box::new(MeasureDecl {
                    of_place: reader.word("of").is_some_and(|it| it.value == "place"),
                    unit: reader.unit("unit"),
                    find_out: reader.find_out(),
                }))
            }
            "medium" => Body::Medium,
            "pattern" => Body::Pattern(self.geometry(s)),
            "terminal" => Body::Terminal(self.facts(s)),
            "connector" => Body::Connector(self.connector(s)),
            "part" => Body::Part(Box::new(self.part(s, false))),
            "module" => Body::Part(Box::new(self.part(s, true))),
            "line joins to" => Body::Line(Box::new(self.line(s)?)),
            "loom" => Body::Loom(self.loom(s)),
            "feed is from" => Body::Feed(self.feed(s)?),
            "work" => Body::Work(Box::new(self.work(s, false))),
            "service" => Body::Work(Box::new(self.work(s, true))),
            "rule" => Body::Rule(Box::new(self.rule(s))),
            "basis" => Body::Basis(self.facts(s)),
            "exchange is" => {
                let mut reader = self.reader(s);
                Body::Exchange(reader.figure("one")?, reader.figure("other")?)
            }
            "vehicle" => Body::Vehicle(Box::new(self.vehicle(s))),
            "person" => Body::Person(self.facts(s)),
            "conversion" => Body::Conversion(Box::new(self.conversion(s))),
            "log of" => Body::Log(self.log(s)),
            _ => return None,
        })
    }

    fn family(&mut self, s: &Statement<'_>, scheme: bool) -> Family {
        let base = self.reader(s).reference("base");
        let mut family = Family { scheme, base, ..Family::default() };
        for inner in self.block("family", s) {
            self.family_statement(&mut family, &inner);
        }
        family
    }
}
