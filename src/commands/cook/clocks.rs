//! Two clocks that disagree after a restart: the cook says which is right.

use std::io::{self, BufRead, Write};

use jiff::ZonedDateTime;

use crate::{
    engine::clock::anchor::Carried,
    live::{Event, Ms, event::Believed, words},
    measure::hours::ClockFormat,
};

/// A cook who answers so often with something else has no answer.
const ATTEMPTS: usize = 5;

/// Asks until it is answered; `None` when the input ends.
pub fn ask(
    carried: &Carried,
    wall: &ZonedDateTime,
    hours: ClockFormat,
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> io::Result<Option<Believed>> {
    let Some(machine) = carried.machine else {
        return Ok(None);
    };
    writeln!(out, "{}", question(carried, machine, wall, hours))?;
    for _ in 0..ATTEMPTS {
        write!(out, "Which is right? Type 'wall' or 'machine', and Enter: ")?;
        out.flush()?;
        let mut line = String::new();
        if io::Read::take(&mut *input, 256).read_line(&mut line)? == 0 {
            writeln!(out)?;
            return Ok(None);
        }
        match line.trim().to_lowercase().as_str() {
            "w" | "wall" => return Ok(Some(Believed::Wall)),
            "m" | "machine" => return Ok(Some(Believed::Machine)),
            _ => {}
        }
    }
    Ok(None)
}

fn question(carried: &Carried, machine: Ms, wall: &ZonedDateTime, hours: ClockFormat) -> String {
    let ago = |at: Ms| words::span(at - carried.last);
    let machine_shows =
        wall.saturating_add(jiff::SignedDuration::from_millis(machine - carried.wall));
    format!(
        "Two clocks disagree about how long nobody was here. Look at a clock you trust:\n\
         \x20 wall     it is {}, {} since the last entry\n\
         \x20 machine  it is {}, {} since the last entry: the clock on the wall was set meanwhile",
        hours.words(wall.time()),
        ago(carried.now),
        hours.words(machine_shows.time()),
        ago(machine),
    )
}

/// Session-clock time, and what happened, once it is known which clock is believed.
pub fn believe(carried: &Carried, believed: Option<Believed>) -> (Ms, Vec<Event>) {
    let resumed = |now: Ms| Event::Resumed {
        away: now - carried.last,
    };
    let Some(machine) = carried.machine else {
        return (carried.now, vec![resumed(carried.now)]);
    };
    let (now, told) = match believed {
        Some(Believed::Machine) => (machine, None),
        Some(Believed::Wall) => (carried.now, None),
        None => (carried.now, Some(carried.disagreement(machine))),
    };
    let decided = believed.map(|believed| Event::ClocksDisagreed {
        believed,
        by: carried.wall - now,
    });
    let mut events = vec![resumed(now)];
    events.extend(decided);
    events.extend(told);
    (now, events)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CARRIED: Carried = Carried {
        last: 600_000,
        now: 3_600_000,
        wall: 3_600_000,
        machine: Some(1_200_000),
    };

    fn asked(typed: &str) -> (Option<Believed>, String) {
        let wall = "2026-12-21T18:47:00+01:00[Europe/Berlin]".parse().unwrap();
        let mut out = Vec::new();
        let believed = ask(
            &CARRIED,
            &wall,
            ClockFormat::H24,
            &mut typed.as_bytes(),
            &mut out,
        )
        .unwrap();
        (believed, String::from_utf8(out).unwrap())
    }

    #[test]
    fn both_answers_are_told_with_what_they_mean() {
        let (believed, told) = asked("what?\n MACHINE \n");
        assert_eq!(believed, Some(Believed::Machine));
        for part in ["18:47, 50 min since", "18:07, 10 min since"] {
            assert!(told.contains(part), "{told}");
        }
        assert_eq!(told.matches("Type 'wall'").count(), 2);
        assert_eq!(asked("w\n").0, Some(Believed::Wall));
        assert_eq!(asked("").0, None);
        assert_eq!(asked(&"x\n".repeat(50)).0, None);
    }

    #[test]
    fn what_is_believed_is_what_the_session_counts() {
        let (now, events) = believe(&CARRIED, Some(Believed::Machine));
        assert_eq!(now, 1_200_000);
        let decided = Event::ClocksDisagreed {
            believed: Believed::Machine,
            by: 2_400_000,
        };
        assert_eq!(events, [Event::Resumed { away: 600_000 }, decided]);
        let (now, events) = believe(&CARRIED, Some(Believed::Wall));
        assert_eq!(now, 3_600_000);
        assert_eq!(events.len(), 2);
        // Nobody decided: the wall's clock carries, and the disagreement stands as a call.
        let (now, events) = believe(&CARRIED, None);
        assert_eq!(now, 3_600_000);
        assert!(matches!(events[1], Event::Trouble { .. }));
    }

    #[test]
    fn nothing_is_asked_of_clocks_that_agree() {
        let agreed = Carried {
            machine: None,
            ..CARRIED
        };
        let events = vec![Event::Resumed { away: 3_000_000 }];
        assert_eq!(believe(&agreed, None), (3_600_000, events));
    }
}
