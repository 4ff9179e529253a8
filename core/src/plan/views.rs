//! What each port shows of each target through the evening, on a coarse grid of cells.

use crate::units::Fraction;

/// Minutes in one cell of the grid; within it a view counts as constant.
pub(super) const CELL_MINUTES: usize = 5;

/// Views by target, cell and port; 0 where a target may not or cannot be shown.
#[derive(Clone, Debug, PartialEq)]
pub struct ViewGrid {
    ports: usize,
    cells: usize,
    /// By target, then by cell and port; nothing for a target that is never shown: of many, most are not.
    views: Vec<Vec<f32>>,
}

impl ViewGrid {
    /// An empty grid over `moments` one-minute samples.
    pub(super) fn new(targets: usize, moments: usize, ports: usize) -> Self {
        let cells = moments.div_ceil(CELL_MINUTES);
        Self { ports, cells, views: vec![Vec::new(); targets] }
    }

    /// How many cells there are.
    pub(super) const fn cells(&self) -> usize {
        self.cells
    }

    /// Sets the view of a target through a port in a cell.
    pub(super) fn set(&mut self, target: usize, cell: usize, port: usize, view: Fraction) {
        if let Some(at) = self.position(cell, port)
            && let Some(views) = self.views.get_mut(target)
            && !(views.is_empty() && view == Fraction::ZERO)
        {
            views.resize(self.cells * self.ports, 0.0);
            views[at] = view.value() as f32;
        }
    }

    /// The view of a target through a port in a cell; 0 outside the grid.
    pub(super) fn get(&self, target: usize, cell: usize, port: usize) -> f64 {
        let views = self.views.get(target).zip(self.position(cell, port));
        views.and_then(|(views, at)| views.get(at)).copied().map_or(0.0, f64::from)
    }

    /// The port that shows a target best in a cell, the first of equal ones, and its view; `None` where no port shows it.
    pub(super) fn best_port(&self, target: usize, cell: usize) -> Option<(usize, f64)> {
        let views = (0..self.ports).map(|port| (port, self.get(target, cell, port)));
        let better = |best: (usize, f64), own: (usize, f64)| if own.1 > best.1 { own } else { best };
        views.reduce(better).filter(|(_, view)| *view > 0.0)
    }

    /// The best view of a target through any port in a cell.
    pub(super) fn best(&self, target: usize, cell: usize) -> f64 {
        (0..self.ports).map(|port| self.get(target, cell, port)).fold(0.0, f64::max)
    }

    /// The worst view of a target through a port from one moment to another, both included.
    pub(super) fn worst(&self, target: usize, port: usize, from: usize, to: usize) -> f64 {
        (from / CELL_MINUTES..=to / CELL_MINUTES).map(|cell| self.get(target, cell, port)).fold(1.0, f64::min)
    }

    /// `None` for a cell or a port outside the grid: its place would be that of another one.
    fn position(&self, cell: usize, port: usize) -> Option<usize> {
        (cell < self.cells && port < self.ports).then(|| cell * self.ports + port)
    }
}

#[cfg(test)]
mod tests {
    use super::ViewGrid;
    use crate::units::Fraction;

    #[test]
    fn the_worst_cell_of_a_showing_counts() {
        let mut grid = ViewGrid::new(2, 12, 3);
        assert_eq!(grid.cells(), 3);
        for (cell, view) in [0.9, 0.4, 0.6].into_iter().enumerate() {
            grid.set(1, cell, 2, Fraction::clamped(view));
        }
        assert!((grid.worst(1, 2, 0, 4) - 0.9).abs() < 1e-6);
        assert!((grid.worst(1, 2, 3, 11) - 0.4).abs() < 1e-6);
        assert_eq!(grid.worst(0, 2, 0, 4), 0.0);
        assert!((grid.best(1, 2) - 0.6).abs() < 1e-6);
    }

    #[test]
    fn nothing_outside_the_grid_is_another_targets() {
        let mut grid = ViewGrid::new(2, 10, 2);
        for (cell, port) in [(0, 0), (0, 1), (1, 0)] {
            grid.set(1, cell, port, Fraction::clamped(0.8));
        }
        // Target 0 has cells 0 and 1 only; what lies beyond in memory is the first cell of target 1.
        assert_eq!(grid.get(0, 2, 0), 0.0);
        assert_eq!(grid.get(1, 0, 2), 0.0);
        grid.set(0, 2, 0, Fraction::clamped(0.1));
        assert!((grid.get(1, 0, 0) - 0.8).abs() < 1e-6);
    }
}
