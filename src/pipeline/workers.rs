//! Threads that take one item at a time; results come back in input order.
//!
//! Each worker runs inside its own one-thread pool with a large stack: the
//! engine splits its work over whatever pool it is called in, and in a shared
//! pool a waiting letter would pick up another one on the same stack until
//! the stack is full. A panic fails its own item only.

use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Bytes of stack for each worker.
const STACK: usize = 16 * 1024 * 1024;

thread_local! {
    /// Where and why this worker last panicked.
    static PANIC: RefCell<Option<String>> = const { RefCell::new(None) };
    /// Whether a worker's item is running on this thread.
    static WORKING: RefCell<bool> = const { RefCell::new(false) };
}

/// How many workers this machine suggests.
pub fn suggested() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

/// Does `work` on every item, `jobs` at a time, and calls `done` after each
/// with its index. The result of an item that panicked is the panic's words.
pub fn run<T: Sync, R: Send>(
    items: &[T],
    jobs: usize,
    work: impl Fn(&T) -> R + Sync,
    done: impl Fn(usize) + Sync,
) -> Result<Vec<Result<R, String>>, String> {
    let next = AtomicUsize::new(0);
    let results: Vec<Mutex<Option<Result<R, String>>>> =
        items.iter().map(|_| Mutex::new(None)).collect();
    let take = || {
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(index) else { break };
            let result = guarded(|| work(item));
            // The engine remembers its steps; letters share none worth keeping.
            comemo::evict(0);
            *results[index].lock().unwrap_or_else(|e| e.into_inner()) = Some(result);
            done(index);
        }
    };
    spawn(jobs.clamp(1, items.len().max(1)), &take)?;
    let unpack = |slot: Mutex<Option<_>>| slot.into_inner().unwrap_or_else(|e| e.into_inner());
    let missing = || Err("a worker ended before its work".to_string());
    Ok(results.into_iter().map(|slot| unpack(slot).unwrap_or_else(missing)).collect())
}

/// Runs `take` on so many threads, each in a pool of its own.
fn spawn(count: usize, take: &(dyn Fn() + Sync)) -> Result<(), String> {
    let pool = || {
        rayon::ThreadPoolBuilder::new()
            .num_threads(1)
            .stack_size(STACK)
            .build()
            .map_err(|e| format!("a worker could not be started: {e}"))
    };
    let pools = (0..count).map(|_| pool()).collect::<Result<Vec<_>, _>>()?;
    std::thread::scope(|scope| {
        for pool in &pools {
            scope.spawn(|| pool.install(take));
        }
    });
    Ok(())
}

/// Runs one item; a panic becomes its words.
fn guarded<R>(work: impl FnOnce() -> R) -> Result<R, String> {
    WORKING.replace(true);
    PANIC.take();
    let result = catch_unwind(AssertUnwindSafe(work));
    WORKING.replace(false);
    result.map_err(|payload| {
        let words = payload
            .downcast_ref::<&str>()
            .map(|s| s.to_string())
            .or_else(|| payload.downcast_ref::<String>().cloned());
        PANIC.take().or(words).unwrap_or_else(|| "no reason given".to_string())
    })
}

/// Makes panics of items silent: they are reported as diagnostics. Other
/// panics keep their usual message. Called once by the program's entrance.
pub fn hush_panics() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if !WORKING.with_borrow(|working| *working) {
            return usual(info);
        }
        let at = info.location().map(|l| format!("{}:{}", l.file(), l.line()));
        let words = info.payload_as_str().unwrap_or("no reason given");
        PANIC.replace(Some(format!("{words} ({})", at.unwrap_or_default())));
    }));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_back_in_order_at_any_count() {
        let items: Vec<u64> = (0..500).collect();
        for jobs in [0, 1, 2, 7] {
            let got = run(&items, jobs, |i| i * i, |_| {}).unwrap();
            let got: Vec<u64> = got.into_iter().map(Result::unwrap).collect();
            assert_eq!(got, items.iter().map(|i| i * i).collect::<Vec<_>>());
        }
    }

    #[test]
    fn a_panic_fails_its_own_item_only() {
        let work = |i: &u64| if *i == 2 { panic!("no vertebra {i}") } else { *i };
        let got = run(&[1, 2, 3], 2, work, |_| {}).unwrap();
        assert_eq!(got[0], Ok(1));
        assert!(got[1].as_ref().unwrap_err().contains("no vertebra 2"));
        assert_eq!(got[2], Ok(3));
    }
}
