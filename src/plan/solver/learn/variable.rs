//! Which variable of the search stands for a moment of the model.

use crate::plan::solver::model::Node;

/// The variable of a moment. The first variable is always zero.
pub fn var(node: Node) -> usize {
    node + 1
}
