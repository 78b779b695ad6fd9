//! How clock times are read.

use jiff::civil::Time;

/// How clock times are read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ClockFormat {
    /// "19:05".
    #[default]
    H24,
    /// "7:05 pm".
    H12,
}

impl ClockFormat {
    /// The hour and minute of a time of day.
    #[must_use]
    pub fn words(self, time: Time) -> String {
        self.written(time, "")
    }

    /// The same with the seconds, where there are any: "19:05:30", "7:05:30 pm".
    #[must_use]
    pub fn exact(self, time: Time) -> String {
        match time.second() {
            0 => self.words(time),
            second => self.written(time, &format!(":{second:02}")),
        }
    }

    fn written(self, time: Time, seconds: &str) -> String {
        let (hour, minute) = (time.hour(), time.minute());
        match self {
            Self::H24 => format!("{hour:02}:{minute:02}{seconds}"),
            Self::H12 => {
                let half = if hour < 12 { "am" } else { "pm" };
                let hour = match hour % 12 {
                    0 => 12,
                    hour => hour,
                };
                format!("{hour}:{minute:02}{seconds} {half}")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::time;

    use super::*;

    #[test]
    fn noon_and_midnight_are_twelve() {
        use ClockFormat::{H12, H24};
        for (time, twelve, four_and_twenty) in [
            (time(0, 5, 0, 0), "12:05 am", "00:05"),
            (time(12, 0, 0, 0), "12:00 pm", "12:00"),
            (time(19, 30, 0, 0), "7:30 pm", "19:30"),
        ] {
            assert_eq!(H12.words(time), twelve);
            assert_eq!(H24.words(time), four_and_twenty);
        }
        assert_eq!(H12.exact(time(9, 0, 30, 0)), "9:00:30 am");
        assert_eq!(H24.exact(time(9, 0, 0, 0)), "09:00");
    }
}
