//! The time stamp of a file, which never comes from a clock.

use std::fmt;

/// Environment variable that fixes the stamp: seconds since 1970-01-01T00:00:00 UTC
/// (convention for reproducible builds).
pub const VARIABLE: &str = "SOURCE_DATE_EPOCH";

/// A time stamp as ISO 8601 text in UTC, `YYYY-MM-DDThh:mm:ss`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp(String);

/// Why the variable's value cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StampError(String);

impl Default for Stamp {
    fn default() -> Self {
        Stamp("1970-01-01T00:00:00".to_string())
    }
}

impl Stamp {
    /// From [`VARIABLE`], or the constant default when it is not set.
    ///
    /// # Errors
    /// A value that is no whole number of seconds within the years 1970 to 9999.
    pub fn from_environment() -> Result<Stamp, StampError> {
        match std::env::var_os(VARIABLE) {
            None => Ok(Stamp::default()),
            Some(value) => Stamp::parse(&value.to_string_lossy()),
        }
    }

    /// From the text of seconds since 1970.
    ///
    /// # Errors
    /// As [`Stamp::from_environment`].
    pub fn parse(value: &str) -> Result<Stamp, StampError> {
        // Last second of the year 9999 (four digits of ISO 8601).
        const LAST: u64 = 253_402_300_799;
        match value.parse::<u64>() {
            Ok(seconds) if seconds <= LAST => Ok(Stamp::from_seconds(seconds)),
            _ => Err(StampError(value.to_string())),
        }
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    fn from_seconds(seconds: u64) -> Stamp {
        let (year, month, day) = civil(seconds / 86_400);
        let (h, m, s) = (seconds / 3600 % 24, seconds / 60 % 60, seconds % 60);
        Stamp(format!(
            "{year:04}-{month:02}-{day:02}T{h:02}:{m:02}:{s:02}"
        ))
    }
}

/// Gregorian date of a day counted from 1970-01-01, by years of 400-year eras that begin in
/// March (derived; checked against known dates below).
fn civil(days: u64) -> (u64, u64, u64) {
    let z = days + 719_468;
    let (era, doe) = (z / 146_097, z % 146_097);
    let yoe = (doe - doe / 1460 + doe / 36_524 - doe / 146_096) / 365;
    let doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    let mp = (5 * doy + 2) / 153;
    let month = if mp < 10 { mp + 3 } else { mp - 9 };
    let year = yoe + era * 400 + u64::from(month <= 2);
    (year, month, doy - (153 * mp + 2) / 5 + 1)
}

impl fmt::Display for StampError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(
            f,
            "{VARIABLE} is \"{}\"; write whole seconds since 1970-01-01 UTC, or unset it",
            self.0
        )
    }
}

impl std::error::Error for StampError {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_dates() {
        // Source: GNU `date -u -d @N`.
        for (seconds, wanted) in [
            ("0", "1970-01-01T00:00:00"),
            ("951782400", "2000-02-29T00:00:00"),
            ("1000000000", "2001-09-09T01:46:40"),
            ("4107542399", "2100-02-28T23:59:59"),
            ("4107542400", "2100-03-01T00:00:00"),
            ("253402300799", "9999-12-31T23:59:59"),
        ] {
            assert_eq!(Stamp::parse(seconds).unwrap().as_str(), wanted);
        }
        assert_eq!(Stamp::parse("0").unwrap(), Stamp::default());
    }

    #[test]
    fn bad_values_are_refused() {
        for value in [
            "",
            "-1",
            "1.5",
            "today",
            "253402300800",
            "99999999999999999999",
        ] {
            let error = Stamp::parse(value).unwrap_err().to_string();
            assert!(error.contains(VARIABLE) && error.contains(&format!("\"{value}\"")));
        }
    }
}
