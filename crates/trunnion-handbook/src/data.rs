//! Published tables, stored as files under `data/` and read when first asked for.
//!
//! A file opens with lines that name its document, edition, table, standing and columns, then a row
//! of column names and the rows, tabs between. A test proves that each can be read and is whole.

use std::sync::OnceLock;

use crate::registry::Source;

/// A table as it is stored.
pub struct Stored {
    /// Its file's name without the ending.
    pub name: &'static str,
    text: &'static str,
    read: OnceLock<Table>,
}

/// A table as it is read.
#[derive(Default, Debug)]
pub struct Table {
    head: Vec<(&'static str, &'static str)>,
    columns: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

macro_rules! stored {
    ($($(#[$about:meta])* $name:ident: $file:literal,)*) => {
        $($(#[$about])* pub static $name: Stored = Stored {
            name: $file,
            text: include_str!(concat!("data/", $file, ".tsv")),
            read: OnceLock::new(),
        };)*

        /// Every stored table.
        pub static ALL: &[&Stored] = &[$(&$name,)*];
    };
}

stored! {
    /// 33 CFR 183.425, Table 5.
    BOAT_CURRENT: "boat-current",
    /// 33 CFR 183.425, Table 5, note 1.
    BOAT_CURRENT_ENGINE: "boat-current-engine",
    /// 33 CFR 183.425, Table 5, note 2.
    BOAT_CURRENT_BUNDLE: "boat-current-bundle",
    /// IEC 60228.
    CONDUCTOR: "conductor",
    /// ISO 6722-1.
    VEHICLE_WIRE: "vehicle-wire",
    /// ISO 261.
    METRIC_THREADS: "metric-threads",
    /// ISO 273.
    CLEARANCE_HOLES: "clearance-holes",
    /// ISO 228-1.
    PIPE_THREADS: "pipe-threads",
    /// ASME B1.1.
    UNIFIED_THREADS: "unified-threads",
    /// ISO 965-2.
    THREAD_LIMITS: "thread-limits",
    /// ISO 898-1, Table 3.
    PROPERTY_CLASSES: "property-classes",
    /// ISO 898-1, Table 5.
    PROOF_LOADS: "proof-loads",
    /// ISO 286-1, Table 1.
    FIT_GRADES: "iso-286-grades",
    /// ISO 286-1, Tables 4 and 5, main steps.
    FIT_EDGES: "iso-286-edges",
    /// ISO 286-1, Tables 4 and 5, finer steps.
    FIT_EDGES_FINE: "iso-286-edges-fine",
    /// ISO 286-1, j and J.
    FIT_J: "iso-286-j",
    /// UN Regulation No. 30, load indices.
    LOAD_INDEX: "load-index",
    /// UN Regulation No. 30, speed symbols.
    SPEED_SYMBOL: "speed-symbol",
    /// ISO 8820-3, rated currents.
    BLADE_FUSES: "blade-fuses",
    /// ISO 8820-3, operating times.
    BLADE_FUSE_TIMES: "blade-fuse-times",
    /// CiA, length by bit rate.
    CAN_LENGTH: "can-length",
    /// CiA 303-1, stubs by bit rate.
    CAN_STUB: "can-stub",
    /// Circles in a circle.
    PACKING: "packing",
    /// BS 7671, Table 4E1A.
    CABLE_CURRENT: "cable-current",
    /// BS 7671, Table 4B1.
    CABLE_CURRENT_AMBIENT: "cable-current-ambient",
    /// BS 7671, Table 4C1.
    CABLE_CURRENT_GROUP: "cable-current-group",
    /// IEC 60757.
    COLOURS: "colours",
    /// IEC 60664-1, Table F.5.
    CREEPAGE: "creepage",
    /// IEC 60664-1, Table F.2.
    CLEARANCE: "clearance",
    /// ISO 16750-2, starting profile.
    CRANKING: "cranking",
}

impl Stored {
    /// The table. One that cannot be read would be empty; a test keeps that from happening.
    pub fn table(&self) -> &Table {
        self.read.get_or_init(|| Table::read(self.text).unwrap_or_default())
    }

    /// Where it comes from, as its head says: the document, and what of it rests on memory.
    pub fn sources(&self) -> impl Iterator<Item = Source> {
        let head = |key| self.table().head(key).unwrap_or_default();
        let (document, edition) = (head("document"), head("edition"));
        let whole = match head("standing") {
            "published" => Source::published(document, edition, head("table")),
            _ => Source::from_memory(document, edition, head("table")),
        };
        let weak = self.table().head("memory");
        [Some(whole), weak.map(|clause| Source::from_memory(document, edition, clause))].into_iter().flatten()
    }
}

impl Table {
    fn read(text: &'static str) -> Option<Self> {
        let mut table = Self::default();
        let mut lines = text.lines();
        for line in lines.by_ref() {
            match line.strip_prefix("# ") {
                Some(said) => table.head.push(said.split_once(": ")?),
                None => {
                    table.columns = line.split('\t').collect();
                    break;
                }
            }
        }
        table.rows = lines.map(|line| line.split('\t').collect()).collect();
        let whole = table.rows.iter().all(|row: &Vec<_>| row.len() == table.columns.len());
        (whole && !table.rows.is_empty()).then_some(table)
    }

    /// What its head says under a key.
    pub fn head(&self, key: &str) -> Option<&'static str> {
        self.head.iter().find(|(it, _)| *it == key).map(|(_, said)| *said)
    }

    /// The names of its columns.
    pub fn columns(&self) -> &[&'static str] {
        &self.columns
    }

    /// Its rows, as written.
    pub fn rows(&self) -> &[Vec<&'static str>] {
        &self.rows
    }

    /// The row whose first cell is this word.
    pub fn row(&self, first: &str) -> Option<Row<'_>> {
        self.rows.iter().find(|row| row.first() == Some(&first)).map(|cells| Row { table: self, cells })
    }

    /// The row whose first cell is this figure, but for rounding.
    pub fn row_at(&self, first: f64) -> Option<Row<'_>> {
        self.all().find(|row| row.at(0).is_some_and(|it| (it - first).abs() <= 1e-9 * it.abs().max(1.0)))
    }

