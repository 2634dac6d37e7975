//! The `spelch` command.

fn main() -> std::process::ExitCode {
    spelch::cli::run()
}
