//! The `evenreveal` program: arguments in, exit code out.

fn main() -> std::process::ExitCode {
    evenreveal::cli::run(std::env::args_os())
}