    /// The first row whose first cell is a figure not below this one.
    pub fn row_from(&self, least: f64) -> Option<Row<'_>> {
        self.all().find(|row| row.at(0).is_some_and(|it| it >= least * (1.0 - 1e-12)))
    }

    /// Every row.
    pub fn all(&self) -> impl DoubleEndedIterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }
}

/// One row of a table.
#[derive(Clone, Copy, Debug)]
pub struct Row<'a> {
    table: &'a Table,
    cells: &'a [&'static str],
}

impl Row<'_> {
    /// The cell of a column, as written. `None` where there is no such column.
    pub fn text(&self, column: &str) -> Option<&'static str> {
        let at = self.table.columns.iter().position(|it| *it == column)?;
        self.cells.get(at).copied()
    }

    /// The figure in a column. `None` where it holds none (`-`).
    pub fn figure(&self, column: &str) -> Option<f64> {
        self.text(column)?.parse().ok()
    }

    /// The figure at a place. `None` where it holds none.
    pub fn at(&self, place: usize) -> Option<f64> {
        self.cells.get(place)?.parse().ok()
    }

    /// The cell at a place, as written; empty where there is none.
    pub fn word(&self, place: usize) -> &'static str {
        self.cells.get(place).copied().unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_file_can_be_read_and_names_its_source() {
        for it in ALL {
            let table = Table::read(it.text).unwrap_or_else(|| panic!("{}", it.name));
            for key in ["document", "edition", "table", "standing", "columns"] {
                assert!(table.head(key).is_some_and(|said| !said.is_empty()), "{} {key}", it.name);
            }
            assert!(["published", "from memory"].contains(&table.head("standing").unwrap()), "{}", it.name);
            for row in table.all() {
                for (place, cell) in row.cells.iter().enumerate().skip(1) {
                    let worded = ["metric-threads", "colours"].contains(&it.name);
                    let sound = worded || *cell == "-" || row.at(place).is_some_and(f64::is_finite);
                    assert!(sound, "{}: {cell}", it.name);
                }
            }
        }
    }

    /// A table that no list names would be read by nobody.
    #[test]
    fn every_file_is_listed() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/data");
        for entry in std::fs::read_dir(folder).unwrap() {
            let name = entry.unwrap().file_name().into_string().unwrap();
            let stem = name.strip_suffix(".tsv").unwrap();
            assert!(ALL.iter().any(|it| it.name == stem), "{name}");
        }
    }

    #[test]
    fn a_broken_table_is_not_read() {
        for text in ["", "# document: x\na\tb\n", "# document: x\na\tb\n1\n", "# nothing\na\n1\n"] {
            assert!(Table::read(text).is_none(), "{text:?}");
        }
    }

    #[test]
    fn rows_are_found_by_figure() {
        let table = CAN_LENGTH.table();
        assert_eq!(table.row_at(500.0).and_then(|it| it.figure("m")), Some(100.0));
        assert!(table.row_at(501.0).is_none() && table.row("500").is_some());
        assert!(CREEPAGE.table().row_from(401.0).is_some_and(|it| it.at(0) == Some(500.0)));
        assert!(CREEPAGE.table().row_from(f64::NAN).is_none());
    }
}
