use super::*;

#[test]
fn one_late_dish_costs_its_shortfall() {
    // Root 0; a step of 7 before a service promised at 5, at 3 a tick.
    let mut flow = Flow::new(0, &[0, 100, 100], 200);
    flow.hard(0, 1, 0);
    flow.hard(0, 2, 5);
    flow.hard(1, 2, 7);
    flow.soft(2, 0, -5, 3);
    assert_eq!(flow.run(i64::MAX, 100), Outcome::Optimal);
    assert_eq!((flow.value(), flow.moment(1), flow.moment(2)), (6, 0, 7));
}

#[test]
fn switching_a_constraint_off_gives_the_old_bound_back() {
    let mut flow = Flow::new(0, &[0, 100, 100], 200);
    flow.hard(0, 1, 0);
    flow.hard(0, 2, 0);
    flow.soft(1, 0, 0, 1);
    flow.soft(2, 0, 0, 2);
    let order = flow.sleeping(1, 2);
    assert_eq!(
        (flow.run(i64::MAX, 100), flow.value()),
        (Outcome::Optimal, 0)
    );
    flow.set(order, Some(4));
    assert_eq!(
        (flow.run(i64::MAX, 100), flow.value()),
        (Outcome::Optimal, 8)
    );
    assert!(flow.carries(order));
    flow.set(order, None);
    assert_eq!(
        (flow.run(i64::MAX, 100), flow.value()),
        (Outcome::Optimal, 0)
    );
}

#[test]
fn a_contradiction_is_named() {
    let mut flow = Flow::new(0, &[0, 100, 100], 200);
    let a = flow.hard(1, 2, 3);
    let b = flow.hard(2, 1, -2);
    assert_eq!(flow.run(i64::MAX, 100), Outcome::Infeasible);
    flow.cycle.sort_unstable();
    assert_eq!(flow.cycle, [a, b]);
}
