//! The network of a vehicle's zones and runs, and what is to be joined over it.
//!
//! Nothing here knows wires, colours or connectors: a net is a set of pieces that are to become one
//! conductor, a piece is where it can be joined, and [`super::fill::lay`] finds the runs.

/// A path for wires between two zones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// The zone at one end.
    pub a: usize,
    /// The zone at the other end. A run from a zone to itself is never used.
    pub b: usize,
    /// The effort of one more conductor through it, in seconds of work, whatever its thickness.
    pub effort: u64,
    /// The cross-section still free in its bore, in 1/1000 mm². None: there is no bore, any number of
    /// conductors goes through.
    pub room: Option<u64>,
}

/// The zones of a vehicle and the runs between them.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Network {
    /// How many zones there are; they are named 0, 1, 2 ….
    pub zones: usize,
    /// The runs. Several may join the same two zones.
    pub runs: Vec<Run>,
    /// For each zone, the effort that each joining in it costs on top of the tap's own, in seconds of
    /// work: usually nothing. A zone that is not listed costs nothing.
    pub stay: Vec<u64>,
}

/// Where a piece can be joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tap {
    /// The zone. A zone that the network does not have cannot be reached.
    pub zone: usize,
    /// The effort of joining there, in seconds of work.
    pub effort: u64,
}

/// What is one conductor already: a cavity, a splice with its wires, a loose wire.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Piece {
    /// Where it can be joined.
    pub taps: Vec<Tap>,
    /// Whether a net may pass through it from tap to tap. If not, exactly one of its taps is taken, as
    /// with a choice of feeds, of which one is used.
    pub through: bool,
}

/// Pieces that are all to become one conductor. One piece alone is one already: it takes nothing.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Net {
    /// The pieces.
    pub pieces: Vec<Piece>,
    /// The cross-section that it adds to each run it uses, in 1/1000 mm².
    pub area: u64,
}

/// How one net is joined.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Tree {
    /// The effort of its taps and runs, in seconds of work.
    pub effort: u64,
    /// The taps it uses, as (piece, tap of that piece), in order.
    pub taps: Vec<(usize, usize)>,
    /// The runs it uses, in order.
    pub runs: Vec<usize>,
    /// Whether it is proven that this net alone cannot be joined with less. A net that is sent round a
    /// full bore is not, though the routes together may be: see [`Routes::exact`].
    pub exact: bool,
    /// No tree of this net has less effort, whatever the other nets do.
    pub bound: u64,
}

/// How all nets are joined.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Routes {
    /// One tree for each net, in the order of the nets.
    pub trees: Vec<Tree>,
    /// The sum of their efforts, in seconds of work.
    pub effort: u64,
    /// It is proven that no routes that keep to the room have less effort.
    pub bound: u64,
    /// Whether the effort is proven to be the least: it equals the bound.
    pub exact: bool,
}

/// What came of laying nets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// All are joined, and every run has room for what it carries.
    Laid(Routes),
    /// It is proven that they cannot all be laid because runs are full.
    NoRoom {
        /// A run that the nets named here fill.
        run: usize,
        /// Nets that cannot all be laid together, in order; without any one of them the others can.
        /// (Where the search for that had to be given up, one more than needed may be named.)
        nets: Vec<usize>,
    },
    /// A net whose pieces cannot be joined even in an empty vehicle: the first such.
    NoWay {
        /// The net.
        net: usize,
    },
    /// Told to stop, or the search was given up before it found routes or the proof that there are none.
    Stopped,
}
