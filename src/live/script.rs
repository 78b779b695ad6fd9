//! What a session asks of the cook, laid out by position: it never changes while the meal runs.

use jiff::{ZonedDateTime, civil::Date};

use super::{Impossible, Ms, event::Opening};
use crate::{
    measure::{Ratio, temperature::OvenTemperature},
    menu::{Hands, Oven, OvenNeed, Session, StepRef},
    plan::{
        build::{self, BuildError, Built},
        frame::{Frame, Part},
        problem::{Hold, Problem, TICK_MS, Tick},
    },
    safety,
};

/// A session, ready to be cooked.
#[derive(Clone, Debug, PartialEq)]
pub struct Script {
    /// As the cook wrote it.
    pub session: Session,
    /// Which part of it.
    pub part: Part,
    /// Civil time at session-clock 0.
    pub opened: ZonedDateTime,
    /// The scheduling problem before anything has begun.
    pub problem: Problem,
    /// What its integers stand for.
    pub frame: Frame,
    /// Session-clock time of tick 0.
    pub zero: Ms,
    /// By position of the problem's steps.
    pub steps: Vec<ScriptStep>,
    /// By position of the session's dishes.
    pub dishes: Vec<ScriptDish>,
    /// By position of the problem's courses.
    pub courses: Vec<ScriptCourse>,
    /// Names of the ovens.
    pub ovens: Vec<String>,
    /// Racks of the ovens.
    pub racks: Vec<u32>,
    /// Cookware: name, and how many there are.
    pub wares: Vec<(String, u32)>,
    /// Pairs of hands.
    pub cooks: u32,
    /// Burners of the hob.
    pub burners: u32,
    /// The kitchen is hotter than 90 F (32.2 C): food may stand for one hour, not two.
    pub hot_day: bool,
}

/// Nothing in it is a float. It lets two states of one session, which share their script, be compared without reading it.
impl Eq for Script {}

/// A step, as the cook meets it.
#[derive(Clone, Debug, PartialEq)]
pub struct ScriptStep {
    /// Dish and step, by id.
    pub name: StepRef,
    /// Position of its dish.
    pub dish: usize,
    /// Position within its dish.
    pub place: usize,
    /// What to do.
    pub instruction: String,
    /// Shortest, longest and planned length, in ms, for the session's servings.
    pub lo: Ms,
    /// Longest.
    pub hi: Ms,
    /// Planned.
    pub length: Ms,
    /// It keeps a cook busy.
    pub hands: bool,
    /// Look at it this often, in ms.
    pub check: Option<Ms>,
    /// The cue that ends it.
    pub until: Option<String>,
    /// Core temperature to reach, in C.
    pub core: Option<Ratio>,
    /// Warn this long before its end, in ms.
    pub lead: Ms,
    /// Cookware, in words.
    pub needs: Vec<String>,
    /// It goes into an oven.
    pub oven: bool,
    /// The oven's settings in the author's words.
    pub heats: Vec<OvenTemperature>,
    /// Racks it takes.
    pub racks: u32,
    /// Burners it takes.
    pub burners: u32,
    /// Steps that it comes after, by position.
    pub after: Vec<usize>,
    /// The usual cautions, one short sentence each.
    pub cautions: Vec<String>,
}

impl ScriptStep {
    /// It stands on a burner or in an oven: left alone, it is ruined.
    pub fn heat(&self) -> bool {
        self.oven || self.burners > 0
    }
}

/// A dish, as the cook meets it.
#[derive(Clone, Debug, PartialEq)]
pub struct ScriptDish {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// Its steps in this part, by position.
    pub steps: Vec<usize>,
    /// Cookware it holds.
    pub holds: Vec<Hold>,
    /// Until when what is left keeps in the refrigerator, and as what; `None`: nothing in it spoils.
    pub use_by: Option<(Date, String)>,
    /// Part of it was made on a day before: its days count from then, so many.
    pub made_before: Option<u32>,
    /// Its steps that put it in the cold, by position.
    pub chilled: Vec<usize>,
    /// There is rice in it.
    pub rice: bool,
}

