//! Many independent tasks on the threads of a machine: so many at a time as there are threads, and
//! each of them on threads of its own.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Mutex, MutexGuard, PoisonError, mpsc};
use std::thread;

use rayon::{ThreadPool, ThreadPoolBuilder};

/// What became of a task: its result, or the words of its panic.
pub type Ended<T> = Result<T, String>;

/// Runs `work` for 0, 1, … up to `count`, and gives each result to `done` as soon as it is there,
/// on the calling thread.
///
/// At most `threads` tasks run at a time. Each has a pool of threads of its own, so that parallel
/// code in it waits for its own parts only and never begins another task; what is in memory is
/// bounded by `threads`. Tasks have one thread each while there are as many left as threads, and
/// more where fewer are left. A task that panics ends alone.
pub fn run_tasks<T: Send>(
    count: usize,
    threads: usize,
    work: impl Fn(usize) -> T + Sync,
    mut done: impl FnMut(usize, Ended<T>),
) {
    let queue = Queue { shared: Mutex::new(State { next: 0, free: threads.max(1) }), count };
    // A worker waits where results are not taken, so that they do not pile up.
    let (sender, receiver) = mpsc::sync_channel::<(usize, Ended<T>)>(threads.max(1));
    thread::scope(|scope| {
        for _ in 0..threads.max(1).min(count) {
            let (sender, queue, work) = (sender.clone(), &queue, &work);
            scope.spawn(move || {
                let mut pool = None;
                while let Some(Taken { task, threads }) = queue.take() {
                    let ended = match pool_of(&mut pool, threads) {
                        Ok(pool) => ended(|| pool.install(|| work(task))),
                        Err(words) => Err(words),
                    };
                    queue.give_back(threads);
                    if sender.send((task, ended)).is_err() {
                        return;
                    }
                }
            });
        }
        drop(sender);
        for (task, ended) in receiver {
            done(task, ended);
        }
    });
}

/// Which task is next, and how many threads have none.
struct Queue {
    shared: Mutex<State>,
    count: usize,
}

struct State {
    next: usize,
    free: usize,
}

struct Taken {
    task: usize,
    threads: usize,
}

impl Queue {
    fn take(&self) -> Option<Taken> {
        let mut state = self.state();
        let left = self.count - state.next;
        if left == 0 {
            return None;
        }
        let threads = (state.free / left).max(1);
        let task = state.next;
        state.next += 1;
        state.free = state.free.saturating_sub(threads);
        Some(Taken { task, threads })
    }

    fn give_back(&self, threads: usize) {
        self.state().free += threads;
    }

    fn state(&self) -> MutexGuard<'_, State> {
        // Nothing in here panics while it holds the lock.
        self.shared.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The pool at hand where it has so many threads, else a new one.
fn pool_of(pool: &mut Option<(usize, ThreadPool)>, threads: usize) -> Result<&ThreadPool, String> {
    if pool.as_ref().is_none_or(|(has, _)| *has != threads) {
        let built = ThreadPoolBuilder::new().num_threads(threads).build();
        *pool = Some((threads, built.map_err(|error| error.to_string())?));
    }
    pool.as_ref().map(|(_, pool)| pool).ok_or_else(|| "there is no pool of threads".to_owned())
}

fn ended<T>(work: impl FnOnce() -> T) -> Ended<T> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|panic| words_of(panic.as_ref()))
}

fn words_of(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    let text = text.or_else(|| panic.downcast_ref::<String>().cloned());
    text.unwrap_or_else(|| "it panicked without a word".to_owned())
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use rayon::prelude::*;

    use super::*;

    fn results(count: usize, threads: usize) -> Vec<(usize, Ended<usize>)> {
        let mut all = Vec::new();
        run_tasks(
            count,
            threads,
            |task| (0..1_000).into_par_iter().map(|x| x * task).sum::<usize>(),
            |task, ended| all.push((task, ended)),
        );
        all.sort_by_key(|(task, _)| *task);
        all
    }

    #[test]
    fn every_task_is_run_once_whatever_the_threads() {
        for (count, threads) in [(0, 2), (1, 4), (7, 1), (7, 3), (40, 2)] {
            let all = results(count, threads);
            assert_eq!(all.len(), count);
            for (at, (task, ended)) in all.into_iter().enumerate() {
                assert_eq!((task, ended), (at, Ok(499_500 * at)));
            }
        }
    }

    #[test]
    fn no_more_tasks_are_in_flight_than_threads() {
        let (now, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
        run_tasks(
            60,
            3,
            |_| {
                most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                // Parallel code inside that waits, during which a thread of one common pool would
                // begin another task.
                (0..64).into_par_iter().for_each(|_| thread::yield_now());
                now.fetch_sub(1, Ordering::SeqCst);
            },
            |_, ended| assert!(ended.is_ok()),
        );
        assert!(most.load(Ordering::SeqCst) <= 3, "{most:?}");
    }

    #[test]
    fn few_tasks_share_all_threads() {
        let mut threads = Vec::new();
        run_tasks(3, 8, |_| rayon::current_num_threads(), |_, ended| threads.push(ended.unwrap()));
        assert_eq!(threads.len(), 3);
        // The first is given 8 of 8 for 3, and those that follow what is left for fewer.
        assert!(threads.iter().all(|&threads| threads >= 2), "{threads:?}");
        run_tasks(
            5,
            2,
            |_| rayon::current_num_threads(),
            |task, ended| {
                assert!(task == 4 || ended == Ok(1));
            },
        );
    }

    #[test]
    fn a_task_that_panics_ends_alone() {
        let mut said = Vec::new();
        run_tasks(
            5,
            2,
            |task| {
                assert!(task != 3, "task {task} is broken");
                task
            },
            |task, ended| said.push((task, ended)),
        );
        said.sort_by_key(|(task, _)| *task);
        assert_eq!(said.len(), 5);
        assert_eq!(said[3].1, Err("task 3 is broken".to_owned()));
        assert!(said.iter().enumerate().all(|(at, (_, ended))| at == 3 || *ended == Ok(at)));
    }
}
