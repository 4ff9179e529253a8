//! Text in a drawing before its typeface is known: how wide it may be, how it breaks, where it fits.

use super::{Point, Rectangle};

/// An upper estimate of a text's width in points, for a humanist sans at up to semibold weight.
///
/// A drawing is laid out once and drawn by pens that measure differently, so the estimate errs on the wide side:
/// the test beside the typeface holds it against the embedded one.
pub fn text_width(text: &str, size: f32) -> f32 {
    text.chars().map(em_width).sum::<f32>() * size
}

fn em_width(character: char) -> f32 {
    match character {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | '·' => 0.31,
        ' ' => 0.21,
        'f' | 't' | 'r' | '(' | ')' | '-' | '°' | '′' => 0.41,
        'm' => 0.88,
        'w' => 0.82,
        'M' | 'W' | '%' | '→' | '@' => 0.92,
        'E' | 'F' | 'J' | 'L' | 'S' | 'T' => 0.61,
        'A'..='Z' => 0.70,
        'a' | 'c' | 'e' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | '0'..='9' => 0.54,
        'b'..='z' => 0.58,
        _ => 0.75,
    }
}

/// The text, cut short with an ellipsis where it is wider than `width`.
pub fn shortened(text: &str, size: f32, width: f32) -> String {
    if text_width(text, size) <= width {
        return text.to_owned();
    }
    let room = width - text_width("…", size);
    let mut used = 0.0;
    let kept: String = text
        .chars()
        .take_while(|character| {
            used += em_width(*character) * size;
            used <= room
        })
        .collect();
    format!("{}…", kept.trim_end())
}

/// The text broken at spaces into at most `most` lines of `width`, or `None` if it does not fit so.
pub fn broken(text: &str, size: f32, width: f32, most: usize) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (longer, lines.last_mut()) {
            (Some(longer), Some(line)) if text_width(&longer, size) <= width => *line = longer,
            _ => lines.push(word.to_owned()),
        }
    }
    (lines.len() <= most && lines.iter().all(|line| text_width(line, size) <= width)).then_some(lines)
}

/// A name in so many lines, parted at the spaces that make it shortest; `None` where it has too few words.
pub fn in_lines(name: &str, rows: usize) -> Option<Vec<String>> {
    let mut ways = vec![vec![name]];
    for _ in 1..rows {
        ways = ways.iter().flat_map(|way| part_once_more(way)).collect();
    }
    let longest = |way: &Vec<&str>| way.iter().map(|line| line.chars().count()).max();
    let shortest = ways.into_iter().min_by_key(longest)?;
    Some(shortest.into_iter().map(str::to_owned).collect())
}

/// All ways to part the last line once more.
fn part_once_more<'n>(way: &[&'n str]) -> Vec<Vec<&'n str>> {
    let Some((last, before)) = way.split_last() else { return Vec::new() };
    let parted = last.match_indices(' ').map(|(space, _)| [&last[..space], &last[space + 1..]]);
    parted.map(|two| [before, &two].concat()).collect()
}

/// Labels placed so far: the next goes to the first of its places where it hides none of them.
#[derive(Clone, Debug, Default)]
pub struct Placed(Vec<Rectangle>);

impl Placed {
    /// Takes the first free of `places`, if any is.
    pub fn first_free(&mut self, places: impl IntoIterator<Item = Rectangle>) -> Option<Rectangle> {
        let free = places.into_iter().find(|place| !self.0.iter().any(|taken| taken.overlaps(place)))?;
        self.0.push(free);
        Some(free)
    }

    /// Whether a place hides none of them.
    pub fn is_free(&self, place: &Rectangle) -> bool {
        !self.0.iter().any(|taken| taken.overlaps(place))
    }

    /// How many of them a line from a place crosses on its way, those at its beginning apart.
    pub fn crossed(&self, from: Point, to: Point) -> usize {
        let crosses = |taken: &&Rectangle| !taken.contains(from) && taken.is_crossed_by(from, to);
        self.0.iter().filter(crosses).count()
    }

    /// Keeps a place free of labels.
    pub fn keep_free(&mut self, place: Rectangle) {
        self.0.push(place);
    }
}

#[cfg(test)]
mod tests {
    use super::{broken, in_lines, part_once_more, shortened, text_width};

    #[test]
    fn breaks_at_spaces_or_not_at_all() {
        let width = text_width("Lantern", 9.0) + 0.1;
        assert_eq!(broken("Lantern Drift", 9.0, width, 2), Some(vec!["Lantern".into(), "Drift".into()]));
        assert_eq!(broken("Lantern Drift", 9.0, width, 1), None);
        assert_eq!(broken("Lanternfold Drift", 9.0, width, 2), None);
    }

    #[test]
    fn names_are_parted_at_spaces_only() {
        assert_eq!(
            part_once_more(&["Marigold and Speedwell"]),
            [["Marigold", "and Speedwell"], ["Marigold and", "Speedwell"]]
        );
        assert_eq!(part_once_more(&["Marigold", "and Speedwell"]), [["Marigold", "and", "Speedwell"]]);
        assert!(part_once_more(&["Jupiter"]).is_empty());
        let two = in_lines("The Hearth Sparks", 2);
        assert_eq!(two, Some(vec!["The Hearth".to_owned(), "Sparks".to_owned()]));
        assert_eq!(in_lines("Jupiter", 2), None);
    }

    #[test]
    fn shortened_text_fits() {
        let short = shortened("A very long name of a port indeed", 9.0, 60.0);
        assert!(short.ends_with('…') && text_width(&short, 9.0) <= 60.0, "got {short}");
        assert_eq!(shortened("Eyepiece", 9.0, 60.0), "Eyepiece");
    }
}
