//! Statements: lines read by the table of forms in `forms.txt`.
//!
//! The table is the single definition of what may be written where. It is
//! data: adding a statement is adding a line there.

mod attempt;
mod expected;
mod lists;
mod matching;
mod near;
mod slot_type;
mod statement;
mod table;
mod told;

pub use expected::{Expected, expected};
pub use matching::statements;
pub use near::nearest;
pub use slot_type::SlotType;
pub use statement::{AskedItem, Statement, ValueItem};
pub use table::{Form, Piece, contexts, forms};
