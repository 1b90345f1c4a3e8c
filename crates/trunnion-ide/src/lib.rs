//! Editor features as plain data on text offsets. Knows no protocol.
//!
//! | module | is |
//! |---|---|
//! | [`session`] | the texts, open and on disk, and what is asked of them |
//! | [`diagnostics`] | what is wrong, open, or could be mended |
//! | [`at`] | what stands at an offset |
//! | [`hover`] | what is known about it |
//! | `readings` | what a meter will read there |
//! | [`outline`] | the declarations of a file |
//! | [`completion`] | what could be written there |
//! | [`conversions`] | the conversions of a file, with what clashes and what is open in each |
//! | [`plan`] | what makes one of them whole, as edits |

pub mod at;
pub mod completion;
pub mod conversions;
pub mod diagnostics;
pub mod hover;
pub mod outline;
pub mod plan;
mod readings;
pub mod session;

pub use session::Session;
