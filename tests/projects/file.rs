//! The single-mode files of PSPLIB (`.sm`): R. Kolisch, A. Sprecher, "PSPLIB - a project scheduling problem
//! library", European Journal of Operational Research 96, 1996.

use super::Project;

/// Reads one file.
///
/// # Errors
/// What is missing or wrong, by section and job.
pub fn read(text: &str) -> Result<Project, String> {
    let after = section(text, "PRECEDENCE RELATIONS", 1)?;
    let jobs = section(text, "REQUESTS/DURATIONS", 2)?;
    let capacity = section(text, "RESOURCEAVAILABILITIES", 1)?;
    let capacity = capacity.first().ok_or("no capacities")?.clone();
    let mut project = Project {
        durations: Vec::new(),
        demands: Vec::new(),
        successors: vec![Vec::new(); jobs.len()],
        capacity,
    };
    for (k, row) in jobs.iter().enumerate() {
        let [job, mode, duration, demands @ ..] = row.as_slice() else {
            return Err(format!("job {}: job, mode, duration, demands", k + 1));
        };
        if (*job as usize, *mode) != (k + 1, 1) {
            return Err(format!("job {job}: jobs in order, each with one mode"));
        }
        project.durations.push(*duration);
        project.demands.push(demands.to_vec());
    }
    for row in &after {
        let [job, modes, count, next @ ..] = row.as_slice() else {
            return Err("a precedence: job, modes, successors".into());
        };
        let job = *job as usize;
        if *modes != 1 || *count as usize != next.len() || job == 0 || job > jobs.len() {
            return Err(format!("job {job}: one mode, and the successors counted"));
        }
        project.successors[job - 1] = next.iter().map(|&s| (s as usize).wrapping_sub(1)).collect();
    }
    project.checked()
}

/// The rows of numbers of a section, after lines of headings.
fn section(text: &str, name: &str, headings: usize) -> Result<Vec<Vec<u32>>, String> {
    let mut lines = text
        .lines()
        .skip_while(|l| !l.trim_start().starts_with(name));
    lines.next().ok_or_else(|| format!("no section {name}"))?;
    let rows = lines.skip(headings).take_while(|l| !l.starts_with('*'));
    let row = |line: &str| {
        let words = line.split_whitespace().map(str::parse);
        words
            .collect::<Result<Vec<u32>, _>>()
            .map_err(|_| format!("{name}: numbers, not {line:?}"))
    };
    rows.filter(|l| !l.trim().is_empty()).map(row).collect()
}
