//! Questions on a terminal, with the default in brackets.

use std::io::{BufRead, IsTerminal};

use super::print;

/// Where answers come from.
pub struct Asker {
    terminal: bool,
    /// What was taken without asking, as it could have been typed.
    taken: Vec<String>,
}

impl Asker {
    /// Asks when standard input and standard error are a terminal.
    pub fn new() -> Self {
        Asker {
            terminal: std::io::stdin().is_terminal() && std::io::stderr().is_terminal(),
            taken: Vec::new(),
        }
    }

    /// The value of a choice: as given, or as answered, or the default. `read` says what is wrong with
    /// a text; a wrong answer is asked for again.
    ///
    /// # Errors
    /// What is wrong with the given text.
    pub fn choice<T>(
        &mut self,
        (choice, question): (&str, &str),
        given: Option<&str>,
        default: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, String> {
        let told = |fault| format!("{choice}: {fault}");
        if let Some(text) = given {
            return read(text).map_err(told);
        }
        let ask = || answer(&format!("{question} [{default}]: "));
        while let Some(answer) = self.terminal.then(ask).flatten() {
            let text = if answer.is_empty() { default } else { &answer };
            match read(text) {
                Ok(value) => return Ok(value),
                Err(fault) => print::say(&told(fault)),
            }
        }
        self.taken.push(format!("{choice} {}", word(default)));
        read(default).map_err(told)
    }

    /// What was taken without asking; nothing when all was said.
    pub fn taken(&self) -> Option<String> {
        (!self.taken.is_empty()).then(|| self.taken.join(" "))
    }
}

/// As a shell takes it for one word.
fn word(text: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "-_./,:%+=@".contains(c);
    if !text.is_empty() && text.chars().all(plain) {
        text.to_owned()
    } else {
        format!("'{}'", text.replace('\'', "'\\''"))
    }
}

/// The line that answers a question, without its ends; nothing when the input is closed.
pub fn answer(question: &str) -> Option<String> {
    print::ask(question);
    let mut line = String::new();
    match std::io::stdin().lock().read_line(&mut line) {
        Ok(read) if read > 0 => Some(line.trim().to_owned()),
        _ => None,
    }
}
