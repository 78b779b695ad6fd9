//! Before the first step and after the last.

use super::Phase;
use crate::{
    live::{Ms, State, words},
    plan::Part,
};

/// A course this late is told of at the end; a minute or two belongs to every table.
const LATE: Ms = 5 * 60_000;

impl State {
    pub(super) fn phase(&self, now: Ms) -> Phase {
        if self.finished() {
            Phase::After {
                lines: self.after_lines(now),
            }
        } else if self.under_way() {
            Phase::Cooking
        } else {
            Phase::Before {
                begin: self.first_moment().unwrap_or(now),
                get_out: self.get_out(),
            }
        }
    }

    /// When the first step or turn of an oven is planned.
    pub fn first_moment(&self) -> Option<Ms> {
        let plan = self.plan.as_ref()?;
        let turns = plan.turns.iter().map(|turn| turn.at);
        plan.starts
            .iter()
            .copied()
            .chain(turns)
            .min()
            .map(|tick| self.script.ms(tick))
    }

    /// Cookware by first use.
    fn get_out(&self) -> Vec<String> {
        let mut order: Vec<usize> = (0..self.steps.len()).collect();
        order.sort_by_key(|&step| self.planned_start(step));
        let mut seen: Vec<String> = Vec::new();
        for step in order {
            for need in self.script.steps[step]
                .needs
                .iter()
                .filter(|need| !need.ends_with("burner"))
            {
                if !seen.contains(need) {
                    seen.push(need.clone());
                }
            }
        }
        seen
    }

    fn after_lines(&self, now: Ms) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let courses = self.courses.iter().zip(&self.script.courses);
        for (state, script) in courses.filter(|_| self.script.part == Part::Service) {
            let late = state.served.unwrap_or_default() - script.promised;
            lines.push(match late {
                late if late > LATE => format!("{} was {} late", script.name, words::span(late)),
                _ => format!("{} was on time", script.name),
            });
        }
        lines.extend(self.leftovers(now));
        lines
    }
}
