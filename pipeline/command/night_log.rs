//! What a night says on stderr: sentences for people, or one JSON object a line for machines.
//!
//! Sentences are warnings and errors only, so that an ordinary night is silent there. JSON lines hold the steps as well,
//! each with time, level, event and its own fields.

use super::outcome::Failure;
use super::talk::{Talk, line};
use clap::ValueEnum;
use serde_json::{Value, json};

/// The form of the log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum LogForm {
    /// sentences for people
    #[default]
    Plain,
    /// one JSON object a line
    Json,
}

/// The log of a night.
#[derive(Debug, Clone, Copy)]
pub struct NightLog {
    form: LogForm,
    talk: Talk,
}

impl NightLog {
    /// A log of this form.
    pub fn of(form: LogForm, talk: Talk) -> NightLog {
        NightLog { form, talk }
    }

    /// The voice for progress bars; a machine is shown none.
    pub fn talk(self) -> Talk {
        self.talk
    }

    /// A step that was taken.
    pub fn step(self, event: &str, fields: Value) {
        if self.form == LogForm::Json {
            self.write("info", event, fields);
        }
    }

    /// Something the operator should hear.
    pub fn warn(self, sentence: &str, hint: &str) {
        match self.form {
            LogForm::Plain => self.talk.warn(sentence, hint),
            LogForm::Json => self.write("warning", "warning", json!({ "message": sentence, "hint": hint })),
        }
    }

    /// Why the night failed. A person is told by `main`.
    pub fn error(self, failure: &Failure) {
        if self.form == LogForm::Json {
            self.write(
                "error",
                "failed",
                json!({ "message": failure.message, "hint": failure.hint }),
            );
        }
    }

    /// Whether errors have been told.
    pub fn tells_errors(self) -> bool {
        self.form == LogForm::Json
    }

    fn write(self, level: &str, event: &str, fields: Value) {
        let mut object = json!({ "time": format!("{:.3}", jiff::Timestamp::now()), "level": level, "event": event });
        if let (Value::Object(all), Value::Object(own)) = (&mut object, fields) {
            all.extend(own);
        }
        line(&object.to_string());
    }
}
