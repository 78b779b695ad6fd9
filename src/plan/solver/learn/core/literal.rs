//! Literals: bounds of variables.

/// One side of a variable: `2 * variable` for itself, plus 1 for its negative.
pub type Side = u32;

/// The bound of a side is at least `value`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lit {
    pub side: Side,
    pub value: i64,
}

impl Lit {
    pub const fn at_least(var: usize, value: i64) -> Self {
        Lit {
            side: 2 * var as u32,
            value,
        }
    }

    pub const fn at_most(var: usize, value: i64) -> Self {
        Lit {
            side: 2 * var as u32 + 1,
            value: -value,
        }
    }

    pub const fn yes(var: usize) -> Self {
        Lit::at_least(var, 1)
    }

    pub const fn no(var: usize) -> Self {
        Lit::at_most(var, 0)
    }

    pub const fn not(self) -> Self {
        Lit {
            side: self.side ^ 1,
            value: 1 - self.value,
        }
    }

    pub const fn var(self) -> usize {
        (self.side >> 1) as usize
    }
}