/// A course, as the cook meets it.
#[derive(Clone, Debug, PartialEq)]
pub struct ScriptCourse {
    /// Its name.
    pub name: String,
    /// When it is promised.
    pub promised: Ms,
    /// Its dishes, by position.
    pub dishes: Vec<usize>,
}

/// Why a session can't be cooked.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unusable {
    /// It has no plan problem.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Build(Vec<BuildError>),
}

impl Script {
    /// Lays a session out.
    ///
    /// # Errors
    /// When it has no plan problem.
    pub fn new(opening: &Opening) -> Result<Self, Impossible> {
        let at = |quantile| {
            let options = build::Options {
                quantile,
                part: opening.part,
            };
            build::build(&opening.session, &opening.opened, &options).map_err(Impossible::Unusable)
        };
        let Built { problem, frame } = at(opening.quantile)?;
        let (lo, hi) = (
            at(Ratio::from_integer(0))?.problem,
            at(Ratio::from_integer(1))?.problem,
        );
        let session = &opening.session;
        let steps = (0..problem.steps.len()).map(|i| {
            let lengths = [&lo, &hi, &problem].map(|p| Ms::from(p.steps[i].length) * TICK_MS);
            step(session, &frame, &problem, i, lengths)
        });
        let zero = -frame.ms(&opening.opened);
        Ok(Self {
            steps: steps.collect(),
            dishes: dishes(session, &frame, &problem, opening),
            courses: courses(&frame, &problem, zero),
            ovens: session
                .kitchen
                .ovens
                .iter()
                .map(|oven| oven.name.clone())
                .collect(),
            racks: session
                .kitchen
                .ovens
                .iter()
                .map(|oven| oven.racks)
                .collect(),
            wares: frame
                .wares
                .iter()
                .cloned()
                .zip(problem.wares.iter().copied())
                .collect(),
            cooks: session.kitchen.cooks,
            burners: session.kitchen.burners,
            hot_day: session.kitchen.ovens.iter().any(is_hot_day),
            part: opening.part,
            opened: opening.opened.clone(),
            session: opening.session.clone(),
            zero,
            problem,
            frame,
        })
    }

    /// The session-clock time of a tick.
    pub fn ms(&self, tick: Tick) -> Ms {
        self.zero + Ms::from(tick) * TICK_MS
    }

    /// The position of a step.
    pub(super) fn step(&self, name: &StepRef) -> Result<usize, Impossible> {
        self.frame
            .index(name)
            .ok_or_else(|| Impossible::Unknown(format!("step '{name}'")))
    }

    /// The position of an oven.
    pub(super) fn oven(&self, name: &str) -> Result<usize, Impossible> {
        let found = self.ovens.iter().position(|oven| oven == name);
        found.ok_or_else(|| Impossible::Unknown(format!("oven '{name}'")))
    }

    /// The positions of a dish and of an ingredient that has that substitute.
    pub(super) fn ingredient(
        &self,
        dish: &str,
        item: &str,
        choice: Option<usize>,
    ) -> Result<(usize, usize), Impossible> {
        let unknown = || Impossible::Unknown(format!("substitute for '{item}' in '{dish}'"));
        let d = self
            .session
            .dishes
            .iter()
            .position(|known| known.id == dish)
            .ok_or_else(unknown)?;
        let ingredients = &self.session.dishes[d].ingredients;
        let i = ingredients
            .iter()
            .position(|known| known.item == item)
            .ok_or_else(unknown)?;
        let has = choice.is_none_or(|choice| choice < ingredients[i].or.len());
        if has { Ok((d, i)) } else { Err(unknown()) }
    }

