//! What comes after what: defaults filled in, names resolved, cycles found.

use std::collections::{HashMap, HashSet};

use crate::menu::StepRef;
use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::read::{RawDish, Reader, Spot};

/// Index of a dish and of a step in it.
type Place = (usize, usize);

/// Fills in `after` of every step.
pub(super) fn resolve(reader: &mut Reader, dishes: &mut [RawDish]) {
    link(reader, dishes, false);
    cycles(reader, dishes);
}

/// The same for a dish that is read without its session: other dishes are taken to be there.
pub(super) fn resolve_alone(reader: &mut Reader, dishes: &mut [RawDish]) {
    link(reader, dishes, true);
    cycles(reader, dishes);
}

fn link(reader: &mut Reader, dishes: &mut [RawDish], alone: bool) {
    let steps: HashMap<String, HashSet<String>> = dishes
        .iter()
        .map(|raw| {
            let ids = raw.dish.steps.iter().map(|step| step.id.clone()).collect();
            (raw.dish.id.clone(), ids)
        })
        .collect();
    let incomplete: HashSet<String> = dishes
        .iter()
        .filter(|raw| raw.incomplete)
        .map(|raw| raw.dish.id.clone())
        .collect();
    for raw in dishes {
        let dish = raw.dish.id.clone();
        let mut before: Option<StepRef> = None;
        for (step, places) in raw.dish.steps.iter_mut().zip(&raw.places) {
            let own = StepRef {
                dish: dish.clone(),
                step: step.id.clone(),
            };
            step.after = match &places.after {
                None => before.into_iter().collect(),
                Some(names) => {
                    let mut after: Vec<StepRef> = Vec::new();
                    for name in names {
                        let found = find(reader, name, &dish, &steps, &incomplete, alone);
                        if let Some(found) = found
                            && !after.contains(&found)
                        {
                            after.push(found);
                        }
                    }
                    after
                }
            };
            before = Some(own);
        }
    }
}

fn find(
    reader: &mut Reader,
    name: &Spot<String>,
    own: &str,
    steps: &HashMap<String, HashSet<String>>,
    incomplete: &HashSet<String>,
    alone: bool,
) -> Option<StepRef> {
    let (dish, step) = match name.value.split_once('/') {
        Some((dish, step)) => (dish, step),
        None => (own, name.value.as_str()),
    };
    if dish.is_empty() || step.is_empty() || step.contains('/') {
        reader.push(
            Diagnostic::error(
                name.at,
                format!("'{}' is not the name of a step", name.value),
            )
            .help("write \"step\", or \"dish/step\" for one of another dish"),
        );
        return None;
    }
    let Some(ids) = steps.get(dish) else {
        if !alone {
            let message = format!("the dish '{dish}' is not defined in this session");
            reader.undefined(name.at, message, dish, steps.keys().map(String::as_str));
        }
        return None;
    };
    if !ids.contains(step) {
        if !incomplete.contains(dish) {
            let message = format!("the step '{step}' is not defined in '{dish}'");
            reader.undefined(name.at, message, step, ids.iter().map(String::as_str));
        }
        return None;
    }
    Some(StepRef {
        dish: dish.into(),
        step: step.into(),
    })
}

/// Reports each cycle that a walk along `after` closes, by name.
fn cycles(reader: &mut Reader, dishes: &[RawDish]) {
    let graph = Graph::new(dishes);
    let mut colour = vec![Colour::New; graph.places.len()];
    for root in 0..graph.places.len() {
        if colour.get(root) != Some(&Colour::New) {
            continue;
        }
        // The path from the root, each with how many of its predecessors were looked at.
        let mut path: Vec<(usize, usize)> = vec![(root, 0)];
        paint(&mut colour, root, Colour::Open);
        while let Some((node, looked)) = path.last_mut() {
            let next = graph
                .after
                .get(*node)
                .and_then(|after| after.get(*looked))
                .copied();
            *looked += 1;
            match next.map(|next| (next, colour.get(next).copied())) {
                None => {
                    paint(&mut colour, *node, Colour::Done);
                    path.pop();
                }
                Some((next, Some(Colour::New))) => {
                    paint(&mut colour, next, Colour::Open);
                    path.push((next, 0));
                }
                Some((next, Some(Colour::Open))) => {
                    let from = path.iter().position(|(node, _)| *node == next).unwrap_or(0);
                    let round: Vec<usize> = path.iter().skip(from).map(|(node, _)| *node).collect();
                    tell(reader, dishes, &graph, &round);
                }
                Some(_) => {}
            }
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Colour {
    New,
    Open,
    Done,
}

fn paint(colours: &mut [Colour], node: usize, colour: Colour) {
    if let Some(place) = colours.get_mut(node) {
        *place = colour;
    }
}

struct Graph {
    places: Vec<Place>,
    after: Vec<Vec<usize>>,
}

impl Graph {
    fn new(dishes: &[RawDish]) -> Self {
        let mut places = Vec::new();
        let mut index: HashMap<(&str, &str), usize> = HashMap::new();
        for (d, raw) in dishes.iter().enumerate() {
            for (s, step) in raw.dish.steps.iter().enumerate() {
                index.insert((&raw.dish.id, &step.id), places.len());
                places.push((d, s));
            }
        }
        let after = dishes
            .iter()
            .flat_map(|raw| &raw.dish.steps)
            .map(|step| {
                let known = step.after.iter();
                known
                    .filter_map(|a| index.get(&(a.dish.as_str(), a.step.as_str())).copied())
                    .collect()
            })
            .collect();
        Self { places, after }
    }
}

/// `round`: each comes after the next, and the last after the first.
fn tell(reader: &mut Reader, dishes: &[RawDish], graph: &Graph, round: &[usize]) {
    let name = |node: &usize| -> Option<(String, At)> {
        let (d, s) = *graph.places.get(*node)?;
        let raw = dishes.get(d)?;
        let id = &raw.dish.steps.get(s)?.id;
        let places = raw.places.get(s)?;
        let at = places
            .after
            .as_ref()
            .and_then(|a| a.first())
            .map_or(places.id, |a| a.at);
        Some((format!("{}/{id}", raw.dish.id), at))
    };
    let named: Vec<(String, At)> = round.iter().filter_map(name).collect();
    let Some((first, at)) = named.first() else {
        return;
    };
    if let [_] = round {
        reader.push(
            Diagnostic::error(*at, format!("the step '{first}' comes after itself"))
                .help("name what must be done before it"),
        );
        return;
    }
    // A long way round is told by its ends.
    let mut names: Vec<&str> = named.iter().map(|(name, _)| name.as_str()).collect();
    if names.len() > 8 {
        names.truncate(7);
        names.push("...");
    }
    let around = format!("{} -> {first}", names.join(" -> "));
    reader.push(
        Diagnostic::error(
            *at,
            format!("a cycle: each of these steps comes after the next: {around}"),
        )
        .help("take one of these names out of an 'after'"),
    );
}
