//! Which dish holds what cookware, from its first step that needs it to its last.

use std::collections::BTreeMap;

use crate::{
    menu::Session,
    plan::{
        frame::Part,
        problem::{Dish, Hold},
    },
};

/// Cookware by name: what the kitchen names, then what only steps name, once each.
pub(super) struct Cookware {
    pub names: Vec<String>,
    pub counts: Vec<u32>,
}

impl Cookware {
    pub fn of(session: &Session) -> Self {
        let wares = &session.kitchen.wares;
        Self {
            names: wares.iter().map(|w| w.name.clone()).collect(),
            counts: wares.iter().map(|w| w.count).collect(),
        }
    }

    fn index(&mut self, name: &str) -> usize {
        if let Some(found) = self.names.iter().position(|n| n == name) {
            return found;
        }
        self.names.push(name.into());
        self.counts.push(1);
        self.names.len() - 1
    }
}

pub(super) fn dishes(
    session: &Session,
    chosen: &[Vec<usize>],
    index: &BTreeMap<(usize, usize), usize>,
    part: Part,
    wares: &mut Cookware,
) -> Vec<Dish> {
    let course = |id: &str| {
        session
            .courses
            .iter()
            .position(|c| c.dishes.iter().any(|d| d == id))
    };
    let mut made = Vec::with_capacity(session.dishes.len());
    for (d, dish) in session.dishes.iter().enumerate() {
        let mut holds: Vec<Hold> = Vec::new();
        for &s in &chosen[d] {
            for need in dish.steps[s].needs.iter().filter(|n| n.name != "burner") {
                let ware = wares.index(&need.name);
                let i = index[&(d, s)];
                match holds.iter_mut().find(|h| h.ware == ware) {
                    Some(hold) => {
                        hold.count = hold.count.max(need.count);
                        hold.steps.push(i);
                    }
                    None => holds.push(Hold {
                        ware,
                        count: need.count,
                        steps: vec![i],
                    }),
                }
            }
        }
        made.push(Dish {
            course: match part {
                Part::Service => course(&dish.id).unwrap_or(0),
                Part::Ahead => 0,
            },
            steps: chosen[d].iter().map(|&s| index[&(d, s)]).collect(),
            holds,
        });
    }
    made
}
