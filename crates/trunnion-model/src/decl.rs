//! Declarations: what each top-level statement says, typed, names not yet found.

use smol_str::SmolStr;
use trunnion_handbook::quantity::Quantity;
use trunnion_syntax::expr::Expr;
use trunnion_syntax::tree::{At, Date, Name, Span};

use crate::fact::{Bound, Claim, Fact, Ref, Standing, Value};
use crate::verdict::{Gate, Problem};

/// One top-level statement, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Decl {
    /// The name it declares, where it declares one.
    pub name: Option<At<Name>>,
    /// The display name.
    pub title: Option<SmolStr>,
    /// The `///` comment above it.
    pub doc: Option<SmolStr>,
    /// The whole statement.
    pub span: Span,
    /// Its own claim: `per` and `because` on its first line.
    pub claim: Claim,
    /// What it declares.
    pub body: Body,
}

impl Decl {
    /// The display name, or the name.
    pub fn shown(&self) -> SmolStr {
        self.title.clone().or_else(|| self.name.as_ref().map(|it| it.value.clone())).unwrap_or_default()
    }
}

/// A declaration and what was wrong in it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Lowered {
    /// The declarations of the item: one, or none, or several on one line.
    pub decls: Vec<Decl>,
    /// What could not be read or makes no sense by itself.
    pub problems: Vec<Problem>,
}

/// What is declared.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
#[allow(clippy::large_enum_variant, reason = "the large ones are few, and boxed already where they are many")]
pub enum Body {
    Use(At<SmolStr>),
    Private,
    Source(Source),
    Family(Box<Family>),
    Kind(Box<Kind>),
    Measure(Box<MeasureDecl>),
    Medium,
    Pattern(Geometry),
    Terminal(Vec<Fact>),
    Connector(Connector),
    Part(Box<Part>),
    Line(Box<Line>),
    Loom(Loom),
    Feed(Feed),
    Work(Box<Work>),
    Rule(Box<Rule>),
    Basis(Vec<Fact>),
    Exchange(Quantity, Quantity),
    Vehicle(Box<Vehicle>),
    Person(Vec<Fact>),
    Conversion(Box<Conversion>),
    Log(Log),
}

/// Where claims come from.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// How well it supports a claim.
    pub standing: Standing,
    /// Its date.
    pub date: Option<Date>,
    /// Who wrote it.
    pub by: Option<SmolStr>,
}

/// An option and the value of it that a statement depends on.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct With {
    /// The option.
    pub option: At<Name>,
    /// The value.
    pub value: At<Name>,
}

/// A range of vehicles, or a general scheme.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Family {
    /// Whether it is a general scheme.
    pub scheme: bool,
    /// The family or scheme it builds on.
    pub base: Option<Ref>,
    /// First and last build date.
    pub built: Option<(Date, Date)>,
    /// `front`, `rear` or `all`.
    pub driven: Option<Name>,
    /// `unitary` or `ladder`.
    pub frame: Option<Name>,
    /// Options and the values they may take.
    pub options: Vec<(At<Name>, Vec<At<Name>>)>,
    /// Places.
    pub places: Vec<PlaceDecl>,
    /// What to expect in a place when nothing more is known.
    pub holds: Vec<Holds>,
    /// Ends brought together.
    pub joints: Vec<JointDecl>,
    /// Hoses and pipes.
    pub lines: Vec<Line>,
    /// Data networks.
    pub buses: Vec<BusDecl>,
    /// Areas.
    pub zones: Vec<At<Name>>,
    /// Paths for wires.
    pub runs: Vec<Run>,
    /// Supplies.
    pub feeds: Vec<Feed>,
    /// Ground points and their zone.
    pub grounds: Vec<(At<Name>, Ref)>,
    /// States beside the usual five, and the one each is like.
    pub states: Vec<(At<Name>, Option<At<Name>>)>,
    /// Figures of places.
    pub figures: Vec<Fact>,
}

/// Where exactly one part sits, or several like ones.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceDecl {
    /// Its name.
    pub name: At<Name>,
    /// How many like places: 2 for `both sides`.
    pub count: u32,
    /// Whether they are left and right.
    pub sides: bool,
    /// The kind of what sits there.
    pub kind: Option<Ref>,
    /// The zone it is in.
    pub zone: Option<Ref>,
    /// It exists only with this.
    pub with: Option<With>,
}

