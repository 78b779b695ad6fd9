//! Projects as kitchens: the first resource is the hob, the others are cookware.

use mealtide::plan::problem::{Course, Dish, Hold, Mode, Problem, Step, Tick};

use super::Project;

/// A project as a meal of one course, promised at once: its lateness is the makespan. Jobs of no length are dropped.
pub fn problem(project: &Project) -> Problem {
    let length = |j: usize| project.durations[j] as Tick;
    let real: Vec<usize> = (0..project.durations.len())
        .filter(|&j| length(j) > 0)
        .collect();
    let index = |j: usize| real.iter().position(|&r| r == j);
    let before = |j: usize| {
        let next = &project.successors;
        let jobs = (0..next.len()).filter(|&b| next[b].contains(&j));
        jobs.filter_map(index).collect()
    };
    let mut steps = Vec::new();
    let mut dishes = Vec::new();
    for (k, &j) in real.iter().enumerate() {
        steps.push(Step {
            dish: k,
            length: length(j),
            hands: false,
            burners: project.demands[j][0],
            after: before(j),
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
        let holds = project.demands[j][1..]
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
        burners: project.capacity[0],
        ovens: Vec::new(),
        wares: project.capacity[1..].to_vec(),
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
