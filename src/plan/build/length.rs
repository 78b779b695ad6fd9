//! How long a step is planned to take, exactly, before it is rounded to ticks.

use super::{BuildError, name};
use crate::{
    measure::Ratio,
    menu::{Dish, Session},
};

/// Seconds at `quantile` of the step's range, for the session's servings and batches.
pub(super) fn seconds(
    session: &Session,
    (d, s): (usize, usize),
    quantile: Ratio,
) -> Result<Ratio, BuildError> {
    let dish = &session.dishes[d];
    let step = &dish.steps[s];
    let mut seconds = step.takes.lo + quantile * (step.takes.hi - step.takes.lo);
    if step.scales {
        seconds *= growth(session, dish);
    }
    if let Some(ware) = &step.batch {
        let makes = dish
            .makes
            .ok_or_else(|| BuildError::NoVolume(name(session, (d, s))))?;
        let holds = session
            .kitchen
            .wares
            .iter()
            .find(|w| &w.name == ware)
            .and_then(|w| w.holds)
            .filter(|&h| h > Ratio::from_integer(0))
            .ok_or_else(|| BuildError::NoCapacity {
                step: name(session, (d, s)),
                ware: ware.clone(),
            })?;
        let fill = if step.hot {
            holds * Ratio::new(2, 3)
        } else {
            holds
        };
        seconds *= (makes * growth(session, dish) / fill)
            .ceil()
            .max(Ratio::from_integer(1));
    }
    Ok(seconds)
}

/// Servings of the session over the servings that the dish is written for.
fn growth(session: &Session, dish: &Dish) -> Ratio {
    match dish.serves {
        Some(serves) if serves > Ratio::from_integer(0) => {
            Ratio::from_integer(i128::from(session.guests)) / serves
        }
        _ => Ratio::from_integer(1),
    }
}