/// The kind to expect in a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Holds {
    /// The kind.
    pub kind: Ref,
    /// The place.
    pub place: Ref,
    /// Only with this.
    pub with: Option<With>,
}

/// Two ends brought together.
#[derive(Clone, Debug, PartialEq)]
pub struct JointDecl {
    /// One end: place and end.
    pub a: Ref,
    /// The other.
    pub b: Ref,
    /// Only with this.
    pub with: Option<With>,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// A data network.
#[derive(Clone, Debug, PartialEq)]
pub struct BusDecl {
    /// Its name.
    pub name: At<Name>,
    /// `CAN`, `LIN` …
    pub protocol: At<Name>,
    /// Bits per second.
    pub rate: Option<Quantity>,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// A path for wires between two zones.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Run {
    pub a: Ref,
    pub b: Ref,
    pub length: Option<Quantity>,
    pub through: Option<At<Name>>,
    pub bore: Option<Quantity>,
    pub effort: Option<At<Name>>,
    pub span: Span,
}

/// What sort of thing a part is.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Kind {
    /// The kind it builds on.
    pub base: Option<Ref>,
    /// Its questions, in order.
    pub asks: Vec<Ask>,
    /// What it also does for others.
    pub does: Vec<Duty>,
    /// Signals that must come in some states and positions only.
    pub duties: Vec<StateDuty>,
    /// Where what it gives comes from: `battery`, `running` …
    pub supplies: Option<At<Name>>,
    /// Kinds it only works with as a set.
    pub comes_with: Vec<Ref>,
    /// Ends that need not be joined.
    pub stays: Vec<At<Name>>,
    /// Areas of safety it concerns.
    pub safety: Vec<At<Name>>,
    /// The usual cautions.
    pub cautions: Vec<At<Name>>,
    /// Media it holds.
    pub media: Vec<Ref>,
    /// `frame unitary` and the like, of kinds of vehicles.
    pub facts: Vec<Fact>,
}

/// The media in which ends meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EndClass {
    /// Bolted or splined.
    Face,
    /// Wires.
    Plug,
    /// A fluid or air.
    Port,
    /// Who carries it.
    Mount,
    /// A cable or rod.
    Link,
    /// A hole in a panel.
    Opening,
}

impl EndClass {
    /// All of them.
    pub const ALL: [Self; 6] = [Self::Face, Self::Plug, Self::Port, Self::Mount, Self::Link, Self::Opening];

    /// The leading word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Face => "face",
            Self::Plug => "plug",
            Self::Port => "port",
            Self::Mount => "mount",
            Self::Link => "link",
            Self::Opening => "opening",
        }
    }

    /// Reads it.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.word() == word)
    }

    /// What is joined there.
    pub fn medium(self) -> &'static str {
        match self {
            Self::Face => "bolts or splines",
            Self::Plug => "wires",
            Self::Port => "fluid or air",
            Self::Mount => "support",
            Self::Link => "cable or rod",
            Self::Opening => "opening in a panel",
        }
    }
}

/// What a kind asks for.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Asked {
    /// An end of this name.
    End(EndClass, At<Name>),
    /// A signal of this name.
    Signal(At<Name>),
    /// A dimension chain of this name.
    Chain(At<Name>),
    /// A measure.
    Measure(At<Name>),
}

impl Asked {
    /// The name asked for.
    pub fn name(&self) -> &At<Name> {
        match self {
            Self::End(_, it) | Self::Signal(it) | Self::Chain(it) | Self::Measure(it) => it,
        }
    }
}

/// How something unknown is found out.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Default)]
pub struct FindOut {
    /// The tool.
    pub tool: Option<SmolStr>,
    /// How precise it is.
    pub precision: Option<Quantity>,
    /// How long it takes.
    pub takes: Option<Quantity>,
    /// `seller`, `tape`, `maker`.
    pub from: Option<SmolStr>,
    /// Which values would be good.
    pub good: Option<Quantity>,
    /// By when it must be known.
    pub gate: Option<Gate>,
}

impl FindOut {
    /// Fills what is missing from another.
    pub fn or(&self, other: &Self) -> Self {
        Self {
            tool: self.tool.clone().or_else(|| other.tool.clone()),
            precision: self.precision.or(other.precision),
            takes: self.takes.or(other.takes),
            from: self.from.clone().or_else(|| other.from.clone()),
            good: self.good.or(other.good),
            gate: self.gate.or(other.gate),
        }
    }
}

