//! Where the labels of dusk, dawn, Moon and doors stand: in as few rows as do, none over another, no line through a word.

use egui::Rangef;

use crate::ui::theme::TIGHT;

/// With more marks than this each label keeps to the side on which it falls first.
const MOST_TURNED: usize = 8;
/// As many rows as are never too many.
const FEW_ROWS: usize = 1;

/// A label of a mark: the row it stands in, its left end and its width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkPlace {
    pub row: usize,
    pub left: f32,
    pub width: f32,
}

impl MarkPlace {
    fn right(&self) -> f32 {
        self.left + self.width
    }

    fn holds(&self, x: f32) -> bool {
        self.left + 0.5 < x && x < self.right() - 0.5
    }
}

/// A place for the label of each mark, given as the mark's x and the label's width, within the Board. A label stands on
/// either side of its line; the line drops from the sky to the label's row.
pub fn place_marks(marks: &[(f32, f32)], board: Rangef) -> Vec<MarkPlace> {
    let turns = 1_usize << marks.len().min(MOST_TURNED);
    let mut best: Option<(usize, u32, Vec<MarkPlace>)> = None;
    for turned in 0..turns {
        let flips = turned.count_ones();
        let Some(places) = rows(marks, &sides(marks, turned, board)) else { continue };
        let rows = places.iter().map(|place| place.row + 1).max().unwrap_or(0);
        if best.as_ref().is_none_or(|(fewest, least, _)| (rows, flips) < (*fewest, *least)) {
            best = Some((rows, flips, places));
        }
        if rows <= FEW_ROWS {
            break;
        }
    }
    // One row each is always free.
    best.map_or_else(
        || {
            let mut places = sides(marks, 0, board);
            let last = places.len().saturating_sub(1);
            places.iter_mut().enumerate().for_each(|(position, place)| place.row = last - position);
            places
        },
        |(_, _, places)| places,
    )
}

/// Labels right of their lines, left where the bits of `turned` say so or the Board ends.
fn sides(marks: &[(f32, f32)], turned: usize, board: Rangef) -> Vec<MarkPlace> {
    let place = |(position, (x, width)): (usize, &(f32, f32))| {
        let width = width + 2.0 * TIGHT;
        let fits = (x + width <= board.max, x - width >= board.min);
        let wished = position < MOST_TURNED && turned >> position & 1 == 1;
        let left = match fits {
            (true, true) => wished,
            (right, left) => left && !right,
        };
        MarkPlace { row: 0, left: if left { x - width } else { *x }, width }
    };
    marks.iter().enumerate().map(place).collect()
}

/// Rows for labels on given sides; `None` where lines and labels stand in each other's way all round.
fn rows(marks: &[(f32, f32)], sides: &[MarkPlace]) -> Option<Vec<MarkPlace>> {
    let mut places = sides.to_vec();
    let mut placed: Vec<usize> = Vec::with_capacity(places.len());
    while placed.len() < places.len() {
        // A label comes after those whose lines it holds: it must stand lower than they reach.
        let ready = |position: &usize| {
            let holds = |other: usize| other != *position && places[*position].holds(marks[other].0);
            !placed.contains(position)
                && (0..places.len()).all(|other| !holds(other) || placed.contains(&other))
        };
        let position = (0..places.len()).rev().find(ready)?;
        let own = places[position];
        let lowest = placed.iter().filter(|other| own.holds(marks[**other].0));
        let lowest = lowest.map(|other| places[*other].row + 1).max().unwrap_or(0);
        let is_free = |row: usize| {
            placed
                .iter()
                .map(|other| places[*other])
                .all(|other| other.row != row || own.right() <= other.left || other.right() <= own.left)
        };
        places[position].row = (lowest..=lowest + placed.len()).find(|row| is_free(*row))?;
        placed.push(position);
    }
    Some(places)
}

#[cfg(test)]
mod tests {
    use egui::Rangef;

    use super::place_marks;

    #[test]
    fn labels_never_cover_one_another_and_no_line_strikes_through_a_word() {
        for marks in [
            &[(110.0, 105.0), (128.0, 100.0), (181.0, 120.0), (236.0, 140.0), (406.0, 105.0)][..],
            &[(40.0, 150.0), (60.0, 150.0), (80.0, 150.0), (235.0, 150.0)],
            &[(10.0, 200.0), (10.0, 200.0), (11.0, 90.0)],
            &[],
        ] {
            let places = place_marks(marks, Rangef::new(0.0, 460.0));
            assert_eq!(places.len(), marks.len());
            for (one, place) in places.iter().enumerate() {
                assert!(place.left >= 0.0 && place.right() <= 460.0, "{place:?} reaches out of the Board");
                for (other, beside) in places.iter().enumerate().filter(|(other, _)| *other != one) {
                    let apart = place.right() <= beside.left || beside.right() <= place.left;
                    assert!(place.row != beside.row || apart, "{place:?} covers {beside:?}");
                    let struck = place.holds(marks[other].0) && beside.row >= place.row;
                    assert!(!struck, "the line of {beside:?} strikes through {place:?}");
                }
            }
        }
    }

    #[test]
    fn a_clear_evening_takes_two_rows() {
        // Doors, three twilights and doors again as they fall in March, in a window of 1280 points.
        let marks = [(399.0, 100.0), (428.0, 85.0), (513.0, 105.0), (600.0, 135.0), (871.0, 100.0)];
        let places = place_marks(&marks, Rangef::new(276.0, 887.0));
        assert!(places.iter().all(|place| place.row < 2), "{places:?}");
    }
}
