//! Project scheduling with limited resources: the problems of PSPLIB, and a search for short schedules of them.
#![allow(dead_code)]

pub mod file;
pub mod kitchen;
pub mod library;
pub mod search;

/// A project: jobs with durations, successors, and demands on resources that are given back at the end of a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Project {
    /// In periods, one a job; the first and last job of PSPLIB take no time.
    pub durations: Vec<u32>,
    /// Of each job: units of each resource.
    pub demands: Vec<Vec<u32>>,
    /// Of each job: the jobs that begin after its end.
    pub successors: Vec<Vec<usize>>,
    /// Units of each resource.
    pub capacity: Vec<u32>,
}

impl Project {
    /// Itself, when it can be scheduled at all.
    ///
    /// # Errors
    /// A demand above its capacity, a successor that does not exist, jobs that wait for each other.
    pub fn checked(self) -> Result<Self, String> {
        for (k, demands) in self.demands.iter().enumerate() {
            let fits = demands.iter().zip(&self.capacity).all(|(d, c)| d <= c);
            if !fits || demands.len() != self.capacity.len() {
                return Err(format!("job {}: demands within the capacities", k + 1));
            }
        }
        let strange = |next: &Vec<usize>| next.iter().any(|&s| s >= self.durations.len());
        if let Some(k) = self.successors.iter().position(strange) {
            return Err(format!("job {}: a successor that does not exist", k + 1));
        }
        if self.order().len() < self.durations.len() {
            return Err("jobs that wait for each other".into());
        }
        Ok(self)
    }

    /// The jobs, each after those that it follows; jobs of a circle are left out.
    pub fn order(&self) -> Vec<usize> {
        let n = self.durations.len();
        let mut waiting = vec![0; n];
        for &s in self.successors.iter().flatten() {
            waiting[s] += 1;
        }
        let mut order: Vec<usize> = (0..n).filter(|&j| waiting[j] == 0).collect();
        let mut k = 0;
        while let Some(&j) = order.get(k) {
            k += 1;
            for &s in &self.successors[j] {
                waiting[s] -= 1;
                if waiting[s] == 0 {
                    order.push(s);
                }
            }
        }
        order
    }

    /// Periods of the longest chain of jobs: no schedule is shorter.
    pub fn critical_path(&self) -> u32 {
        let mut begins = vec![0; self.durations.len()];
        for j in self.order() {
            for &s in &self.successors[j] {
                begins[s] = begins[s].max(begins[j] + self.durations[j]);
            }
        }
        let ends = begins.iter().zip(&self.durations).map(|(b, d)| b + d);
        ends.max().unwrap_or(0)
    }

    /// What is wrong with these starts, read from the definition of the problem alone; `None` for a correct schedule.
    pub fn fault(&self, starts: &[u32]) -> Option<String> {
        if starts.len() != self.durations.len() {
            return Some("a start for every job".into());
        }
        for (j, next) in self.successors.iter().enumerate() {
            let end = starts[j] + self.durations[j];
            if let Some(s) = next.iter().find(|&&s| starts[s] < end) {
                return Some(format!("job {} begins before job {} ends", s + 1, j + 1));
            }
        }
        // Use only grows where a job begins.
        for &at in starts {
            for (r, &capacity) in self.capacity.iter().enumerate() {
                let running = |j: &usize| starts[*j] <= at && at < starts[*j] + self.durations[*j];
                let jobs = (0..starts.len()).filter(running);
                let used: u32 = jobs.map(|j| self.demands[j][r]).sum();
                if used > capacity {
                    return Some(format!(
                        "{used} of {capacity} of resource {} at {at}",
                        r + 1
                    ));
                }
            }
        }
        None
    }
}