/// One question of a kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// What is asked.
    pub asked: Asked,
    /// Its display name.
    pub title: Option<SmolStr>,
    /// The medium a port must carry.
    pub carrying: Option<Ref>,
    /// How it is found out.
    pub find_out: FindOut,
    /// Why it is asked.
    pub because: Option<SmolStr>,
    /// The statement.
    pub span: Span,
}

/// What a thing also does for others.
#[derive(Clone, Debug, PartialEq)]
pub struct Duty {
    /// Its name.
    pub name: At<Name>,
    /// In words.
    pub text: SmolStr,
    /// Who relies on it: places.
    pub listeners: Vec<Ref>,
    /// Through which end.
    pub through: Option<Ref>,
    /// The statement.
    pub span: Span,
}

/// When a signal must come, and when it must not.
#[derive(Clone, Debug, PartialEq)]
pub struct StateDuty {
    /// The signal: the word at the cavities that listen to it.
    pub signal: At<Name>,
    /// The positions in which it must come, and in no other; none: it must never come.
    pub only: Vec<At<Name>>,
    /// The states it is about; none: all.
    pub during: Vec<At<Name>>,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// Two or more cavities that a part joins inside.
#[derive(Clone, Debug, PartialEq)]
pub struct Contact {
    /// One cavity.
    pub a: Ref,
    /// Those it is joined to.
    pub b: Vec<Ref>,
    /// The states and positions in which it is closed; none: in all.
    pub when: Vec<At<Name>>,
    /// The two cavities of the coil that moves it.
    pub coil: Vec<Ref>,
    /// Whether it is closed while the coil does not pull.
    pub at_rest: bool,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// Lets current through one way only.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Diode {
    pub a: Ref,
    pub b: Ref,
    pub claim: Claim,
    pub span: Span,
}

/// A property that parts may state.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureDecl {
    /// `place` when it is a property of the place and stays when the part goes.
    pub of_place: bool,
    /// A quantity of one of its unit: fixes the dimension.
    pub unit: Option<At<Name>>,
    /// How it is found out.
    pub find_out: FindOut,
}

/// The geometry of an end.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Geometry {
    /// Bolt circles.
    pub holes: Vec<Holes>,
    /// The thread of a port or stud, its side and where it is stated.
    pub thread: Option<At<SmolStr>>,
    /// Locating spigots and bores: size, tolerance class, place.
    pub registers: Vec<Register>,
    /// Locating dowels.
    pub dowels: Option<Dowels>,
    /// Splines.
    pub spline: Option<Spline>,
    /// Flare of a pipe end.
    pub flare: Option<(Value, Option<Quantity>)>,
    /// Inner or outer: `male`, `female`.
    pub side: Option<Side>,
    /// Whether it is sealed and the like.
    pub flags: Vec<At<Name>>,
    /// Other figures: bore, length …
    pub facts: Vec<Fact>,
}

/// Inner or outer side of a pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// Goes in.
    Male,
    /// Takes it.
    Female,
}

/// A bolt circle.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Holes {
    pub count: At<u32>,
    pub circle: Quantity,
    pub thread: Option<SmolStr>,
    pub bore: Option<Quantity>,
    pub claim: Claim,
    pub span: Span,
}

/// A locating spigot or bore.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Register {
    pub size: Quantity,
    /// The tolerance class: capital letters for a bore, small for a spigot.
    pub class: Option<At<Name>>,
    pub claim: Claim,
    pub span: Span,
}

/// Locating dowels.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Dowels {
    pub count: u32,
    pub circle: Option<Quantity>,
    pub size: Option<Quantity>,
    pub span: Span,
}

/// A splined end.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Spline {
    pub standard: Value,
    pub teeth: Option<u32>,
    pub module: Option<Quantity>,
    pub pitch: Option<Value>,
    pub angle: Option<Quantity>,
    pub size: Option<Quantity>,
    pub engaged: Option<Quantity>,
    pub claim: Claim,
    pub span: Span,
}

/// A connector housing.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Connector {
    /// How many numbered positions.
    pub cavities: Option<At<u32>>,
    /// What its cavities take.
    pub terminal: Option<Ref>,
    /// Cavities that take another.
    pub special: Vec<(u32, Ref)>,
    /// The housing it goes into.
    pub mates: Option<Ref>,
    /// The coding.
    pub keying: Option<Value>,
    /// `male` or `female`.
    pub side: Option<Side>,
    /// Whether it is sealed.
    pub sealed: bool,
    /// Other figures.
    pub facts: Vec<Fact>,
}

