//! Names resolved, facts with their sources, vehicles as built and as converted.
//!
//! Does no I/O and prints nothing. Everything is a query over the inputs in
//! [`db`]; an edit recomputes only what depends on it.
//!
//! | module | is |
//! |---|---|
//! | [`db`] | the inputs and who holds them |
//! | [`lower`] | from statements to declarations |
//! | [`decl`] | declarations, typed, names not yet found |
//! | [`name`] | names, scopes, `use` |
//! | [`fact`] | what was stated, by whom, and what follows from contradiction |
//! | [`kinds`] | kinds with all they take over |
//! | [`built`] | a vehicle as built |
//! | [`world`] | the recipient before and after the changes |
//! | [`states`] | key states, and which supplies are there in each |
//! | [`circuit`] | what is joined to what after the changes, evaluated in a state |
//! | [`judge`] | whether a condition holds in a world |
//! | [`worth`] | what an expression comes to: arithmetic, handbook functions |
//! | [`worded`] | a condition as a reader would say it |
//! | [`calc`] | an expression worked without a world |
//! | [`verdict`] | what checks answer |
//! | [`library`] | the shipped files |

pub mod built;
pub mod calc;
pub mod circuit;
pub mod db;
pub mod decl;
pub mod fact;
pub mod judge;
pub mod kinds;
pub mod known;
pub mod library;
pub mod lower;
pub mod name;
pub mod states;
pub mod verdict;
pub mod worded;
pub mod world;
pub mod worth;
