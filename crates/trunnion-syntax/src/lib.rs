//! Tokens, parser, syntax tree and layout of the Trunnion language.
//!
//! Nothing here knows names or meaning. Parsing never fails: there is a tree
//! for every text.

pub mod chunk;
pub mod ebnf;
pub mod expr;
pub mod form;
pub mod layout;
pub mod parse;
pub mod token;
pub mod tree;
pub mod unit;