/// When and on what a part left the factory.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// The family; none: the place's own.
    pub family: Option<Ref>,
    /// The first date.
    pub from: Option<Date>,
    /// The last date.
    pub to: Option<Date>,
    /// Only with all of these.
    pub with: Vec<With>,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// Where a part meets another.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// The medium.
    pub class: EndClass,
    /// Its name.
    pub name: At<Name>,
    /// Its display name.
    pub title: Option<SmolStr>,
    /// `none`: there is no such end.
    pub absent: bool,
    /// The pattern or connector it is of.
    pub is: Option<Ref>,
    /// Geometry stated in place.
    pub geometry: Geometry,
    /// `male` or `female`.
    pub side: Option<Side>,
    /// What flows in it.
    pub carrying: Option<Ref>,
    /// Where it is.
    pub zone: Option<Ref>,
    /// The cavities of a plug.
    pub cavities: Vec<Cavity>,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// What one cavity of a plug is for.
#[derive(Clone, Debug, PartialEq)]
pub struct Cavity {
    /// Its number.
    pub number: At<u32>,
    /// `supply`, `ground`, `can_high` …; `empty`.
    pub role: At<Name>,
    /// The bus or signal.
    pub what: Option<Ref>,
    /// Its voltage.
    pub volts: Option<Quantity>,
    /// The current it draws.
    pub draw: Option<Quantity>,
    /// The current it gives.
    pub gives: Option<Quantity>,
    /// Whether it is an output (true) or an input.
    pub out: Option<bool>,
    /// Another terminal than the housing's.
    pub terminal: Option<Ref>,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// A message sent, heard or passed on.
#[derive(Clone, Debug, PartialEq)]
pub struct MessageUse {
    /// Its name.
    pub name: At<Name>,
    /// The bus, or the bus it comes from.
    pub bus: Option<Ref>,
    /// The bus it is passed on to.
    pub onto: Option<Ref>,
    /// The place it must come from.
    pub sender: Option<Ref>,
    /// How often.
    pub every: Option<Quantity>,
    /// Its identifier.
    pub id: Option<Value>,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// A demand on the rest of the vehicle.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// What must hold.
    pub condition: Expr,
    /// Where it is known from.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// What a part can be bought for.
#[derive(Clone, Debug, PartialEq, Default)]
#[allow(missing_docs)]
pub struct Offer {
    pub price: Option<Quantity>,
    pub seller: Option<SmolStr>,
    pub wait: Option<Quantity>,
    pub stock: Option<u32>,
    /// `new`, `used`, `reproduction` …
    pub condition: Option<Name>,
    pub drawbacks: Vec<SmolStr>,
    pub claim: Claim,
    pub span: Span,
}

/// A part or module.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Part {
    /// Whether it was declared as a module.
    pub module: bool,
    /// Its kind.
    pub kind: Option<Ref>,
    /// The place it fills.
    pub fills: Option<Ref>,
    /// When and where it was fitted.
    pub fitted: Vec<Fitted>,
    /// Places it can fill though never fitted there.
    pub suits: Vec<(Ref, Fitted)>,
    /// Its ends.
    pub ends: Vec<End>,
    /// Messages it sends.
    pub sends: Vec<MessageUse>,
    /// Messages it must receive.
    pub hears: Vec<MessageUse>,
    /// Messages it hands on.
    pub passes: Vec<MessageUse>,
    /// Buses it terminates, with how much, where that is known from, and the statement.
    pub terminates: Vec<(Ref, Option<Quantity>, Claim, Span)>,
    /// Signals, with the cavity.
    pub signals: Vec<(At<Name>, Option<Ref>)>,
    /// What it also does for others.
    pub does: Vec<Duty>,
    /// What it joins inside.
    pub contacts: Vec<Contact>,
    /// Diodes in it.
    pub diodes: Vec<Diode>,
    /// Signals that must come in some states and positions only.
    pub duties: Vec<StateDuty>,
    /// Where what it gives comes from: `battery`, `running` …
    pub supplies: Option<At<Name>>,
    /// What it demands.
    pub needs: Vec<Need>,
    /// The software it carries, and where that is known from.
    pub software: Option<(Value, Option<Value>, Claim)>,
    /// Settings, their values, and where that is known from.
    pub settings: Vec<(At<SmolStr>, Vec<Value>, Claim)>,
    /// That it must be paired: where that is known from, and the statement.
    pub paired: Option<(Claim, Span)>,
    /// What it can be bought for.
    pub offer: Option<Offer>,
    /// Kinds it only works with as a set.
    pub comes_with: Vec<Ref>,
    /// Areas of safety it concerns.
    pub safety: Vec<At<Name>>,
    /// The usual cautions.
    pub cautions: Vec<At<Name>>,
    /// Figures.
    pub facts: Vec<Fact>,
}

impl Part {
    /// The end of that name.
    pub fn end(&self, name: &str) -> Option<&End> {
        self.ends.iter().find(|it| it.name.value == name)
    }
}

/// A hose or pipe.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Line {
    pub name: At<Name>,
    pub title: Option<SmolStr>,
    pub of: Option<Ref>,
    pub a: Ref,
    pub b: Ref,
    pub bore: Option<Quantity>,
    pub medium: Option<Ref>,
    pub length: Option<Quantity>,
    pub pressure: Option<Quantity>,
    pub temperature: Option<Quantity>,
    pub with: Option<With>,
    pub facts: Vec<Fact>,
    pub claim: Claim,
    pub span: Span,
}

