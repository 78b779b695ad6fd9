//! Project scheduling problems of the PSPLIB (R. Kolisch, A. Sprecher, "PSPLIB - a project
//! scheduling problem library", 1996) as kitchens: the first resource is the hob, the others are cookware.
#![allow(dead_code)]

use mealtide::plan::problem::{Course, Dish, Hold, Mode, Problem, Step, Tick};

/// Reads a single-mode file (`.sm`); `None` when it is not one. Jobs of no length are dropped.
pub fn read(text: &str) -> Option<Problem> {
    let numbers = |line: &str| {
        line.split_whitespace()
            .map(|w| w.parse::<i64>().ok())
            .collect::<Option<Vec<_>>>()
    };
    let section = |name: &str, skip: usize| {
        let lines = text
            .lines()
            .skip_while(move |l| !l.trim_start().starts_with(name))
            .skip(1 + skip);
        lines
            .take_while(|l| !l.starts_with('*'))
            .filter_map(numbers)
            .collect::<Vec<_>>()
    };
    let after = section("PRECEDENCE RELATIONS", 1);
    let jobs = section("REQUESTS/DURATIONS", 2);
    let capacity = section("RESOURCEAVAILABILITIES", 1).into_iter().next()?;
    let durations: Vec<Tick> = jobs
        .iter()
        .map(|j| j.get(2).map(|&d| d as Tick))
        .collect::<Option<_>>()?;
    let demands: Vec<Vec<u32>> = jobs
        .iter()
        .map(|j| j[3..].iter().map(|&d| d as u32).collect())
        .collect();
    let mut preds: Vec<Vec<usize>> = vec![Vec::new(); jobs.len()];
    for line in &after {
        for &s in line.get(3..)? {
            preds[s as usize - 1].push(line[0] as usize - 1);
        }
    }
    Some(problem(
        &durations,
        &demands,
        &preds,
        &capacity.iter().map(|&c| c as u32).collect::<Vec<_>>(),
    ))
}

/// A project as a meal of one course, promised at once: its lateness is the makespan.
pub fn problem(
    durations: &[Tick],
    demands: &[Vec<u32>],
    preds: &[Vec<usize>],
    capacity: &[u32],
) -> Problem {
    let real: Vec<usize> = (0..durations.len()).filter(|&j| durations[j] > 0).collect();
    let index = |j: usize| real.iter().position(|&r| r == j);
    let mut steps = Vec::new();
    let mut dishes = Vec::new();
    for (k, &j) in real.iter().enumerate() {
        steps.push(Step {
            dish: k,
            length: durations[j],
            hands: false,
            burners: demands[j][0],
            after: preds[j].iter().filter_map(|&p| index(p)).collect(),
            keeps: None,
            oven: None,
            begun: None,
        });
        let hold = |(w, &count): (usize, &u32)| {
            (count > 0).then(|| Hold {
                ware: w,
                count,
                steps: vec![k],
            })
        };
        let holds = demands[j][1..]
            .iter()
            .enumerate()
            .filter_map(hold)
            .collect();
        dishes.push(Dish {
            course: 0,
            steps: vec![k],
            holds,
        });
    }
    let all = (0..dishes.len()).collect();
    Problem {
        cooks: 1,
        burners: capacity[0],
        ovens: Vec::new(),
        wares: capacity[1..].to_vec(),
        courses: vec![Course {
            promised: 0,
            gap: 0,
            plating: 0,
            dishes: all,
            served: None,
        }],
        dishes,
        steps,
        mode: Mode::Before,
    }
}