    /// The names of a dish and of one of its ingredients.
    pub(super) fn ingredient_name(
        &self,
        dish: usize,
        ingredient: usize,
    ) -> Result<(String, String), Impossible> {
        let unknown = || Impossible::Unknown(format!("ingredient {ingredient} of dish {dish}"));
        let dish = self.session.dishes.get(dish).ok_or_else(unknown)?;
        let ingredient = dish.ingredients.get(ingredient).ok_or_else(unknown)?;
        Ok((dish.id.clone(), ingredient.item.clone()))
    }
}

fn step(
    session: &Session,
    frame: &Frame,
    problem: &Problem,
    i: usize,
    lengths: [Ms; 3],
) -> ScriptStep {
    let (dish, place) = frame.places[i];
    let written = &session.dishes[dish].steps[place];
    let [lo, hi, length] = lengths;
    ScriptStep {
        name: frame.steps[i].clone(),
        dish,
        place,
        instruction: written.instruction.trim_end_matches('.').to_owned(),
        lo,
        hi,
        length,
        hands: problem.steps[i].hands,
        check: match written.hands {
            Hands::Check(every) => Some(ms(every)),
            Hands::On | Hands::Off => None,
        },
        until: written.until.clone(),
        core: written.core,
        lead: ms(written.lead),
        needs: written
            .needs
            .iter()
            .map(|need| {
                if need.count > 1 {
                    format!("{} x {}", need.count, need.name)
                } else {
                    need.name.clone()
                }
            })
            .collect(),
        oven: problem.steps[i].oven.is_some(),
        heats: written
            .oven
            .iter()
            .flat_map(OvenNeed::settings)
            .cloned()
            .collect(),
        racks: problem.steps[i].oven.as_ref().map_or(0, |oven| oven.racks),
        burners: problem.steps[i].burners,
        after: problem.steps[i].after.clone(),
        cautions: safety::cautions_for_step(session, dish, place)
            .into_iter()
            .map(|caution| caution.words)
            .collect(),
    }
}

/// By the room temperature from which an oven starts: above 90 F, exactly.
fn is_hot_day(oven: &Oven) -> bool {
    oven.room > Ratio::new(290, 9)
}

fn dishes(
    session: &Session,
    frame: &Frame,
    problem: &Problem,
    opening: &Opening,
) -> Vec<ScriptDish> {
    let leftovers = safety::clocks::leftovers(session, opening.opened.date());
    let laid_out =
        session
            .dishes
            .iter()
            .zip(&problem.dishes)
            .enumerate()
            .map(|(i, (written, dish))| {
                let left = leftovers.iter().find(|left| left.dish == i);
                let ahead = opening.part == Part::Service && session.ahead.contains(&written.id);
                let cold = |&step: &usize| {
                    let place = frame.places.get(step).map(|(_, place)| *place);
                    left.zip(place)
                        .is_some_and(|(left, place)| left.chilled.contains(&place))
                };
                ScriptDish {
                    id: written.id.clone(),
                    title: written.title.clone(),
                    steps: dish.steps.clone(),
                    holds: dish.holds.clone(),
                    use_by: left.map(|left| (left.date, left.what.clone())),
                    made_before: left.filter(|_| ahead).map(|left| left.days),
                    chilled: dish.steps.iter().copied().filter(cold).collect(),
                    rice: left.is_some_and(|left| left.rice),
                }
            });
    laid_out.collect()
}

fn courses(frame: &Frame, problem: &Problem, zero: Ms) -> Vec<ScriptCourse> {
    let laid_out = frame
        .courses
        .iter()
        .zip(&problem.courses)
        .map(|(name, course)| ScriptCourse {
            name: name.clone(),
            promised: zero + Ms::from(course.promised) * TICK_MS,
            dishes: course
                .dishes
                .iter()
                .copied()
                .filter(|&dish| {
                    !problem.dishes[dish].steps.is_empty() || frame.part == Part::Service
                })
                .collect(),
        });
    laid_out.collect()
}

/// Seconds, exact, to milliseconds, rounded up and bounded.
fn ms(seconds: Ratio) -> Ms {
    Ms::try_from((seconds * Ratio::from_integer(1000)).ceil().to_integer()).unwrap_or(Ms::MAX / 4)
}
