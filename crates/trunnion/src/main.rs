//! The program: command line and language server. It loads, calls and prints; it holds no logic.

use std::process::ExitCode;

fn main() -> ExitCode {
    trunnion::main_with(std::env::args_os())
}
