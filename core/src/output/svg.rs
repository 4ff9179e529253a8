//! A drawing as SVG.

use std::fmt::Write;

use super::paper::paper_grey;
use crate::chart::{Anchor, Ink, Item, Point, Scene, Stroke, Weight};

/// What stands in when the viewer does not have the typeface of the printed pages.
const FONTS: &str = "'Source Sans 3', 'Source Sans Pro', 'Noto Sans', 'DejaVu Sans', sans-serif";

/// The colour of text where none is said; W3C, SVG 2, 13.3.
const BLACK: &str = "#000000";

/// The scene as SVG text, black on white. Its words in `alt` become the description a screen reader says.
///
/// Source: W3C, Scalable Vector Graphics (SVG) 2.
pub fn scene_svg(scene: &Scene) -> String {
    let (width, height) = (number(scene.width), number(scene.height));
    let mut svg = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}pt\" height=\"{height}pt\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"title description\" \
         font-family=\"{FONTS}\">\n\
         <title id=\"title\">Timeline of the evening</title>\n\
         <desc id=\"description\">{}</desc>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n",
        escaped(&scene.alt),
        colour(Ink::Ground)
    );
    for item in &scene.items {
        write_item(&mut svg, item);
    }
    svg.push_str("</svg>\n");
    svg
}

fn write_item(svg: &mut String, item: &Item) {
    match item {
        Item::Path { points, closed, fill, stroke } => {
            let fill = fill.map_or_else(|| "none".to_owned(), colour);
            put(svg, format_args!("<path d=\"{}\" fill=\"{fill}\"", outline(points, *closed)));
            if let Some(stroke) = stroke {
                write_stroke(svg, *stroke);
            }
            svg.push_str("/>\n");
        }
        Item::Text { at, anchor, size, weight, ink, runs_up, text } => {
            let (x, y, size) = (number(at.x), number(at.y), number(*size));
            put(svg, format_args!("<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\""));
            // What is usual in SVG is left out: text from its start, of weight 400, in black.
            match anchor {
                Anchor::Start => {}
                Anchor::Middle => svg.push_str(" text-anchor=\"middle\""),
                Anchor::End => svg.push_str(" text-anchor=\"end\""),
            }
            if *weight == Weight::Semibold {
                svg.push_str(" font-weight=\"600\"");
            }
            if *runs_up {
                put(svg, format_args!(" transform=\"rotate(-90 {x} {y})\""));
            }
            let colour = colour(*ink);
            if colour != BLACK {
                put(svg, format_args!(" fill=\"{colour}\""));
            }
            put(svg, format_args!(">{}</text>\n", escaped(text)));
        }
    }
}

fn write_stroke(svg: &mut String, stroke: Stroke) {
    put(svg, format_args!(" stroke=\"{}\" stroke-width=\"{}\"", colour(stroke.ink), number(stroke.width)));
    if let Some((dash, gap)) = stroke.dash {
        put(svg, format_args!(" stroke-dasharray=\"{} {}\"", number(dash), number(gap)));
    }
}

fn put(svg: &mut String, text: std::fmt::Arguments<'_>) {
    svg.write_fmt(text).expect("writing to a String can't fail");
}

/// A line from point to point; one that runs across or down gives only where it ends (W3C, SVG 2, 9.3).
fn outline(points: &[Point], closed: bool) -> String {
    let mut path = String::new();
    let mut last: Option<[String; 2]> = None;
    for point in points {
        let [x, y] = [number(point.x), number(point.y)];
        match &last {
            None => put(&mut path, format_args!("M{x},{y}")),
            Some([_, last_y]) if *last_y == y => put(&mut path, format_args!("H{x}")),
            Some([last_x, _]) if *last_x == x => put(&mut path, format_args!("V{y}")),
            Some(_) => put(&mut path, format_args!("L{x},{y}")),
        }
        last = Some([x, y]);
    }
    if closed {
        path.push('z');
    }
    path
}

/// A coordinate to a tenth of a point, without needless zeros.
fn number(value: f32) -> String {
    let text = format!("{value:.1}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn colour(ink: Ink) -> String {
    let grey = paper_grey(ink);
    format!("#{grey:02x}{grey:02x}{grey:02x}")
}

/// Text for an XML element or attribute; characters that XML 1.0 does not allow become spaces.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => out.push(' '),
            _ => out.push(character),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{escaped, number, outline, scene_svg};
    use crate::chart::{Anchor, Ink, Item, Point, Scene};

    #[test]
    fn names_with_marks_of_xml_stay_names() {
        // W3C XML 1.0, section 2.4: & and < must be escaped; 2.2: control characters are not allowed.
        assert_eq!(escaped("Fox & <Hen> \"Æ\"\u{7}"), "Fox &amp; &lt;Hen&gt; &quot;Æ&quot; ");
        let text = Item::text((1.0, 2.0), Anchor::End, 9.0, Ink::Text, "A & B");
        let svg = scene_svg(&Scene { width: 10.0, height: 20.0, alt: "A < B".into(), items: vec![text] });
        assert!(svg.contains("text-anchor=\"end\"") && svg.contains(">A &amp; B</text>"));
        assert!(svg.contains("<desc id=\"description\">A &lt; B</desc>"));
    }

    #[test]
    fn an_outline_says_only_what_changes() {
        let at = |x, y| Point { x, y };
        let corners = [at(1.0, 2.0), at(4.0, 2.0), at(4.0, 5.5), at(1.0, 2.5)];
        assert_eq!(outline(&corners, true), "M1,2H4V5.5L1,2.5z");
        assert_eq!(outline(&corners[..2], false), "M1,2H4");
        assert_eq!(outline(&[], false), "");
    }

    #[test]
    fn coordinates_are_short() {
        assert_eq!([number(1.0), number(-0.01), number(2.345), number(10.5)], ["1", "0", "2.3", "10.5"]);
    }
}
