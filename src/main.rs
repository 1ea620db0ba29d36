//! The `endplate` program: arguments in, exit code out.

mod cli;

/// Fewer faults of the page cache than the system's allocator on the many
/// small pieces of a page.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    endplate::pipeline::workers::hush_panics();
    cli::run()
}
