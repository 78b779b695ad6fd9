//! When to begin anew.

/// When to begin anew: Luby's sequence (M. Luby, A. Sinclair, D. Zuckerman, 1993), in units of conflicts.
pub struct Restarts {
    left: u64,
    index: u64,
}

impl Restarts {
    const UNIT: u64 = 100;

    /// The first is after a hundred conflicts.
    pub fn new() -> Self {
        Restarts {
            left: Self::UNIT,
            index: 1,
        }
    }

    /// Counts a conflict; whether it is time.
    pub fn due(&mut self) -> bool {
        self.left -= 1;
        if self.left > 0 {
            return false;
        }
        self.index += 1;
        self.left = Self::UNIT * luby(self.index);
        true
    }
}

fn luby(index: u64) -> u64 {
    let mut i = index;
    loop {
        let k = 64 - i.leading_zeros() as u64;
        if i == (1 << k) - 1 {
            return 1 << (k - 1);
        }
        i -= (1 << (k - 1)) - 1;
    }
}
