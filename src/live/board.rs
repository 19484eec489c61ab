//! What a browser is told: the last good page, and the faults of the files as they are now.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use crate::diagnostic::{Diagnostic, Severity};
use crate::report::{CreaturePage, LiveFault, live_waiting};

/// Faults that are told at once, at most (habit: more than a screen of them helps nobody).
const MOST_FAULTS: usize = 40;

/// The state of a watched design, and who waits for the next one.
#[derive(Debug)]
pub struct Board {
    /// Tells this run of the server from earlier ones on the same port.
    run: String,
    /// What is shown before anything is good.
    title: String,
    state: Mutex<State>,
    changed: Condvar,
}

#[derive(Debug, Default)]
struct State {
    version: u64,
    /// The edit that is shown or refused last.
    edit: u64,
    good: Option<Good>,
    faults: Vec<LiveFault>,
}

#[derive(Debug, Clone)]
struct Good {
    /// Version since which it is shown.
    since: u64,
    page: Arc<CreaturePage>,
    /// The same as JSON.
    news: Arc<str>,
}

impl Board {
    /// Nothing is known yet; `run` differs from that of every earlier run.
    pub fn new(run: String, title: String) -> Board {
        Board {
            run,
            title,
            state: Mutex::default(),
            changed: Condvar::new(),
        }
    }

    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Shows the page of an edit, unless a later one was shown or refused.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn show(&self, edit: u64, page: CreaturePage, built: u64) -> Result<(), serde_json::Error> {
        let news = page.news(built)?.into();
        let mut state = self.lock();
        if edit < state.edit {
            return Ok(());
        }
        state.version += 1;
        state.edit = edit;
        state.good = Some(Good {
            since: state.version,
            page: Arc::new(page),
            news,
        });
        state.faults.clear();
        self.changed.notify_all();
        Ok(())
    }

    /// Says why an edit is not shown; the last good page stays.
    pub fn refuse(&self, edit: u64, faults: Vec<LiveFault>) {
        let mut state = self.lock();
        if edit < state.edit {
            return;
        }
        state.version += 1;
        state.edit = edit;
        state.faults = faults;
        self.changed.notify_all();
    }

    /// The whole document as it is now.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn document(&self) -> Result<String, serde_json::Error> {
        let (good, version) = {
            let state = self.lock();
            // A page that has just come is to be told of the faults too.
            let version = match state.faults.is_empty() {
                true => state.version,
                false => state.version.saturating_sub(1),
            };
            (state.good.clone(), version)
        };
        let name = |version: u64| format!("{}-{version}", self.run);
        match good {
            Some(good) => good.page.live_html(&name(version.max(good.since))),
            None => Ok(live_waiting(&self.title, &name(0))),
        }
    }

    /// What is new after a version that a browser has, as JSON; nothing when there is nothing new for
    /// so long.
    pub fn next(&self, after: &str, patience: Duration) -> Option<String> {
        let seen = after
            .strip_prefix(&self.run)
            .and_then(|rest| rest.strip_prefix('-')?.parse::<u64>().ok());
        let state = self.lock();
        let same = |state: &mut State| seen == Some(state.version);
        let waited = self.changed.wait_timeout_while(state, patience, same);
        let (state, _) = waited.unwrap_or_else(PoisonError::into_inner);
        if seen == Some(state.version) {
            return None;
        }
        let page = match &state.good {
            Some(good) if seen.is_none_or(|seen| seen < good.since) => &*good.news,
            _ => "null",
        };
        let faults = serde_json::to_string(&state.faults).ok()?;
        let version = format!("{}-{}", self.run, state.version);
        Some(format!(
            "{{\"version\":\"{version}\",\"faults\":{faults},\"page\":{page}}}"
        ))
    }
}

/// The errors among messages, as they are shown.
pub fn faults_of(messages: &[Diagnostic]) -> Vec<LiveFault> {
    let errors = messages.iter().filter(|m| m.severity == Severity::Error);
    let fault = |m: &Diagnostic| {
        let place = &m.place;
        let mut at = place.file.to_string();
        if place.line > 0 {
            at += &format!(", line {}", place.line);
        }
        if place.column > 0 {
            at += &format!(", column {}", place.column);
        }
        LiveFault {
            at,
            line: place.line,
            column: place.column,
            words: m.in_words().to_string(),
            shown: false,
        }
    };
    errors.map(fault).take(MOST_FAULTS).collect()
}