/// One wire.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Wire {
    pub a: Ref,
    pub b: Ref,
    pub size: Option<Quantity>,
    pub colour: Option<At<Name>>,
    pub zones: Vec<Ref>,
    pub length: Option<Quantity>,
    pub claim: Claim,
    pub span: Span,
}

/// Wires already in a vehicle.
#[derive(Clone, Debug, PartialEq, Default)]
#[allow(missing_docs)]
pub struct Loom {
    pub of: Option<Ref>,
    pub fitted: Vec<Fitted>,
    pub splices: Vec<(At<Name>, Option<Ref>)>,
    pub twisted: Vec<(Ref, Ref)>,
    pub wires: Vec<Wire>,
}

/// A supply.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Feed {
    pub name: At<Name>,
    pub of: Option<Ref>,
    pub voltage: Option<Quantity>,
    pub state: Option<At<Name>>,
    pub fuse: Option<Quantity>,
    pub zone: Option<Ref>,
    pub claim: Claim,
    pub span: Span,
}

/// A piece of work, or a service worth doing while access is open.
#[derive(Clone, Debug, PartialEq, Default)]
#[allow(missing_docs)]
pub struct Work {
    pub service: bool,
    pub takes: Option<Quantity>,
    pub hands: Option<u32>,
    pub opens: Vec<At<Name>>,
    pub reached_in: Vec<At<Name>>,
    pub on: Vec<Ref>,
    pub after: Vec<Ref>,
    pub offer: Option<Offer>,
    pub cautions: Vec<At<Name>>,
    pub torques: Vec<Torque>,
    pub no_way_back: bool,
    pub needs: Vec<Need>,
    pub facts: Vec<Fact>,
}

/// A tightening torque of a piece of work.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Torque {
    /// What is tightened to what, in words.
    pub what: SmolStr,
    pub torque: Quantity,
    pub claim: Claim,
    pub span: Span,
}

/// A check of the user's own.
#[derive(Clone, Debug, PartialEq, Default)]
#[allow(missing_docs)]
pub struct Rule {
    pub when: Vec<Need>,
    pub needs: Vec<Need>,
    pub gate: Option<Gate>,
    pub safety: Vec<At<Name>>,
    pub because: Option<SmolStr>,
}

/// One real vehicle.
#[derive(Clone, Debug, PartialEq, Default)]
#[allow(missing_docs)]
pub struct Vehicle {
    pub family: Option<Ref>,
    pub kind: Option<Ref>,
    pub driven: Option<At<Name>>,
    pub built: Option<(At<Date>, Option<Date>)>,
    pub built_claim: Claim,
    pub price: Option<Quantity>,
    pub ask_by: Option<Date>,
    pub tyre: Option<(At<SmolStr>, Claim)>,
    pub has: Vec<Has>,
    pub lost: Vec<(Ref, Option<At<Name>>)>,
    pub joints: Vec<JointDecl>,
    pub lines: Vec<Line>,
    pub wires: Vec<Wire>,
    pub feeds: Vec<Feed>,
    pub splices: Vec<(At<Name>, Option<Ref>)>,
    pub grounds: Vec<(At<Name>, Ref)>,
    /// Options and figures of the whole vehicle.
    pub facts: Vec<Fact>,
    /// Figures of places.
    pub figures: Vec<Fact>,
}

