//! Statements: lines read by the table of forms in `forms.txt`.
//!
//! The table is the single definition of what may be written where. It is
//! data: adding a statement is adding a line there.

mod matching;
mod statement;
mod table;

pub use matching::statements;
pub use statement::{AskedItem, Statement, ValueItem};
pub use table::{Form, Piece, SlotType, contexts, forms};
