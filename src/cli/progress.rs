//! A bar on long work, and the wish to stop.

use std::sync::atomic::{AtomicBool, Ordering};

use indicatif::{ProgressBar, ProgressStyle};

/// Steps from which on progress is shown.
const LONG_WORK: usize = 8;

/// Set by Ctrl-C.
static STOP: AtomicBool = AtomicBool::new(false);

/// From now on Ctrl-C is a wish, looked at between files, so that nothing is left half written.
pub fn stop_on_ctrl_c() -> &'static AtomicBool {
    // Without a handler, or with one set before, Ctrl-C ends the process at once or sets the same
    // flag: the folder's rules cover both.
    let _ = ctrlc::set_handler(|| STOP.store(true, Ordering::Relaxed));
    &STOP
}

/// Runs `work`, which tells how many steps are done of all. The bar is shown on a terminal only, and
/// cleared at the end.
pub fn with_progress<T>(hidden: bool, work: impl FnOnce(&(dyn Fn(usize, usize) + Sync)) -> T) -> T {
    with_progress_of(hidden, "parts and joints", work)
}

/// The same over steps of another kind.
pub fn with_progress_of<T>(
    hidden: bool,
    steps: &str,
    work: impl FnOnce(&(dyn Fn(usize, usize) + Sync)) -> T,
) -> T {
    let bar = if hidden {
        ProgressBar::hidden()
    } else {
        ProgressBar::new(0)
    };
    if let Ok(style) =
        ProgressStyle::with_template(&format!("{steps} {{pos}} of {{len}} {{bar:40}}"))
    {
        bar.set_style(style);
    }
    let result = work(&|done, all| {
        if all >= LONG_WORK {
            bar.set_length(all as u64);
            bar.set_position(done as u64);
        }
    });
    bar.finish_and_clear();
    result
}