/// What really sits in a place.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Has {
    pub place: Ref,
    /// None: nothing sits there.
    pub part: Option<Ref>,
    pub claim: Claim,
    pub span: Span,
}

/// What is to be done to a vehicle.
#[derive(Clone, Debug, PartialEq, Default)]
#[allow(missing_docs)]
pub struct Conversion {
    pub recipient: Option<Ref>,
    pub donors: Vec<Ref>,
    pub budget: Option<At<Quantity>>,
    pub aims: Vec<Aim>,
    pub changes: Vec<Change>,
    pub places: Vec<PlaceDecl>,
    pub joints: Vec<JointDecl>,
    pub lines: Vec<Line>,
    pub buses: Vec<BusDecl>,
    pub wires: Vec<Wire>,
    pub feeds: Vec<Feed>,
    pub grounds: Vec<(At<Name>, Ref)>,
    pub figures: Vec<Fact>,
    pub accepts: Vec<Accept>,
    pub ways: Vec<Way>,
}

/// One whole set of choices.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Way {
    pub name: At<Name>,
    pub title: Option<SmolStr>,
    pub body: Conversion,
    pub span: Span,
}

/// What the owner wants of the result.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Aim {
    pub name: At<Name>,
    pub values: Vec<Value>,
    pub bound: Option<Bound>,
    pub limit: Option<Quantity>,
    pub claim: Claim,
    pub span: Span,
}

/// An open point that was accepted.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Accept {
    pub check: At<Name>,
    pub subject: Ref,
    pub by: Option<SmolStr>,
    pub because: Option<SmolStr>,
    pub span: Span,
}

/// One change.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What is done.
    pub verb: Verb,
    /// Its claim.
    pub claim: Claim,
    /// The statement.
    pub span: Span,
}

/// What a change does.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub enum Verb {
    Take { places: Vec<Ref>, count: Option<u32>, from: Ref },
    Fit { part: Ref, place: Option<Ref> },
    Remove { places: Vec<Ref> },
    Replace { place: Ref, part: Ref, from: Option<Ref> },
    Make { part: Ref, place: Option<Ref> },
    Renew { items: Vec<Ref> },
    Choose { place: Ref, parts: Vec<Ref>, prefer: Vec<At<Name>> },
    Move { from: Ref, to: Ref },
    Splice { a: Ref, b: Ref },
    Join { a: Ref, b: Ref, with: Option<Ref> },
    Blank { end: Ref, with: Option<Ref> },
    Bridge { a: Ref, b: Ref },
    Hand { duty: Ref, to: Ref },
    Cut { what: Ref, reason: Option<SmolStr> },
    Setup { place: Ref, setting: At<SmolStr>, value: Value },
    Pair { places: Vec<Ref> },
}

/// Work done and values measured on a vehicle.
#[derive(Clone, Debug, PartialEq, Default)]
#[allow(missing_docs)]
pub struct Log {
    pub vehicle: Option<Ref>,
    pub entries: Vec<Entry>,
}

/// One line of a log.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Entry {
    pub date: Date,
    pub event: Event,
    /// By whom.
    pub by: Option<SmolStr>,
    /// With which tool.
    pub tool: Option<SmolStr>,
    pub span: Span,
}

/// What happened.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub enum Event {
    Measured {
        fact: Fact,
        precision: Option<Quantity>,
    },
    MeasuredNumber {
        number: u32,
        values: Vec<Value>,
    },
    /// Work, and how long it took.
    Done {
        what: String,
        took: Option<Quantity>,
    },
    Ordered {
        what: Ref,
        cost: Option<Quantity>,
        seller: Option<SmolStr>,
    },
    Paid {
        what: Ref,
        cost: Option<Quantity>,
    },
    Arrived {
        what: Ref,
    },
    Sold {
        what: Ref,
        cost: Option<Quantity>,
    },
    Found {
        what: String,
    },
    Failed {
        what: String,
    },
    /// Something, and the file of the picture.
    Photographed {
        what: Ref,
        file: Option<SmolStr>,
    },
}
