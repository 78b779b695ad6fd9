//! Lists to begin with: regret-based biased random sampling by latest finish times (A. Drexl, "Scheduling of project
//! networks by job assignment", Management Science 37, 1991; R. Kolisch, 1996).

use super::dice::Dice;
use super::model::Model;

/// A list in one direction of time. Jobs with much left after them are likely to come early; `bias` is the power of
/// their regret, 0 for all alike.
pub fn sample(model: &Model, direction: usize, bias: f64, dice: &mut Dice) -> Vec<u16> {
    let d = &model.directions[direction];
    let mut waiting: Vec<usize> = d.before.iter().map(Vec::len).collect();
    let mut ready: Vec<usize> = (0..model.jobs).filter(|&j| waiting[j] == 0).collect();
    let mut list = Vec::with_capacity(model.jobs);
    let mut chances = Vec::new();
    while !ready.is_empty() {
        let least = ready.iter().map(|&j| d.tail[j]).min().unwrap_or(0);
        chances.clear();
        let regret = |&j: &usize| f64::from(d.tail[j] - least + 1).powf(bias);
        chances.extend(ready.iter().map(regret));
        let j = ready.swap_remove(dice.weighted(&chances));
        list.push(j as u16);
        for &s in &d.after[j] {
            let s = usize::from(s);
            waiting[s] -= 1;
            if waiting[s] == 0 {
                ready.push(s);
            }
        }
    }
    list
}
