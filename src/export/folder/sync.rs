//! Syncing behind the work: threads that wait for the disk while the next parts are built.

use std::fs::File;
use std::io;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

/// Threads that wait for the disk, not for the processor; several let the system write the
/// files of a set in few rounds (48 files of 0.2 MB: 280 ms by 2 threads, 90 ms by 16).
const THREADS: usize = 16;

/// Name of a file and why it could not be synced.
type Failure = (String, io::Error);

/// Files on their way to the disk.
#[derive(Debug)]
pub(super) struct Syncer {
    queue: Option<Sender<(File, String)>>,
    threads: Vec<JoinHandle<Result<(), Failure>>>,
}

impl Syncer {
    pub(super) fn new() -> Self {
        let (queue, files) = channel();
        let files = Arc::new(Mutex::new(files));
        let threads = (0..THREADS)
            .map(|_| {
                let files = Arc::clone(&files);
                std::thread::spawn(move || run(&files))
            })
            .collect();
        Syncer {
            queue: Some(queue),
            threads,
        }
    }

    /// Takes a written file; [`Syncer::finish`] says whether it reached the disk.
    pub(super) fn take(&self, file: File, name: &str) {
        if let Some(queue) = &self.queue {
            // Fails only when every thread has ended by an error, which `finish` returns.
            let _ = queue.send((file, name.to_string()));
        }
    }

    /// Waits for all files; the first failure, if any. All of them are closed then.
    pub(super) fn finish(&mut self) -> Result<(), Failure> {
        self.queue = None;
        let mut outcome = Ok(());
        for thread in self.threads.drain(..) {
            let lost = || (String::new(), io::Error::other("a thread was lost"));
            let one = thread.join().unwrap_or_else(|_| Err(lost()));
            outcome = outcome.and(one);
        }
        outcome
    }
}

fn run(files: &Mutex<Receiver<(File, String)>>) -> Result<(), Failure> {
    loop {
        // The lock is held while waiting for a file, not while syncing it.
        let next = files.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok((file, name)) = next else {
            return Ok(());
        };
        file.sync_data().map_err(|cause| (name, cause))?;
    }
}
